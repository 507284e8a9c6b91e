"""Begin an accessory: work out what each role takes, and claim that many metres of the lots named for it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.learning.history import history_in
from matcher.actions.names import find
from matcher.actions.needs import find_accessory, gauge_of_swatch
from matcher.actions.roles import cautions_of
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import calibrated, main_structure
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.knitting.mending.reserve import reserves, surplus
from matcher.knitting.needs import RoleNeed, needs_of
from matcher.matching.pools import Pool
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.units import show_gauge, show_length
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.codes import fold
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.store import Act, Store

_TIMES = re.compile(r"([23])\s*[x×]\s+(.+)")


@dataclass(frozen=True)
class Thread:
    """What one role is knitted with: lots one after the other, or strands of them held together."""

    role: str
    lots: tuple[Lot, ...]
    strands: int  # of the one lot when it is doubled or trebled
    together: bool

    @property
    def tex(self) -> float:
        """Linear density of what is on the needles [tex]."""
        if self.together:
            return sum(lot.yarn.tex.mean for lot in self.lots)
        return self.strands * self.lots[0].yarn.tex.mean


def begin(
    accessory: str,
    lots: Sequence[str],
    *,
    size: str | None = None,
    swatch: str | None = None,
    name: str | None = None,
    anyway: bool = False,
    bin: Path | str | None = None,
    catalog: Path | str | None = None,
    units: str = "metric",
) -> Done:
    """Put an accessory on the needles: its lots are claimed, so that nothing else is offered them.

    Parameters
    ----------
    lots : one a role, "main=navy" or in the order of the roles; "navy + navy 2" one after the other,
        "fog & navy" held together, "2 x fog" doubled.
    swatch : "22 st x 30 rows" in 10 cm; without it the gauge is the one usual for the first role's yarn.
    name : of this work, the accessory's if left out. anyway : claim what there is, also where it is too little
        or reserved.

    Raises NotFound and BadInput; nothing is claimed then.
    """
    catalogue = desk_of(None, catalog).catalogue
    entry = find_accessory(accessory, catalogue)
    wanted = _size(entry, size)
    with opened(bin) as store, store.action(f"begin {entry.name}") as act:
        named = _named(entry, lots, store)
        shelf, free = _around(store, catalogue, [row for rows in named.values() for row in rows[0]])
        threads = [_thread(role, rows, strands, together, shelf) for role, (rows, strands, together) in named.items()]
        gauge = _gauge(swatch, threads, catalogue)
        plain = needs_of(entry, wanted, gauge, catalogue.sizes, catalogue.motifs, catalogue.fabric)
        learnt = history_in(store, catalogue).learnt
        needs = calibrated(plain, entry, learnt, from_swatch=gauge.from_swatch_rows)
        title = _title(store, name or entry.name)
        values = {"accessory": entry.key, "name": title, "size": wanted, "state": "begun", "begun_on": act.today}
        work = act.insert("works", values)
        claims = _claim(act, work, threads, plain, needs, dict(free), anyway, units)
        act.words = f"begin {title}{f', {wanted}' if wanted else ''}"
    sizes = f", {wanted}" if wanted and len(entry.sizes) > 1 else ""
    said = [f"{title}{sizes} is begun: {show_gauge(gauge.stitches_10cm, gauge.rows_10cm, units)}."]
    for one in claims:
        left = f"{show_length(one['free_m'], units)} of it stay free"
        takes = f"{show_length(one['metres'], units)}, give or take {show_length(one['sd_m'], units)}"
        said.append(f"{one['role']}: {takes}, of {one['lot']} are claimed; {left}.")
    brought = [role.name for role in entry.roles if role.bring]
    notes = [f"You bring the yarn for {', '.join(brought)} yourself."] if brought else []
    notes += cautions_of(entry, wanted, [_pool(lot) for thread in threads for lot in thread.lots], catalogue)
    rounded = [{**one, **{key: round(one[key], 2) for key in ("metres", "sd_m", "free_m")}} for one in claims]
    return Done(
        tuple(said),
        {"work": work, "name": title, "accessory": entry.key, "size": wanted, "claims": rounded},
        tuple(notes),
    )


def _size(entry: Accessory, size: str | None) -> str:
    if size is not None:
        return find(size, entry.sizes, f"size of {entry.name}")
    if len(entry.sizes) == 1:
        return entry.sizes[0]
    raise BadInput(f"{entry.name} comes in several sizes", "--size", f"give one of {', '.join(entry.sizes)}")


def _named(entry: Accessory, lots: Sequence[str], store: Store) -> dict[str, tuple[list[dict[str, Any]], int, bool]]:
    """For each role that needs a lot: rows of its lots, how many strands of one, whether they are held together."""
    fill = [role.name for role in entry.roles if not role.bring]
    found: dict[str, tuple[list[dict[str, Any]], int, bool]] = {}
    for text in lots:
        before, sign, after = text.partition("=")
        # A name may hold an equals sign itself: what lies in the store goes first.
        if sign and store.named("lots", text) is None:
            role, words = next((one for one in fill if fold(one) == fold(before)), ""), after
            if not role:
                what = f'{entry.name} has no role "{before.strip()}" that takes a lot'
                raise BadInput(what, "--lots", f"its roles are {', '.join(fill)}")
        else:
            role, words = next((one for one in fill if one not in found), ""), text
        if not role or role in found:
            what = f"{role} has its lots already" if role else f"{entry.name} has no more than {len(fill)} roles"
            raise BadInput(what, f"--lots {text}", 'several lots of one role: --lots "main=navy + navy 2"')
        found[role] = _rows(words, store)
    missing = [role for role in fill if role not in found]
    if missing:
        raise BadInput(
            f"no lot is named for {' and '.join(missing)}", "--lots", f'such as --lots "{missing[0]}=NAME OF A LOT"'
        )
    return {role: found[role] for role in fill}


def _rows(words: str, store: Store) -> tuple[list[dict[str, Any]], int, bool]:
    whole = store.named("lots", words)
    if whole is not None:
        return [whole], 1, False
    times = _TIMES.fullmatch(words.strip())
    if times:
        return [lot_row(store, times[2])], int(times[1]), False
    sign = " & " if " & " in words else " + "
    rows = [lot_row(store, one) for one in words.split(sign)]
    return list({row["lot"]: row for row in rows}.values()), 1, sign == " & "


def _around(
    store: Store, catalogue: Catalogue, rows: Sequence[Mapping[str, Any]]
) -> tuple[dict[str, Lot], Mapping[str, float]]:
    """The lots by folded name, and metres free of each: their garments' other lots bear on what is reserved."""
    names = {row["folded"] for row in rows} | {
        other["folded"]
        for owner in {row["of_garment"] for row in rows if row["of_garment"]}
        for other in store.select("SELECT folded FROM lots WHERE of_garment = ?", owner)
    }
    bin_: Bin = bin_of_rows(store, catalogue, names)
    groups = reserves(bin_, catalogue.repairs, catalogue.fabric, catalogue.sizes)
    free = surplus(bin_, groups)
    return {fold(lot.name): lot for lot in bin_.lots}, {name: one.mean for name, one in free.items()}


def _thread(role: str, rows: list[dict[str, Any]], strands: int, together: bool, shelf: Mapping[str, Lot]) -> Thread:
    return Thread(role, tuple(shelf[row["folded"]] for row in rows), strands, together)


def _gauge(swatch: str | None, threads: Sequence[Thread], catalogue: Catalogue) -> Gauge:
    if swatch is not None:
        return gauge_of_swatch(swatch, catalogue)
    if not threads:
        raise BadInput("nothing says the gauge", "--swatch", 'write it as "22 st x 30 rows" (in 10 cm)')
    return gauge_of_tex(threads[0].tex, catalogue.fabric)


def _title(store: Store, name: str) -> str:
    taken = {row["name"] for row in store.select("SELECT name FROM works WHERE state = 'begun'")}
    number, title = 1, name
    while title in taken:
        number += 1
        title = f"{name} {number}"
    return title


def _claim(
    act: Act,
    work: int,
    threads: Sequence[Thread],
    plain: Sequence[RoleNeed],
    needs: Sequence[RoleNeed],
    free: dict[str, float],
    anyway: bool,
    units: str,
) -> list[dict[str, Any]]:
    """Write the claims down. Predictions are kept as the figures alone make them: history must not count twice."""
    by_role = {need.role: need for need in needs}
    predicted = {need.role: need for need in plain}
    claims: list[dict[str, Any]] = []
    for thread in threads:
        need, figure = by_role[thread.role], predicted[thread.role]
        wanted = _portions(thread, need.length_m, free)
        total = sum(metres for _, metres in wanted)
        for lot, metres in wanted:
            room = free[lot.name]
            if metres > room + 1e-9 and not anyway:
                raise BadInput(
                    f"{thread.role} takes {show_length(metres, units)} of {lot.name}, and "
                    f"{show_length(room, units)} are free",
                    "--lots",
                    "name another lot with it, or --anyway claims what there is",
                )
            # With --anyway the reserve may be drawn on, but never what another work has claimed.
            taken = min(metres, max(room, _unclaimed(lot, claims)) if anyway else room)
            free[lot.name] = max(0.0, room - taken)
            part = metres / total if total else 1.0 / len(wanted)
            times = 1.0 if not (thread.together or thread.strands > 1) else total / need.length_m
            act.insert(
                "claims",
                {
                    "work": work,
                    "role": thread.role,
                    "lot": _stored(act.store, lot.name),
                    "metres": taken,
                    "tex": lot.yarn.tex.mean,
                    "structure": main_structure(figure),
                    "predicted_m": figure.length_m * times * part,
                    "predicted_sd_m": figure.sd_m * times * part,
                    "from_g": lot.mass_g,
                },
            )
            sd_m = need.sd_m * times * part
            claims.append(
                {"role": thread.role, "lot": lot.name, "metres": taken, "sd_m": sd_m, "free_m": free[lot.name]}
            )
    return claims


def _portions(thread: Thread, need_m: float, free: Mapping[str, float]) -> list[tuple[Lot, float]]:
    """Metres of each lot: all of it from each strand; else one lot after the other, the last takes the rest."""
    if thread.together:
        return [(lot, need_m) for lot in thread.lots]
    left, found = need_m * thread.strands, []
    for lot in thread.lots[:-1]:
        taken = min(left, free[lot.name])
        found.append((lot, taken))
        left -= taken
    return [*found, (thread.lots[-1], left)]


def _pool(lot: Lot) -> Pool:
    return Pool((lot,), lot.length, lot.length, 0.0)


def _unclaimed(lot: Lot, claims: Sequence[Mapping[str, Any]]) -> float:
    claimed: float = sum(one["metres"] for one in claims if one["lot"] == lot.name)
    return max(0.0, lot.unclaimed_m - claimed)


def _stored(store: Store, name: str) -> str:
    """The lot's name as it stands in the store."""
    return str(lot_row(store, name)["lot"])

"""Begin an accessory: work out what each role takes, and claim that many metres of the lots named for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from matcher.actions.desk import OFFER_AGAIN, Desk, desk_of, shelf_of
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.keeping.enough import Given, doubts, given_to, sure_that
from matcher.actions.keeping.role_lots import RoleLots, named_rows
from matcher.actions.learning.history import history_in
from matcher.actions.meant import accessory_meant, size_meant
from matcher.actions.names import typed_name
from matcher.actions.needs import gauge_of_swatch
from matcher.actions.place import Place
from matcher.actions.roles import cautions_of
from matcher.actions.whom.everyone import find_people
from matcher.actions.whom.sized import check_skin, sized_for
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.knitting.needs import RoleNeed, main_structure, needs_of
from matcher.matching.pools import Pool
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Amount, GaugeFigures, Length
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.act import Act
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.rows import Rows


def begin(
    accessory: str,
    lots: Sequence[str],
    *,
    size: str | None = None,
    whom: str | None = None,
    swatch: str | None = None,
    name: str | None = None,
    anyway: bool = False,
    mending: str | None = None,
    bin: Place = None,
    catalog: Path | str | None = None,
) -> Done:
    """Put an accessory on the needles: its lots are claimed, so that nothing else is offered them.

    Parameters
    ----------
    lots : one a role, "main=navy" or in the order of the roles; "navy + navy 2" one after the other,
        "fog & navy" held together, "2 x fog" doubled.
    whom : who it is for: their size or measures, and nothing on their skin that does not suit it.
    swatch : "22 st x 30 rows" in 10 cm; without it the gauge is the one usual for the first role's yarn.
    name : of this work, the accessory's if left out. anyway : claim what there is, also where it is too little
        or reserved.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.

    Raises NotFound and BadInput; nothing is claimed then.
    """
    desk = desk_of(bin if isinstance(bin, Desk) else None, catalog, mending)
    catalogue = desk.catalogue
    told: list[Words] = []
    entry = accessory_meant(accessory, catalogue, told)
    if whom is None:
        wanted = _size(entry, size, catalogue.sizes, told)
    with opened(bin) as store, store.action("begin") as act:
        if whom is not None:
            one = find_people([whom], bin_of_rows(store, catalogue), catalogue)[0]
            wanted, catalogue = sized_for(one, entry, size, catalogue, told)
        named = named_rows(entry, lots, store)
        shelf, free = _around(store, desk, [row for rows in named.values() for row in rows[0]])
        chosen = [
            RoleLots(role, tuple(shelf[row["folded"]] for row in rows), strands, together)
            for role, (rows, strands, together) in named.items()
        ]
        if whom is not None and not anyway:
            check_skin(one, entry, [lot for role in chosen for lot in role.lots])
        gauge = _gauge(swatch, chosen, entry, catalogue)
        plain = needs_of(entry, wanted, gauge, catalogue.sizes, catalogue.motifs, catalogue.fabric)
        learnt = history_in(store, catalogue).learnt
        needs = calibrated(plain, entry, learnt, from_swatch=gauge.from_swatch_rows)
        title = _title(store, typed_name(name, "piece") if name else entry.name)
        values = {
            "accessory": entry.key,
            "name": title,
            "size": wanted,
            "state": "begun",
            "begun_on": act.today,
            "stitches_10cm": gauge.stitches_10cm,
            "rows_10cm": gauge.rows_10cm,
        }
        work = act.insert("works", values)
        claims, given = _claim(act, work, chosen, plain, needs, free, anyway)
        sized: Words = reason("{work}, {size}", work=title, size=Term(wanted)) if wanted else title
        act.words = reason("begin {work}", work=sized)
    called = sized if len(entry.sizes) > 1 else title
    figures = GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm)
    said: list[Words] = [reason("{work} is begun: {gauge}.", work=called, gauge=figures)]
    tex = {lot.name: lot.yarn.tex.mean for one in chosen for lot in one.lots}
    said += [
        reason(
            "{role}: {amount}, give or take {sd}, of {lot} set aside; {free} still free.",
            role=Term(one["role"]),
            amount=Amount(one["metres"], tex[one["lot"]]),
            sd=Length(one["sd_m"]),
            lot=one["lot"],
            free=Amount(one["free_m"], tex[one["lot"]]),
        )
        for one in claims
    ]
    brought = [Term(role.name) for role in entry.roles if role.bring]
    sure = sure_that(given)
    notes: list[Words] = [*told, *doubts(sure, entry, gauge, catalogue)]
    if brought:
        notes.append(reason("You bring the yarn for {roles} yourself.", roles=listed(brought)))
    notes += cautions_of(entry, wanted, [_pool(lot) for one in chosen for lot in one.lots], catalogue)
    rounded = [{**one, **{key: round(one[key], 2) for key in ("metres", "sd_m", "free_m")}} for one in claims]
    done = {"work": work, "name": title, "accessory": entry.key, "size": wanted}
    return Done(tuple(said), {**done, "sure": round(sure, 4), "claims": rounded}, tuple(notes))


def _size(entry: Accessory, size: str | None, sizes: Sizes, told: list[Words]) -> str:
    if size is not None:
        return size_meant(size, sizes, entry.sizes, reason("size of {accessory}", accessory=entry.name), told)
    if len(entry.sizes) == 1:
        return entry.sizes[0]
    what = reason("{accessory} comes in several sizes", accessory=entry.name)
    raise BadInput(what, Field("size"), reason("give one of {sizes}", sizes=listed(map(Term, entry.sizes))))


def _around(
    store: Rows, desk: Desk, rows: Sequence[Mapping[str, Any]]
) -> tuple[dict[str, Lot], Mapping[str, Estimate]]:
    """The lots by folded name, and metres free of each: their garments' other lots bear on what is reserved."""
    names = {row["folded"] for row in rows} | {
        other["folded"]
        for owner in {row["of_garment"] for row in rows if row["of_garment"]}
        for other in store.select("SELECT folded FROM lots WHERE of_garment = ?", owner)
    }
    bin_: Bin = bin_of_rows(store, desk.catalogue, names)
    shelf = shelf_of(bin_, desk.catalogue, mending=desk.mending)
    lots = {fold(lot.name): lot for lot in bin_.lots}
    for name in (lots[row["folded"]].name for row in rows):
        if name in shelf.kept:
            what = reason("{lot} is {kept}", lot=name, kept=shelf.kept[name])
            raise BadInput(what, Field("lots"), reason("{again} offers it again", again=OFFER_AGAIN))
    return lots, shelf.free


def _gauge(swatch: str | None, chosen: Sequence[RoleLots], entry: Accessory, catalogue: Catalogue) -> Gauge:
    if swatch is not None:
        return gauge_of_swatch(swatch, catalogue, entry.firmness)
    if not chosen:
        todo = reason('write it as "22 st x 30 rows" (in 10 cm)')
        raise BadInput(reason("the gauge isn't known"), Field("swatch"), todo)
    return gauge_of_tex(chosen[0].tex, catalogue.fabric, entry.firmness)


def _title(store: Rows, name: str) -> str:
    taken = {row["name"] for row in store.select("SELECT name FROM works WHERE state = 'begun'")}
    number, title = 1, name
    while title in taken:
        number += 1
        title = f"{name} {number}"
    return title


def _claim(
    act: Act,
    work: int,
    chosen: Sequence[RoleLots],
    plain: Sequence[RoleNeed],
    needs: Sequence[RoleNeed],
    spread: Mapping[str, Estimate],
    anyway: bool,
) -> tuple[list[dict[str, Any]], list[Given]]:
    """Write the claims down; returns them, and what each role was given.

    Predictions are kept as the figures alone make them: history must not count twice.
    """
    by_role = {need.role: need for need in needs}
    predicted = {need.role: need for need in plain}
    free = {name: one.mean for name, one in spread.items()}
    claims: list[dict[str, Any]] = []
    roles: list[Given] = []

    def room_of(lot: Lot) -> float:
        """With --anyway the reserve may be drawn on, but never what another work has claimed."""
        return max(free[lot.name], _unclaimed(lot, claims)) if anyway else free[lot.name]

    for given in chosen:
        need, figure = by_role[given.role], predicted[given.role]
        roles += given_to(given, need, [Estimate(room_of(lot), spread[lot.name].sd) for lot in given.lots])
        wanted = _portions(given, need.length_m, free)
        total = sum(metres for _, metres in wanted)
        for lot, metres in wanted:
            room = free[lot.name]
            if metres > room + 1e-9 and not anyway:
                raise _too_little(given.role, lot, metres, room)
            taken = min(metres, room_of(lot))
            free[lot.name] = max(0.0, room - taken)
            part = metres / total if total else 1.0 / len(wanted)
            times = 1.0 if not (given.together or given.strands > 1) else total / need.length_m
            act.insert(
                "claims",
                {
                    "work": work,
                    "role": given.role,
                    "lot": _stored(act.store, lot.name),
                    "metres": taken,
                    "tex": lot.yarn.tex.mean,
                    "structure": main_structure(figure.working),
                    "predicted_m": figure.length_m * times * part,
                    "predicted_sd_m": figure.sd_m * times * part,
                    "from_g": lot.mass_g,
                },
            )
            sd_m = need.sd_m * times * part
            claims.append(
                {"role": given.role, "lot": lot.name, "metres": taken, "sd_m": sd_m, "free_m": free[lot.name]}
            )
    return claims, roles


def _too_little(role: str, lot: Lot, metres: float, room_m: float) -> BadInput:
    takes = "{role} takes {amount} of {lot}, and {free} are free"
    wanted, free = (Amount(one, lot.yarn.tex.mean) for one in (metres, room_m))
    what = reason(takes, role=Term(role), amount=wanted, lot=lot.name, free=free)
    todo = reason("name another lot with it, or {anyway} sets aside what there is", anyway=Field("anyway"))
    return BadInput(what, Field("lots"), todo)


def _portions(given: RoleLots, need_m: float, free: Mapping[str, float]) -> list[tuple[Lot, float]]:
    """Metres of each lot: all of it from each strand; else one lot after the other, the last takes the rest."""
    if given.together:
        return [(lot, need_m) for lot in given.lots]
    left, found = need_m * given.strands, []
    for lot in given.lots[:-1]:
        taken = min(left, free[lot.name])
        found.append((lot, taken))
        left -= taken
    return [*found, (given.lots[-1], left)]


def _pool(lot: Lot) -> Pool:
    return Pool((lot,), lot.length, lot.length, 0.0)


def _unclaimed(lot: Lot, claims: Sequence[Mapping[str, Any]]) -> float:
    claimed: float = sum(one["metres"] for one in claims if one["lot"] == lot.name)
    return max(0.0, lot.unclaimed_m - claimed)


def _stored(store: Rows, name: str) -> str:
    """The lot's name as it stands in the store."""
    return str(lot_row(store, name)["lot"])

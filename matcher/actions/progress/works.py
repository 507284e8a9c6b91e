"""Finish an accessory by weighing what remains, or abandon it; both give up what it had claimed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from matcher.actions.keeping.done import (
    Done,
    Weight,
    claims_fitted,
    lot_row,
    mass_of,
    opened,
    read_weight,
    weight_change,
)
from matcher.actions.place import Place
from matcher.actions.progress.begun import work_row
from matcher.errors import BadInput
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Action, Field, Term, Words, listed, reason
from matcher.store.database.act import Act
from matcher.store.database.claims import claims_of
from matcher.store.database.rows import Rows

if TYPE_CHECKING:
    from matcher.actions.progress.whole_set import SetLasts

_WEIGH = Field("weigh")


def finish(work: str, weighed: Mapping[str, str], *, bin: Place = None) -> Done:
    """An accessory is finished: what its lots weigh now says what it used.

    Parameters
    ----------
    work : its name or its number. weighed : lot -> weight of what remains, for every lot that it claimed; 0
        takes the lot out of the bin.

    What each role used, beside what was predicted for it, is kept for `matcher calibration`. Raises NotFound and
    BadInput; nothing is changed then.
    """
    with opened(bin) as store, store.action("finish") as act:
        row = work_row(store, work)
        act.words = reason("finish {work}", work=row["name"])
        claims = store.select("SELECT * FROM claims WHERE work = ? ORDER BY id", row["id"])
        left = _left(store, row["name"], claims, weighed)
        used_g = {lot: _used(lot, claims, left[lot].grams) for lot in left}
        # What was not weighed teaches nothing of how she knits.
        judged = {lot for lot in left if left[lot].mass.sd > 0 or mass_of(lot_row(store, lot)).sd > 0}
        shared = {lot for lot in left if any(one["work"] != row["id"] for one in claims_of(store, lot))}
        roles = _roles(claims, used_g)
        for claim in claims:
            act.delete("claims", claim["id"])
        said: list[Words] = [reason("{work} is finished.", work=row["name"])]
        notes: list[Words] = []
        for role, lines in roles.items():
            said.append(_told(role, lines))
            if any(line["lot"] in shared for line in lines):
                why = "{role} doesn't count towards your own figures, since another piece uses the same lot."
                notes.append(reason(why, role=Term(role)))
            elif any(line["lot"] in judged for line in lines):
                why = "{role} doesn't count towards your own figures, since its yarn wasn't weighed to the gram."
                notes.append(reason(why, role=Term(role)))
            elif sum(line["used_g"] for line in lines) <= 0:
                why = "{role} doesn't count towards your own figures, since its lots weigh what they did before."
                notes.append(reason(why, role=Term(role)))
            else:
                _write(act, row, role, lines)
        for lot, weight in left.items():
            before = store.row("lots", lot)
            assert before is not None, lot
            notes += weight.notes
            said += _lower(act, lot, before["mass_g"], weight.cell, weight.grams, used_g[lot])
        act.update("works", row["id"], {"state": "finished", "ended_on": act.today})
        rest = _rest_of_set(store, row)
    used = [_values(role, lines) for role, lines in roles.items()]
    return _done(row, said, {"used": used}, rest, notes)


def abandon(work: str, *, bin: Place = None) -> Done:
    """An accessory is given up: what it had claimed is free again; its lots keep the weight last written down."""
    with opened(bin) as store, store.action("abandon") as act:
        row = work_row(store, work)
        claims = store.select("SELECT * FROM claims WHERE work = ? ORDER BY id", row["id"])
        for claim in claims:
            act.delete("claims", claim["id"])
        act.update("works", row["id"], {"state": "abandoned", "ended_on": act.today})
        act.words = reason("abandon {work}", work=row["name"])
        rest = _rest_of_set(store, row)
    lots = list(dict.fromkeys(one["lot"] for one in claims))
    said: list[Words] = [reason("{work} is given up; its yarn is free again.", work=row["name"])]
    if lots:
        said.append(reason("Weigh the yarn it was knitted with: {lots}.", lots=listed(lots)))
    return _done(row, said, {"lots": lots}, rest)


def _rest_of_set(store: Rows, work: Mapping[str, Any]) -> SetLasts | None:
    """How what is still on the needles of the set that it was begun with stands; None where it was begun alone."""
    if not work["of_set"]:
        return None
    # These bring the search and its chances, which a work by itself doesn't need.
    from matcher.actions.desk import desk_of
    from matcher.actions.progress.whole_set import set_lasts

    return set_lasts(store, work["of_set"], desk_of(None).catalogue)


def _done(
    work: Mapping[str, Any],
    said: Sequence[Words],
    values: Mapping[str, Any],
    rest: SetLasts | None,
    notes: Sequence[Words] = (),
) -> Done:
    whole = {"work": work["id"], "name": work["name"], **values, "set": rest.as_dict() if rest else None}
    return Done((*said, *((rest.words,) if rest else ())), whole, tuple(notes))


def weights(pairs: Sequence[str]) -> dict[str, str]:
    """Lot and weight out of "navy=41 g"; a lot's name may hold an equals sign itself."""
    found = {}
    for pair in pairs:
        lot, sign, mass = pair.rpartition("=")
        if not sign or not lot.strip():
            what = reason('"{pair}" isn\'t a lot with its weight', pair=pair)
            raise BadInput(what, _WEIGH, reason('write it as "navy=41 g"'))
        found[lot] = mass
    return found


def _left(store: Rows, name: str, claims: Sequence[Mapping[str, Any]], weighed: Mapping[str, str]) -> dict[str, Weight]:
    """What remains of each lot that was claimed, by its name in the store."""
    lots = list(dict.fromkeys(one["lot"] for one in claims))
    found: dict[str, Weight] = {}
    for given, text in weighed.items():
        row = lot_row(store, given)
        lot = row["lot"]
        if lot not in lots:
            has = listed(lots, "and", " and ") if lots else Term("no lot")
            what = reason("nothing of {lot} was set aside for {work}", work=name, lot=lot)
            raise BadInput(what, _WEIGH, reason("its lots are {lots}", lots=has))
        found[lot] = read_weight(text, Field("weigh", lot), row)
    missing = [lot for lot in lots if lot not in found]
    if missing:
        what = reason("what is left of {lots} is missing", lots=listed(missing, "and", " and "))
        raise BadInput(what, _WEIGH, reason("weigh it: {example}", example=Field("weigh", f'"{missing[0]}=12 g"')))
    return found


def _used(lot: str, claims: Sequence[Mapping[str, Any]], left_g: float) -> float:
    """Grams that went into the work; a scale's gram of grace where nothing was used."""
    from_g: float = min(one["from_g"] for one in claims if one["lot"] == lot)
    if left_g > from_g + 1.0:
        what = reason("{lot} weighs {now}, but it was {then} before", lot=lot, now=Mass(left_g), then=Mass(from_g))
        todo = reason("weigh it again; or run {weigh} first, if yarn was added to it", weigh=Action("weigh"))
        raise BadInput(what, _WEIGH, todo)
    return max(0.0, from_g - left_g)


def _roles(claims: Sequence[Mapping[str, Any]], used_g: Mapping[str, float]) -> dict[str, list[dict[str, Any]]]:
    """What each role used of each of its lots; a lot that serves two roles is divided as it was predicted."""
    of_lot: dict[str, float] = defaultdict(float)
    for one in claims:
        of_lot[one["lot"]] += one["predicted_m"]
    roles: dict[str, list[dict[str, Any]]] = {}
    for one in claims:
        part = one["predicted_m"] / of_lot[one["lot"]] if of_lot[one["lot"]] else 1.0
        grams = used_g[one["lot"]] * part
        roles.setdefault(one["role"], []).append({**one, "used_g": grams, "used_m": 1000.0 * grams / one["tex"]})
    return roles


def _write(act: Act, work: Mapping[str, Any], role: str, lines: Sequence[Mapping[str, Any]]) -> None:
    """One row a lot that was used; what was predicted for the role is laid on them as they were used."""
    metres = sum(line["used_m"] for line in lines)
    for line in lines:
        if line["used_m"] <= 0:
            continue
        part = line["used_m"] / metres
        act.insert(
            "used",
            {
                "work": work["id"],
                "role": role,
                "lot": line["lot"],
                "predicted_m": part * sum(one["predicted_m"] for one in lines),
                "predicted_sd_m": part * sum(one["predicted_sd_m"] for one in lines),
                "used_m": line["used_m"],
                "used_g": line["used_g"],
                "tex": line["tex"],
                "structure": line["structure"],
                "accessory": work["accessory"],
                "ended_on": act.today,
            },
        )


def _lower(act: Act, lot: str, before_g: float, text: str, left_g: float, used_g: float) -> tuple[Words, ...]:
    """The lot's new weight; what other works take is counted from that much less."""
    others = claims_of(act.store, lot)
    if left_g == 0 and not others:
        act.delete("lots", lot)
        return (reason("Nothing is left of {lot}, so it is out of the bin.", lot=lot),)
    if left_g == 0:
        what = reason("{lot} is set aside for {work} as well", lot=lot, work=others[0]["work_name"])
        raise BadInput(what, _WEIGH, reason("abandon that, or weigh what there is"))
    act.update("lots", lot, {"grams": text, "weighed_on": act.today})
    for claim in others:
        act.update("claims", claim["id"], _counts_from(act.store, claim, left_g, used_g))
    weighs = reason("{lot}: {change}.", lot=lot, change=weight_change(before_g, left_g))
    return (weighs, *claims_fitted(act, lot, left_g))


def _counts_from(store: Rows, claim: Mapping[str, Any], left_g: float, used_g: float) -> dict[str, Any]:
    """From which weight and step on another work's claim counts: what it has knitted is in the new weight."""
    stage = (store.row("works", claim["work"]) or {}).get("stage", 0)
    if not stage:
        return {"from_g": max(1e-6, claim["from_g"] - used_g)}
    return {"from_g": left_g, "from_stage": stage, "seen_g": 0.0, "seen_stage": 0}


def _told(role: str, lines: Sequence[Mapping[str, Any]]) -> Words:
    values = _values(role, lines)
    claimed, predicted = sum(line["metres"] for line in lines), Length(values["predicted_m"])
    # What is predicted is by the figures alone; what was claimed follows her own knitting, and is what she was told.
    midway = any(line["seen_g"] for line in lines)  # then the claims are of the rest alone
    if midway or abs(claimed - values["predicted_m"]) < 0.5:
        told = reason("the estimate was {predicted}", predicted=predicted)
    else:
        both = "{claimed} were set aside; the estimate without your history is {predicted}"
        told = reason(both, claimed=Length(claimed), predicted=predicted)
    return reason(
        "{role} used {mass} of {lots}, about {length}; {told}.",
        role=Term(role),
        mass=Mass(values["used_g"]),
        lots=listed(values["lots"], "and", " and "),
        length=Length(values["used_m"]),
        told=told,
    )


def _values(role: str, lines: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    return {
        "role": role,
        "lots": [line["lot"] for line in lines],
        "predicted_m": round(sum(line["predicted_m"] for line in lines), 2),
        "used_m": round(sum(line["used_m"] for line in lines), 2),
        "used_g": round(sum(line["used_g"] for line in lines), 2),
    }

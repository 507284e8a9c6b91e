"""Actions on lots that need no more than the store: move, split, join; and a garment mended with a lot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from matcher.actions.keeping.checked import checked_lot
from matcher.actions.keeping.done import (
    Done,
    claims_fitted,
    figure_cell,
    free_name,
    garment_row,
    lot_row,
    mass_of,
    opened,
    read_metres,
    read_weight,
    set_aside,
    weight_cell,
    weight_change,
    went_elsewhere,
)
from matcher.actions.names import typed
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.materials.estimate import Estimate
from matcher.materials.reading.dye_lots import known_dye_lot
from matcher.materials.reading.names import fold
from matcher.materials.reading.units import MASS_DECIMALS, Unreadable, parse_count, parse_length_m
from matcher.reasons.quantities import Length, Mass, Number
from matcher.reasons.reason import Action, Field, Term, Words, counted, listed, reason
from matcher.store.catalogue.limits import load_limits
from matcher.store.database.act import Act
from matcher.store.database.claims import claims_of
from matcher.store.database.rows import Rows
from matcher.store.sheets.columns import LOTS

_ESTIMATED = 3  # decimals of a gram that is worked out of metres and not weighed


def move(lot: str, place: str, *, bin: Place = None) -> Done:
    """Write down where a lot lies now."""
    with opened(bin) as store, store.action("move") as act:
        row = lot_row(store, lot)
        name, before, after = row["lot"], row["place"], typed(place)
        act.words = reason("move {lot} to {place}", lot=name, place=after) if after else reason("move {lot}", lot=name)
        act.update("lots", name, {"place": after})
    now = reason("its place is now {place}", place=after) if after else reason("it has no place now")
    if before and before != after:
        now = reason("{now}, was {before}", now=now, before=before)
    return Done((reason("{lot}: {now}.", lot=name, now=now),), {"lot": name, "before": before, "after": after})


def split(lot: str, mass: str, *, name: str | None = None, bin: Place = None) -> Done:
    """Make a lot of its own of some grams of another, such as one ball of several.

    name: of the new lot; the old one with a number if left out. A reserve set by hand stays with the old one; what she
    decided about it holds for both.
    """
    with opened(bin) as store, store.action("split") as act:
        row = lot_row(store, lot)
        weight = read_weight(mass, Field("weight"), row)
        grams, whole = weight.grams, mass_of(row)
        old, before = row["lot"], row["mass_g"]
        if not 0 < grams < before:
            what = reason("{part} can't be split from {whole}", part=Mass(grams), whole=Mass(before))
            raise BadInput(what, old, reason("give less than the lot weighs, or weigh it first"))
        _leave_claimed(store, old, before, grams)
        new = _new_name(store, old, name)
        cells = {column: row[column] for column in LOTS.typed}
        cells |= {"lot": new, "grams": weight.cell, "pieces": "1" if row["pieces"] else ""}
        cells["reserve"] = "0" if row["reserve"] else ""
        act.insert("lots", {**cells, "weighed_on": act.today})
        pieces = str(max(1, _pieces(row) - 1)) if row["pieces"] else ""
        act.update("lots", old, {"grams": weight_cell(whole + weight.mass.times(-1.0)), "pieces": pieces})
        went_elsewhere(act, old, grams)
        decided = store.row("decisions", old)
        if decided is not None:
            act.insert("decisions", {**decided, "lot": new})
        act.words = reason("split {part} from {old} as {new}", part=Mass(grams), old=old, new=new)
    said = reason(
        "{new}: {part}, split from {old}, which keeps {rest}.",
        new=new,
        part=Mass(grams),
        old=old,
        rest=Mass(before - grams),
    )
    stays = [reason("What you keep by hand stays with {lot}.", lot=old)] if row["reserve"] else []
    if decided is not None:
        stays.append(reason("Your decision holds for both: {advice}.", advice=Term(decided["advice"])))
    values = {"lot": old, "new": new, "before_g": round(before, 2), "after_g": round(before - grams, 2)}
    return Done((said, *stays), {**values, "new_g": round(grams, 2)}, weight.notes)


def _leave_claimed(store: Rows, lot: str, mass_g: float, taken_g: float) -> None:
    """Refuse to take what works on the needles have claimed."""
    free_g = mass_g - sum(one["metres"] * one["tex"] for one in claims_of(store, lot)) / 1000.0
    if taken_g <= free_g + 1e-9:
        return
    if free_g < 0.05:
        raise BadInput(
            reason("{lot} is set aside for a piece on the needles", lot=lot), lot, reason("finish that first")
        )
    what = reason("only {free} of {lot} isn't set aside", free=Mass(free_g), lot=lot)
    raise BadInput(what, lot, reason("give less, or finish that first"))


def _new_name(store: Rows, old: str, name: str | None) -> str:
    if name is not None:
        return free_name(store, name)
    number = 2
    while store.select("SELECT 1 FROM lots WHERE folded = ?", fold(f"{old} {number}")):
        number += 1
    free_name(store, f"{old} {number}")
    return f"{old} {number}"


def _pieces(row: Mapping[str, Any]) -> int:
    try:
        return max(1, parse_count(row["pieces"])) if row["pieces"] else 1
    except Unreadable:
        return 1


def join(lots: Sequence[str], *, anyway: bool = False, bin: Place = None) -> Done:
    """Make one lot of several of the same yarn, colour, dye lot and garment; it keeps the first one's name.

    anyway: join what does not agree as well; then the first one's cells count. What she decided about one of them
    holds for all, to keep it before all else. Raises BadInput when they differ, or when one of them
    is claimed; BadCells when all together are more than a sheet may hold. Nothing is changed then.
    """
    with opened(bin) as store, store.action("join") as act:
        rows = list({row["lot"]: row for row in (lot_row(store, one) for one in lots)}.values())
        if len(rows) < 2:
            raise BadInput(reason("one lot alone can't be joined"), Action("join"), reason("name two lots or more"))
        for row in rows:
            for claim in claims_of(store, row["lot"])[:1]:
                claimed = set_aside(row["lot"], {claim["work_name"]: None})
                raise BadInput(claimed, row["lot"], reason("finish that first"))
        if not anyway:
            _refuse_unlike(rows)
        first, others = rows[0], rows[1:]
        filled = LOTS.joined("agree", "fill")
        cells = {column: next((row[column] for row in rows if row[column]), "") for column in filled}
        total, pieces = sum(row["mass_g"] for row in rows), sum(_pieces(row) for row in rows)
        cells |= {
            # One eye judged them all, so what is off with one is off with the others.
            "grams": weight_cell(Estimate(total, sum(mass_of(row).sd for row in rows))),
            "pieces": str(pieces),
            "reserve": _reserve(rows),
            "note": "; ".join(dict.fromkeys(row["note"] for row in rows if row["note"])),
        }
        _refuse_long(cells["note"], rows)
        checked_lot({column: first[column] for column in LOTS.typed} | cells)
        decided = [one for one in (store.row("decisions", row["lot"]) for row in rows) if one is not None]
        for row in others:
            act.delete("lots", row["lot"])
        _decide(act, first["lot"], decided)
        weighed = min(row["weighed_on"] for row in rows)  # as old as its oldest part
        act.update("lots", first["lot"], {**cells, "weighed_on": weighed})
        names = listed((row["lot"] for row in others), "and", " and ")
        act.words = reason("join {names} to {lot}", names=names, lot=first["lot"])
    in_pieces = counted(pieces, "{mass} in {n} piece", "{mass} in {n} pieces", mass=Mass(total))
    said = reason("{lot}: {in_pieces}, with {names} in it.", lot=first["lot"], in_pieces=in_pieces, names=names)
    values = {"lot": first["lot"], "joined": [row["lot"] for row in others], "before_g": round(first["mass_g"], 2)}
    return Done((said,), {**values, "after_g": round(total, 2)})


def _refuse_long(note: str, rows: Sequence[Mapping[str, Any]]) -> None:
    """Notes that are too long together are hers to shorten: none is cut."""
    longest = int(load_limits().longest_note)
    if len(note) > longest:
        named = listed((row["lot"] for row in rows if row["note"]), "and", " and ")
        what = reason("the notes of {lots} are longer than {n} characters together", lots=named, n=Number(longest))
        todo = reason(
            "shorten them first: {change}", change=Action("change", (Field("lot", "LOT"), Field("note", "TEXT")))
        )
        raise BadInput(what, Action("join"), todo)


def _decide(act: Act, lot: str, decided: Sequence[Mapping[str, Any]]) -> None:
    """What she decided about any part holds for the whole: what she keeps is never offered because it was joined."""
    if not decided:
        return
    from matcher.materials.lots import KEEP  # brings numpy

    holds = next((one for one in decided if one["advice"] == KEEP), decided[0])
    values = {"advice": holds["advice"], "made_on": holds["made_on"]}
    if act.store.row("decisions", lot) is None:
        act.insert("decisions", {"lot": lot, **values})
    else:
        act.update("decisions", lot, values)


def _refuse_unlike(rows: Sequence[Mapping[str, Any]]) -> None:
    """Only what is surely one yarn, colour and bath is joined: that nobody knows is no sign that it is."""
    first = rows[0]
    for row in rows[1:]:
        differ = [column for column in LOTS.joined("same") if _compared(row, column) != _compared(first, column)]
        differ += [
            column
            for column in LOTS.joined("agree")
            if row[column] and first[column] and fold(row[column]) != fold(first[column])
        ]
        pair = {"one": first["lot"], "other": row["lot"]}
        if differ:
            cells = listed(_differing(column, first, row) for column in differ)
            what = reason("{one} and {other} aren't alike: {cells}", **pair, cells=cells)
            todo = reason("{anyway} joins them anyway", anyway=Field("anyway"))
            raise BadInput(what, Action("join"), todo)
        if not known_dye_lot(first["dye_lot"]) and not first["garment"]:
            nothing = "{one} and {other} have no dye lot written down and no garment in common"
            todo = reason("compare them in daylight; {anyway} joins them", anyway=Field("anyway"))
            raise BadInput(reason(nothing, **pair), Action("join"), todo)


def _compared(row: Mapping[str, Any], column: str) -> str:
    return fold(known_dye_lot(row[column]) if column == "dye_lot" else row[column])


def _differing(column: str, first: Mapping[str, Any], other: Mapping[str, Any]) -> Words:
    one, two = (row[column] or Term("none") for row in (first, other))
    return reason('{column} "{one}" and "{two}"', column=Term(LOTS[column].said), one=one, two=two)


def _reserve(rows: Sequence[Mapping[str, Any]]) -> str:
    """The metres set by hand of all of them together; "" when none has any."""
    by_hand = [parse_length_m(row["reserve"]) for row in rows if row["reserve"]]
    return figure_cell(sum(by_hand)) if by_hand else ""


def mended(garment: str, lot: str, length: str, *, bin: Place = None) -> Done:
    """A garment was mended with yarn of a lot: the lot weighs less, and a reserve set by hand holds less.

    length : as the sheets read it, such as "12 m". Raises BadInput when the lot holds less than that.
    """
    metres = read_metres(length, Field("length"))
    with opened(bin) as store, store.action("mended") as act:
        owner, row = garment_row(store, garment), lot_row(store, lot)
        name, before = row["lot"], row["mass_g"]
        grams = metres * checked_lot(row).yarn.tex.mean / 1000.0
        grams = round(grams, _ESTIMATED)
        after = max(0.0, round(before - grams, MASS_DECIMALS))
        cell = weight_cell(Estimate(after, mass_of(row).sd))
        took: dict[str, Any] = {"garment": owner["garment"], "lot": name, "length": Length(metres)}
        if after <= 0:
            too_much = "{length} would be {grams}, but {lot} weighs {weighs}"
            what = reason(too_much, length=Length(metres), grams=Mass(grams), lot=name, weighs=Mass(before))
            todo = "weigh it again; {weigh} LOT 0 says that nothing is left"
            raise BadInput(what, name, reason(todo, weigh=Action("weigh")))
        cells = {"grams": cell}
        said = [reason("{garment} was mended with {length} of {lot}.", **took)]
        said.append(reason("{lot}: {change}.", lot=name, change=weight_change(before, before - grams)))
        if row["reserve"] and row["of_garment"] == owner["folded"]:
            kept = max(0.0, parse_length_m(row["reserve"]) - metres)
            cells["reserve"] = figure_cell(kept)
            said.append(reason("{length} of it are still kept by hand.", length=Length(kept)))
        act.update("lots", name, cells)
        went_elsewhere(act, name, grams)
        told = (*said, *claims_fitted(act, name, after))
        act.words = reason("mended {garment} with {length} of {lot}", **took)
    values = {"garment": owner["garment"], "lot": name, "metres": round(metres, 2)}
    return Done(told, {**values, "before_g": round(before, 2), "after_g": round(after, 2)})

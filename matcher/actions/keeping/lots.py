"""Actions on lots that need no more than the store: weigh, move, split, join, change of place or note."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from matcher.actions.keeping.done import (
    Done,
    claims_of,
    fit_claims,
    grams_cell,
    lot_row,
    opened,
    read_mass,
    weight_words,
    went_elsewhere,
)
from matcher.errors import BadInput
from matcher.materials.reading.units import Unreadable, parse_count, parse_length_m, show_length, show_mass
from matcher.store.codes import fold
from matcher.store.database.store import LOT_COLUMNS, Act, Store

# What must agree before lots become one; a cell that one of them leaves empty is filled in from another.
_ALIKE = ("yarn", "colour", "dye_lot", "garment")
_FILLED = ("ball_grams", "ball_metres", "tex", "class", "fibre", "wash", "role", "colour_name", "label", "place")
_HARD = ("ball_grams", "ball_metres", "tex", "class", "fibre", "wash")


def weigh(lot: str, mass: str, *, bin: Path | str | None = None, units: str = "metric") -> Done:
    """Write down what a lot weighs now; 0 takes it out of the bin.

    Parameters
    ----------
    lot : its name or its code; mass : as the sheets read it, such as "41 g" or "1.5 oz".

    Raises NotFound for a lot that is not there, BadInput for a weight that is none.
    """
    grams = read_mass(mass, "grams")
    with opened(bin) as store, store.action(f"weigh {lot} {mass}") as act:
        row = lot_row(store, lot)
        name, before = row["lot"], row["mass_g"]
        act.words = f"weigh {name}: {show_mass(before)} to {show_mass(grams)}"
        if grams == 0:
            _use_up(act, name)
            said: tuple[str, ...] = (f"Nothing is left of {name}, so it is out of the bin.",)
        else:
            act.update("lots", name, {"grams": mass.strip(), "weighed_on": act.today})
            said = (f"{name}: {weight_words(before, grams, units)}.", *fit_claims(act, name, grams))
    return Done(said, {"lot": name, "before_g": round(before, 2), "after_g": round(grams, 2)})


def _use_up(act: Act, name: str) -> None:
    claims = claims_of(act.store, name)
    if claims:
        works = " and ".join(dict.fromkeys(one["work_name"] for one in claims))
        raise BadInput(f"{name} is claimed by {works}", name, "finish or abandon that first: matcher finish")
    act.delete("lots", name)


def move(lot: str, place: str, *, bin: Path | str | None = None) -> Done:
    """Write down where a lot lies now."""
    with opened(bin) as store, store.action(f"move {lot}") as act:
        row = lot_row(store, lot)
        name, before, after = row["lot"], row["place"], place.strip()
        act.words = f"move {name} to {after}" if after else f"move {name}"
        act.update("lots", name, {"place": after})
    was = f", was {before}" if before and before != after else ""
    said = f"{name}: its place is now {after}{was}." if after else f"{name} has no place now{was}."
    return Done((said,), {"lot": name, "before": before, "after": after})


def split(
    lot: str, mass: str, *, name: str | None = None, bin: Path | str | None = None, units: str = "metric"
) -> Done:
    """Make a lot of its own of some grams of another, such as one ball of several.

    name: of the new lot; the old one with a number if left out. A reserve set by hand stays with the old one.
    """
    grams = read_mass(mass, "grams")
    with opened(bin) as store, store.action(f"split {lot}") as act:
        row = lot_row(store, lot)
        old, before = row["lot"], row["mass_g"]
        free = before - sum(one["metres"] * one["tex"] for one in claims_of(store, old)) / 1000.0
        if not 0 < grams < before:
            raise BadInput(
                f"{show_mass(grams, units)} cannot be split from {show_mass(before, units)}",
                old,
                "give less than the lot weighs, or weigh it first",
            )
        if grams > free + 1e-9:
            claimed = f"only {show_mass(free, units)} of {old} is not claimed" if free >= 0.05 else f"{old} is claimed"
            raise BadInput(claimed, old, "give less, or finish that first" if free >= 0.05 else "finish that first")
        new = _new_name(store, old, name)
        cells = {column: row[column] for column in LOT_COLUMNS}
        pieces = _pieces(row)
        rest = grams_cell(before - grams)
        cells |= {"lot": new, "grams": mass.strip(), "pieces": "1" if row["pieces"] else ""}
        cells["reserve"] = "0" if row["reserve"] else ""
        act.insert("lots", {**cells, "weighed_on": act.today})
        act.update("lots", old, {"grams": rest, "pieces": str(max(1, pieces - 1)) if row["pieces"] else ""})
        went_elsewhere(act, old, grams)
        act.words = f"split {show_mass(grams)} from {old} as {new}"
    said = [f"{new}: {show_mass(grams, units)}, split from {old}, which keeps {show_mass(before - grams, units)}."]
    if row["reserve"]:
        said.append(f"The reserve set by hand stays with {old}.")
    values = {"lot": old, "new": new, "before_g": round(before, 2), "after_g": round(before - grams, 2)}
    return Done(tuple(said), {**values, "new_g": round(grams, 2)})


def _new_name(store: Store, old: str, name: str | None) -> str:
    if name is not None:
        free_name(store, name)
        return name.strip()
    number = 2
    while store.select("SELECT 1 FROM lots WHERE folded = ?", fold(f"{old} {number}")):
        number += 1
    return f"{old} {number}"


def free_name(store: Store, name: str, table: str = "lots", what: str = "lot") -> None:
    """Refuse a name that is empty, too long or taken already."""
    if not fold(name):
        raise BadInput(f"a {what} needs a name", "", "give it one of its own")
    if len(name) > 200:
        raise BadInput("a name has at most 200 characters", name[:30], "shorten it, and put the rest in the note")
    if store.select(f"SELECT 1 FROM {table} WHERE folded = ?", fold(name)):
        raise BadInput(f'there is a {what} "{name}" already', str(store.path), "give another name")


def _pieces(row: dict[str, Any]) -> int:
    try:
        return max(1, parse_count(row["pieces"])) if row["pieces"] else 1
    except Unreadable:
        return 1


def join(lots: Sequence[str], *, anyway: bool = False, bin: Path | str | None = None, units: str = "metric") -> Done:
    """Make one lot of several of the same yarn, colour, dye lot and garment; it keeps the first one's name.

    anyway: join what does not agree as well; then the first one's cells count. Raises BadInput when they differ,
    or when one of them is claimed.
    """
    with opened(bin) as store, store.action("join") as act:
        rows = list({row["lot"]: row for row in (lot_row(store, one) for one in lots)}.values())
        if len(rows) < 2:
            raise BadInput("one lot alone cannot be joined", "join", "name two lots or more")
        for row in rows:
            for claim in claims_of(store, row["lot"])[:1]:
                raise BadInput(f"{row['lot']} is claimed by {claim['work_name']}", row["lot"], "finish that first")
        if not anyway:
            _refuse_unlike(rows)
        first, others = rows[0], rows[1:]
        cells = {column: next((row[column] for row in rows if row[column]), "") for column in _FILLED}
        total = sum(row["mass_g"] for row in rows)
        cells |= {
            "grams": grams_cell(total),
            "pieces": str(sum(_pieces(row) for row in rows)),
            "reserve": _reserve(rows),
            "note": "; ".join(dict.fromkeys(row["note"] for row in rows if row["note"])),
        }
        for row in others:
            act.delete("lots", row["lot"])
        weighed = min(row["weighed_on"] for row in rows)  # as old as its oldest part
        act.update("lots", first["lot"], {**cells, "weighed_on": weighed})
        names = " and ".join(row["lot"] for row in others)
        act.words = f"join {names} to {first['lot']}"
    said = f"{first['lot']}: {show_mass(total, units)} in {cells['pieces']} pieces, with {names} in it."
    values = {"lot": first["lot"], "joined": [row["lot"] for row in others], "before_g": round(first["mass_g"], 2)}
    return Done((said,), {**values, "after_g": round(total, 2)})


def _refuse_unlike(rows: Sequence[dict[str, Any]]) -> None:
    first = rows[0]
    for row in rows[1:]:
        differ = [column for column in _ALIKE if fold(row[column]) != fold(first[column])]
        differ += [
            column for column in _HARD if row[column] and first[column] and fold(row[column]) != fold(first[column])
        ]
        if differ:
            words = ", ".join(
                f'{column.replace("_", " ")} "{first[column] or "none"}" and "{row[column] or "none"}"'
                for column in differ
            )
            raise BadInput(
                f"{first['lot']} and {row['lot']} are not alike: {words}", "join", "--anyway joins them all the same"
            )
        if not first["dye_lot"] and not first["garment"]:
            raise BadInput(
                f"{first['lot']} and {row['lot']} have no dye lot written down, nor a garment that both are from",
                "join",
                "compare them in daylight; --anyway joins them",
            )


def _reserve(rows: Sequence[dict[str, Any]]) -> str:
    """The metres set by hand of all of them together; "" when none has any."""
    by_hand = [parse_length_m(row["reserve"]) for row in rows if row["reserve"]]
    return f"{sum(by_hand):.6g}" if by_hand else ""


def mended(garment: str, lot: str, length: str, *, bin: Path | str | None = None, units: str = "metric") -> Done:
    """A garment was mended with yarn of a lot: the lot weighs less, and a reserve set by hand holds less.

    length : as the sheets read it, such as "12 m". Raises BadInput when the lot holds less than that.
    """
    from matcher.actions.keeping.cells import tex_of
    from matcher.actions.keeping.done import garment_row, read_metres

    metres = read_metres(length, "metres")
    with opened(bin) as store, store.action("mended") as act:
        owner, row = garment_row(store, garment), lot_row(store, lot)
        name, before = row["lot"], row["mass_g"]
        grams = metres * tex_of(row) / 1000.0
        after = before - grams
        if float(grams_cell(max(0.0, after))) <= 0:
            raise BadInput(
                f"{show_length(metres, units)} would be {show_mass(grams, units)}, but {name} weighs "
                f"{show_mass(before, units)}",
                name,
                "weigh it again; matcher weigh LOT 0 says that nothing is left",
            )
        values = {"grams": grams_cell(after)}
        said = [f"{owner['garment']} was mended with {show_length(metres, units)} of {name}."]
        said.append(f"{name}: {weight_words(before, after, units)}.")
        if row["reserve"] and row["of_garment"] == owner["folded"]:
            kept = max(0.0, parse_length_m(row["reserve"]) - metres)
            values["reserve"] = f"{kept:.6g}"
            said.append(f"{show_length(kept, units)} of it stay reserved by hand.")
        act.update("lots", name, values)
        went_elsewhere(act, name, grams)
        said += fit_claims(act, name, float(values["grams"]))
        act.words = f"mended {owner['garment']} with {show_length(metres)} of {name}"
    return Done(
        tuple(said),
        {
            "garment": owner["garment"],
            "lot": name,
            "metres": round(metres, 2),
            "before_g": round(before, 2),
            "after_g": round(float(values["grams"]), 2),
        },
    )

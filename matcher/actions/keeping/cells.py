"""Adding and changing lots and garments: cells as in the sheets, held to the same rules as the sheets."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from matcher.actions.keeping.done import Done, fit_claims, garment_row, lot_row, opened, refuse_faults, unreadable
from matcher.actions.keeping.lots import free_name
from matcher.errors import BadInput, Fault
from matcher.materials.reading.units import Unreadable, parse_length_m, parse_mass_g, parse_tex, show_length, show_mass
from matcher.store.codes import fold
from matcher.store.database.store import GARMENT_COLUMNS, LOT_COLUMNS, Act, Store

Cells = Mapping[str, str]
# Cells of which anything is right, so that no rule and no catalogue is needed to write them.
_FREE = frozenset(("place", "note"))


def add(lot: str, cells: Cells, *, bin: Path | str | None = None, units: str = "metric") -> Done:
    """Add a lot; the store is begun when there is none yet.

    cells : column -> text, the columns of lots.csv, units as people write them. Raises BadInput for cells that
    cannot be read, all of them at once, and NotFound for a garment that is not there.
    """
    given = {"lot": lot.strip(), **_tidy(cells)}
    length_m = _checked_lot(given)
    # No store is begun for a lot of a garment that cannot be in it.
    with opened(bin, create="garment" not in given) as store, store.action(f"add {given['lot']}") as act:
        free_name(store, given["lot"])
        _known_garment(store, given)
        act.insert("lots", {**given, "weighed_on": act.today})
        row = lot_row(store, given["lot"])
    grams = row["mass_g"]
    weighs = f"{show_mass(grams, units)}, about {show_length(length_m, units)}"
    said = f"{row['lot']}: {weighs}, is in the bin; its code is {row['code']}."
    return Done(
        (said,), {"lot": row["lot"], "code": row["code"], "after_g": round(grams, 2), "metres": round(length_m, 1)}
    )


def change(
    lot: str, cells: Cells, *, name: str | None = None, bin: Path | str | None = None, units: str = "metric"
) -> Done:
    """Change cells of a lot, or its name; an empty text clears a cell.

    Raises as `add`; nothing is changed then.
    """
    wanted = _tidy(cells, keep_empty=True)
    with opened(bin) as store, store.action(f"change {lot}") as act:
        row = lot_row(store, lot)
        old = row["lot"]
        if name is not None and fold(name) != row["folded"]:
            free_name(store, name)
        if name is not None:
            wanted["lot"] = name.strip()
        changed = {column: text for column, text in wanted.items() if text != row[column]}
        if not changed:
            return Done((f"{old} is so already; nothing was changed.",), {"lot": old, "changed": {}})
        if not changed.keys() <= {*_FREE, "lot"}:
            whole = {column: row[column] for column in LOT_COLUMNS if row[column]} | changed
            _checked_lot({column: text for column, text in whole.items() if text})
        if changed.get("garment"):
            _known_garment(store, changed)
        new = changed.get("lot", old)
        act.update("lots", old, {**changed, **({"weighed_on": act.today} if "grams" in changed else {})})
        if new != old:
            _rename(act, old, new)
        act.words = f"change {old}: {', '.join(_heading(column) for column in changed)}"
        said = [f"{old}: {_heading(column)} {_change(row[column], text)}." for column, text in changed.items()]
        if "grams" in changed:
            said += fit_claims(act, new, parse_mass_g(changed["grams"]))
    values = {column: {"before": row[column], "after": text} for column, text in changed.items()}
    return Done(tuple(said), {"lot": new, "changed": values})


def _rename(act: Act, old: str, new: str) -> None:
    for claim in act.store.select("SELECT id FROM claims WHERE lot = ?", old):
        act.update("claims", claim["id"], {"lot": new})
    if act.store.row("decisions", old):
        act.update("decisions", old, {"lot": new})


def _heading(column: str) -> str:
    """A column as she would say it."""
    known = {"lot": "name", "chest_cm": "chest", "stitches_10cm": "stitches in 10 cm", "rows_10cm": "rows in 10 cm"}
    return known.get(column, column.replace("_", " "))


def _change(before: str, after: str) -> str:
    if not after:
        return f'cleared, was "{before}"'
    return f'is now "{after}", was "{before}"' if before else f'is now "{after}"'


def garment(name: str, status: str | None = None, cells: Cells | None = None, *, bin: Path | str | None = None) -> Done:
    """Say that a garment is worn, given or gone, or change its other cells; a new name is a new garment.

    status : "worn", "given" (someone has it who may bring it back to be mended) or "gone".
    """
    wanted = _tidy(cells or {}, keep_empty=True)
    if status is not None:
        wanted["status"] = status.strip().casefold()
        if wanted["status"] not in ("worn", "given", "gone"):
            raise BadInput(
                f'"{status}" is nothing a garment can be', "status", "say worn, given (it may come back) or gone"
            )
    if wanted.keys() - {"status"}:  # looked at first: no store is begun for what cannot be read
        _checked_garment({"garment": name.strip(), "status": "worn", **_tidy(wanted)})
    with opened(bin, create=status is not None) as store, store.action(f"garment {name}") as act:
        row = store.named("garments", name)
        if row is None:
            if "status" not in wanted:
                garment_row(store, name, "a new garment needs worn, given or gone after its name")
            free_name(store, name, "garments", "garment")
            row = dict.fromkeys(GARMENT_COLUMNS, "")
            whole = {"garment": name.strip(), **{column: text for column, text in wanted.items() if text}}
            act.insert("garments", whole)
            said = [f"{whole['garment']} is a new garment, {_status_words(wanted['status'])}."]
            others = [one["garment"] for one in store.garments() if one["garment"] != whole["garment"]]
            near = get_close_matches(whole["garment"], others, 1)
            if near:
                said.append(f"Did you mean {near[0]}, which is there? Then matcher undo takes this back.")
            shown = whole["garment"]
        else:
            shown = row["garment"]
            wanted = {column: text for column, text in wanted.items() if text != row[column]}
            if not wanted:
                told = f"{row['status'].casefold()} already" if status else "so already" if cells else row["status"]
                return Done((f"{shown} is {told}; nothing was changed.",), {"garment": shown, "changed": {}})
            act.update("garments", shown, wanted)
            said = [
                f"{shown} was {row['status'].casefold()} and is now {_status_words(text)}."
                if column == "status"
                else f"{shown}: {_heading(column)} {_change(row[column], text)}."
                for column, text in wanted.items()
            ]
        changes = (
            f"{_heading(column)} {text}" if text else f"no {_heading(column)}" for column, text in wanted.items()
        )
        act.words = f"garment {shown}: {', '.join(changes)}"
        lots = store.select("SELECT lot FROM lots WHERE of_garment = ?", fold(shown))
    if "status" in wanted and lots:
        count = f"{len(lots)} lots are" if len(lots) > 1 else "1 lot is"
        said.append(f"{count} from it.")
    values = {column: {"before": row[column], "after": text} for column, text in wanted.items()}
    return Done(tuple(said), {"garment": shown, "changed": values, "lots": [one["lot"] for one in lots]})


def _status_words(status: str) -> str:
    return {
        "worn": "worn: a reserve is kept for mending and plans",
        "given": "given: a reserve for mending is kept, should it come back",
        "gone": "gone: nothing is kept for it but what is set by hand",
    }[status]


def _tidy(cells: Cells, keep_empty: bool = False) -> dict[str, str]:
    return {column: text.strip() for column, text in cells.items() if keep_empty or text.strip()}


def _known_garment(store: Store, cells: Cells) -> None:
    if cells.get("garment"):
        garment_row(store, cells["garment"], "add it first: matcher garment NAME worn")


def _checked_lot(cells: dict[str, str]) -> float:
    """Hold a lot's cells to the rules of the sheets; returns the metres on hand."""
    from matcher.store.catalogue.standards import load_standards
    from matcher.store.sheets.columns import Row, Table
    from matcher.store.sheets.lots import build_bin

    faults: list[Fault] = []
    table = Table("lots", 0, frozenset(LOT_COLUMNS), [Row(0, cells)])
    bin_ = build_bin(table, None, False, load_standards(), "", faults, [])
    refuse_faults(faults)
    return bin_.lots[0].length.mean


def _checked_garment(cells: dict[str, str]) -> None:
    from matcher.store.catalogue.standards import load_standards
    from matcher.store.sheets.columns import Row, Table
    from matcher.store.sheets.lots import build_bin

    faults: list[Fault] = []
    build_bin(
        None, Table("garments", 0, frozenset(GARMENT_COLUMNS), [Row(0, cells)]), True, load_standards(), "", faults, []
    )
    refuse_faults(faults)


def tex_of(row: Mapping[str, Any]) -> float:
    """Linear density [tex] of a lot's row: from its ball band, else its tex, else the middle of its class."""
    try:
        if row["ball_grams"] and row["ball_metres"]:
            return 1000.0 * parse_mass_g(row["ball_grams"]) / parse_length_m(row["ball_metres"])
        if row["tex"]:
            return parse_tex(row["tex"])
    except Unreadable as fault:
        raise unreadable(fault, row["lot"]) from None
    from matcher.materials.yarn import tex_from_class
    from matcher.store.catalogue.standards import load_standards
    from matcher.store.sheets.rows import parse_class

    classes = load_standards().classes
    return tex_from_class(parse_class(row["class"], classes), classes).mean

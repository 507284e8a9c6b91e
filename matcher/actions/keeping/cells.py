"""Adding and changing lots and garments: cells as in the sheets, held to the same rules as the sheets."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.actions.keeping.checked import checked_garment, checked_lot
from matcher.actions.keeping.done import Done, claims_fitted, free_name, garment_row, lot_row, opened
from matcher.actions.names import near_names, read_as, typed, typed_name
from matcher.actions.place import Place
from matcher.errors import BadInput, field_of
from matcher.materials.garment_words import MEANS, heard_status
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Action, Field, Term, Words, counted, listed, reason
from matcher.store.database.act import Act
from matcher.store.database.rows import Rows
from matcher.store.sheets.columns import GARMENTS, LOTS, said_column

Cells = Mapping[str, str]
# Cells of which anything is right, so that no rule and no catalogue is needed to write them.
_FREE = frozenset(("lot", *LOTS.free))


def add(lot: str, cells: Cells, *, bin: Place = None) -> Done:
    """Add a lot; the store is begun when there is none yet.

    cells : column -> text, the columns of lots.csv, units as people write them. Raises BadInput for cells that
    cannot be read, all of them at once, and NotFound for a garment that is not there.
    """
    given = {"lot": typed_name(lot), **tidy(cells)}
    told: list[Words] = []
    checked = checked_lot(given, told)
    length_m = checked.length.mean
    # No store is begun for a lot of a garment that cannot be in it.
    with (
        opened(bin, create="garment" not in given) as store,
        store.action(reason("add {lot}", lot=given["lot"])) as act,
    ):
        free_name(store, given["lot"])
        _known_garment(store, given)
        act.insert("lots", {**given, "weighed_on": act.today})
        row = lot_row(store, given["lot"])
    grams = row["mass_g"]
    said = reason(
        "{lot}: {mass}, about {length}, is in the bin; its code is {code}.",
        lot=row["lot"],
        mass=checked.weight,
        length=Length(length_m),
        code=row["code"],
    )
    values = {"lot": row["lot"], "code": row["code"], "after_g": round(grams, 2), "metres": round(length_m, 1)}
    return Done((said,), values, tuple(told))


def change(lot: str, cells: Cells, *, name: str | None = None, bin: Place = None) -> Done:
    """Change cells of a lot, or its name; an empty text clears a cell.

    Raises as `add`; nothing is changed then.
    """
    wanted = tidy(cells, keep_empty=True)
    told: list[Words] = []
    with opened(bin) as store, store.action("change") as act:
        row = lot_row(store, lot)
        old = row["lot"]
        if name is not None:
            wanted["lot"] = typed_name(name) if fold(name) == row["folded"] else free_name(store, name)
        changed = {column: text for column, text in wanted.items() if text != row[column]}
        if not changed:
            same = reason("{lot} already says that; nothing was changed.", lot=old)
            return Done((same,), {"lot": old, "changed": {}})
        if not changed.keys() <= _FREE:
            checked_lot({column: row[column] for column in LOTS.typed} | changed, told, changed)
        if changed.get("garment"):
            _known_garment(store, changed)
        new = changed.get("lot", old)
        act.update("lots", old, {**changed, **({"weighed_on": act.today} if "grams" in changed else {})})
        if new != old:
            _rename(act, old, new)
        act.words = reason("change {lot}: {columns}", lot=old, columns=listed(map(heading, changed)))
        said = tuple(cell_changed(old, column, row[column], text) for column, text in changed.items())
        weighs = lot_row(store, new)["mass_g"]
        if "grams" in changed or weighs != row["mass_g"]:
            said += claims_fitted(act, new, weighs)
    values = {column: {"before": row[column], "after": text} for column, text in changed.items()}
    return Done(said, {"lot": new, "changed": values}, tuple(told))


def _rename(act: Act, old: str, new: str) -> None:
    for claim in act.store.select("SELECT id FROM claims WHERE lot = ?", old):
        act.update("claims", claim["id"], {"lot": new})
    if act.store.row("decisions", old):
        act.update("decisions", old, {"lot": new})


def heading(column: str) -> Term:
    """A column as she would say it."""
    return Term(said_column(column))


def cell_changed(name: str, column: str, before: str, after: str) -> Words:
    """How one cell changed."""
    if not after:
        how = '{name}: {column} cleared, was "{before}".'
    elif before:
        how = '{name}: {column} is now "{after}", was "{before}".'
    else:
        how = '{name}: {column} is now "{after}".'
    return reason(how, name=name, column=heading(column), before=before, after=after)


def _became(status: str) -> Heard[str]:
    """What became of a garment, in any words; raises BadInput."""
    try:
        return heard_status(status)
    except Unreadable:
        what = reason('"{status}" isn\'t what a garment can be', status=status)
        raise BadInput(what, Field("status"), reason("say worn, given (it may come back) or gone")) from None


def garment(name: str, status: str | None = None, cells: Cells | None = None, *, bin: Place = None) -> Done:
    """Say that a garment is worn, given or gone, or change its other cells; a new name is a new garment.

    status : "worn", "given" (someone has it who may bring it back to be mended) or "gone".
    """
    wanted = tidy(cells or {}, keep_empty=True)
    became_as: tuple[Words, ...] = ()
    if status is not None:
        became = _became(status)
        wanted["status"] = became.value
        became_as = read_as(status.strip(), became.taken, became.sure)
    told: list[Words] = [*became_as]
    if wanted.keys() - {"status"}:  # looked at first: no store is begun for what cannot be read
        checked_garment({"garment": name, "status": "worn", **tidy(wanted)}, told)
    with opened(bin, create=status is not None) as store, store.action("garment") as act:
        row = store.named("garments", name)
        if row is not None and wanted.keys() - {"status"}:  # read among the cells that it has
            told = [*became_as]
            checked_garment({column: row[column] for column in GARMENTS.typed} | wanted, told, wanted)
        if row is None:
            shown, said = _begun(act, name, wanted)
            row = dict.fromkeys(GARMENTS.typed, "")
        else:
            shown = row["garment"]
            wanted = {column: text for column, text in wanted.items() if text != row[column]}
            if not wanted:
                return Done((_as_it_was(row, status, cells),), {"garment": shown, "changed": {}}, tuple(told))
            act.update("garments", shown, wanted)
            said = [
                _status_changed(row, text) if column == "status" else cell_changed(shown, column, row[column], text)
                for column, text in wanted.items()
            ]
        changes = listed(noted(column, text) for column, text in wanted.items())
        act.words = reason("garment {garment}: {changes}", garment=shown, changes=changes)
        lots = store.select("SELECT lot FROM lots WHERE of_garment = ?", fold(shown))
    if "status" in wanted and lots:
        said.append(counted(len(lots), "{n} lot is from it.", "{n} lots are from it."))
    changed = {column: {"before": row[column], "after": text} for column, text in wanted.items()}
    values = {"garment": shown, "changed": changed, "lots": [one["lot"] for one in lots]}
    return Done(tuple(said), values, tuple(told))


def _begun(act: Act, name: str, wanted: Cells) -> tuple[str, list[Words]]:
    """A new garment: its name, and what is said of it; one that is spelled much like another is asked about."""
    if "status" not in wanted:
        garment_row(act.store, name, reason("a new garment needs worn, given or gone after its name"))
    name = free_name(act.store, name, "garments", "garment")
    others = [one["garment"] for one in act.store.garments()]
    act.insert("garments", {"garment": name, **{column: text for column, text in wanted.items() if text}})
    said: list[Words] = [reason("{garment} is a new garment, {status}.", garment=name, status=MEANS[wanted["status"]])]
    for near in near_names(name, others)[:1]:
        said.append(reason("{near} exists; if you meant it, run {undo}.", near=near, undo=Action("undo")))
    return name, said


def _as_it_was(row: Cells, status: str | None, cells: Cells | None) -> Words:
    state = Term(row["status"].casefold())
    if status:
        return reason("{garment} is {status} already; nothing was changed.", garment=row["garment"], status=state)
    if cells:
        return reason("{garment} already says that; nothing was changed.", garment=row["garment"])
    return reason("{garment} is {status}; nothing was changed.", garment=row["garment"], status=state)


def _status_changed(row: Cells, status: str) -> Words:
    was = Term(row["status"].casefold())
    return reason("{garment} was {was} and is now {now}.", garment=row["garment"], was=was, now=MEANS[status])


def noted(column: str, text: str) -> Words:
    """A change as the list of what was done has it."""
    if text:
        return reason("{column} {text}", column=heading(column), text=text)
    return reason("no {column}", column=heading(column))


def written_lot(lot: str, *, bin: Place = None) -> dict[str, str]:
    """Every cell of a lot as it is written down, by column. Raises NotFound."""
    with opened(bin) as store:
        row = lot_row(store, lot)
    return {column: row[column] for column in LOTS.typed}


def written_garment(name: str, *, bin: Place = None) -> dict[str, str]:
    """The same of a garment."""
    with opened(bin) as store:
        row = garment_row(store, name)
    return {column: row[column] for column in GARMENTS.typed}


def tidy(cells: Cells, keep_empty: bool = False) -> dict[str, str]:
    """Cells as they are kept; raises BadInput for one that holds what cannot be seen."""
    tidy = {column: typed(text, Field(field_of(column))) for column, text in cells.items()}
    return {column: text for column, text in tidy.items() if keep_empty or text}


def _known_garment(store: Rows, cells: Cells) -> None:
    if cells.get("garment"):
        todo = reason("add it first: {garment} NAME worn", garment=Action("garment"))
        garment_row(store, cells["garment"], todo)

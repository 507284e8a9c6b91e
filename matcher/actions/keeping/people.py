"""The people she knits for: written down, changed, forgotten."""

from __future__ import annotations

from collections.abc import Sequence

from matcher.actions.keeping.cells import Cells, cell_changed, heading, noted, tidy
from matcher.actions.keeping.checked import checked_person
from matcher.actions.keeping.done import Done, free_name, opened, person_row
from matcher.actions.names import near_names, typed_name
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.database.act import Act
from matcher.store.sheets.columns import PEOPLE


def person(name: str, cells: Cells | None = None, *, forget: bool = False, bin: Place = None) -> Done:
    """Write down somebody she knits for, or change what is written; the store is begun when there is none yet.

    cells : column -> text, the columns of people.csv; an empty text clears a cell; without any, what is written is
    told. forget : take the person out; garments keep the name of their wearer.

    Raises BadInput for cells that cannot be read, all at once, and NotFound for a person who is not there.
    """
    wanted = tidy(cells or {}, keep_empty=True)
    if forget and wanted:
        what = reason("forgetting somebody and writing about them don't go together")
        raise BadInput(what, Field("forget"), reason("do one of them"))
    told: list[Words] = []
    if wanted:  # looked at first: no store is begun for what cannot be read
        checked_person({"person": typed_name(name, "person"), **tidy(wanted)}, told)
    with opened(bin, create=bool(wanted)) as store, store.action("person") as act:
        row = store.named("people", name)
        if row is None and wanted:
            return _begun(act, name, wanted, told)
        row = row or person_row(
            store, name, reason("write something of them first, such as {size}", size=Field("size"))
        )
        shown = row["person"]
        if forget:
            act.words = reason("forget {person}", person=shown)
            act.delete("people", shown)
            return Done((reason("{person} is forgotten.", person=shown),), {"person": shown, "forgotten": True})
        wanted = {column: text for column, text in wanted.items() if text != row[column]}
        if not wanted:
            return Done((_known(shown, row),), {"person": shown, "changed": {}, "cells": _filled(row)})
        act.update("people", shown, wanted)
        act.words = _words(shown, wanted)
    said = (*(cell_changed(shown, column, row[column], text) for column, text in wanted.items()), *told)
    values = {column: {"before": row[column], "after": text} for column, text in wanted.items()}
    return Done(said, {"person": shown, "changed": values, "cells": _filled({**row, **wanted})})


def _begun(act: Act, name: str, wanted: Cells, told: Sequence[Words]) -> Done:
    """Somebody new; one whose name is spelled much like another's is asked about. told: how odd cells were read."""
    others = [one["person"] for one in act.store.people()]
    name = free_name(act.store, name, "people", "person")
    cells = {column: text for column, text in wanted.items() if text}
    act.insert("people", {"person": name, **cells})
    act.words = _words(name, cells)
    worn = act.store.select("SELECT garment FROM garments WHERE lower(trim(wearer)) = lower(?) ORDER BY garment", name)
    said: list[Words] = [reason("{person} is now one of those you knit for.", person=name), _known(name, cells), *told]
    if worn:
        named = listed((one["garment"] for one in worn), "and", " and ")
        one, many = "{garments} is worn by {person}.", "{garments} are worn by {person}."
        said.append(counted(len(worn), one, many, garments=named, person=name))
    for near in near_names(name, others)[:1]:
        said.append(reason("{near} exists; if you meant it, run {undo}.", near=near, undo=Action("undo")))
    values = {column: {"before": "", "after": text} for column, text in cells.items()}
    return Done(tuple(said), {"person": name, "changed": values, "cells": cells})


def _words(name: str, cells: Cells) -> Words:
    changes = listed(noted(column, text) for column, text in cells.items())
    return reason("person {person}: {changes}", person=name, changes=changes)


def _filled(row: Cells) -> dict[str, str]:
    return {column: row[column] for column in PEOPLE if column != PEOPLE.thing and row.get(column)}


def _known(name: str, row: Cells) -> Words:
    """All that is written of somebody."""
    cells = [reason("{column} {text}", column=heading(column), text=text) for column, text in _filled(row).items()]
    if not cells:
        return reason("Of {person} only the name is written down.", person=name)
    return reason("{person}: {cells}.", person=name, cells=listed(cells, between="; "))


def written_of(name: str, *, bin: Place = None) -> dict[str, str]:
    """The cells that are written of somebody; none of whom only garments know. Changes nothing."""
    with opened(bin) as store, store.reading():
        row = store.named("people", name)
    return {} if row is None else _filled(row)

"""Take sheets into the store: look first, ask about what differs, then all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.actions.place import store_file
from matcher.errors import BadInput, BadSheets
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.cells import NOTHING, all_cells
from matcher.store.database.store import is_store, open_store
from matcher.store.intake import Comparison, Incoming, compare, refused_sheets, take_in
from matcher.store.places import expanded, to_read
from matcher.store.sheets.write import write_sheets

TAKES = ("file", "bin", "ask")
Ask = Callable[[Incoming], bool]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Intake:
    """What a file does to a store, or would do. taken: names of the changed rows that follow the file, by sheet;
    `written` are the files that hold the refused rows, `copy` is the copy of the store made before."""

    compared: Comparison
    store: Path
    done: bool
    taken: frozenset[tuple[str, str]] = frozenset()
    written: tuple[Path, ...] = ()
    copy: Path | None = None

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        found = self.compared
        return {
            "file": found.file,
            "store": str(self.store),
            "done": self.done,
            "added": [{"sheet": one.sheet, "name": one.name} for one in found.added],
            "changed": [
                {
                    "sheet": one.sheet,
                    "name": one.name,
                    "taken": (one.sheet, one.name) in self.taken,
                    "cells": [{"column": cell.column, "old": cell.old, "new": cell.new} for cell in one.changes],
                }
                for one in found.changed
            ],
            "same": len(found.same),
            "left": [{"sheet": sheet, "name": name} for sheet, names in found.left.items() for name in names],
            "refused": [{"sheet": one.sheet, "row": one.row, "why": one.why} for one in found.refused],
            "refused_files": [str(path) for path in self.written],
            "copy": str(self.copy) if self.copy else None,
            "notes": list(found.notes),
        }


def intake(
    file: Path | str,
    *,
    bin: Path | str | None = None,
    dry_run: bool = False,
    take: str | None = None,
    refused: Path | str | None = None,
    good_rows: bool = False,
    ask: Ask | None = None,
    catalog: Path | str | None = None,
    style: Style = PLAIN,
    progress: Progress | None = None,
) -> Intake:
    """Take a folder of csv sheets, a workbook or an OpenDocument spreadsheet into the store.

    Parameters
    ----------
    bin : the store's file; without it the usual one. It is begun when there is none.
    dry_run : look only; nothing is written but the rows refused.
    take : what holds where they differ: "file", "bin" (what the store has stays), or "ask".
    refused : a folder, .xlsx or .ods file for the rows that cannot be taken in, with a column that says why.
    good_rows : take the other rows in although some are refused.
    ask : asked about each row that differs when `take` is "ask"; True takes it as the file has it.
    style : how that column is worded.

    Raises
    ------
    BadSheets when rows have faults and `good_rows` is not set: then nothing is taken in; BadInput, NotFound.
    """
    if take is not None and take not in TAKES:
        raise BadInput(
            reason('"{take}" is no way to decide', take=take),
            Field("take"),
            reason("give one of {ways}", ways=listed(TAKES, "or")),
        )
    if good_rows and refused is None:
        todo = reason("name a place for them with {field}", field=Field("refused"))
        raise BadInput(reason("the refused rows would be lost"), Field("good rows"), todo)
    source, place = to_read(file), store_file(bin)
    if is_store(source):
        todo = reason("write it out with {export}, and take that in", export=Action("export"))
        raise BadInput(reason("that file is a store already"), str(source), todo)
    catalogue = desk_of(None, catalog).catalogue
    found = None
    if not place.exists():
        found = compare(source, NOTHING, catalogue)
        if dry_run:
            return Intake(found, place, False, written=_write_refused(found, refused, style))
        # A file that cannot be taken in should not leave an empty store behind.
        _stop_at_faults(found, refused, good_rows, style)
    with open_store(place, create=not dry_run) as store:
        seen = all_cells(store)
        if found is None or found.seen != seen:
            found = compare(source, seen, catalogue)
        if dry_run:
            return Intake(found, place, False, written=_write_refused(found, refused, style))
        written = _stop_at_faults(found, refused, good_rows, style)
        taken = _decide(found, take, ask)
        if not found.added and not taken:
            return Intake(found, place, True, taken, written)
        # Of a store that was begun just now there is nothing to keep.
        copy = store.back_up("intake") if store.select("SELECT 1 FROM actions LIMIT 1") else None
        number = len(found.added)
        # Looking the rows over takes about as long as writing them.
        told = (lambda done: progress(number + done, 2 * number)) if progress else (lambda done: None)
        remarks = take_in(store, found, lambda one: (one.sheet, one.name) in taken, f"intake {source.name}", told)
    notes = (*found.notes, *remarks, *_motif_files(found, place, catalogue))
    return Intake(replace(found, notes=notes), place, True, taken, written, copy)


def _motif_files(found: Comparison, place: Path, catalogue: Catalogue) -> list[Words]:
    """A motif in a file does not come along: say where it is looked for from now on."""
    known = {name.casefold() for one in catalogue.motifs.values() for name in (one.key, one.name)}
    said = "{garment}: its motif {motif} is a file, which stays where it is; put a copy beside {store}"
    return [
        reason(said, garment=one.name, motif=named, store=str(place))
        for one in found.incoming
        if one.sheet == "garments"
        and (one.new or one.changes)
        and (named := one.cells.get("motif", "").strip())
        and named.casefold() not in known
        and not (place.parent / named).is_file()
    ]


def _stop_at_faults(found: Comparison, refused: Path | str | None, good_rows: bool, style: Style) -> tuple[Path, ...]:
    """Write the refused rows; go on only where there are none or she wants the good ones."""
    written = _write_refused(found, refused, style)
    if found.faults and not good_rows:
        raise BadSheets(found.faults, found.file)
    return written


def _write_refused(found: Comparison, refused: Path | str | None, style: Style) -> tuple[Path, ...]:
    if refused is None or not found.refused:
        return ()
    place = expanded(refused)
    if place.resolve() == Path(found.file).resolve():
        what = reason("the refused rows would overwrite the file itself")
        raise BadInput(what, Field("refused"), reason("name another place"))
    return write_sheets(place, refused_sheets(found, style), replace=True)


def _decide(found: Comparison, take: str | None, ask: Ask | None) -> frozenset[tuple[str, str]]:
    """Which of the rows that differ are taken as the file has them."""
    if not found.changed or take == "bin":
        return frozenset()
    if take == "file":
        return frozenset((one.sheet, one.name) for one in found.changed)
    if ask is None:
        what = counted(
            len(found.changed),
            '"{name}" differs from the store, and nobody can be asked',
            '{n} rows, such as "{name}", differ from the store, and nobody can be asked',
            name=found.changed[0].name,
        )
        look, file, bin_ = Field("dry run"), Field("take", "file"), Field("take", "bin")
        said = "look with {look}, then say {file} (as it has them) or {bin} (as they are in the store)"
        raise BadInput(what, found.file, reason(said, look=look, file=file, bin=bin_))
    return frozenset((one.sheet, one.name) for one in found.changed if ask(one))

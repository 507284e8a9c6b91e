"""Take sheets into the store: look first, ask about what differs, then all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.actions.keeping.look import answers_about, to_take_in
from matcher.actions.keeping.refused import Refusing
from matcher.actions.reading import follows, reading_dict
from matcher.errors import BadInput
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.cells import NOTHING, all_cells
from matcher.store.database.store import Store, open_store
from matcher.store.intake import Comparison, Incoming, compare, take_in
from matcher.store.readings import said_of
from matcher.store.sheets.grid import AS_THEY_LIE, Called

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
            "reading": reading_dict(found.understood),
            "follows": list(follows(found.tables)),
            "notes": list(found.notes),
        }


def intake(
    file: Path | str,
    *,
    bin: Path | str | None = None,
    dry_run: bool = False,
    yes: bool = False,
    take: str | None = None,
    refused: Path | str | None = None,
    good_rows: bool = False,
    ask: Ask | None = None,
    catalog: Path | str | Catalogue | None = None,
    called: Called = AS_THEY_LIE,
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
    yes : ask nothing: take what is sure, refuse every row that something would be asked about, and leave rows that
        differ as the store has them. Without `refused`, the refused rows go into a file of their own beside the sheets.
    ask : asked about each row that differs when `take` is "ask"; True takes it as the file has it.
    called : what she calls the file, where it lies under another name.
    style : how that column is worded.

    Raises
    ------
    BadSheets when rows have faults and `good_rows` is not set: then nothing is taken in; BadInput, NotFound.
    """
    if take is not None and take not in TAKES:
        raise BadInput(
            reason('"{take}" isn\'t a way to decide', take=take),
            Field("take"),
            reason("give one of {ways}", ways=listed(TAKES, "or")),
        )
    source, place = to_take_in(file, bin, called)
    name = called.get(source.name, source.name)
    refusing = Refusing(refused, good_rows or yes, style, source if yes else None)
    if yes and ask is None:
        take = take or "bin"
    catalogue = desk_of(None, catalog).catalogue
    found = None
    if not place.exists():
        found = compare(source, NOTHING, catalogue, only_sure=yes, called=called)
        if dry_run:
            return Intake(found, place, False, written=refusing.write(found) if refused else ())
        # A file that cannot be taken in should not leave an empty store behind.
        written = refusing.stop_at_faults(found)
        if not found.added:
            return Intake(found, place, True, written=written)
    with open_store(place, create=not dry_run) as store:
        seen, said = all_cells(store), said_of(store, source, called)
        if found is None or found.seen != seen:
            found = compare(source, seen, catalogue, said, only_sure=yes, called=called)
        if dry_run:
            return Intake(found, place, False, written=refusing.write(found) if refused else ())
        written = refusing.stop_at_faults(found)
        taken = _decide(found, take, ask)
        if not found.added and not taken:
            return Intake(found, place, True, taken, written)
        # Of a store that was begun just now there is nothing to keep.
        answers = answers_about(name)
        copy = store.back_up("intake") if _worth_a_copy(store, answers) else None
        number = len(found.added)
        # Looking the rows over takes about as long as writing them.
        told = (lambda done: progress(number + done, 2 * number)) if progress else (lambda done: None)
        remarks = take_in(store, found, lambda one: (one.sheet, one.name) in taken, f"intake {name}", told, answers)
    notes = (*found.notes, *remarks, *_motif_files(found, place, catalogue))
    return Intake(replace(found, notes=notes), place, True, taken, written, copy)


def _worth_a_copy(store: Store, answers: Words) -> bool:
    """Whether anything was done to the store but answering questions about these sheets."""
    return bool(store.select("SELECT 1 FROM actions WHERE words <> ? LIMIT 1", PLAIN.say(answers)))


def _motif_files(found: Comparison, place: Path, catalogue: Catalogue) -> list[Words]:
    """A motif in a file does not come along: say where it is looked for from now on."""
    known = {fold(name) for one in catalogue.motifs.values() for name in (one.key, one.name)}
    said = "{garment}: its motif {motif} is a file, which stays where it is; put a copy beside {store}"
    return [
        reason(said, garment=one.name, motif=named, store=str(place))
        for one in found.incoming
        if one.sheet == "garments"
        and (one.new or one.changes)
        and (named := one.cells.get("motif", "").strip())
        and fold(named) not in known
        and not (place.parent / named).is_file()
    ]


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

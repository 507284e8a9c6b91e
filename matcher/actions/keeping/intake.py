"""Take sheets into the store: look first, ask about what differs, then all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.errors import BadInput, BadSheets
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.store import is_store, open_store, store_path
from matcher.store.intake import (
    NOTHING,
    Incoming,
    Plan,
    plan_intake,
    refused_sheets,
    state_of,
    take_in,
)
from matcher.store.sheets.write import write_sheets

TAKES = ("theirs", "mine", "ask")
Ask = Callable[[Incoming], bool]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Intake:
    """What a file does to a store, or would do. taken: names of the changed rows that follow the file, by sheet;
    `written` are the files that hold the refused rows, `copy` is the copy of the store made before."""

    plan: Plan
    store: Path
    done: bool
    taken: frozenset[tuple[str, str]] = frozenset()
    written: tuple[Path, ...] = ()
    copy: Path | None = None

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        plan = self.plan
        return {
            "file": plan.file,
            "store": str(self.store),
            "done": self.done,
            "added": [{"sheet": one.sheet, "name": one.name} for one in plan.added],
            "changed": [
                {
                    "sheet": one.sheet,
                    "name": one.name,
                    "taken": (one.sheet, one.name) in self.taken,
                    "cells": [{"column": cell.column, "old": cell.old, "new": cell.new} for cell in one.changes],
                }
                for one in plan.changed
            ],
            "same": len(plan.same),
            "left": [{"sheet": sheet, "name": name} for sheet, names in plan.left.items() for name in names],
            "refused": [{"sheet": one.sheet, "row": one.row, "why": one.why} for one in plan.refused],
            "refused_files": [str(path) for path in self.written],
            "copy": str(self.copy) if self.copy else None,
            "notes": list(plan.notes),
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
    progress: Progress | None = None,
) -> Intake:
    """Take a folder of csv sheets, a workbook or an OpenDocument spreadsheet into the store.

    Parameters
    ----------
    bin : the store's file; without it the usual one. It is begun when there is none.
    dry_run : look only; nothing is written but the rows refused.
    take : what holds where the store has a row otherwise: "theirs" (as the file), "mine" (as the store), "ask".
    refused : a folder, .xlsx or .ods file for the rows that cannot be taken in, with a column that says why.
    good_rows : take the other rows in although some are refused.
    ask : asked about each row that differs when `take` is "ask"; True takes it as the file has it.

    Raises
    ------
    BadSheets when rows have faults and `good_rows` is not set: then nothing is taken in; BadInput, NotFound.
    """
    if take is not None and take not in TAKES:
        raise BadInput(f'"{take}" is no way to decide', "--take", f"give {', '.join(TAKES[:-1])} or {TAKES[-1]}")
    if good_rows and refused is None:
        raise BadInput("the refused rows would be lost", "--good-rows", "name a place for them with --refused")
    source, place = Path(file).expanduser(), store_path(Path(bin) if bin is not None else None)
    if is_store(source):
        raise BadInput(
            "that file is a store already", str(source), "write it out with matcher export, and take that in"
        )
    catalogue = desk_of(None, catalog).catalogue
    plan = None
    if not place.exists():
        plan = plan_intake(source, NOTHING, catalogue)
        if dry_run:
            return Intake(plan, place, False, written=_write_refused(plan, refused))
        # A file that cannot be taken in should not leave an empty store behind.
        _stop_at_faults(plan, refused, good_rows)
    with open_store(place, create=not dry_run) as store:
        state = state_of(store)
        if plan is None or plan.seen != state:
            plan = plan_intake(source, state, catalogue)
        if dry_run:
            return Intake(plan, place, False, written=_write_refused(plan, refused))
        written = _stop_at_faults(plan, refused, good_rows)
        taken = _decide(plan, take, ask)
        if not plan.added and not taken:
            return Intake(plan, place, True, taken, written)
        # Of a store that was begun just now there is nothing to keep.
        copy = store.back_up("intake") if store.select("SELECT 1 FROM actions LIMIT 1") else None
        number = len(plan.added)
        # Looking the rows over takes about as long as writing them.
        told = (lambda done: progress(number + done, 2 * number)) if progress else (lambda done: None)
        remarks = take_in(store, plan, lambda one: (one.sheet, one.name) in taken, f"intake {source.name}", told)
    notes = (*plan.notes, *remarks, *_motif_files(plan, place, catalogue))
    return Intake(replace(plan, notes=notes), place, True, taken, written, copy)


def _motif_files(plan: Plan, place: Path, catalogue: Catalogue) -> list[str]:
    """A motif in a file does not come along: say where it is looked for from now on."""
    known = {name.casefold() for one in catalogue.motifs.values() for name in (one.key, one.name)}
    return [
        f"{one.name}: its motif {named} is a file, which stays where it is; put a copy beside {place}"
        for one in plan.incoming
        if one.sheet == "garments"
        and (one.new or one.changes)
        and (named := one.cells.get("motif", "").strip())
        and named.casefold() not in known
        and not (place.parent / named).is_file()
    ]


def _stop_at_faults(plan: Plan, refused: Path | str | None, good_rows: bool) -> tuple[Path, ...]:
    """Write the refused rows; go on only where there are none or she wants the good ones."""
    written = _write_refused(plan, refused)
    if plan.faults and not good_rows:
        raise BadSheets(plan.faults, plan.file)
    return written


def _write_refused(plan: Plan, refused: Path | str | None) -> tuple[Path, ...]:
    if refused is None or not plan.refused:
        return ()
    place = Path(refused).expanduser()
    if place.resolve() == Path(plan.file).resolve():
        raise BadInput("the refused rows would overwrite the file itself", "--refused", "name another place")
    return write_sheets(place, refused_sheets(plan), replace=True)


def _decide(plan: Plan, take: str | None, ask: Ask | None) -> frozenset[tuple[str, str]]:
    """Which of the rows that differ are taken as the file has them."""
    if not plan.changed or take == "mine":
        return frozenset()
    if take == "theirs":
        return frozenset((one.sheet, one.name) for one in plan.changed)
    if ask is None:
        first, number = plan.changed[0], len(plan.changed)
        names = f'"{first.name}"' if number == 1 else f'{number} rows, such as "{first.name}",'
        differ = "differs" if number == 1 else "differ"
        raise BadInput(
            f"{names} {differ} from the store, and nobody can be asked",
            plan.file,
            "look with --dry-run, then say --take theirs (as the file) or --take mine (as the store)",
        )
    return frozenset((one.sheet, one.name) for one in plan.changed if ask(one))

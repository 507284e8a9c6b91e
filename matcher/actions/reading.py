"""How her sheets were read, as a face shows it: what was left out and what follows, headings, odd cells, guesses."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, cast

from matcher.materials.reading.names import fold
from matcher.reasons.reason import Action, Column, Counted, Field, Reason, Words, counted, listed, reason
from matcher.store.sheets.columns import LOTS, SHEETS, said_column
from matcher.store.sheets.headings import usual_unit
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import CellRead, HeadingRead, Understood

_MANY = 4  # so many remarks of one kind are no longer told one by one
_LISTED = 12  # so many of one kind at most are told one by one where remarks are listed; of more so many as above


NO_GARMENTS = reason(
    "No lot says which garment it came from, so nothing will be kept for mending: write the garment's name beside each "
    'lot of it, in a column "{column}".',
    column=Column("garment"),
)


@dataclass(frozen=True)
class Alike:
    """Odd cells of one column that were read in the same way; the first one is the example."""

    cells: tuple[CellRead, ...]

    @property
    def example(self) -> CellRead:
        return self.cells[0]


def alike(cells: Iterable[CellRead]) -> tuple[Alike, ...]:
    """Odd cells by column and kind of reading, in the order in which they were met."""
    found: dict[tuple[str, str, object, bool, bool], list[CellRead]] = {}
    for one in cells:
        found.setdefault((one.where, one.column, _kind(one.taken), one.sure, one.said), []).append(one)
    return tuple(Alike(tuple(those)) for those in found.values())


def _kind(taken: Words) -> object:
    """Sentences of one template are one kind of reading, whatever their figures."""
    if isinstance(taken, Reason):
        return taken.template
    return taken.one if isinstance(taken, Counted) else type(taken)


def told_headings(understood: Understood) -> list[HeadingRead]:
    """Headings that were taken for a column and do not call it as it is called here, or say a unit, or are a guess."""
    return [one for one in understood.headings if one.column and (not _as_called(one) or one.unit or not one.sure)]


def _as_called(one: HeadingRead) -> bool:
    return one.as_named or fold(one.heading) == fold(said_column(one.column))


def unit_of(one: HeadingRead) -> str:
    """What bare numbers below a heading count in, where that is not plain: also the usual unit where it is a guess."""
    sheet = next((sheet for sheet in SHEETS.values() if one.column in sheet), None)
    return one.unit or ("" if one.sure or sheet is None else usual_unit(sheet, one.column))


def follows(tables: Mapping[str, Table]) -> tuple[Words, ...]:
    """What follows from what the sheets do not say."""
    lots = tables.get(LOTS.sheet)
    if lots is None or not lots.rows or any("garment" in row.cells or "garment" in row.bad for row in lots.rows):
        return ()
    return (NO_GARMENTS,)


def remark(understood: Understood) -> Words:
    """One line for whatever reads the sheets by itself; "" where nothing was guessed or left out."""
    said, shown = read_with(understood), len([*understood.guesses(), *understood.left_out])
    one, many = "Read with {said}: {check} shows it.", "Read with {said}: {check} shows them."
    return counted(shown, one, many, said=said, check=Action("check")) if said else ""


def grouped(notes: Iterable[Words]) -> tuple[Words, ...]:
    """Remarks on lots: of many that say the like only the first one, and of how many more it holds."""
    like = _like(notes, of_lots=True)
    return tuple(one for alike in like for one in (alike if len(alike) < _MANY else (_first_of(alike),)))


def first_few(notes: Iterable[Words]) -> list[tuple[list[Words], list[Words]]]:
    """Remarks where they are listed, those of one kind together: which are told one by one, and what is left of very
    many."""
    like = _like(notes, of_lots=False)
    return [(alike, []) if len(alike) <= _LISTED else (alike[:_MANY], alike[_MANY:]) for alike in like]


def listed_by_check(notes: Iterable[Words]) -> Iterator[Words]:
    """The same as lines, which say of how many more `check` lists each."""
    check = Action("check", (Field("bin"), Field("json")))
    for shown, left in first_few(notes):
        yield from shown
        if left:
            yield reason("and {n} more like these; {check} lists them all", n=len(left), check=check)


def _like(notes: Iterable[Words], *, of_lots: bool) -> list[list[Words]]:
    """By kind, in the order in which each was met. of_lots: any that is no remark on a lot is of a kind of its own."""
    like: dict[object, list[Words]] = {}
    for one in notes:
        kind: object = one
        if isinstance(one, Reason):
            remark = dict(one.values).get("remark")
            if remark is not None or not of_lots:
                kind = _kind(one if remark is None else cast(Words, remark))
        like.setdefault(kind, []).append(one)
    return list(like.values())


def _first_of(alike: Sequence[Words]) -> Words:
    said = "{first}; so it is with {n} more lots: {check} shows them"
    return reason(said, first=alike[0], n=len(alike) - 1, check=Action("check"))


def read_with(understood: Understood) -> Words:
    """How many guesses, and how many columns left out; "" for neither."""
    left, guesses = doubts(understood)
    parts = (
        counted(guesses, "{n} guess", "{n} guesses") if guesses else "",
        counted(left, "{n} column left out", "{n} columns left out") if left else "",
    )
    return listed(filter(None, parts), "and") if guesses or left else ""


def doubts(understood: Understood) -> tuple[int, int]:
    """How much of a list there is to doubt, the gravest first: columns left out, then guesses."""
    return len(understood.left_out), len(list(understood.guesses()))


def reading_dict(understood: Understood) -> dict[str, Any]:
    """Plain values, a part of the JSON; what cells were taken for are reasons still."""
    return {
        "headings": [asdict(one) for one in understood.headings],
        "cells": [_cell(one) for one in understood.cells],
        "left_out": [{"where": one.where, "heading": one.heading, "filled": one.filled} for one in understood.left_out],
        "guesses": [
            {"where": one.where, "column": one.column, "found": one.found, "taken": one.taken}
            if isinstance(one, CellRead)
            else {"where": one.where, "column": one.column, "found": one.heading, "taken": one.column}
            for one in understood.guesses()
        ],
    }


def _cell(one: CellRead) -> dict[str, Any]:
    """As it is: a reason would be taken apart by `asdict`."""
    return {name: getattr(one, name) for name in ("where", "row", "name", "column", "found", "taken", "sure", "said")}

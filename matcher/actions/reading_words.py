"""How her sheets were read, in words: what a heading was taken for, odd cells of one kind, what was left out."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.actions.reading import Alike, unit_of
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.store.sheets.columns import said_column
from matcher.store.sheets.headings import UNITS
from matcher.store.sheets.understood import HeadingRead, Understood


def column_said(one: HeadingRead) -> Words:
    """What a heading was taken for, as she would say it."""
    unit, said = unit_of(one), said_column(one.column)
    what: Words = reason("{column}, in {unit}", column=said, unit=UNITS.get(unit, unit)) if unit else said
    if one.said:
        return reason("{what}, as you said before", what=what)
    return what if one.sure else reason("{what}: a guess", what=what)


def heading_guessed(one: HeadingRead) -> Words:
    """A heading that is a guess, among the guesses."""
    return reason('the heading "{heading}": {column}', heading=one.heading, column=column_said(one))


def cells_said(group: Alike) -> Words:
    """What odd cells of one kind were taken for, by the first of them."""
    one = group.example
    column = said_column(one.column)
    found: Words = reason('"{found}"', found=shorten(one.found)) if one.found else reason("an empty cell")
    values = {"column": column, "found": found, "taken": one.taken, "name": one.name or str(one.row)}
    few, many = "{column}, {found} ({name}): {taken}", "{column}, {n} cells such as {found} ({name}): {taken}"
    said = counted(len(group.cells), few, many, **values)
    return reason("{what}, as you said before", what=said) if one.said else said


def left_out_said(understood: Understood) -> Iterator[Words]:
    """Columns that were left out, a sentence for each sheet."""
    left = understood.left_out
    for where in dict.fromkeys(one.where for one in left):
        columns = listed(
            counted(one.filled, '"{heading}" ({n} cell)', '"{heading}" ({n} cells)', heading=one.heading)
            for one in left
            if one.where == where
        )
        yield reason("{sheet}: nothing was taken from {columns}.", sheet=where, columns=columns)

"""How her sheets were read: left out first, then headings, odd cells, and what is a guess."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.reading import UNITS, Alike, alike, told_headings, unit_of
from matcher.cli.screens import screen as show
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.reasons.style import Style
from matcher.store.sheets.columns import said_column
from matcher.store.sheets.understood import HeadingRead, Understood

_WIDEST = 34  # headings that the columns beside them line up with


def show_reading(understood: Understood, follows: tuple[Words, ...], style: Style) -> None:
    """What is not plain in her sheets, and what was made of it; nothing where all of it is."""
    _left_out(understood, follows, style)
    _headings(told_headings(understood), style)
    groups = alike(understood.cells)
    _cells("What was read into these cells", [one for one in groups if one.example.sure], style)
    guessed = [one for one in understood.headings if one.column and not one.sure]
    _cells("Guesses, which you should look at", [one for one in groups if not one.example.sure], style, guessed)


def _headline(words: Words, style: Style) -> None:
    show.console().print(Text(style.say(words), style="bold"))


def _left_out(understood: Understood, follows: tuple[Words, ...], style: Style) -> None:
    screen, left = show.console(), understood.left_out
    if not left and not follows:
        return
    if left:
        _headline("Left out", style)
        for where in dict.fromkeys(one.where for one in left):
            columns = listed(
                counted(one.filled, '"{heading}" ({n} cell)', '"{heading}" ({n} cells)', heading=one.heading)
                for one in left
                if one.where == where
            )
            said = reason("{sheet}: no column here holds {columns}.", sheet=where, columns=columns)
            show.say(screen, style.say(said), 3)
    for one in follows:
        show.say(screen, style.sentence(one), 3 if left else 0)


def _headings(headings: list[HeadingRead], style: Style) -> None:
    if not headings:
        return
    _headline("Your headings, and what they were read as", style)
    wide = min(_WIDEST, max(len(one.heading) for one in headings))
    for where in dict.fromkeys(one.where for one in headings):
        screen = show.console()
        show.say(screen, where, 2)
        for one in (one for one in headings if one.where == where):
            show.say(screen, f"{one.heading:<{wide}}  {style.say(column_said(one))}", 4)


def column_said(one: HeadingRead) -> Words:
    """What a heading was taken for, as she would say it."""
    unit, said = unit_of(one), said_column(one.column)
    what: Words = reason("{column}, in {unit}", column=said, unit=UNITS.get(unit, unit)) if unit else said
    if one.said:
        return reason("{what}, as you said before", what=what)
    return what if one.sure else reason("{what}: a guess", what=what)


def _cells(title: str, groups: list[Alike], style: Style, headings: list[HeadingRead] | None = None) -> None:
    if not groups and not headings:
        return
    _headline(title, style)
    screen = show.console()
    for heading in headings or ():
        said = reason('the heading "{heading}": {column}', heading=heading.heading, column=column_said(heading))
        show.say(screen, style.say(said), 3)
    for one in groups:
        show.say(screen, style.say(_group(one)), 3)


def _group(group: Alike) -> Words:
    one = group.example
    column = said_column(one.column)
    found: Words = reason('"{found}"', found=shorten(one.found)) if one.found else reason("an empty cell")
    values = {"column": column, "found": found, "taken": one.taken, "name": one.name or str(one.row)}
    few, many = "{column}, {found} ({name}): {taken}", "{column}, {n} cells such as {found} ({name}): {taken}"
    said = counted(len(group.cells), few, many, **values)
    return reason("{what}, as you said before", what=said) if one.said else said

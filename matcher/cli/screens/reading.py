"""How her sheets were read: left out first, then headings, odd cells, and what is a guess."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.reading import Alike, alike, told_headings
from matcher.actions.reading_words import cells_said, column_said, heading_guessed, left_out_said
from matcher.cli.screens import console as show
from matcher.reasons.reason import Words
from matcher.reasons.style import Style
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
        for said in left_out_said(understood):
            show.say(screen, style.say(said), 3)
    for one in follows:
        show.say(screen, style.sentence(one))  # not indented: it is none of what was left out


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


def _cells(title: str, groups: list[Alike], style: Style, headings: list[HeadingRead] | None = None) -> None:
    if not groups and not headings:
        return
    _headline(title, style)
    screen = show.console()
    for heading in headings or ():
        show.say(screen, style.say(heading_guessed(heading)), 3)
    for one in groups:
        show.say(screen, style.say(cells_said(one)), 3)

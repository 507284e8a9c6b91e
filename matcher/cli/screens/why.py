"""On screen: where an accessory stands in the list, why, and what would let it in."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.text import Text

from matcher.actions.ranking.answer import BELOW, LISTED, Answer
from matcher.actions.ranking.suggestion import Suggestion
from matcher.cli.lines import wrapped
from matcher.cli.screens.console import console, say
from matcher.cli.screens.screen import marked
from matcher.cli.screens.suggestions import how_sure
from matcher.reasons.style import Style


def show_why(found: Answer, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    _head(found, screen)
    if found.suggestion:
        what = _made_of(found.suggestion, style)
        say(screen, f"It would be {what}." if found.place is None else f"It is {what}.", 2)
    if found.because:
        say(screen, _beside(found, style), 2)
        _points([style.say(one.said) for one in found.because], screen)
    if found.least_change:
        into = "bring it into the list" if found.verdict == BELOW else "make it possible"
        say(screen, f"Each of these alone would {into}:", 2)
        _points([style.say(way.said) for way in found.least_change], screen)
    elif found.place is None:
        say(screen, "No single change that was tried would let it in.", 2)


def _points(said: Iterable[str], screen: Console) -> None:
    for one in said:
        for line in wrapped(f"    - {one}", screen.width, hanging=2):
            screen.print(Text(line))


def _head(found: Answer, screen: Console) -> None:
    what = found.accessory.name
    what += f" with {found.lot}" if found.lot else ""
    what += f", {found.size}" if found.size else ""
    if found.verdict == LISTED:
        stands = "first in the list" if found.place == 1 else f"number {found.place} of {found.length} in the list"
    elif found.verdict == BELOW:
        stands = "can be made, but isn't in the list"
    else:
        stands = "not possible as things are"
    for line in wrapped(f"{what}: {stands}", screen.width, hanging=2):
        screen.print(Text(line, style="bold"))


def _made_of(one: Suggestion, style: Style) -> str:
    lots = " + ".join(style.say(role.said(marked)) for role in one.roles if role.lots)
    return f"{style.say(one.called)}, from {lots}, {how_sure(one.sure)}"


def _beside(found: Answer, style: Style) -> str:
    """What the reasons are about."""
    beside = found.beside
    if beside is None:
        return "Why:"
    what = f"number {beside.rank}, {_made_of(beside, style)}"
    if found.place == 1:
        return f"Before {what}:"
    if found.place is not None:
        return f"Before it stands {what}:"
    return f"In its place stands {what}:" if beside.accessory == found.accessory.name else f"The last is {what}:"

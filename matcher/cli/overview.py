"""A bare `matcher`: what she has, what is begun, what wants doing, and the next sensible commands; five lines."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.actions.looking.overview import Overview, some
from matcher.cli.terminal import tell
from matcher.cli.words import COMMAND_LINE
from matcher.reasons.reason import Action, Words, listed, reason
from matcher.reasons.style import Style


def show_overview(found: Overview, style: Style = COMMAND_LINE) -> None:
    """Print on stdout."""
    for line in _begin() if not found.place else _lines(found):
        tell(line, style)


def _begin() -> Iterator[Words]:
    """What to do first where nothing of hers is there yet."""
    yield reason("You have no yarn here yet. Begin with one of these:")
    yield reason("  {check} my-yarn.xlsx    looks your own sheet over and changes nothing", check=Action("check"))
    yield reason("  {intake} my-yarn.xlsx   takes it in", intake=Action("intake"))
    yield reason('  {add} "sea green" --grams 41 --colour green --class DK', add=Action("add"))
    yield reason("Or try it on an invented knitter's yarn: {suggest} demo", suggest=Action("suggest"))
    yield reason("{help} names every command.", help=Action("--help"))


def _lines(found: Overview) -> Iterator[Words]:
    yield reason("You have {things}.", things=found.has)
    if found.begun:
        begun: list[Words] = [reason("{work} (since {day})", work=work, day=day) for work, day in found.begun]
        yield reason("On the needles: {works}.", works=some(begun))
    else:
        yield reason("Nothing is on the needles.")
    todo = listed(found.to_do, between="; ")
    if todo.items:
        yield reason("To do: {things}.", things=todo)
    elif found.lots:
        yield reason("Every lot is labelled and weighed.")
    if found.last is not None:
        words, day = found.last[0], found.last[1].partition("T")[0]
        yield reason("Last done: {words} ({day}); {undo} takes it back.", words=words, day=day, undo=Action("undo"))
    yield reason("Next: {commands}.", commands=listed(_next(found)))


def _next(found: Overview) -> Iterator[Words]:
    if not found.lots:
        yield reason("{add} or {intake} (your yarn)", add=Action("add"), intake=Action("intake"))
    else:
        yield reason("{suggest} (what to knit)", suggest=Action("suggest"))
        yield reason("{triage} (what to do first)", triage=Action("triage"))
    if found.begun:
        yield reason("{finish} (what is done)", finish=Action("finish"))
    yield reason("{help} (all else)", help=Action("--help"))

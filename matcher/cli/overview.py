"""A bare `matcher`: what she has, what is begun, what wants doing, and the next sensible commands; five lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.actions.looking.overview import Overview
from matcher.cli.terminal import tell
from matcher.cli.words import COMMAND_LINE
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Action, Words, counted, listed, reason
from matcher.reasons.style import Style

_MOST_NAMED = 3  # pieces and lots that are named; of more their number is told


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
    have: list[Words] = [_lots(found)]
    garments = sum((found.statuses or {}).values())
    if garments:
        worn = (found.statuses or {}).get("worn", 0)
        have.append(counted(garments, "{n} garment ({worn} worn)", "{n} garments ({worn} worn)", worn=worn))
    if found.people:
        have.append(counted(found.people, "{n} person to knit for", "{n} people to knit for"))
    yield reason("You have {things}.", things=listed(have, "and"))
    if found.begun:
        begun: list[Words] = [reason("{work} (since {day})", work=work, day=day) for work, day in found.begun]
        yield reason("On the needles: {works}.", works=_some(begun))
    else:
        yield reason("Nothing is on the needles.")
    todo = listed(_to_do(found), between="; ")
    if todo.items:
        yield reason("To do: {things}.", things=todo)
    elif found.lots:
        yield reason("Every lot is labelled and weighed.")
    if found.last is not None:
        words, day = found.last[0], found.last[1].partition("T")[0]
        yield reason("Last done: {words} ({day}); {undo} takes it back.", words=words, day=day, undo=Action("undo"))
    yield reason("Next: {commands}.", commands=listed(_next(found)))


def _lots(found: Overview) -> Words:
    if not found.lots:
        return reason("no yarn yet")
    lots = counted(found.lots, "{n} lot, {mass}", "{n} lots, {mass}", mass=Mass(found.mass_g))
    if not found.places:
        return lots
    return counted(found.places, "{lots} in {n} place", "{lots} in {n} places", lots=lots)


def _to_do(found: Overview) -> Iterator[Words]:
    without = len(found.unlabelled)
    if without:
        yield counted(without, "label {lots}", "label {n} lots ({lots})", lots=_some(found.unlabelled))
    if found.unweighed:
        one, many = "{n} lot was not weighed since it came in", "{n} lots were not weighed since they came in"
        yield counted(found.unweighed, one, many)


def _next(found: Overview) -> Iterator[Words]:
    if not found.lots:
        yield reason("{add} or {intake} (your yarn)", add=Action("add"), intake=Action("intake"))
    else:
        yield reason("{suggest} (what to knit)", suggest=Action("suggest"))
        yield reason("{triage} (what to do first)", triage=Action("triage"))
    if found.begun:
        yield reason("{finish} (what is done)", finish=Action("finish"))
    yield reason("{help} (all else)", help=Action("--help"))


def _some(names: Sequence[Words]) -> Words:
    """The first few; her names may hold commas, so semicolons part them."""
    more = len(names) - _MOST_NAMED
    said = listed(names[:_MOST_NAMED], between="; ")
    return said if more <= 0 else reason("{names}; {more} more", names=said, more=more)

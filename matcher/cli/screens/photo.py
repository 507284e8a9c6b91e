"""Colours from a photograph on screen: the reference for consent, each yarn, what makes it unsure."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.photo import SeenPhoto, SeenRegion
from matcher.cli.screens.screen import chip, console, say
from matcher.cli.words import COMMAND_LINE
from matcher.reasons.style import Style


def show_photo(found: SeenPhoto, style: Style = COMMAND_LINE) -> None:
    """Print on stdout."""
    screen = console()
    white = found.reading.white
    if white is None:
        say(screen, "No white paper was found: name its place with --white X,Y,W,H.")
    elif white.given:
        say(screen, f"Colours by the {'grey card' if white.card else 'white paper'} at {white.box}.")
    else:
        say(
            screen,
            f"White paper was found at {white.box}. If that is not plain white paper, "
            "give its place with --white X,Y,W,H: every colour below depends on it.",
        )
    for one in found.regions:
        region = one.region
        screen.print()
        head = Text.assemble(chip(region.colour, screen, 6))
        screen.print(head.append(f"{' ' if head else ''}{one.number}  {region.colour.words()}", style="bold"))
        se = style.number(region.se, 1, exact=True)
        say(screen, f"{_kind(one)}, give or take {se} visible steps, at {region.box}", 3)
        if found.bin:
            say(screen, _lots(one, style), 3)
    screen.print()
    if found.warnings:
        for warning in found.warnings:
            say(screen, f"Mind: {style.say(warning)}.")
    if found.taken is not None:
        for words in found.taken.said:
            say(screen, style.say(words))
        return
    say(
        screen,
        "A visible step is about the least difference that the eye sees. Two in three colours are within the steps "
        "shown, nearly all within twice as many. Paste a colour into the column colour of your lots, or let --take "
        "write it. Nothing was changed.",
        0,
        "dim",
    )


def _kind(one: SeenRegion) -> str:
    if one.region.kind == "solid":
        return "one colour"
    return f"{one.region.kind}, {len(one.region.colours)} colours"


def _lots(one: SeenRegion, style: Style) -> str:
    if not one.lots:
        return "the bin holds no lots"
    names = ", ".join(f"{lot.lot} ({style.number(lot.delta_e, 1, exact=True)} steps away)" for lot in one.lots)
    return f"may be: {names}" if one.lots[0].within else f"no close match; nearest: {names}"

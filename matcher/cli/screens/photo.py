"""Colours from a photograph on screen: the reference for consent, each yarn, what makes it unsure."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.photo import SeenPhoto
from matcher.actions.colours.photo_words import STEPS, lots_said, region_said, white_said
from matcher.cli.screens.console import chip, console, say
from matcher.cli.words import COMMAND_LINE
from matcher.reasons.style import Style


def show_photo(found: SeenPhoto, style: Style = COMMAND_LINE) -> None:
    """Print on stdout."""
    screen = console()
    say(screen, style.say(white_said(found)))
    for one in found.regions:
        region = one.region
        screen.print()
        head = Text.assemble(chip(region.colour, screen, 6))
        screen.print(head.append(f"{' ' if head else ''}{one.number}  {region.colour.words()}", style="bold"))
        say(screen, style.say(region_said(one)), 3)
        if found.bin:
            say(screen, style.say(lots_said(one)), 3)
    screen.print()
    if found.warnings:
        for warning in found.warnings:
            say(screen, f"Mind: {style.say(warning)}.")
    if found.taken is not None:
        for words in found.taken.said:
            say(screen, style.say(words))
        return
    paste = "Paste a colour into the column colour of your lots, or let --take write it. Nothing was changed."
    say(screen, f"{style.say(STEPS)} {paste}", 0, "dim")

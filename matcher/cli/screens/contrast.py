"""Contrasts on screen: the matrix, each pair's verdict, and the colours as others see them."""

from __future__ import annotations

from pathlib import Path

from rich.text import Text

from matcher.actions.colours.contrast import Contrasts, in_sight
from matcher.cli.screens.console import chip, chips, console, say
from matcher.cli.screens.table import Cell, show_table
from matcher.cli.words import COMMAND_LINE
from matcher.matching.afar import afar_words
from matcher.matching.contrast import Judgement
from matcher.materials.colours.vision import DEFICIENCIES
from matcher.reasons.style import Style

_EYES = {
    "daylight": "daylight",
    "grey": "grey",
    "protan": "red-blind",
    "deutan": "green-blind",
    "tritan": "blue-blind",
}


def figures_of(judged: Judgement) -> str:
    """How far two colours are apart to each kind of eyes, and in grey: the working."""
    sights = ", ".join(f"{_EYES[sight]} {e:.0f}/{lightness:.0f}" for sight, (e, lightness) in judged.sights.items())
    return f"{sights}; in grey {judged.delta_l:.0f}"


def _verdict(judged: Judgement) -> str:
    """With a question mark where it is guessed from words."""
    return f"{judged.verdict}{'?' if judged.guessed else ''}"


def show_contrasts(found: Contrasts, catalog: Path | None, style: Style = COMMAND_LINE) -> None:
    """Print on stdout."""
    screen = console()
    judged = {(pair.a.name, pair.b.name): pair for pair in found.pairs}
    if len(found.colours) > 2:
        rows: list[tuple[Cell, ...]] = []
        for row, a in enumerate(found.colours[:-1]):
            cells = [
                _verdict(judged[a.name, b.name].judged) if place > row else ""
                for place, b in enumerate(found.colours[1:], 1)
            ]
            rows.append((chip(a.colour, screen).append(f" {a.name}"), *cells))
        show_table(screen, ("", *(one.name for one in found.colours[1:])), rows)
        screen.print()
    for pair in found.pairs:
        mark = "" if pair.passes else f", less than {found.least_contrast}"
        head = Text.assemble(chip(pair.a.colour, screen, 4), chip(pair.b.colour, screen, 4))
        screen.print(
            head.append(
                f"{' ' if head else ''}{pair.a.name} and {pair.b.name}: {_verdict(pair.judged)}{mark}", style="bold"
            )
        )
        say(screen, style.sentence(pair.judged.plainly), 2)
        say(screen, style.sentence(afar_words(pair.afar)), 2)
        say(screen, f"Working: {style.say(pair.judged.reason)}.", 2, "dim")
        say(screen, f"Apart, as CIEDE2000/lightness: {figures_of(pair.judged)}.", 2, "dim")
    for words in found.notes:
        say(screen, style.sentence(words))
    if screen.color_system is not None and not screen.no_color:
        for sight in ("grey", *DEFICIENCIES):
            line = Text(f"{_EYES[sight]:>11} ")
            for codes in in_sight(found.colours, sight, catalog):
                line.append_text(chips(codes, screen, 6))
            screen.print(line)

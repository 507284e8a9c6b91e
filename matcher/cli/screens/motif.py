"""A motif on screen: the grid as it is knitted, what is counted on it, and how its colours read."""

from __future__ import annotations

from collections.abc import Callable

from rich.console import Console
from rich.text import Text

from matcher.actions.motifs.counting import CountedMotif
from matcher.actions.motifs.words import (
    apart_words,
    light_words,
    look_words,
    pair_words,
    row_words,
    size_words,
    touch_words,
)
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.table import Cell, show_table
from matcher.matching.afar import afar_words
from matcher.materials.colours.cielab import hex_from_lab
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import Share
from matcher.reasons.reason import Field, Term, Words, reason
from matcher.reasons.style import Style

Tell = Callable[..., None]

# More rows than this scroll away; the counts below matter more (a choice).
_MOST_ROWS = 64


def show_motif(found: CountedMotif, style: Style) -> None:
    """Print on stdout."""
    screen, motif = console(), found.motif

    def tell(words: Words, indent: int = 0) -> None:
        say(screen, style.say(words), indent)

    screen.print(Text(motif.name, style="bold"))
    tell(size_words(motif))
    if found.how:
        tell(style.sentence(found.how))
    screen.print()
    _grid(found, screen, tell)
    screen.print()
    _roles(found, screen, style)
    for words in (row_words(found), *light_words(found)):
        tell(words)
    _neighbours(found, screen, style, tell)
    for words in (*found.warnings, *found.cautions):
        tell(reason("Mind: {words}", words=style.sentence(words)))


def _grid(found: CountedMotif, screen: Console, tell: Tell) -> None:
    """The chart, top row first, row numbers at the right where a round begins; in colour where that is known."""
    motif = found.motif
    inks = {}
    if screen.color_system is not None and not screen.no_color:
        inks = {role: _ink(one.colour) for role, one in found.colours.items()}
    numbers = len(str(motif.height)) + 1
    room = screen.width - numbers - 1
    wide = 2 if 2 * motif.width <= room else 1
    stitches = min(motif.width, room // wide)
    rows = min(motif.height, _MOST_ROWS)
    for number in range(rows, 0, -1):
        line = Text()
        for mark in motif.grid[number - 1][motif.width - stitches :]:
            role = motif.roles[mark]
            line.append(*(("█" * wide, inks[role]) if role in inks else (mark.ljust(wide), "")))
        screen.print(line.append(f"{number:>{numbers}}", style="dim"), no_wrap=True, crop=True)
    screen.print(Text(_stitch_numbers(stitches, wide), style="dim"), no_wrap=True)
    if (stitches, rows) != (motif.width, motif.height):
        shown = "Rows 1 to {rows} and stitches 1 to {stitches} are shown; {svg} draws all of it."
        tell(reason(shown, rows=rows, stitches=stitches, svg=Field("svg")))


def _ink(colour: Colour) -> str:
    """One code for a stitch: a variegated colour's largest part."""
    lab, _ = max(colour.stitches(), key=lambda part: part[1])
    return hex_from_lab(lab)


def _stitch_numbers(stitches: int, wide: int) -> str:
    """Stitch 1 and every tenth, counted from the right, each ending below its own stitch."""
    line = [" "] * (stitches * wide)
    for number in (1, *range(10, stitches + 1, 10)):
        end = (stitches - number + 1) * wide
        digits = str(number).rjust(wide)[-end:] if wide == 1 else str(number).ljust(wide)
        start = end - len(digits)
        line[max(0, start) : end] = digits[-(end - max(0, start)) :]
    return "".join(line).rstrip()


def _roles(found: CountedMotif, screen: Console, style: Style) -> None:
    motif = found.motif
    words = ("", "role", "lot or colour") if found.colours else ("", "role")
    rows: list[tuple[Cell, ...]] = []
    for mark, role in motif.roles.items():
        shown = []
        if found.colours:
            one = found.colours[role]
            patch = chip(one.colour, screen)
            shown = [patch.append(f"{' ' if patch else ''}{one.name}{'' if one.lot else ' (a colour)'}")]
        count = motif.stitches[role]
        figures = (str(count), style.say(Share(motif.shares[role])), str(motif.longest_float[role]))
        rows.append((mark, style.say(Term(role)), *shown, *figures))
    right = range(len(words), len(words) + 3)
    show_table(screen, (*words, "stitches", "share", "longest float"), rows, right)


def _neighbours(found: CountedMotif, screen: Console, style: Style, tell: Tell) -> None:
    for one in found.meetings:
        patches = Text.assemble(*(chip(found.colours[role].colour, screen, 4) for role in one.shared.roles))
        pair = style.say(pair_words(found, one))
        screen.print(patches.append(f"{' ' if patches else ''}{pair}", style="bold"))
        tell(look_words(one), 2)
        say(screen, style.sentence(afar_words(one.afar)), 2)
    for words in (*touch_words(found), *apart_words(found)):
        tell(words)

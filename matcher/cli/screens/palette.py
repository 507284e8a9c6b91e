"""A palette on screen: a row a lot with its grey beside it, or a map of letters; then what reads well together."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from matcher.actions.colours.palette import Palette, PaletteLot
from matcher.cli.lines import cells
from matcher.cli.screens.console import broken, chip, chips, console, say
from matcher.cli.screens.screen import marked
from matcher.matching.contrast import verdict_of
from matcher.matching.palette import NOTHING, STRAND, ReadTogether
from matcher.matching.pools import Pool
from matcher.materials.colours.cielab import hex_from_lab
from matcher.reasons.quantities import Chance, Length
from matcher.reasons.style import Style

_MAP_WIDE, _MAP_HIGH = 65, 21
_LEAST_REACH = 40.0


def show_palette(found: Palette, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    if found.by == "map":
        _show_map(found, screen)
    number = 0
    for place, name, lots in found.classes:
        screen.print(Text(f"class {place}, {name}", style="bold"))
        for one in lots:
            number += 1
            _show_lot(one, number if found.by == "map" else None, style, screen)
    for heading, groups in (("Pairs", found.pairs), ("Triples", found.triples)):
        if groups:
            screen.print()
            screen.print(Text(f"{heading} that read well together", style="bold"))
            for group in groups:
                _show_group(group, style, screen)
    if not found.pairs:
        screen.print()
        say(screen, "No two yarns of which enough is free to make something read well together.")
    if found.classes:
        say(screen, "The first figure is lightness: 0 is black, 100 is white.", 0, "dim")
    for words in found.notes:
        say(screen, style.sentence(words), 0, "dim")


def _show_lot(one: PaletteLot, number: int | None, style: Style, screen: Console) -> None:
    line = Text("  " if number is None else f"{number:>3} ")
    patch = chip(one.lot.colour, screen, 6)
    if patch:
        grey = chips((hex_from_lab((one.lab[0], 0.0, 0.0)),), screen, 3)
        line.append_text(patch).append(" ").append_text(grey).append(" ")
    line.append(f"{one.lab[0]:3.0f}  ")
    free = f"{style.say(Length(one.free_m))} free{', as a strand' if one.use == STRAND else ''}"
    if one.use == NOTHING:
        free = "kept by you" if one.kept else "too little free"
    names = broken(Text(marked(one.lot)), screen.width - cells(line.plain) - len(free) - 2)
    room = screen.width - cells(line.plain) - cells(names[0].plain) - len(free)
    hanging = Text(" " * cells(line.plain))
    line.append_text(names[0]).append(" " * room).append(free, style="dim" if one.use == NOTHING else "")
    for part in (line, *(hanging + more for more in names[1:])):
        screen.print(part)


def _show_group(group: ReadTogether, style: Style, screen: Console) -> None:
    line = Text("  ")
    for pool in group.pools:
        line.append_text(chip(pool.colour, screen, 3))
    metres = ", ".join(style.say(Length(pool.free.mean)) for pool in group.pools)
    names = " + ".join(_pool_name(pool) for pool in group.pools)
    warns = "" if group.together > 0.999 else "; the yarns differ a little"
    guessed = "" if group.chance is None else f", {style.say(Chance(group.chance))}, guessed from the words"
    words = f"{names}: {verdict_of(group.reading)}{guessed} ({metres} free{warns})"
    if not line.plain.strip():
        say(screen, words, 2)
        return
    screen.print(line)
    say(screen, words, 4)


def _pool_name(pool: Pool) -> str:
    """Lots that count as one are named as such: their metres are those of all of them."""
    return pool.name if len(pool.lots) == 1 else f"{pool.name} ({len(pool.lots)} lots)"


def _show_map(found: Palette, screen: Console) -> None:
    """Numbers where the hues lie: a* to the right, b* upwards; a plus where several fall on one place."""
    lots = [one for _, _, several in found.classes for one in several]
    reach = max([_LEAST_REACH, *(abs(value) for one in lots for value in one.lab[1:])])
    middle_x, middle_y = _MAP_WIDE // 2, _MAP_HIGH // 2
    grid = [[" "] * _MAP_WIDE for _ in range(_MAP_HIGH)]
    for row in grid:
        row[middle_x] = "·"
    grid[middle_y] = ["·"] * _MAP_WIDE
    places: dict[tuple[int, int], list[int]] = {}
    for number, one in enumerate(lots, 1):
        x = middle_x + round(one.lab[1] / reach * (middle_x - 2))
        y = middle_y - round(one.lab[2] / reach * middle_y)
        places.setdefault((y, x - x % 3), []).append(number)
    text = [Text("".join(row)) for row in grid]
    for (y, x), numbers in places.items():
        words = f"{numbers[0]}{'+' if len(numbers) > 1 else ''}"[:3]
        code = hex_from_lab(lots[numbers[0] - 1].lab)
        colour = screen.color_system is not None and not screen.no_color
        ink = "white" if lots[numbers[0] - 1].lab[0] < 55 else "black"
        line = text[y]
        style = f"{ink} on {code}" if colour else ""
        text[y] = Text.assemble(line[:x], (f"{words:<3}", style), line[x + 3 :])
    screen.print(Text("yellow".center(_MAP_WIDE), style="dim"))
    for place, line in enumerate(text):
        screen.print(Text.assemble(line, (" red" if place == middle_y else "", "dim")))
    screen.print(Text("blue".center(_MAP_WIDE - 30) + "(left: green; +: several at one place)", style="dim"))

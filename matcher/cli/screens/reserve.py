"""What is kept back on screen: each garment, its yarns, and from which lots."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.reserve import Reserves
from matcher.cli.screens.screen import chip, console, say
from matcher.reasons.quantities import Length, PartOf
from matcher.reasons.reason import reason
from matcher.reasons.style import Style


def show_reserves(found: Reserves, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    lots = {lot.name: lot for lot in found.bin.lots}
    garment: str | None = None
    for group in found.groups:
        if group.garment != garment:
            garment = group.garment
            known = found.bin.garments.get(garment)
            status = f" ({known.kind}, {known.status})" if known else ""
            screen.print(Text(f"{garment or 'No garment, set by hand'}{status}", style="bold"))
        colour = lots[next(iter(group.held))].colour if group.held else None
        keep = reason("{yarn}: keep {length}", yarn=group.called, length=Length(group.reserve_m))
        screen.print(chip(colour, screen), style.say(keep))
        say(screen, f"{style.say(group.because)}.", 3)
        parts = (*group.held.values(), group.missing_m)
        for place, (lot, free_m) in enumerate(group.freed.items()):
            held = PartOf(parts, place)
            line = reason("{lot}: {held} kept, {free} free", lot=lot, held=held, free=Length(free_m))
            screen.print(f"   {style.say(line)}")

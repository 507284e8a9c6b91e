"""Look-alike lots on screen: each group with its patches of colour, and what tells them apart."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.lookalikes import Lookalikes
from matcher.cli.screens.console import chip, console, say
from matcher.reasons.style import Style


def show_lookalikes(found: Lookalikes, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    if not found.groups:
        say(screen, "No two lots of one weight class look the same.")
        return
    for group in found.groups:
        patches = Text()
        for lot in group.lots[:12]:
            patches.append_text(chip(lot.colour, screen))
        if patches:
            screen.print(patches)
        names = " + ".join(lot.name for lot in group.lots[:12])
        more = f" and {len(group.lots) - 12} more" if len(group.lots) > 12 else ""
        say(screen, f"{names}{more}", 0, "bold")
        for words in group.words:
            say(screen, f"{style.say(words)}.", 2)
    say(screen, "Lots of one group have the same weight class, and colours so close that they look the same.", 0, "dim")

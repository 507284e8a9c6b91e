"""Look-alike lots on screen: each group with its patches of colour, and what tells them apart."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.lookalikes import Lookalikes
from matcher.cli.screens.screen import chip, console, say
from matcher.reasons.style import Style


def show_lookalikes(found: Lookalikes, style: Style) -> None:
    """Print on stdout."""
    screen, limit = console(), style.number(found.limit, 1, exact=True)
    if not found.groups:
        say(screen, f"No two lots of one class are within {limit} CIEDE2000: the eye tells all of them apart.")
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
        largest = style.number(group.alike.largest_delta_e, 1, exact=True)
        say(screen, f"class {group.lots[0].yarn.weight_class}, at most {largest} CIEDE2000 apart", 2, "dim")
        for words in group.words:
            say(screen, f"{style.say(words)}.", 2)
    say(
        screen,
        f"Colours up to {limit} CIEDE2000 apart look the same: what can just be seen, and the error of two colours in "
        "a sheet.",
        0,
        "dim",
    )

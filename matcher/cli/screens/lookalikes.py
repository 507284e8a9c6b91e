"""Look-alike lots on screen: each group with its patches of colour, and what tells them apart."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.lookalikes import Lookalikes
from matcher.cli.screens.screen import chip, console, in_her_units, say


def show_lookalikes(found: Lookalikes, units: str) -> None:
    """Print on stdout."""
    screen = console()
    if not found.groups:
        say(
            screen, f"No two lots of one class are within {found.limit:.1f} CIEDE2000: the eye tells all of them apart."
        )
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
        known = group.as_dict()
        say(screen, f"class {known['class']}, at most {known['largest_delta_e']:.1f} CIEDE2000 apart", 2, "dim")
        for words in group.words:
            say(screen, f"{in_her_units(words, units)}.", 2)
    say(
        screen,
        f"Alike is up to {found.limit:.1f} CIEDE2000: what can just be seen, and the error of two colours in a sheet.",
        0,
        "dim",
    )

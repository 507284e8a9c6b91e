"""Candidates for a scrap on screen: the chance of each, why, and what to measure next."""

from __future__ import annotations

from rich.text import Text

from matcher.actions.colours.whose import NONE, Whose
from matcher.cli.screens.console import chip, console, say
from matcher.reasons.style import Style

_WORTH_LINES = 0.01


def show_whose(found: Whose, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    # What is all but ruled out is worth no lines, beyond the second; its chance goes to all others.
    shown = [one for place, one in enumerate(found.candidates) if place < 2 or one.probability >= _WORTH_LINES]
    others = found.others + sum(one.probability for one in found.candidates if one not in shown)
    for one in shown:
        names = " + ".join(lot.name for lot in one.pool.lots)
        head = Text(f"{likely(one.probability):>14}  ").append_text(chip(one.pool.colour, screen))
        yarn = f" ({one.pool.yarn.name})" if one.pool.yarn.name else ""
        screen.print(head.append(f"{' ' if chip(one.pool.colour, screen) else ''}{names}{yarn}", style="bold"))
        say(screen, f"{style.say(one.because)}.", 16)
    screen.print(Text(f"{likely(found.none):>14}  none of these"))
    if others >= 0.005:
        screen.print(Text(f"{likely(others):>14}  all others together"))
    if found.measure_next:
        say(screen, f"Next: {style.say(found.measure_next)}.")
    else:
        a, b = map(style.say, found.first_two)
        beside = "" if NONE in found.first_two else ": lay them side by side in daylight"
        say(screen, f"Nothing more that is asked here would tell {a} from {b}{beside}.")


def likely(chance: float) -> str:
    """A chance as a knitter says it; never none and never certain."""
    if chance < 0.01:
        return "under 1 in 100"
    if chance > 0.99:
        return "over 99 in 100"
    return f"{100 * chance:.0f} in 100"

"""Advice on screen: a line a lot with what to do, and the reason below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from matcher.cli.screens import console as show
from matcher.reasons.quantities import Amount
from matcher.reasons.reason import Term
from matcher.reasons.style import Style

if TYPE_CHECKING:
    from matcher.actions.keeping.triage import Triage


def show_triage(found: Triage, style: Style) -> None:
    """Every lot in the order of what is at stake."""
    screen = show.console()
    for one in found.advice:
        line = Text.assemble(
            show.chip(one.lot.colour, screen),
            (one.lot.name, "bold"),
            f" ({one.lot.place}): " if one.lot.place else ": ",
            f"{style.say(Term(one.advice))}, {style.say(Amount(one.free_m, one.lot.tex_on_scale))} free",
            " (your decision)" if one.decided_on else "",
        )
        screen.print(line)
        show.say(screen, style.say(one.because), 3)

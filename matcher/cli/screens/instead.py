"""What could stand in for a yarn on screen: a way a paragraph, what it takes first, then what it changes."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from matcher.actions.instead.result import Instead, StandIn
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.table import show_table
from matcher.reasons.reason import listed
from matcher.reasons.style import Style


def show_instead(found: Instead, style: Style) -> None:
    """Print on stdout."""
    screen, asked = console(), found.asked
    head = Text.assemble(chip(asked.colour, screen), (f"Instead of {style.say(asked.called)}", "bold"))
    screen.print(head)
    say(screen, style.sentence(found.wanted), 2)
    if not found.stand_ins:
        nothing = "Nothing that is free can stand in for it."
        say(screen, f"{nothing} What comes nearest:" if found.nearest else nothing)
    for rank, one in enumerate((*found.stand_ins, *found.nearest), 1):
        _show(rank, one, screen, style)


def _show(rank: int, one: StandIn, screen: Console, style: Style) -> None:
    line = Text(f"{rank:>2} ")
    for member in one.way.members:
        line.append_text(chip(member.pool.colour, screen))
    screen.print(line.append(style.say(one.called), style="bold"))
    if one.lacks:
        say(screen, f"lacks: {style.say(listed(one.lacks, between='; '))}", 3)
    say(screen, style.say(one.takes), 3)
    for words in one.changes:
        say(screen, style.say(words), 3)
    if one.stays:
        say(screen, style.say(one.stays_said), 3)
    if one.mends is not None:
        say(screen, style.say(one.mends.why), 3)


def show_explained(found: Instead, number: int, style: Style) -> None:
    """Print how one way was valued: each part of the score, its weight, and what they come to."""
    screen, one = console(), (*found.stand_ins, *found.nearest)[number - 1]
    _show(number, one, screen, style)
    rows = [
        (name, *(style.number(figure, 3, exact=True) for figure in (part, weight, part * weight)))
        for (name, part), weight in zip(one.way.parts.items(), one.weigher.weights.values(), strict=True)
    ]
    rows.append(("score", "", "", style.number(one.way.score, 3, exact=True)))
    show_table(screen, ("part", "value", "weight", "adds"), rows, right=(1, 2, 3), indent=3)
    say(
        screen,
        "Each part is that of its worst lot: look falls to 0 where it is another colour, gauge to 0 where it is too "
        "thick or too thin; kin is the same yarn, colour and dye lot; handling falls with each join and strand. Ways "
        "that aren't enough are left out, and metres count for nothing else. Weights are choices.",
        3,
        "dim",
    )

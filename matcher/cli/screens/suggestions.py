"""Suggestions on screen: the first at length, the others in a line each; or all of them at length."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.text import Text

from matcher.actions.ranking.suggestion import Lacking, Suggestion, Suggestions
from matcher.cli.lines import cells, wrapped
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.roles import show_roles
from matcher.cli.screens.screen import GUESSED, marked
from matcher.reasons.quantities import Chance, GaugeFigures
from matcher.reasons.reason import Term, listed, reason
from matcher.reasons.style import Style


def how_sure(chance: float) -> str:
    """A chance as a knitter says it."""
    return f"{Chance(chance)} sure"


def show_list(found: Suggestions, style: Style) -> None:
    """The first screen: the best at length, the others in a line each."""
    screen = console()
    if not found.suggestions:
        _nothing(found, style, screen)
        return
    first, *others = found.suggestions
    at_length(first, style, screen, brief=True)
    for one in others:
        _in_short(one, style, screen)
    _small(found, style, screen)
    _ends(found, style, screen)


def show_full(found: Suggestions, style: Style) -> None:
    """Everything at length."""
    screen = console()
    if not found.suggestions:
        screen.print(style.say(found.none_found))
    for one in found.suggestions:
        at_length(one, style, screen)
        screen.print()
    if found.small:
        screen.print(Text("Small things", style="bold"))
    for one in found.small:
        at_length(one, style, screen)
        screen.print()
    if found.near_misses:
        screen.print(Text("Nearly", style="bold"))
        for near in found.near_misses:
            say(screen, _near(near, style), 2)
    for heading, lots in (("Kept whole", found.kept_whole), ("Nothing here can use these", found.fit_nothing)):
        if lots:
            screen.print(Text(heading, style="bold"))
        for lot in lots:
            say(screen, f"{lot.lot}: {style.say(lot.why)}.", 2)
    _guessed((*found.suggestions, *found.small), style, screen)
    cautions = dict.fromkeys(words for one in (*found.suggestions, *found.small) for words in one.cautions)
    if cautions:
        screen.print(Text("Take care", style="bold"))
        for words in cautions:
            say(screen, style.say(words), 2)


def _in_short(one: Suggestion, style: Style, screen: Console) -> None:
    """What it is; from what and how sure, and the one reason that weighs most where there is room for it."""
    for line in wrapped(f"{one.rank:>2} {style.say(one.called)}", screen.width, hanging=2):
        screen.print(Text(line))
    patches = Text("   ")
    for role in one.roles:
        patches.append_text(chip(role.colour, screen, 1))
    patches.append(" " if patches.plain.strip() else "").append(
        f"from {_lots(one, style)}, {how_sure(one.found.sure)}", style="dim"
    )
    because = Text(f": {style.say(one.short)}", style="dim")
    screen.print(patches + because if cells(patches.plain + because.plain) <= screen.width else patches)


def _small(found: Suggestions, style: Style, screen: Console) -> None:
    """The line of small things."""
    if found.small:
        numbered = "{thing} ({number})"
        things = style.say(
            listed([reason(numbered, thing=Term(one.accessory), number=one.rank) for one in found.small], "and")
        )
        say(screen, f"And small things: {things}.")


def at_length(one: Suggestion, style: Style, screen: Console, brief: bool = False, *, kept: bool = True) -> None:
    """What it is, why, what each role takes, how the colours read, the care; brief: the weightiest of each.

    kept : with what is kept of its lots, where that is known.
    """
    gauge = one.found.variant.gauge
    head = Text(f"{one.rank}  {style.say(one.called)}", style="bold")
    sure = f"   {how_sure(one.found.sure)}"
    if cells(head.plain + sure) <= screen.width:
        screen.print(head.append(sure, style="not bold"))
    else:
        for line in wrapped(head.plain, screen.width, hanging=3):
            screen.print(Text(line, style="bold"))
        screen.print(Text(sure))
    reasons = one.reasons[:2] if brief else one.reasons
    say(screen, style.sentence(listed(reasons, between="; ")), 3)
    show_roles(one.roles, style, screen, kept=kept)
    _side_by_side(one, screen)
    for contrast in one.contrasts:
        judged = contrast.judged
        figures = style.say(judged.plainly)
        say(screen, f"{contrast.roles[0]} and {contrast.roles[1]}: {judged.verdict} ({figures})", 3)
    say(screen, f"{style.sentence(one.care)} {style.say(GaugeFigures(gauge.stitches_10cm, gauge.rows_10cm))}.", 3)
    for words in one.warnings[: 1 if brief else None]:
        say(screen, f"Mind: {style.say(words)}.", 3)


def _side_by_side(one: Suggestion, screen: Console) -> None:
    """The colours beside each other as they will lie, where the terminal can show them."""
    if screen.color_system is None or screen.no_color or len(one.roles) < 2:
        return
    line = Text("   ")
    colours = [role.colour for role in one.roles if role.colour is not None]
    for turn in range(3):
        for place, colour in enumerate(colours):
            line.append_text(chip(colour, screen, 4 if place == 0 or turn == 1 else 2))
    screen.print(line)


def _lots(one: Suggestion, style: Style) -> str:
    """Its lots role by role, and which are held together: that is knitted as a thicker yarn."""
    return " + ".join(style.say(role.said(marked)) for role in one.roles if role.lots)


def _guessed(shown: Iterable[Suggestion], style: Style, screen: Console) -> None:
    """What the question marks mean."""
    if any(lot.colour.guessed for one in shown for role in one.roles for lot in role.lots):
        say(screen, style.sentence(GUESSED), 0, "dim")


def _near(near: Lacking, style: Style) -> str:
    one = near.suggestion
    return f"{style.say(one.called)} ({one.rank}): {style.say(listed(near.lacks, between='; '))}."


def _ends(found: Suggestions, style: Style, screen: Console) -> None:
    if found.near_misses:
        say(screen, f"Nearly: {_near(found.near_misses[0], style)}")
    counts = []
    if len(found.near_misses) > 1:
        counts.append(f"{len(found.near_misses)} near misses")
    if number := len(found.kept_whole):
        counts.append("1 lot that is kept whole" if number == 1 else f"{number} lots that are kept whole")
    if number := len(found.fit_nothing):
        counts.append("1 lot that fits nothing" if number == 1 else f"{number} lots that fit nothing")
    _guessed(found.suggestions, style, screen)
    if any(one.for_baby for one in found.suggestions):
        say(screen, "For a baby: no ties near the neck, no hat for sleep; --full has every caution.")
    full = style.say(listed(["all at length", *counts], "and"))
    say(screen, f"--full: {full}. --explain 1: the whole working.", 0, "dim")
    say(screen, "matcher pattern and matcher begin take these numbers.", 0, "dim")


def _nothing(found: Suggestions, style: Style, screen: Console) -> None:
    say(screen, style.say(found.none_found))
    for one in found.small:
        _in_short(one, style, screen)
    for near in found.near_misses:
        say(screen, f"Nearly: {_near(near, style)}", 2)
    if found.unused:
        lots = []
        if number := len(found.kept_whole):
            lots.append("1 lot is kept whole" if number == 1 else f"{number} lots are kept whole")
        if number := len(found.fit_nothing):
            lots.append("1 lot fits nothing" if number == 1 else f"{number} lots fit nothing")
        say(screen, f"{' and '.join(lots)}; --full says why of each.", 2)
    _guessed(found.small, style, screen)

"""What is missing, on screen: each yarn to buy with what it opens, and what does without."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from matcher.actions.ranking.gaps import Gaps, ToBuy, balls_of
from matcher.actions.ranking.suggestion import Suggestion
from matcher.cli.lines import wrapped
from matcher.cli.screens.console import chips, console, say
from matcher.cli.screens.screen import marked
from matcher.cli.screens.suggestions import how_sure
from matcher.materials.colours.cielab import hex_from_lab
from matcher.reasons.reason import Term, counted
from matcher.reasons.style import Style


def show_gaps(found: Gaps, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    for one in found.possible:
        say(screen, f"It can be made as it is: {style.say(one.called)}, {_from(one, style)}.")
    for words in found.set_said:
        say(screen, style.sentence(words))
    first: dict[tuple[tuple[str, str, bool], ...], int] = {}
    for number, bought in enumerate(found.to_buy, 1):
        what = tuple(sorted(_thing(one.suggestion) for one in bought.opens))
        _show(number, bought, first.get(what, 0), style, screen)
        first.setdefault(what, number)
    if found.without:
        screen.print(Text("Without buying", style="bold"))
        for way in found.without:
            made = way.suggestion
            name = style.say(Term(made.accessory))
            say(screen, f"{name} {style.say(way.how)}: {_from(made, style)}", 2)
    for words in found.said:
        say(screen, style.sentence(words))
    if found.to_buy or found.never:
        say(screen, style.sentence(found.how_complete), 0, "dim")


def _thing(one: Suggestion) -> tuple[str, str, bool]:
    """What is made, in which size, and whether yarn is held together for it."""
    return one.accessory, one.size, any(role.strands > 1 for role in one.roles)


def _show(number: int, one: ToBuy, like: int, style: Style, screen: Console) -> None:
    """like : the number of an earlier one that opens the same; 0 for none."""
    amount = style.say(one.amount)
    for line in wrapped(f"{number}  {style.say(one.yarn)}: {amount}", screen.width, hanging=3):
        screen.print(Text(line, style="bold"))
    say(screen, style.sentence(one.balls_said), 3)
    patches = Text("   ")
    for _, lab in one.examples:
        patches.append_text(chips((hex_from_lab(lab),), screen, 4))
    if patches.plain.strip():
        screen.print(patches)
    say(screen, f"Colour: {style.say(one.colour)}.", 3)
    if one.colour_figures is not None:
        say(screen, style.sentence(one.colour_figures), 3, "dim")
    if one.finishes is not None:
        say(screen, style.sentence(one.finishes.said), 3)
    if like:
        say(screen, f"It makes the same possible as {like}.", 3)
        return
    say(screen, style.say(counted(len(one.opens), "It makes one thing possible:", "It makes {n} things possible:")), 3)
    for opened in one.opens:
        fewer = ""
        if opened.balls < one.purchase.offer.balls:
            fewer = f"; {style.say(balls_of(opened.balls, one.purchase.offer.ball_g))} will do"
        say(screen, f"{style.say(opened.suggestion.called)}{fewer}", 5)
        say(screen, _from(opened.suggestion, style), 7, "dim")


def _from(one: Suggestion, style: Style) -> str:
    """Her lots or the new yarn."""
    yarns = " + ".join(style.say(role.said(marked)) for role in one.roles if role.lots)
    return f"from {yarns}, {how_sure(one.sure)}"

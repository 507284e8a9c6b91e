"""One thing on screen: a word before each fact, most needed first; what is not known is left out."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from matcher.actions.looking.facts import facts, history_words, written_words
from matcher.actions.looking.show import Found
from matcher.actions.looking.things import (
    Shown,
    ShownAccessory,
    ShownGarment,
    ShownLot,
    ShownPerson,
    ShownWork,
)
from matcher.cli.screens import console as show
from matcher.cli.terminal import print_page
from matcher.drawing.pattern_text import pattern_text
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.reasons.style import Style
from matcher.reasons.visible import visible

_KIND: dict[type[Shown], Words] = {
    ShownLot: reason("a lot"),
    ShownGarment: reason("a garment"),
    ShownPerson: reason("somebody you knit for"),
    ShownAccessory: reason("an accessory to knit"),
    ShownWork: reason("a piece of yours"),
}
_WIDE = 9


def show_found(found: Found, style: Style) -> None:
    """Print on stdout; which things it is, where a name fits several."""
    screen = show.console()
    if len(found.things) > 1:
        kinds = listed((_KIND[type(one)] for one in found.things), "and")
        said = "{name} is {kinds}; {what} shows one of them alone."
        show.say(screen, style.say(reason(said, name=found.name, kinds=kinds, what=Field("what"))))
    for one in found.things:
        if len(found.things) > 1:
            screen.print()
        _show(one, screen, style)


def _show(one: Shown, screen: Console, style: Style) -> None:
    name, colour = _title(one)
    kind = style.say(reason("({kind})", kind=_KIND[type(one)]))
    screen.print(Text.assemble(show.chip(colour, screen), (name, "bold"), f" {kind}"))
    for word, said in facts(one):
        _line(screen, style.say(Term(word)) if word else "", style.say(said))
    if isinstance(one, ShownWork) and one.pattern is not None:
        made = one.pattern
        screen.print()
        print_page(pattern_text(made.pattern, made.constants, made.weighed, style, made.mind).lstrip("\n"))
    if isinstance(one, ShownLot | ShownGarment | ShownPerson):
        for heading, lines in (
            (reason("What you wrote yourself:"), written_words(one.written)),
            (reason("What was done:"), history_words(one.history)),
        ):
            for place, line in enumerate(lines):
                if not place:
                    show.say(screen, style.say(heading), 2)
                _line(screen, "", style.say(line), 2)


def _line(screen: Console, word: str, said: str, wide: int = _WIDE) -> None:
    """A word, and beside it what it says, wrapped in its own column."""
    before = f"  {word:<{wide}}"
    for line in show.broken(Text(visible(said)), screen.width - len(before)):
        screen.print(Text(before).append_text(line), no_wrap=True)
        before = " " * len(before)


def _title(one: Shown) -> tuple[str, Colour | None]:
    if isinstance(one, ShownLot):
        return one.line.lot.name, one.line.lot.colour
    if isinstance(one, ShownGarment):
        return one.line.garment.name, None
    if isinstance(one, ShownPerson):
        return one.line.person.name, None
    return (one.entry.name if isinstance(one, ShownAccessory) else one.line.name), None

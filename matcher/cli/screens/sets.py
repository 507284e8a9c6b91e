"""A set on screen: its things, what each lot gives, how good it is, what can't be, and other sets."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich.console import Console
from rich.text import Text

from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.roles import RoleYarn
from matcher.actions.sets.result import LotUse, Sets
from matcher.actions.sets.told import chance_beside, how_good, how_it_differs, how_near, in_motif, so_far, sure_words
from matcher.cli.lines import wrapped
from matcher.cli.screens.console import chip, console, say
from matcher.cli.screens.screen import GUESSED, LateProgress, marked
from matcher.cli.screens.table import Cell, show_table
from matcher.reasons.quantities import Amount, Chance, Length, Mass
from matcher.reasons.reason import Field, Words, reason
from matcher.reasons.style import Style


def show_sets(found: Sets, style: Style) -> None:
    """The best set at length, what of her wants can't be, and the others in a few lines."""
    screen = console()
    best = found.best
    if not len(best):
        least = Chance(found.sure_at_least, 1)
        say(screen, style.say(reason("Nothing can be made from what is free and be {least} sure.", least=least)))
    for one in best:
        _thing(one, found.sure_at_least, style, screen)
    if len(best):
        show_uses(best.lots, style, screen)
        say(screen, style.sentence(sure_words(best, found.sure_at_least)))
        say(screen, style.sentence(how_good(best, found.aim)))
    for missing in found.not_possible:
        say(screen, style.say(reason("Can't be: {want}: {why}.", want=missing.want, why=missing.why)))
    for number, other in enumerate(found.alternatives, 1):
        said = reason("Otherwise {number}: {differs}.", number=number, differs=how_it_differs(other, best))
        sure = chance_beside(other.sure, found.sure_at_least)
        near = reason("{near}; {sure} sure of all", near=how_near(other, best, found.aim), sure=sure)
        say(screen, style.say(said))
        say(screen, style.sentence(near), 2)
    if any(lot.colour.guessed for one in best for role in one.roles for lot in role.lots):
        say(screen, style.sentence(GUESSED), 0, "dim")
    if any(one.for_baby for one in best):
        say(screen, "For a baby: no ties near the neck, no hat for sleep; the pages have every caution.")
    if len(best) and not found.files:
        out = Field("out", "DIR")
        say(
            screen,
            style.say(reason("{out}: a picture, and pages with what to take from which box.", out=out)),
            0,
            "dim",
        )


def bounds_shown(progress: LateProgress, aim: str) -> Callable[[float, float], None]:
    """What the search reports, as a line on stderr once it has taken a second."""
    return lambda objective, bound: progress.stage(so_far(aim, objective, bound))


def _thing(one: Suggestion, asked: float, style: Style, screen: Console) -> None:
    """Number, name, size and whom it is for; below, what it takes and how sure it is by itself."""
    for line in wrapped(f"{one.rank:>2} {style.say(one.called)}", screen.width, hanging=2):
        screen.print(Text(line, style="bold"))
    patches = Text("   ")
    for role in one.roles:
        patches.append_text(chip(role.colour, screen, 1))
    if patches.plain.strip():
        patches.append(" ")
    put_in = one.found.variant.put_in
    if put_in is not None:
        say(screen, style.sentence(in_motif(put_in)[0]), 3)
    yarns = " + ".join(style.say(_takes(role)) for role in one.roles)
    screen.print(patches.append(f"{yarns}; {style.say(chance_beside(one.sure, asked))} sure by itself"))


def _takes(role: RoleYarn) -> Words:
    if role.brought:
        return reason("{need} of yours", need=Length(role.need_m))
    said = "{need} ({mass}) of {lots}" if role.strands == 1 else "{need} ({mass}) of {lots}, {strands} strands"
    lots = role.lots_said(marked)
    return reason(said, need=Length(role.need_m), mass=Mass(role.need_g), lots=lots, strands=role.strands)


def show_uses(lots: Sequence[LotUse], style: Style, screen: Console, *, kept: bool = True) -> None:
    """What each lot gives to which thing. kept : whether it is known what is kept of it; else all of it is free."""
    claimed = any(one.claimed_m for one in lots)
    held = ["kept", *(["needles"] * claimed)] if kept else []
    headings = ("  ", "", "on hand" if kept else "free", "for", *held, "left")
    rows: list[list[Cell]] = [[chip(one.lot.colour, screen), *_cells(one, style, len(held))] for one in lots]
    show_table(screen, headings, rows, right=(2, *range(4, len(headings))))


def _cells(one: LotUse, style: Style, held: int) -> list[str]:
    """A lot, what is on hand, what each thing takes, what is kept and what is left; grams below metres."""
    tex = one.lot.yarn.tex.mean

    def cell(metres: float) -> str:
        return f"{style.say(Length(metres))}\n{style.say(Mass(metres * tex / 1000.0))}"

    # To the same figure as in the line of the thing itself.
    used = (f"{number}: {style.say(Amount(metres, tex))}" for number, metres in one.used)
    lot = f"{marked(one.lot)} ({one.lot.place})" if one.lot.place else marked(one.lot)
    beside = (one.reserve_m, one.claimed_m)[:held]
    return [lot, cell(one.on_hand_m), "\n".join(used), *map(cell, beside), cell(one.left_m)]

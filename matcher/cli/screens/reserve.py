"""What is kept back on screen: each garment, its yarns, and from which lots."""

from __future__ import annotations

from collections.abc import Mapping

from rich.text import Text

from matcher.actions.reserve import Reserves
from matcher.cli.screens.console import chip, console, say
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.knitting.mending.words import MEANS
from matcher.materials.lots import Lot
from matcher.reasons.quantities import Amount, Length, PartOf
from matcher.reasons.reason import Action, Field, Term, listed, reason
from matcher.reasons.style import Style


def show_reserves(found: Reserves, style: Style) -> None:
    """Print on stdout."""
    screen = console()
    lots = {lot.name: lot for lot in found.bin.lots}
    garment: str | None = None
    for group, kept in zip(found.groups, found.choices, strict=True):
        if group.garment != garment:
            garment = group.garment
            known = found.bin.garments.get(garment)
            status = f" ({known.kind}, {known.status})" if known else ""
            screen.print(Text(f"{garment or 'No garment, set by hand'}{status}", style="bold"))
        first = lots[next(iter(group.freed))] if group.freed else None
        amount = Amount(group.reserve_m, _tex_of(group, lots)) if first else Length(group.reserve_m)
        keep = reason("{yarn}: keep {amount}", yarn=group.called, amount=amount)
        screen.print(Text(" ").append_text(chip(first.colour if first else None, screen)).append(style.say(keep)))
        say(screen, f"{style.say(group.because)}.", 3)
        if len(set(kept.values())) > 1:
            say(screen, _chosen(group.mending, kept, style), 3)
        parts = (*group.held.values(), group.missing_m)
        for place, (lot, free_m) in enumerate(group.freed.items()):
            tex = lots[lot].tex_on_scale
            line = reason(
                "{lot}: {held} kept, {free} free", lot=lot, held=PartOf(parts, place, tex), free=Amount(free_m, tex)
            )
            say(screen, style.say(line), 3)
    if any(group.mending for group in found.groups):
        screen.print()
        for choice, means in MEANS.items():
            say(screen, style.say(reason("Mending {choice}: {means}.", choice=Term(choice), means=means)), 0)
        said = "{wish} chooses for this once, {garment} NAME {wish} for good. "
        said += "Planned changes of a garment that is worn are kept for in any case."
        say(screen, style.say(reason(said, wish=Field("mending"), garment=Action("garment"))), 0)


def _tex_of(group: ReserveGroup, lots: Mapping[str, Lot]) -> float:
    """Grams in 1000 m of what is kept, as thick as the lots are that keep it: one may be thicker than the first."""
    grams = sum(metres * lots[lot].tex_on_scale for lot, metres in group.held.items())
    held_m = sum(group.held.values())
    return grams / held_m if held_m > 0 else lots[next(iter(group.freed))].tex_on_scale


def _chosen(choice: str, kept: Mapping[str, float], style: Style) -> str:
    """For which mending this is kept, and what the other choices would keep."""
    (first, metres), *rest = ((other, metres) for other, metres in kept.items() if other != choice)
    others = [reason("{other} would keep {length}", other=Term(first), length=Length(metres))]
    others += [reason("{other} {length}", other=Term(other), length=Length(metres)) for other, metres in rest]
    chosen = reason("Mending: {choice}", choice=Term(choice))
    return f"{style.sentence(chosen)} {style.sentence(listed(others))}"

"""The yarn of each role: the garment's own leftovers, or all lots shared out anew; and ways out where one is short."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matcher.actions.partner.fitting import Fitting
from matcher.actions.partner.settle import Settled
from matcher.actions.partner.words import shared_words
from matcher.actions.role_lots import InBin, named_strands
from matcher.errors import BadInput
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import lightness_order, sure_of
from matcher.matching.recolour.exchanges import Exchange, exchanges, short_roles
from matcher.matching.recolour.otherwise import alternatives_of
from matcher.matching.recolour.recolouring import Recolouring, longest, recolour, suited
from matcher.matching.recolour.search import Progress
from matcher.reasons.reason import Field, Term, Words, listed, reason


@dataclass(frozen=True)
class Shared:
    """The pool of each role, None where there is none, and the chance that all suffice."""

    pools: Mapping[str, Pool | None]
    sure: float
    recolourings: tuple[Recolouring, ...]
    exchanges: tuple[Exchange, ...]
    notes: tuple[Words, ...]

    @property
    def given(self) -> list[Pool]:
        """The pools that there are, in the order of the roles."""
        return [pool for pool in self.pools.values() if pool is not None]


def shared_of(settled: Settled, fitting: Fitting, progress: Progress | None = None, *, ways: bool = True) -> Shared:
    """Give each role its yarn; with less than the chance asked for, look for ways out, unless `ways` are not asked."""
    asked, catalogue, leftovers = fitting.asked, settled.catalogue, settled.leftovers
    pools: dict[str, Pool | None] = {role: leftovers.pools.get(role) for role in asked.roles}
    named = named_pools(settled, asked.roles)
    pools |= named
    guessed = [role for role in leftovers.by_lightness if role not in named]
    notes = shared_words(guessed, pools, settled.garment)
    for role, pool in pools.items():
        if pool is not None and settled.person is not None and not settled.suits(pool):
            pools[role] = None
            kept_out = "{lot} is kept out of it: a fibre of it does not suit the skin of {person}."
            notes.append(reason(kept_out, lot=pool.name, person=settled.person.name))
    wanted = lightness_order({role: pool.colour for role, pool in pools.items() if pool is not None}) or None
    anew: tuple[Recolouring, ...] = ()
    if settled.wishes.recolour:
        among, said = _searched(settled, fitting, asked.roles)
        anew = recolour(asked, among, wanted, catalogue, progress=progress)
        notes += said
        if anew:
            pools = dict(zip(asked.roles, anew[0].pools, strict=True))
        else:
            notes.append(
                reason("No other yarn in the bin fits in thickness and length, so the colours stay as they were.")
            )
    given = [pool for pool in pools.values() if pool is not None]
    sure = sure_of(asked.needs, given) if len(given) == len(asked.roles) else 0.0
    short: tuple[Exchange, ...] = ()
    if ways and sure < settled.sure_at_least:
        among, said = _searched(settled, fitting, short_roles(asked, pools, settled.sure_at_least))
        others = alternatives_of(settled.worn.wearing, settled.motif, fitting.chosen, fitting.needs, catalogue.recolour)
        short = exchanges(asked, pools, among, others, wanted, catalogue, settled.sure_at_least, progress)
        notes += said
    return Shared(pools, sure, anew, short, tuple(dict.fromkeys(notes)))


def named_pools(settled: Settled, roles: Sequence[str]) -> dict[str, Pool | None]:
    """The pools that she names, by role. Raises BadInput for lots that are no single yarn, or in two roles."""
    desk, given = settled.desk, dict[str, Pool | None]()
    strands = named_strands(roles, settled.accessory.name, settled.wishes.lots, InBin(desk.bin), {}, whole=False)
    for role, held in strands.items():
        if not held:
            continue
        pool = next(one for one in desk.shelf.pools if any(lot.name == held[0].lots[0] for lot in one.lots))
        if len(held) > 1 or held[0].count > 1 or not {lot.name for lot in pool.lots}.issuperset(held[0].lots):
            what = reason("a colour of {accessory} is knitted in one yarn", accessory=settled.accessory.name)
            raise BadInput(what, listed((Field("lots"), Term(role))), reason("name one lot for it"))
        other = next((name for name, taken in given.items() if taken is pool), None)
        if other is not None:
            what = reason("{lot} is named for {a} and for {b}", lot=pool.name, a=Term(other), b=Term(role))
            raise BadInput(what, Field("lots"), reason("give each of them a lot of its own"))
        given[role] = pool
    # A leftover that she names for another role is no longer there for its own.
    left = [role for role, pool in settled.leftovers.pools.items() if pool is not None and pool in given.values()]
    return given | {role: None for role in left if role not in given}


def _searched(settled: Settled, fitting: Fitting, roles: Sequence[str]) -> tuple[Sequence[Pool], list[Words]]:
    """The pools to search for the roles that are open: all of them, or in a very large bin fewer, which is said."""
    pools, catalogue, garment = settled.pools, settled.catalogue, settled.garment.name
    suits = suited(pools, fitting.asked, catalogue.fabric)
    most = catalogue.recolour.most_yarns(len(roles))
    if len(roles) < 2 or len(suits) <= most:
        return pools, []
    said = reason(
        "{yarns} yarns in the bin are of the right thickness: colours were chosen from those of {garment} "
        "and the longest others, {most} in all.",
        yarns=len(suits),
        garment=garment,
        most=most,
    )
    return longest(suits, garment, most), [said]

"""A fit of a sweater's motif as the search takes it, and the ways to share the sweater's colours out in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.actions.partner.fitting import Fitting
from matcher.actions.partner.settle import Settled
from matcher.knitting.accessory import Accessory, Role, contrast_pairs
from matcher.knitting.fit.fitted import Fitted, in_role_order
from matcher.knitting.motifs.motif import Motif
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import PoolTable, lightness_order, sure_of
from matcher.matching.recolour.otherwise import asked_of
from matcher.matching.recolour.recolouring import recolour
from matcher.matching.recolour.share import share_out
from matcher.matching.variants import InMotif, Variant
from matcher.store.catalogue.catalogue import Catalogue

# A choice: so many ways to share the colours out are tried for each fit, best first; four colours have 24 in all.
_WAYS = 24


@dataclass(frozen=True)
class Way:
    """A pool for each role of a fit. alike : the part of its stitches, 0 to 1, whose role has the sweater's colour."""

    pools: tuple[Pool, ...]
    alike: float
    sure: float


@dataclass(frozen=True)
class Tried:
    """One fit, and the ways to share the sweater's colours out in it. fitting : chosen is this fit."""

    settled: Settled
    fitting: Fitting
    variant: Variant
    ways: tuple[Way, ...]


def knitted(fit: Fitted) -> tuple[object, ...]:
    """What is knitted, whatever its parts are called."""
    return (
        fit.pieces,
        *(replace(part, part="", zone="", added=False) for part in fit.parts),
        *((replace(part, part="", zone="", added=False), pieces) for part, pieces in fit.extra),
    )


def tried_fit(settled: Settled, fitting: Fitting, motif: Motif, pot: Sequence[Pool]) -> Tried:
    """The fit that is chosen, with all ways that are tried. pot : pools of what the sweater left."""
    fit = fitting.chosen
    needs = fitting.needs(fit)
    entry = with_motif(settled.accessory, motif, fit, settled.desk.catalogue)
    roles = [need.role for need in needs]
    edges = tuple(
        (roles.index(a), roles.index(b))
        for a, b in contrast_pairs(entry, {motif.key: motif})
        if a in roles and b in roles
    )
    variant = Variant(entry, settled.worn.wearing.size, fit.gauge, needs, edges, put_in=InMotif(motif, fit))
    asked = replace(fitting, asked=asked_of(fit, fitting.needs))
    return Tried(settled, asked, variant, tuple(_ways(settled, asked, pot)))


def with_motif(entry: Accessory, motif: Motif, fit: Fitted, catalogue: Catalogue) -> Accessory:
    """An entry with the roles that a fit has, and every zone that the motif runs through in that motif."""
    shown = {part.zone for part in fit.parts if part.rows}
    ground = next(iter(sorted(motif.role_names, key=in_role_order)))
    floats = max(fit.longest_floats.values(), default=0) > catalogue.fabric.long_float
    return replace(
        entry,
        roles=tuple(Role(role) for role in sorted(fit.roles, key=in_role_order)),
        zones=tuple(
            replace(zone, motif=motif.key, role=None)
            if zone.name in shown
            else replace(zone, motif=None, role=zone.role or ground)
            for zone in entry.zones
        ),
        cautions=tuple(dict.fromkeys((*entry.cautions, *(["floats"] * floats)))),
    )


def _ways(settled: Settled, fitting: Fitting, pot: Sequence[Pool]) -> Iterator[Way]:
    """The colours as the sweater has them, then the best ways to share them out otherwise."""
    roles, own = fitting.asked.roles, _as_in_sweater(settled, fitting, pot)
    as_it_was = tuple(own[role] for role in roles if role in own)
    if len(as_it_was) == len(roles) and _go_together(as_it_was, settled.catalogue):
        yield Way(as_it_was, 1.0, sure_of(fitting.asked.needs, as_it_was))
    for way in shared_anew(settled, fitting, pot, pot, _WAYS):
        if way.pools != as_it_was:
            yield way


def _go_together(pools: Sequence[Pool], catalogue: Catalogue) -> bool:
    """Whether no two of these are barred from one fabric: what the sweater has is no leave to do it again."""
    table = PoolTable.of(pools, catalogue)
    places = np.arange(len(pools))
    return bool((table.beside(places) > 0)[~np.eye(len(pools), dtype=bool)].all())


def _as_in_sweater(settled: Settled, fitting: Fitting, pot: Sequence[Pool]) -> dict[str, Pool]:
    """The pool of each role that the sweater left one for."""
    names = sorted(settled.motif.role_names, key=in_role_order)
    given = share_out(names, list(filter(settled.suits, pot)), settled.garment.name).pools
    return {role: pool for role in fitting.asked.roles if (pool := given.get(role)) is not None}


def shared_anew(
    settled: Settled, fitting: Fitting, pot: Sequence[Pool], among: Sequence[Pool], number: int
) -> list[Way]:
    """The best ways to give each role a pool of its own, light and dark as in the sweater where that can be."""
    asked, catalogue = fitting.asked, settled.catalogue
    own = _as_in_sweater(settled, fitting, pot)
    wanted = lightness_order({role: pool.colour for role, pool in own.items()}) or None
    ways = recolour(asked, list(filter(settled.suits, among)), wanted, catalogue, number)
    stitches = sum(need.stitches for need in asked.needs)

    def alike(pools: Sequence[Pool]) -> float:
        given = zip(asked.needs, pools, strict=True)
        return sum(need.stitches for need, pool in given if own.get(need.role) is pool) / stitches

    return [Way(one.pools, alike(one.pools), one.sure) for one in ways]

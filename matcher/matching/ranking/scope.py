"""What she asks for, and what of the catalogue is searched for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from matcher.matching.contrast import LEVELS
from matcher.matching.pools import Stock
from matcher.matching.variants import Variant

Variants = Mapping[str, tuple[Variant, ...]]
"""Variants of accessories, by the key of each."""


@dataclass(frozen=True)
class Wishes:
    """How the knitter narrows what she wants to see; each None or empty means anything.

    garment, lots : something left over from it, or one of them, must be used. sure : the least chance that all
    suffices. top, each : how many in all, and of one accessory. least_contrast : a verdict, in place of what each
    accessory asks. held_together : whether strands of different lots may be. varied : see `varied`. colourwork : things
    in several colours only.
    """

    kinds: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    garment: str | None = None
    lots: tuple[str, ...] = ()
    sure: float | None = None
    top: int = 10
    each: int = 1
    varied: bool = False
    colourwork: bool = False
    least_contrast: str | None = None
    held_together: bool = True


@dataclass(frozen=True)
class Party:
    """People of whom the same holds, so that one search serves them all.

    sizes : by key of accessory, the sizes that are for them; what is not there is not for them. own : variants to
    somebody's own measures, by key. eyes : deficiencies that decide besides ordinary eyes. off_skin : names of lots
    that must not lie on their skin. unwanted : of lots that may be in nothing of theirs. wanted : of lots one of which
    must be in it, where she asks for no others; empty for any.
    """

    name: str
    sizes: Mapping[str, frozenset[str]]
    own: Variants = field(default_factory=dict)
    eyes: tuple[str, ...] = ()
    off_skin: frozenset[str] = frozenset()
    unwanted: frozenset[str] = frozenset()
    wanted: frozenset[str] = frozenset()

    def variants(self, key: str, several: Sequence[Variant]) -> Iterator[Variant]:
        """Those of one accessory that are for them."""
        sizes = self.sizes.get(key, frozenset())
        for one in (*(one for one in several if one.size in sizes), *self.own.get(key, ())):
            yield replace(one, party=self.name)


@dataclass(frozen=True)
class Scope:
    """The part of the catalogue that is searched: `whole` is every variant, `variants` are those in scope.

    parties : whom they are for, by name; none for anybody.
    """

    wishes: Wishes
    whole: Variants
    variants: Variants
    parties: Mapping[str, Party] = field(default_factory=dict)

    @cached_property
    def contrast(self) -> Mapping[str, str]:
        """The verdict that colours which touch must reach, for each accessory in scope."""
        asked = self.wishes.least_contrast
        return {key: asked or several[0].accessory.least_contrast or "quiet" for key, several in self.variants.items()}

    @cached_property
    def least(self) -> Mapping[str, float]:
        """The same as a reading, 0 to 1."""
        return {key: LEVELS[verdict] for key, verdict in self.contrast.items()}

    def wanted(self, stock: Stock) -> frozenset[int] | None:
        """Places of the pools of which one must be used; None for any."""
        garment, lots = self.wishes.garment, self.wishes.lots
        if garment is None and not lots:
            return None
        wanted = stock.holding(frozenset(lots))
        if garment is not None:
            wanted |= stock.from_garment(garment)
        return frozenset(np.flatnonzero(wanted).tolist())


def scope_of(whole: Variants, wishes: Wishes, parties: Sequence[Party] = ()) -> Scope:
    """Narrow the variants to the kinds and sizes she asked for; what takes nothing of the lots is left out.

    parties : whom she knits for; their sizes then go in place of those of the wishes.
    """
    variants = {}
    for key, several in whole.items():
        if parties:
            kept = tuple(one for party in parties for one in party.variants(key, several))
        else:
            kept = tuple(one for one in several if not wishes.sizes or one.size in wishes.sizes)
        if not kept or not kept[0].filled or (wishes.kinds and kept[0].accessory.kind not in wishes.kinds):
            continue
        if kept[0].accessory.several_colours or not wishes.colourwork:
            variants[key] = kept
    return Scope(wishes, whole, variants, {party.name: party for party in parties})

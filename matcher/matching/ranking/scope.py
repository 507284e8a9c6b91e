"""What she asks for, and what of the catalogue is searched for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

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
    accessory asks. held_together : whether strands of different lots may be.
    """

    kinds: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    garment: str | None = None
    lots: tuple[str, ...] = ()
    sure: float | None = None
    top: int = 10
    each: int = 1
    least_contrast: str | None = None
    held_together: bool = True


@dataclass(frozen=True)
class Scope:
    """The part of the catalogue that is searched: `whole` is every variant, `variants` are those in scope."""

    wishes: Wishes
    whole: Variants
    variants: Variants

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
        return frozenset(
            place
            for place, pool in enumerate(stock.pools)
            if any(lot.name in lots or (garment is not None and lot.garment == garment) for lot in pool.lots)
        )


def scope_of(whole: Variants, wishes: Wishes) -> Scope:
    """Narrow the variants to the kinds and sizes she asked for; what takes nothing of the lots is left out."""
    variants = {}
    for key, several in whole.items():
        kept = tuple(one for one in several if not wishes.sizes or one.size in wishes.sizes)
        if kept and kept[0].filled and (not wishes.kinds or kept[0].accessory.kind in wishes.kinds):
            variants[key] = kept
    return Scope(wishes, whole, variants)

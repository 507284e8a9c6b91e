"""What could these leftovers become? The ranked list, the near misses, and the lots that fit nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from matcher.actions.asked import check_contrast, check_sure
from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.learning.history import History
from matcher.actions.names import find
from matcher.actions.ranking.suggestion import Lacking, Suggestions, Teller, Unused
from matcher.errors import BadInput
from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import LEVELS
from matcher.matching.pools import Pool, Stock, stock_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.near_miss import lacks, largest_of, nearest
from matcher.matching.ranking.search import search, search_all
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.unused import why_unused
from matcher.matching.ranking.usefulness import usefulness
from matcher.matching.variants import Variant
from matcher.materials.reading.units import show_length, show_mass
from matcher.materials.rules import RankingRules
from matcher.store.catalogue.catalogue import Catalogue

NEAR_MISSES = 5
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Wishes:
    """How the knitter narrows what she wants to see; each None or empty means anything."""

    kinds: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    garment: str | None = None
    lots: tuple[str, ...] = ()
    sure: float | None = None
    top: int = 10
    each: int = 1
    least_contrast: str | None = None
    held_together: bool = True


def suggest(
    bin: DeskLike = None,
    *,
    kind: str | Sequence[str] = (),
    size: str | Sequence[str] = (),
    garment: str | None = None,
    lot: str | Sequence[str] = (),
    sure: float | None = None,
    top: int = 10,
    each: int = 1,
    least_contrast: str | None = None,
    held_together: bool = True,
    catalog: Path | str | None = None,
    units: str = "metric",
    progress: Progress | None = None,
) -> Suggestions:
    """Rank what the free yarn of a bin could become.

    Parameters
    ----------
    bin : a folder, a spreadsheet, a `Bin`, or None for the demo.
    kind, size, garment, lot : narrow the list; `garment` and `lot` ask that such a lot is used.
    sure : the least chance, 0.5 to 0.999, that every role's yarn suffices.
    top, each : how many suggestions in all, and of one accessory.
    least_contrast : "clear", "readable" or "quiet", in place of what each accessory asks.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    desk = desk_of(bin, catalog)
    catalogue, read = desk.catalogue, desk.bin
    wishes = Wishes(
        kinds=tuple(find(one, _kinds(catalogue), "kind of accessory") for one in _several(kind)),
        sizes=tuple(find(one, catalogue.sizes.names, "size") for one in _several(size)),
        garment=find(garment, read.garments, "garment") if garment else None,
        lots=tuple(find(one, (lot.name for lot in read.lots), "lot") for one in _several(lot)),
        sure=sure,
        top=top,
        each=each,
        least_contrast=least_contrast,
        held_together=held_together,
    )
    _refuse_wishes(wishes)
    shelf = desk.shelf
    stock = stock_of(shelf.pools, catalogue.together)
    matching = Matching(catalogue, stock, wishes, desk.variants, desk.history)
    found = matching.best(progress)
    teller = Teller(catalogue, shelf, stock, units, wishes.least_contrast)
    shown = [teller.suggestion(rank + 1, one) for rank, one in enumerate(found)]
    near = matching.near()
    return Suggestions(
        sure_at_least=matching.chance,
        units=units,
        suggestions=tuple(shown),
        near_misses=tuple(
            Lacking(Teller(catalogue, shelf, where, units, wishes.least_contrast).suggestion(0, one), words)
            for one, where, words in near
        ),
        unused=tuple(
            Unused(*one)
            for one in why_unused(shelf.pools, matching.searcher, matching.in_scope, matching.least, matching.met)
        ),
        source=read.source,
        notes=(*read.notes, *matching.notes),
    )


def _several(text: str | Sequence[str]) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)


def _kinds(catalogue: Catalogue) -> Iterable[str]:
    return dict.fromkeys(one.kind for one in catalogue.accessories.values())


def _refuse_wishes(wishes: Wishes) -> None:
    check_sure(wishes.sure)
    check_contrast(wishes.least_contrast)
    if wishes.top < 1:
        raise BadInput(f"a list of {wishes.top} is no list", "--top", "give 1 or more")
    if wishes.each < 1:
        raise BadInput(f"{wishes.each} of each accessory shows nothing", "--each", "give 1 or more")


class Matching:
    """One bin against the catalogue under the knitter's wishes."""

    def __init__(
        self,
        catalogue: Catalogue,
        stock: Stock,
        wishes: Wishes,
        whole: Mapping[str, tuple[Variant, ...]],
        history: History | None = None,
    ) -> None:
        self.catalogue, self.stock, self.wishes, self.history = catalogue, stock, wishes, history
        ranking: RankingRules = catalogue.ranking
        self.chance = wishes.sure if wishes.sure is not None else ranking.sure_at_least
        self.whole = whole
        self.in_scope: dict[str, tuple[Variant, ...]] = {}
        for key, several in whole.items():
            if wishes.kinds and catalogue.accessories[key].kind not in wishes.kinds:
                continue
            kept = tuple(one for one in several if not wishes.sizes or one.size in wishes.sizes)
            if kept and kept[0].filled:
                self.in_scope[key] = kept
        self.least = {
            key: LEVELS[wishes.least_contrast or catalogue.accessories[key].least_contrast or "quiet"]
            for key in self.in_scope
        }
        scarce, usable = usefulness(stock, whole, catalogue.fabric)
        self.searcher = self._searcher(stock, scarce, usable, self.chance, self._wanted(stock))

    def _wanted(self, stock: Stock) -> frozenset[int] | None:
        """Places of the pools of which one must be used."""
        wishes = self.wishes
        if wishes.garment is None and not wishes.lots:
            return None
        return frozenset(
            place
            for place, pool in enumerate(stock.pools)
            if any(lot.name in wishes.lots or (wishes.garment and lot.garment == wishes.garment) for lot in pool.lots)
        )

    def _searcher(
        self,
        stock: Stock,
        scarce: np.ndarray,
        usable: np.ndarray,
        chance: float | None,
        wanted: frozenset[int] | None,
    ) -> Searcher:
        floor = min([LEVELS["quiet"] if chance is None else 1.0, *self.least.values()])
        return Searcher(
            stock,
            ColourTable(stock.labs, self.catalogue.vision, self.catalogue.contrast, floor),
            self.catalogue.ranking,
            self.catalogue.together,
            self.catalogue.fabric,
            scarce,
            usable,
            chance,
            most_strands=3 if self.wishes.held_together else 1,
            wanted=wanted,
        )

    def best(self, progress: Progress | None = None) -> list[Found]:
        """The best of every accessory, of these the first; best first, ties by name."""
        self.met, self.open = search_all(
            self.searcher, self.in_scope, self.least, self.wishes.each, self.wishes.top, progress=progress
        )
        return self.met[: self.wishes.top]

    @property
    def notes(self) -> tuple[str, ...]:
        """What the knitter should know of how the list was made."""
        found = []
        if self.history is not None and self.history.learnt is not None:
            found.append(f"Needs follow your own knitting: {self.history.words} (matcher calibration shows it).")
        if self.searcher.cut_short:
            found.append(
                "There are so many lots that not every way to hold strands together was tried: a better one may be "
                "missing. With --single, or narrowed with --kind or --size, the list is exact."
            )
        return tuple(found)

    def near(self) -> list[tuple[Found, Stock, tuple[str, ...]]]:
        """Accessories for which nothing was found, the nearest to it, and what each lacks."""
        made = {one.variant.accessory.key for one in self.met}
        missing = {
            key: several
            for key, several in self.in_scope.items()
            if key not in made and not (key in self.open and self._can_be_made(key))
        }
        if not missing or not self.stock.pools:
            return []
        stock = largest_of(self.stock)
        nothing = np.zeros(len(stock.pools))
        searcher = self._searcher(stock, nothing, nothing + 1.0, None, self._wanted(stock))
        searcher.most_strands = 1
        found = nearest(searcher, missing, self.least, NEAR_MISSES)
        return [(one, stock, self._lacks(one, stock)) for one in found]

    def _can_be_made(self, key: str) -> bool:
        """Whether an accessory that did not reach the list can be made at all."""
        quick = replace(self.searcher, thorough=False)
        return bool(search(quick, self.in_scope[key], self.least[key], any_will_do=True))

    def _lacks(self, one: Found, stock: Stock) -> tuple[str, ...]:
        key = one.variant.accessory.key
        words = []
        for lack in lacks(one, stock, self.chance):
            role = next(place for place, need in enumerate(one.variant.filled) if need.role == lack.role)
            pool = stock.pools[one.threads[role][0][0]]
            grams = lack.metres * pool.yarn.tex.mean / 1000
            ball = pool.lots[0].ball_g
            buy = f"or buy {_balls(grams, ball)}" if ball else f"or find {show_mass(grams)} more of it"
            words.append(f"{show_length(lack.metres)} of {lack.role} short ({pool.name}); {buy}")
            words += _other_baths(pool, stock)
        if one.parts["contrast"] < self.least[key] and one.variant.edges:
            words.append(f"colours that read: the nearest pair is only {_below(self.least[key])}")
        if not words:
            words.append(f"a little certainty: {one.sure:.0%} sure, {self.chance:.0%} asked")
        smaller = self._fits_in(key)
        if smaller:
            words.append(f"fits the size {smaller}")
        return tuple(words)

    def _fits_in(self, key: str) -> str:
        """A size in which the accessory can be made after all, when sizes were narrowed."""
        if not self.wishes.sizes:
            return ""
        others = [one for one in self.whole[key] if one.size not in self.wishes.sizes]
        found = search(self.searcher, others, self.least[key])
        return found[0].variant.size if found else ""


def _other_baths(pool: Pool, stock: Stock) -> list[str]:
    """The same yarn and colour in other dye lots: never taken in silence, but worth knowing of."""
    name = pool.yarn.name.casefold()
    return [
        f"{other.name} is the same yarn and colour in another dye lot, with {show_length(other.free.mean)} free: "
        "compare them in daylight"
        for other in stock.pools
        if other is not pool and name and other.yarn.name.casefold() == name and other.colour == pool.colour
    ]


def _balls(grams: float, ball_g: float) -> str:
    number = max(1, int(np.ceil(grams / ball_g)))
    return f"one {ball_g:.0f} g ball" if number == 1 else f"{number} balls of {ball_g:.0f} g"


def _below(least: float) -> str:
    return "readable" if least >= 1.0 else "quiet"

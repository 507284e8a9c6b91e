"""Lots that read well together: pairs and triples, ranked, of yarns whose surplus can make something.

Worth of a pair is its reading (0 to 1, from the sights that decide and the whole distribution of stitches) times the
factor of the rules on yarns in one fabric; of a triple, the least reading of its pairs times their least factor. Equal
worths go by metres: more of the scarcest lot first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants
from matcher.matching.colour_table import ColourTable
from matcher.matching.contrast import LEVELS, judge, verdict_of
from matcher.matching.pools import Pool, Stock, stock_of
from matcher.matching.reach import reach_of
from matcher.matching.together import thickness_factor
from matcher.matching.variants import Variant
from matcher.materials.rules import ContrastRules, TogetherRules

Floats = npt.NDArray[np.float64]

# With more lots than this, those with most to use are compared with one another; triples grow with the cube.
MOST_COMPARED = 250
# How often one lot may stand in a list, so that the list is not one black yarn with all others.
EACH = 2
ALONE, STRAND, NOTHING = "alone", "strand", ""


@dataclass(frozen=True)
class ReadTogether:
    """Pools that read well together: the least reading of any two, and the factor of the rules on one fabric.

    chance : where a colour is guessed from a word, that two of them reach the verdict of the reading, the least of all.
    """

    pools: tuple[Pool, ...]
    reading: float
    together: float
    chance: float | None = None

    @property
    def worth(self) -> float:
        return self.reading * self.together


def uses_of(
    pools: Sequence[Pool], variants: Mapping[str, Sequence[Variant]], constants: FabricConstants, least_z: float
) -> tuple[str, ...]:
    """What enough of each pool is free for, as sure as is asked: some role by itself, or to be one strand of several.

    least_z: how many standard deviations must be to spare. `triage` calls a yarn usable by the same rule.
    """
    free, tex = [pool.free for pool in pools], [pool.yarn.tex.mean for pool in pools]
    reach = reach_of([one.mean for one in free], [one.sd for one in free], tex, variants, constants, least_z)
    return tuple(
        ALONE if most is not None else STRAND if enough else NOTHING
        for most, enough in zip(reach.most, reach.enough, strict=True)
    )


def read_together(
    pools: Sequence[Pool],
    number: int,
    top: int,
    contrast: ContrastRules,
    together: TogetherRules,
    matrices: Mapping[str, Floats],
) -> tuple[ReadTogether, ...]:
    """The best pairs (number 2) or triples (3) that are at least *readable*, each pool at most `EACH` times.

    Of more than `MOST_COMPARED` pools only those with most metres free are compared. Order of the pools: by lightness
    within each result, dark first.
    """
    chosen = sorted(pools, key=lambda one: (-one.free.mean, one.name))[:MOST_COMPARED]
    stock = stock_of(sorted(chosen, key=lambda one: one.name), together)
    size = len(stock.pools)
    if size < number:
        return ()
    reads, goes = readings(stock, contrast, matrices), factors(stock, together)
    free = stock.free_m
    lightness = (stock.labs[stock.part][:, :, 0] * stock.share).sum(axis=1)
    groups, worth, least = _all(size, number, reads, goes)
    metres = free[groups].min(axis=1)
    order = np.lexsort((*groups.T[::-1], -metres, -np.round(worth, 9)))
    found: list[ReadTogether] = []
    times = [0] * size
    for at in order:
        if len(found) == top:
            break
        places = groups[at].tolist()
        if all(times[place] < EACH for place in places):
            for place in places:
                times[place] += 1
            ordered = sorted(places, key=lambda place: (lightness[place], place))
            these, reads_least = tuple(stock.pools[place] for place in ordered), float(least[at])
            chance = _chance(these, verdict_of(reads_least), contrast, matrices)
            found.append(ReadTogether(these, reads_least, float(worth[at] / least[at]), chance))
    return tuple(found)


def _chance(pools: Sequence[Pool], verdict: str, rules: ContrastRules, matrices: Mapping[str, Floats]) -> float | None:
    judged = [judge(one.colour, other.colour, matrices, rules, verdict) for one, other in combinations(pools, 2)]
    return min((one.chances[verdict] for one in judged if one.guessed), default=None)


def _all(size: int, number: int, reads: Floats, goes: Floats) -> tuple[npt.NDArray[np.intp], Floats, Floats]:
    """Every group of `number` that is readable and not blocked: places (m, number), worth (m,), least reading (m,)."""
    sides = list(combinations(range(number), 2))
    kept: list[tuple[npt.NDArray[np.intp], Floats, Floats]] = []
    for first in range(size - number + 1):
        after = np.arange(first + 1, size)
        rest = after[:, None] if number == 2 else np.column_stack(np.triu_indices(len(after), 1)) + first + 1
        groups = np.column_stack([np.full(len(rest), first), rest])
        least = np.min([reads[groups[:, a], groups[:, b]] for a, b in sides], axis=0)
        factor = np.min([goes[groups[:, a], groups[:, b]] for a, b in sides], axis=0)
        good = (least >= LEVELS["readable"]) & (factor > 0)
        kept.append((groups[good], (least * factor)[good], least[good]))
    groups, worth, least = (np.concatenate(column) for column in zip(*kept, strict=True))
    return groups, worth, least


def readings(stock: Stock, rules: ContrastRules, matrices: Mapping[str, Floats]) -> Floats:
    """How every pool reads against every other, array (n, n), as `contrast.judge` says of two."""
    table = ColourTable(stock.labs, stock.sds, matrices, rules, 0.0)
    return np.stack(
        [table.reads(stock.part[one], stock.share[one], stock.part, stock.share) for one in range(len(stock.pools))]
    )


def factors(stock: Stock, rules: TogetherRules) -> Floats:
    """What the score of every two pools in one fabric keeps, array (n, n); 0 where a rule blocks."""
    thick = thickness_factor(stock.tex[:, None], stock.tex, rules)
    return np.asarray(thick * stock.beside[stock.kind[:, None], stock.kind[None, :]], dtype=float)

"""Candidates in bins of lightness, so that bounds on pairs cost the bins and not the pairs."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED, ColourTable
from matcher.matching.distinct import distinct
from matcher.matching.pools import Stock
from matcher.matching.ranking.choices import Choices

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

_WIDTH = 2.0  # of a bin, in L*: narrower bins bound closer and take longer, and nothing else


class LightnessBins:
    """Yarns by their L* in daylight, which a reading never exceeds.

    several : for each of several choices an array (2, m), the two L* between which what a candidate reads is bounded,
    see `ends`. of : the same as the bins that they stand in, as places among the bins that are not empty. adds : array
    (bins, bins), the most that candidates of two bins could add by what they read, with its weight; never more than
    `most` reads, and -inf where it would be below `least`. plain : (bins, bins), 0 where lightness alone could tell
    them apart, else -inf.
    """

    def __init__(
        self, colours: ColourTable, several: Sequence[Floats], least: float, most: float, weight: float
    ) -> None:
        ends = {id(one): (one / _WIDTH).astype(np.intp) for one in several}
        bins = distinct(np.concatenate([one.ravel() for one in ends.values()]))
        places = {key: np.searchsorted(bins, one) for key, one in ends.items()}
        self.of: list[Indexes] = [places[id(one)] for one in several]
        apart = (np.abs(np.subtract.outer(bins, bins)) + 1.0) * _WIDTH
        reads = np.minimum(colours.most_by_lightness(apart), most)
        self.adds: Floats = np.where(reads >= least, weight * reads, -np.inf)
        self.plain: Floats = np.where((reads > DECIDED) & (reads >= least), 0.0, -np.inf)

    def repeated(self, times: int) -> LightnessBins:
        """The same with the first of the choices so many times."""
        other = copy(self)
        other.of = self.of[:1] * times
        return other

    def best(self, which: int, at: Indexes | slice, worth: Floats) -> Floats:
        """The highest worth (..., m) in each bin of some of one of the choices: array (..., bins)."""
        return highest_of_each(self.of[which][:, at], worth, len(self.adds))

    def with_companion(
        self, which: int, best: Floats, plainly: bool = False, at: Indexes | slice = slice(None)
    ) -> Floats:
        """For some of one of the choices the most that others could add, what they read included: array (..., m).

        best : (..., bins), the highest worth of the others in each bin. plainly : only those which lightness tells
        apart, and without what they read.
        """
        companion = (best[..., None, :] + (self.plain if plainly else self.adds)).max(axis=-1)
        first, second = self.of[which]
        return np.asarray(np.maximum(companion[..., first[at]], companion[..., second[at]]))


def highest_of_each(of: Indexes, values: Floats, number: int) -> Floats:
    """The highest of the values (..., m) of each of so many, -inf without any: array (..., number).

    of : (j, m), of which of these each is, of several at once.
    """
    best = np.full((*values.shape[:-1], number), -np.inf)
    for row in np.ndindex(values.shape[:-1]):
        for each in of:
            np.maximum.at(best[row], each, values[row])
    return best


def ends(colours: ColourTable, base: Choices | Stock) -> Floats:
    """L* of each candidate or pool, twice; or of its lightest and darkest colour where none covers enough stitches:
    (2, m).

    A colour of so large a share that its square is more than may vanish cannot vanish beside another such, so the
    pair reads no better than these two; of several, the one nearest to most of the bin tells most.
    """
    light = colours.lightness[0][base.part]
    large = base.share**2 > colours.rules.vanish_share + 1e-6
    nearest = np.where(large, np.abs(light - np.median(colours.lightness[0])), np.inf).argmin(axis=1)
    chosen = light[np.arange(len(light)), nearest]
    some, shown = large.any(axis=1), base.share > 0
    darkest = np.where(some, chosen, np.where(shown, light, np.inf).min(axis=1))
    lightest = np.where(some, chosen, np.where(shown, light, -np.inf).max(axis=1))
    return np.stack([darkest, lightest])

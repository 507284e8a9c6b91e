"""How far two lots' colours are apart [CIEDE2000], of one colour each or of several.

Each colour of the one has its nearest in the other; three questions take these figures together in three ways. Whether
two lots look alike: the farthest colour counts, since a fleck shows. Whether a photograph shows a lot: colours count
by their shares, both ways, since a photograph's shares and small parts are unsure. Whose a scrap is: by shares as well,
but only from the scrap, since a short end of a yarn of several colours shows some of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
By = Literal["farthest", "shares"]


class Shades:
    """The single colours of many lots, one lot after the other."""

    def __init__(self, colours: Sequence[Colour]) -> None:
        self.labs = np.array([lab for one in colours for lab, _ in one.parts])
        self.shares = np.array([share for one in colours for _, share in one.parts])
        self.number = np.array([len(one.parts) for one in colours])
        self.start = np.cumsum(self.number) - self.number

    def to_nearest(self, one: Indexes, other: Indexes, by: By) -> Floats:
        """From each colour of lots `one` (n,) to the nearest of lots `other` (n,), taken together: array (n,)."""
        mine, theirs = self.number[one], self.number[other]
        pair = np.repeat(np.arange(len(one)), mine * theirs)
        within = np.arange(len(pair)) - np.repeat(np.cumsum(mine * theirs) - mine * theirs, mine * theirs)
        from_ = self.start[one[pair]] + within // theirs[pair]
        to = self.start[other[pair]] + within % theirs[pair]
        lengths = np.repeat(theirs, mine)
        begins = np.cumsum(lengths) - lengths
        nearest = np.minimum.reduceat(ciede2000(self.labs[from_], self.labs[to]), begins)
        gather = np.maximum if by == "farthest" else np.add
        weighed = nearest if by == "farthest" else nearest * self.shares[from_[begins]]
        return np.asarray(gather.reduceat(weighed, np.cumsum(mine) - mine), dtype=float)

    def apart(self, one: Indexes, other: Indexes, by: By) -> Floats:
        """The same both ways, whichever is more: array (n,)."""
        return np.maximum(self.to_nearest(one, other, by), self.to_nearest(other, one, by))


def seen_apart(seen: Colour, lots: Sequence[Colour], *, whole: bool) -> Floats:
    """How far each lot's colours are from what is seen, by shares: array (n,).

    whole: what is seen shows all of the yarn's colours, so the lot's are looked for in it as well; else it is a scrap,
    of which single stitches are looked at, where a heather shows its mean.
    """
    every = [seen, *lots] if whole else [Colour(one.kind, one.stitches()) for one in (seen, *lots)]
    shades = Shades(every)
    mine, theirs = np.zeros(len(lots), dtype=np.intp), np.arange(1, len(lots) + 1)
    return shades.apart(mine, theirs, "shares") if whole else shades.to_nearest(mine, theirs, "shares")

"""What else each pool could become: how many entries it could serve, and the least length that is any use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, tex_range
from matcher.matching.pools import Stock
from matcher.matching.ranking.score import scarcity
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]


def usefulness(
    stock: Stock, variants: Mapping[str, Sequence[Variant]], constants: FabricConstants
) -> tuple[Floats, Floats]:
    """How scarce other uses of each pool are, and the shortest length of it that anything takes.

    Parameters
    ----------
    variants : of every accessory in the catalogue, by its key.

    Returns
    -------
    scarcity : array (n,), 0 when a pool alone could fill a role of every entry, 1 when of one or none.
    usable_m : array (n,), metres; of any weight where the pool suits no gauge by itself.
    """
    windows: dict[float, tuple[float, float]] = {}
    shortest: dict[float, float] = {}
    uses = np.zeros(len(stock.tex))
    for several in variants.values():
        least: dict[float, float] = {}
        for variant in several:
            stitches = variant.gauge.stitches_10cm
            if stitches not in windows:
                windows[stitches] = tex_range(variant.gauge, constants)
            least[stitches] = min(least.get(stitches, np.inf), variant.shortest_m)
        serves = np.zeros(len(stock.tex), dtype=bool)
        for stitches, length in least.items():
            low, high = windows[stitches]
            serves |= (stock.tex >= low) & (stock.tex <= high) & (stock.free_m >= length)
            shortest[stitches] = min(shortest.get(stitches, np.inf), length)
        uses += serves
    usable = np.full(len(stock.tex), np.inf)
    for stitches, length in shortest.items():
        low, high = windows[stitches]
        suits = (stock.tex >= low) & (stock.tex <= high)
        usable[suits] = np.minimum(usable[suits], length)
    anywhere = min(shortest.values(), default=1.0)
    return scarcity(uses, len(variants)), np.where(np.isfinite(usable), usable, anywhere)

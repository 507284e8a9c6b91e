"""What else each pool could become: how many entries it could serve, and the least length that is any use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, Gauge, tex_range
from matcher.matching.pools import Stock
from matcher.matching.ranking.score import scarcity
from matcher.matching.variants import Variant

Floats = npt.NDArray[np.float64]


def usefulness(
    stock: Stock, variants: Mapping[str, Sequence[Variant]], constants: FabricConstants
) -> tuple[Floats, Floats, npt.NDArray[np.bool_]]:
    """How scarce other uses of each pool are, and the shortest length of it that anything takes.

    Parameters
    ----------
    variants : of every accessory in the catalogue, by its key.

    Returns
    -------
    scarcity : array (n,), 0 when a pool alone could fill a role of every entry, 1 when of one or none.
    usable_m : array (n,), metres; of any weight where the pool suits no gauge by itself.
    carries : array (n,), whether a pool alone, in one strand, could fill a role of something in several colours, small
        things apart.
    """
    windows: dict[Gauge, tuple[float, float]] = {}
    shortest: dict[Gauge, float] = {}
    uses = np.zeros(len(stock.tex))
    carries = np.zeros(len(stock.tex), dtype=bool)
    for several in variants.values():
        least: dict[Gauge, float] = {}
        for variant in several:
            gauge = variant.gauge
            if gauge not in windows:
                windows[gauge] = tex_range(gauge, constants)
            least[gauge] = min(least.get(gauge, np.inf), variant.shortest_m)
        serves = np.zeros(len(stock.tex), dtype=bool)
        for gauge, length in least.items():
            low, high = windows[gauge]
            serves |= (stock.tex >= low) & (stock.tex <= high) & (stock.free_m >= length)
            shortest[gauge] = min(shortest.get(gauge, np.inf), length)
        uses += serves
        if several and several[0].accessory.several_colours and not several[0].accessory.small:
            carries |= serves
    usable = np.full(len(stock.tex), np.inf)
    for gauge, length in shortest.items():
        low, high = windows[gauge]
        suits = (stock.tex >= low) & (stock.tex <= high)
        usable[suits] = np.minimum(usable[suits], length)
    anywhere = min(shortest.values(), default=1.0)
    return scarcity(uses, len(variants)), np.where(np.isfinite(usable), usable, anywhere), carries

"""What else each pool could become: how many entries it could serve, and the least length that is any use."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, Gauge, tex_range
from matcher.matching.pools import Stock
from matcher.matching.ranking.score import scarcity
from matcher.matching.ranking.tex_steps import TexSteps
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
    shortest = [_shortest(several) for several in variants.values()]
    windows = {gauge: tex_range(gauge, constants) for gauge in dict.fromkeys(chain.from_iterable(shortest))}
    steps = TexSteps(windows.values())
    held = {gauge: steps.of(window) for gauge, window in windows.items()}
    # The least that each accessory takes of a yarn of each step.
    takes = np.full((len(variants), steps.number), np.inf)
    large = np.zeros(len(variants), dtype=bool)
    for row, several in enumerate(variants.values()):
        for gauge, length in shortest[row].items():
            takes[row, held[gauge]] = np.minimum(takes[row, held[gauge]], length)
        large[row] = bool(several) and several[0].accessory.several_colours and not several[0].accessory.small
    step = steps.at(stock.tex)
    uses = np.zeros(len(stock.tex))
    order = np.argsort(step, kind="stable")
    bounds = np.searchsorted(step[order], np.arange(steps.number + 1))
    for one in np.flatnonzero(np.diff(bounds)):
        pools = order[bounds[one] : bounds[one + 1]]
        uses[pools] = np.searchsorted(np.sort(takes[:, one]), stock.free_m[pools], side="right")
    carries = stock.free_m >= takes[large].min(axis=0, initial=np.inf)[step]
    usable = takes.min(axis=0, initial=np.inf)
    anywhere = usable.min(initial=np.inf)
    usable = np.where(np.isfinite(usable), usable, anywhere if np.isfinite(anywhere) else 1.0)
    return scarcity(uses, len(variants)), usable[step], carries


def _shortest(several: Sequence[Variant]) -> dict[Gauge, float]:
    """The least length [m] that an accessory takes at each gauge."""
    found: dict[Gauge, float] = {}
    for one in several:
        found[one.gauge] = min(found.get(one.gauge, np.inf), one.shortest_m)
    return found

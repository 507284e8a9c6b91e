"""Whether threads may read, by the shares of their pools' stitches: just as all their stitches tell."""

from __future__ import annotations

from collections import Counter
from random import Random

import generated
import numpy as np
from agreement import ready

from matcher.matching.ranking.choices import Choices, threads_of
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.ranking.unread import may_read, unread


def test_it_is_what_all_their_stitches_tell() -> None:
    draw, told = Random(1), Counter[tuple[bool, bool]]()
    for seed in range(12):
        searcher = _searcher(seed)
        one, many = (_drawn(searcher, draw, 40) for _ in range(2))
        at = np.arange(40)
        for least in (0.3, 0.5, 0.75):
            share = unread(searcher, least)
            assert share is not None
            could = may_read(share, searcher, one, at, many, at)
            reads = searcher.colours.reads(one.part, one.share, many.part, many.share)
            np.testing.assert_array_equal(could, reads >= least)
            told.update(zip(could.tolist(), (one.solid & many.solid).tolist(), strict=True))
    assert len(told) == 4
    assert min(told.values()) >= 10, told


def _searcher(seed: int) -> Searcher:
    bin, entries = generated.rich(seed, 8, 3, together=True)
    return ready(bin, generated.cut(entries), Wishes())[0]


def _drawn(searcher: Searcher, draw: Random, number: int) -> Choices:
    """Threads of one to three pools, up to three strands."""
    several = []
    for _ in range(number):
        pools = sorted(draw.sample(range(len(searcher.stock)), draw.randint(1, 3)))
        twice = draw.randrange(2) if len(pools) == 2 else 0
        several.append([(pool, 1 + (place == 1 and twice)) for place, pool in enumerate(pools)])
    return threads_of(searcher.stock, several, searcher.rules)

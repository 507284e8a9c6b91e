"""The exact list of a large stock, in two rounds."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from matcher.matching.ranking.among import among, placed
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome, search_scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.bars import Bars
from matcher.matching.rounds.opening import above, storeys
from matcher.matching.rounds.sample import sample_of
from matcher.matching.variants import Variant

# From here on a stock is searched in rounds. It changes how long a search takes, never what it finds.
_LARGE = 20_000
# Of so many left by round two a closer look pays. It changes how long a search takes, never what it finds.
_MANY = 2_500
# Where more than this part of a stock could stand above the bars, rounds are no help. The same holds of it.
_MOST_BACK = 0.5


def search_stock(searcher: Searcher, scope: Scope, progress: Callable[[int, int], None] | None = None) -> Outcome:
    """The true list of all that is in scope, by the road that is quicker for so many pools."""
    road = search_rounds if len(searcher.stock) >= _LARGE else search_scope
    return road(searcher, scope, progress)


def search_rounds(searcher: Searcher, scope: Scope, progress: Callable[[int, int], None] | None = None) -> Outcome:
    """What `search_scope` gives, for any number of pools."""
    if not len(searcher.stock) or not scope.variants:
        return search_scope(searcher, scope, progress)
    blocks = storeys(searcher, scope)
    sample = sample_of(blocks)
    found = search_scope(replace(among(searcher, sample.pools), most_strands=1), only(scope, sample.variants), progress)
    bars = Bars(scope, searcher.ranking)
    bars.lower(found)
    marls, certain = searcher.most_strands > 1, False
    most = _MOST_BACK * len(searcher.stock)
    while not certain:
        pools, variants = above(blocks, bars.by_key, marls, most)
        if len(pools) > most:
            return search_scope(searcher, scope, progress)
        if len(pools) > _MANY:
            # A closer look at these raises the bars, so that fewer are left.
            some, narrow = among(searcher, pools), only(scope, variants)
            closer = storeys(some, narrow)
            sample = sample_of(closer, closer=True)
            worthiest, few = among(some, sample.pools), only(narrow, sample.variants)
            bars.lift(search_scope(replace(worthiest, most_strands=1), few, floors=bars.by_key))
            at, variants = above(closer, bars.by_key, marls)
            pools = pools[at]
        found = search_scope(among(searcher, pools), only(scope, variants), progress, bars.by_key)
        certain, most = bars.settle(found), np.inf  # few bars are lower now, and the others stand
    made = {one.variant.accessory.key for one in found.met}
    possible = {one.key for one in blocks if one.key not in made and one.possible(marls)}
    return replace(placed(found, pools), open=frozenset(possible))


def only(scope: Scope, variants: Mapping[str, Sequence[Variant]]) -> Scope:
    """A scope with some of its variants only, in the order they stood."""
    kept = {
        key: tuple(one for one in several if one in variants.get(key, ())) for key, several in scope.variants.items()
    }
    return replace(scope, variants={key: several for key, several in kept.items() if several})

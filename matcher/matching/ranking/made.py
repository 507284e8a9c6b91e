"""Which accessories can be made at all, whether they reached a list or not."""

from __future__ import annotations

from dataclasses import replace

from matcher.matching.ranking.among import among, few_of_each
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome, search
from matcher.matching.ranking.searcher import Searcher


def can_be_made(searcher: Searcher, scope: Scope, outcome: Outcome) -> frozenset[str]:
    """Keys of the accessories that can be made: those that the outcome met, and those that it left open and could."""
    made = {one.variant.accessory.key for one in outcome.met}
    few = few_of_each(searcher)
    for some in (*((among(searcher, few),) if len(few) else ()), searcher):
        quick = replace(some, thorough=False)
        for key in outcome.open - made:
            if search(quick, scope.variants[key], scope.least[key], any_will_do=True):
                made.add(key)
    return frozenset(made)

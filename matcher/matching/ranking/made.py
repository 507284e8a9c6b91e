"""Which accessories can be made at all, whether they reached a list or not."""

from __future__ import annotations

from matcher.matching.ranking.among import among, few_of_each
from matcher.matching.ranking.found import Field
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome, search_all
from matcher.matching.ranking.searcher import Searcher


def can_be_made(searcher: Searcher, scope: Scope, outcome: Outcome) -> frozenset[str]:
    """Keys of the accessories that can be made: those that the outcome met, and those that it left open and could.

    One of which too many ways were left to try them all counts as one that can: of none that could is it said that it
    can't.
    """
    made = {one.variant.accessory.key for one in outcome.met} | outcome.untold
    few, looked = few_of_each(searcher), 0
    for some in (*((among(searcher, few),) if len(few) else ()), searcher):
        # In the order of the catalogue: what is looked at for the first leaves less for the others.
        for key in [one for one in scope.variants if one in outcome.open - made]:
            asked = some, {key: scope.variants[key]}, {key: scope.least[key]}
            field = Field(looked=looked)  # for all of these together as much is looked at as for a list
            told = search_all(*asked, field, any_will_do=True)
            looked = field.looked
            # Among a few of the pools too many ways say nothing of the whole.
            if told.chosen or (told.cut_short and some is searcher):
                made.add(key)
    return frozenset(made)

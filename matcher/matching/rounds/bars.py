"""What each accessory must beat, from a list that is known to be feasible; and where a list is not certain yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from matcher.knitting.accessory import SMALL
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.varied import Unknown, Variety, choose
from matcher.materials.rules import RankingRules

# Chances of the search come from a table that is within 4e-8: so far below its score an assignment is surely found
# again.
_BELOW = 1e-7


class Bars:
    """A bar for each accessory of a scope; nothing below it is known.

    by_key : scores; an assignment above that of its accessory is sure to be looked at.
    """

    def __init__(self, scope: Scope, ranking: RankingRules) -> None:
        self.scope, self.ranking = scope, ranking
        self.by_key = dict.fromkeys(scope.variants, np.inf)
        self._too_high: set[str] = set()  # those that were lowered since the list was not certain
        self._kinds = {key: several[0].accessory.kind for key, several in scope.variants.items()}

    def _lists(self, outcome: Outcome) -> Iterator[tuple[set[str], tuple[Found, ...], Variety]]:
        """The accessories of each list, what is in it, and its rule."""
        wishes, keys = self.scope.wishes, self.scope.variants
        apart = {key for key in keys if keys[key][0].accessory.small and SMALL not in wishes.kinds}
        of_a_kind = None if wishes.kinds else int(self.ranking.of_a_kind)
        yield keys.keys() - apart, outcome.chosen, Variety(wishes.top, wishes.each, of_a_kind)
        if apart:
            taken = frozenset(one.pools for one in outcome.chosen)
            yield apart, outcome.small, Variety(int(self.ranking.small_things), wishes.each, None, taken)

    def lower(self, outcome: Outcome) -> None:
        """Set the bars to what an outcome shows that they need not be below."""
        for key, bar in self._shown(outcome).items():
            self.by_key[key] = min(self.by_key[key], bar)

    def lift(self, outcome: Outcome) -> None:
        """Raise the bars to what another outcome shows that they need not be below; but those that were once too high
        stay where they were lowered to, or it would go on for ever."""
        for key, bar in self._shown(outcome).items():
            if key not in self._too_high:
                self.by_key[key] = max(self.by_key[key], bar)

    def settle(self, outcome: Outcome) -> bool:
        """Whether the lists of an outcome that looked at all above the bars are certain. If not, lower bars that were
        too high."""
        shown = self._shown(outcome)
        certain = True
        while doubtful := self._doubtful(outcome):
            certain = False
            for key in doubtful:
                # What was no help once is none again: then nothing of the accessory may be left out.
                self.by_key[key] = shown[key] if shown[key] < self.by_key[key] else -np.inf
            self._too_high |= doubtful
        return certain

    def _shown(self, outcome: Outcome) -> dict[str, float]:
        wishes, bars = self.scope.wishes, {}
        scores: dict[str, list[float]] = {key: [] for key in self.by_key}
        for one in outcome.met:
            scores[one.variant.accessory.key].append(one.score)
        if not wishes.varied:
            least = outcome.chosen[-1].score if len(outcome.chosen) == wishes.top else -np.inf
            return {key: max(least, _last(scores[key], wishes.each)) - _BELOW for key in self.by_key}
        for keys, chosen, rule in self._lists(outcome):
            least, places = _last([one.score for one in chosen], rule.top), rule.places()
            for key in keys:
                own = _last([one.score for one in chosen if one.variant.accessory.key == key], rule.each)
                of_kind = [one.score for one in chosen if one.variant.accessory.kind == self._kinds[key]]
                kind = _last(of_kind, places) if places is not None else -np.inf
                bars[key] = max(least, own, kind) - _BELOW
        return bars

    def _doubtful(self, outcome: Outcome) -> set[str]:
        """Accessories of which something that is not known could come into the lists."""
        if not self.scope.wishes.varied:
            return self._doubtful_plain(outcome)
        for keys, _, rule in self._lists(outcome):
            met = [one for one in outcome.met if one.variant.accessory.key in keys]
            bars = {key: self.by_key[key] for key in sorted(keys) if self.by_key[key] > -np.inf}
            unknown = [Unknown(bar, key, self._kinds[key]) for key, bar in bars.items()]
            _, doubt = choose(met, rule, unknown)
            if doubt is not None and doubt.key is not None:
                return {doubt.key}
        return set()

    def _doubtful_plain(self, outcome: Outcome) -> set[str]:
        wishes = self.scope.wishes
        least = outcome.chosen[-1].score - _BELOW if len(outcome.chosen) == wishes.top else -np.inf
        found: dict[str, int] = {}
        for one in outcome.met:
            key = one.variant.accessory.key
            found[key] = found.get(key, 0) + (one.score > self.by_key[key])
        return {key for key, bar in self.by_key.items() if bar > least and found.get(key, 0) < wishes.each}


def _last(scores: Sequence[float], places: int) -> float:
    """The last of so many scores, falling; nothing where there are fewer."""
    return sorted(scores, reverse=True)[places - 1] if len(scores) >= places else -np.inf

"""A varied list: best first, nothing from the same lots twice, few of a kind; and the search for just that list.

The rule: each place goes to the best assignment that may still stand there. An accessory may stand as often as she asks
(once); no two have the same lots, whatever the roles, strands, size or accessory; and in every ten places stand at most
three of a kind.

The search keeps the few best of each accessory that differ in their lots, and prunes by what the list would be of all
that is found so far. That bar is a good guess and no promise, since a newcomer can push out two others; so in the end
the list is chosen once more, and where what was pruned could come into it, those accessories are searched further.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from matcher.matching.ranking.found import TIE, Best, Field, Found

TEN = 10
# So many more than asked are kept of an accessory of one or two roles, in case others take their lots; of more lots the
# same seldom come again. It changes how often is searched further, never what is found.
SPARE = 2


@dataclass(frozen=True)
class Variety:
    """The rule. `top` places; `each` of an accessory; `of_a_kind` in every ten, None for any number.

    taken : lots, as sets of pools, that stand in another list already.
    """

    top: int
    each: int = 1
    of_a_kind: int | None = None
    taken: frozenset[frozenset[int]] = frozenset()

    def places(self) -> int | None:
        """How many of a kind the whole list can hold; None for any number."""
        return None if self.of_a_kind is None else self.of_a_kind * -(-self.top // TEN)


@dataclass(frozen=True)
class Unknown:
    """Below `score` something may have been pruned: of an accessory, of a kind, or (both None) of anything."""

    score: float
    key: str | None = None
    kind: str | None = None


def choose(
    found: Iterable[Found], rule: Variety, unknown: Iterable[Unknown] = ()
) -> tuple[list[Found], Unknown | None]:
    """The list, as far as it is certain, and what it would have to know to go on (None where it is whole)."""
    # Sorts keep the order of equals: what is unknown comes after all that is as good.
    ranked: list[Found | Unknown] = [*sorted(found, key=lambda one: one.place), *unknown]
    ranked.sort(key=lambda one: -round(one.score, 9))
    chosen: list[Found] = []
    lots, keys = set(rule.taken), Counter[str]()
    while len(chosen) < rule.top:
        before = len(chosen)
        kinds = Counter[str]()
        for one in ranked:
            if isinstance(one, Unknown):
                full = one.kind is not None and rule.of_a_kind is not None and kinds[one.kind] >= rule.of_a_kind
                if not full and (one.key is None or keys[one.key] < rule.each):
                    return chosen, one
                continue
            accessory = one.variant.accessory
            if keys[accessory.key] >= rule.each or one.pools in lots:
                continue
            if rule.of_a_kind is not None and kinds[accessory.kind] >= rule.of_a_kind:
                continue
            chosen.append(one)
            lots.add(one.pools)
            keys[accessory.key] += 1
            kinds[accessory.kind] += 1
            if len(chosen) == rule.top or len(chosen) - before == TEN:
                break
        if len(chosen) - before < TEN:
            break
    return chosen, None


@dataclass
class VariedField(Field):
    """The best of each accessory that differ in their lots, and bars for the list that they would make.

    bars : of single kinds. pruned : the highest bars that were in force, for a kind or (None) for all.
    caps : bars that may not be passed, since a higher one was wrong.
    """

    rule: Variety = field(default_factory=lambda: Variety(TEN))
    bars: dict[str, float] = field(default_factory=dict)
    pruned: dict[str | None, float] = field(default_factory=dict)
    caps: dict[str | None, float] = field(default_factory=dict)

    def same(self, one: Found, other: Found) -> bool:
        """Whether of these two only the better is kept: they have the same lots."""
        return one.pools == other.pools

    def known(self, best: Best, pools: frozenset[int], score: float) -> bool:
        """Whether something at least as good from the same lots is there already."""
        return any(one.score >= score and one.pools == pools for one in best.found)

    def kept(self, each: int, roles: int) -> int:
        """So many are kept of an accessory of so many roles, of which `each` are wanted."""
        return each + (SPARE if roles <= 2 else 0)

    def bar_of(self, kind: str) -> float:
        """What a new one of a kind must beat."""
        return max(self.bar, self.bars.get(kind, -np.inf))

    def settle(self) -> None:
        """Set the bars to the last of the list that is now known, and to the last of each kind that is full."""
        chosen, _ = choose(self.met(), self.rule)
        self.bar = self._bar(None, chosen, self.rule.top)
        places = self.rule.places()
        if places is not None:
            kinds: dict[str, list[Found]] = {}
            for one in chosen:
                kinds.setdefault(one.variant.accessory.kind, []).append(one)
            self.bars = {kind: self._bar(kind, several, places) for kind, several in kinds.items()}

    def _bar(self, kind: str | None, chosen: Sequence[Found], places: int) -> float:
        if len(chosen) < places:
            return -np.inf
        bar = min(min(one.score for one in chosen) - TIE, self.caps.get(kind, np.inf))
        if bar > -np.inf:
            self.pruned[kind] = max(bar, self.pruned.get(kind, -np.inf))
        return bar

    def chosen(self) -> list[Found]:
        """The list."""
        return choose(self.met(), self.rule)[0]

    def short(self) -> set[str]:
        """The accessory of which others took the lots of all that were kept; twice as many are kept from now on."""
        full = ((key, best) for key, best in self.each.items() if len(best.found) == best.each)
        unsure = [Unknown(best.found[-1].score, key, best.kind) for key, best in full]
        _, unknown = choose(self.met(), self.rule, unsure)
        if unknown is None or unknown.key is None:
            return set()
        self.each[unknown.key].each *= 2
        return {unknown.key}

    def doubtful(self) -> set[str]:
        """Accessories that a bar kept from being searched as far as the list reaches, since it was too high."""
        _, unknown = choose(self.met(), self.rule, [Unknown(bar, None, kind) for kind, bar in self.pruned.items()])
        if unknown is None:
            return set()
        # From now on there is no bar for this kind, or for all, above what the list has come to.
        kind = unknown.kind
        scores = [one.score for one in self.chosen() if kind in (None, one.variant.accessory.kind)]
        places = self.rule.top if kind is None else self.rule.places()
        self.caps[kind] = min(scores) - TIE if len(scores) == places else -np.inf
        del self.pruned[kind]
        self.settle()
        return {key for key, best in self.each.items() if kind in (None, best.kind)}

"""What a search found: an assignment with its score, the best of each accessory, and the bar for the whole list."""

from __future__ import annotations

from dataclasses import dataclass
from dataclasses import field as dataclass_field
from functools import cached_property

import numpy as np

from matcher.matching.ranking.choices import TooMany
from matcher.matching.variants import Variant

# Sums taken in another order differ in the last places; a bound that is within this of the best is no gain.
SLACK = 1e-12
# Scores that agree to nine places count as equal; the name decides between them.
TIE = 2e-9

# So much is looked at of what a list could hold of strands held together, see `Best.look`: that takes some two
# seconds, and is ten times what the three kinds of bin of `tests/benchmarks/whole.py` took. Past it the list says that
# something better may be missing. A choice.
_MOST_LOOKED_AT = 100_000_000
# Of pools alone so much is looked at for each accessory, however much was for others: most are told by it. A choice.
_AT_LEAST = 5_000_000

Strands = tuple[tuple[int, int], ...]  # of one thread: (pool, strands of it), pools in rising order


@dataclass(frozen=True)
class Found:
    """One complete assignment: a thread for each role to fill, and the parts of its score.

    doubled : pools held double that could carry colourwork by themselves.
    """

    score: float
    parts: dict[str, float]
    sure: float
    variant: Variant
    threads: tuple[Strands, ...]
    doubled: tuple[int, ...] = ()

    @property
    def mark(self) -> tuple[object, ...]:
        """What is knitted, for whomever."""
        return *self.variant.mark, self.threads

    @cached_property
    def pools(self) -> frozenset[int]:
        """All that it takes something of, as places among the pools."""
        return frozenset(pool for thread in self.threads for pool, _ in thread)

    @cached_property
    def place(self) -> tuple[float, str]:
        """Where it stands in a list: best first, ties by name."""
        return -round(self.score, 9), self.variant.accessory.name


@dataclass
class Best:
    """The best few assignments of one accessory so far; with `any_will_do` the first one ends the search.

    floor : nothing at or below it is of interest. highest : the highest bar since it was last set. lost : the best
    score of what was let go of for something better. cut_short : whether there were too many to try them all. looked :
    at so many.
    """

    each: int
    kind: str
    field: Field
    any_will_do: bool = False
    floor: float = -np.inf
    found: list[Found] = dataclass_field(default_factory=list)
    highest: float = -np.inf
    lost: float = -np.inf
    cut_short: bool = False
    looked: int = 0

    @property
    def tired(self) -> bool:
        """Whether no more strands held together are looked at."""
        return self.field.looked > _MOST_LOOKED_AT

    def look(self, candidates: int, alone: bool = False) -> None:
        """Count a look at so many where there may be no end. Raises TooMany when it is enough.

        alone : at pools alone and not at strands held together: an end to that comes with a bar, if there is ever one.
        """
        if alone and not self.any_will_do:
            return
        self.field.looked += candidates
        self.looked += candidates
        if self.tired and not (alone and self.looked <= _AT_LEAST):
            raise TooMany

    @property
    def bar(self) -> float:
        """What a new one must beat to count: the last of its own accessory's, and the last of the whole list."""
        if len(self.found) < self.each:
            return max(self.floor, self.field.bar_of(self.kind))
        return np.inf if self.any_will_do else max(self.found[-1].score + SLACK, self.field.bar_of(self.kind))

    def offer(self, new: Found) -> None:
        """Take it in if it is among the best and not there yet; of equals the earlier stays.

        The same for people who see it otherwise counts once, by the better of its scores.
        """
        if new.score <= self.bar:
            return
        same = [one for one in self.found if self.field.same(one, new)]
        if all(new.score > one.score for one in same):
            others = [one for one in self.found if not self.field.same(one, new)]
            ranked = sorted([*others, new], key=lambda one: -one.score)
            self.found = ranked[: self.each]
            self.lost = max([self.lost, *(one.score for one in ranked[self.each :])])
            self.field.settle()
            self.highest = max(self.highest, self.bar)


@dataclass
class Field:
    """All accessories that are searched at once; `top` of their assignments are wanted (None: all).

    cut_short : set when there were too many strands to try them all, so that the result may not be the best. missing :
    the most that any of those not tried could score. looked : at so many strands held together, for all of them.
    """

    top: int | None = None
    each: dict[str, Best] = dataclass_field(default_factory=dict)
    bar: float = -np.inf
    cut_short: bool = False
    missing: float = -np.inf
    looked: int = 0

    def met(self) -> list[Found]:
        """All that is kept, best first."""
        return sorted((one for best in self.each.values() for one in best.found), key=lambda one: one.place)

    def same(self, one: Found, other: Found) -> bool:
        """Whether of these two only the better is kept."""
        return one.mark == other.mark

    def known(self, best: Best, pools: frozenset[int], score: float) -> bool:
        """Whether an assignment of these pools that scores at most this can be left out."""
        return False

    def kept(self, each: int, roles: int) -> int:
        """So many are kept of an accessory of so many roles, of which `each` are wanted."""
        return each

    def bar_of(self, kind: str) -> float:
        """What a new one of a kind must beat."""
        return self.bar

    def settle(self) -> None:
        """Raise the bar to the last of the list, less what may be settled by name between equals."""
        if self.top is not None:
            scores = sorted((one.score for best in self.each.values() for one in best.found), reverse=True)
            if len(scores) >= self.top:
                self.bar = scores[self.top - 1] - TIE

    def chosen(self) -> list[Found]:
        """The list."""
        return self.met()[: self.top]

    def short(self) -> set[str]:
        """Accessories of which more must be found than were kept before the list is certain."""
        return set()

    def doubtful(self) -> set[str]:
        """Accessories that must be searched further before the list is certain."""
        return set()

"""The rows of a pool as they are asked: all at once where they are kept, else a bunch of files after the other."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
import numpy.typing as npt

from matcher.actions.collection.asking import Answered, Asking, Look, Progress
from matcher.actions.collection.gathered import Bunch, Held, bunches, rows_of
from matcher.actions.collection.givers import Wanted, best, givers
from matcher.actions.collection.planned import Sign, heaviest, in_list
from matcher.actions.collection.result import Giver
from matcher.actions.collection.turns import Turn, turns
from matcher.matching.pools import Stock
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.search import Outcome
from matcher.matching.rounds.parts import Mapper
from matcher.materials.collection import Collection, Once, joined
from matcher.store.catalogue.catalogue import Catalogue

EACH = 3
"""Things that are shown for each member or place; a choice."""


# Yarns for which givers are looked for at once. It changes how long that takes, never what it finds.
_WANTED = 2_000


@dataclass(frozen=True)
class Own:
    """What the rows of one member or one place give by themselves."""

    name: str
    lots: int
    free_m: float
    answered: Answered


class Source:
    """Answers of the files that were read. lots_at_once : None where they are kept, else so many lots are read again
    each time. near : near misses will be asked for."""

    def __init__(
        self, asking: Asking, held: Sequence[Held], mapper: Mapper, lots_at_once: int | None, near: bool
    ) -> None:
        self.asking, self.held, self.mapper, self.near = asking, held, mapper, near
        self.bunches = [] if lots_at_once is None else bunches(held, lots_at_once)

    @cached_property
    def _rows(self) -> Collection:
        return joined([one.rows for one in self.held if one.rows is not None])

    def whole(self, progress: Progress | None) -> Answered:
        """The best of all."""
        if self.bunches:
            self._answered = self.asking.answered_by(self.bunches, self.mapper, near=self.near)
        else:
            self._answered = self.asking.answered(self._rows, progress=progress)
        return self._answered

    def members(self) -> Iterator[Own]:
        """Each member's own; of files that are not kept, the members of a few groups of rows after another."""
        if not self.bunches:
            yield from _own(self.asking, self.near, self._rows, self._rows.member)
            return
        for several in self.mapper.map(partial(_members_of, self.asking, self.near), turns(self.held)):
            yield from (one.as_own(self.asking) for one in several)

    def places(self, places: Mapping[str, tuple[int, float]]) -> Iterator[Own]:
        """What lies at each place."""
        if not self.bunches:
            each = _own(self.asking, self.near, self._rows, self._rows.place)
            yield from sorted(each, key=lambda own: own.name)
            return
        for place, (lots, metres) in places.items():
            if lots:
                answered = self.asking.answered_by(self.bunches, self.mapper, place, EACH, self.near)
                yield Own(place, lots, metres, answered)

    def givers(self, wanted: Sequence[Wanted]) -> Iterator[list[Giver]]:
        """For each yarn that is wanted, one after another, who of all members could give it.

        Files that are not kept are read anew for it: so it is asked of many at once, not of each member's.
        """
        catalogue = self.asking.catalogue
        if not self.bunches:
            yield from givers(wanted, self._answered.stock, catalogue)
            return
        for first in range(0, len(wanted), _WANTED):
            some = wanted[first : first + _WANTED]
            each = list(self.mapper.map(partial(_givers_in, some, catalogue), self.bunches))
            for at, want in enumerate(some):
                yield best([giver for of_part in each for giver in of_part[at]], want.metres)

    def heaviest(self) -> Collection:
        """The rows among which a set is chosen: those of the list, and the heaviest of all."""
        listed = in_list(self._answered)
        if not self.bunches:
            return heaviest(self._rows, listed)
        each = list(self.mapper.map(partial(_heaviest_in, listed, self.asking.catalogue), self.bunches))
        return heaviest(joined(each), listed)


@dataclass(frozen=True)
class _Sent:
    """What is sent of one member's own: no searcher, which is large and soon made again."""

    name: str
    lots: int
    free_m: float
    stock: Stock
    outcome: Outcome

    def as_own(self, asking: Asking) -> Own:
        scope = asking.of_top(EACH)
        searcher = searcher_of(self.stock, scope, asking.catalogue)
        return Own(self.name, self.lots, self.free_m, Answered(self.stock, searcher, scope, self.outcome))


def _members_of(asking: Asking, near: bool, turn: Turn) -> list[_Sent]:
    rows = rows_of(turn.part, asking.catalogue)
    each = _own(asking, near, rows, rows.member, turn.members)
    return [_Sent(one.name, one.lots, one.free_m, one.answered.stock, one.answered.outcome) for one in each]


def _own(
    asking: Asking, near: bool, rows: Collection, column: Once[str], some: Container[str] | None = None
) -> Iterator[Own]:
    """What the rows of each value of a column give by themselves. some : of these values alone."""
    few = asking.answered if near else asking.best_few
    for name, at in _by(column):
        if some is not None and name not in some:
            continue
        mine = rows.take(at)
        yield Own(name, len(at), float(mine.free_m.sum()), few(mine, EACH))


def _givers_in(wanted: Sequence[Wanted], catalogue: Catalogue, bunch: Bunch) -> list[list[Giver]]:
    return givers(wanted, Look(catalogue)(bunch), catalogue)


def _heaviest_in(listed: frozenset[Sign], catalogue: Catalogue, bunch: Bunch) -> Collection:
    return heaviest(joined([rows_of(part, catalogue) for part in bunch]), listed)


def _by(column: Once[str]) -> Iterator[tuple[str, npt.NDArray[np.intp]]]:
    """Each value with the rows that have it."""
    order = np.argsort(column.at, kind="stable")
    ends = np.searchsorted(column.at[order], np.arange(len(column.values) + 1))
    for place, name in enumerate(column.values):
        rows = order[ends[place] : ends[place + 1]]
        if len(rows):
            yield name, rows

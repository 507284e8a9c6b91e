"""What rules out a choice of columns that is not sure enough, and as many others with it as can be told.

Three things are told of it. Its cores: the parts of it that are not sure enough and have no smaller part that is not;
with each of a core's columns all those that may stand in its place. Its risk at some tension: for columns whose risks
grow with the tension no less steeply than those of the choice, so much in all is certainly too much. And of pairs, once
for all, the cliques of which only one can be chosen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

from matcher.matching.sets.column import Column
from matcher.matching.sets.conflicts import APART
from matcher.matching.sets.selection import Rules, Selection
from matcher.materials.uncertain import tension_grid

Floats = npt.NDArray[np.float64]
Cut = tuple[dict[int, float], float]
"""By place of a column what it counts, and what those chosen may come to at most."""

# A choice of more has too many cores to look for.
_FEW = 12
# Tensions at which risks are added up, in standard deviations; how far a column's risk may grow less steeply than that
# of the choice; how many such cuts are made of one choice.
_LOW, _HIGH, _EVERY = 0.7, 2.3, 2
_LESS_STEEP = (0.5, 0.3, 0.2, 0.1, 0.05, 0.02, 0.0)
_MOST = 3
# What is left of a chance so near 1 is rounding.
_NO_RISK = 1e-12
# The window of the grid in which steepness is compared, nodes below and above.
_BELOW, _ABOVE = 20, 30


def cuts_against(rules: Rules, columns: Sequence[Column], chances: Floats, chosen: Sequence[int]) -> Iterator[Cut]:
    """What rules out the columns at these places together. chances : (c, nodes), the logarithm of each one's chance."""
    if len(chosen) > _FEW:
        yield dict.fromkeys(chosen, 1.0), len(chosen) - 1.0
    else:
        for core in _cores(rules, columns, chosen):
            for places in _no_surer(rules, columns, chances, core):
                yield dict.fromkeys(places, 1.0), len(core) - 1.0
    yield from _risks(rules.asked.sure - APART, -chances, chosen)


def _cores(rules: Rules, columns: Sequence[Column], chosen: Sequence[int]) -> list[tuple[int, ...]]:
    """Parts that are not sure enough and have no smaller part that is not."""
    found = set()
    for turn in range(len(chosen)):
        core = [*chosen[turn:], *chosen[:turn]]
        for place in list(core):
            less = [one for one in core if one != place]
            if not Selection(rules, (columns[one] for one in less)).is_sure:
                core = less
        found.add(tuple(sorted(core)))
    return sorted(found)


def _no_surer(rules: Rules, columns: Sequence[Column], chances: Floats, core: Sequence[int]) -> Iterator[list[int]]:
    """Columns of which only one less than the core has can be together: the core, and what may stand in its places.

    Things are never surer together than the product of their chances at each tension, which is reached where they share
    no pool. So one that shares none with the rest of the core may be replaced by any of its want, if that can have but
    one, that is at no tension surer; and while the product stays below what is asked, by any that raise it. In place of
    one of them may also stand one of a want of which the core has nothing.
    """
    weight, below = tension_grid()[1], rules.asked.sure - APART
    single = [want for want, number in enumerate(rules.asked.numbers) if number == 1]
    of_want: dict[int, list[int]] = {want: [] for want in single}
    for place, column in enumerate(columns):
        if column.want in of_want:
            of_want[column.want].append(place)
    alone = [place for place in core if columns[place].want in of_want and _by_itself(columns, place, core)]
    rest = weight * np.exp(Selection(rules, (columns[place] for place in core if place not in alone)).log)
    most = {place: np.exp(chances[place]) for place in alone}
    found = list(core)
    for place in alone:
        others = rest * np.prod([most[other] for other in alone if other != place], axis=0)
        same = of_want[columns[place].want]
        for at in np.argsort(np.exp(chances[same]) @ others, kind="stable"):
            higher = np.maximum(most[place], np.exp(chances[same[at]]))
            if same[at] != place and float(higher @ others) < below:
                most[place] = higher
                found.append(same[at])
    yield found
    here = {columns[place].want for place in core}
    for place in alone:
        others = rest * np.exp(sum((chances[other] for other in alone if other != place), np.zeros(len(weight))))
        for want in single:
            if want not in here and (theirs := of_want[want]):
                instead = np.flatnonzero(np.exp(chances[theirs]) @ others < below)
                if len(instead):
                    yield [*(one for one in core if one != place), *(theirs[at] for at in instead)]


def _by_itself(columns: Sequence[Column], place: int, core: Sequence[int]) -> bool:
    pools = columns[place].found.pools
    return not any(pools & columns[other].found.pools for other in core if other != place)


def _risks(sure: float, risk: Floats, chosen: Sequence[int]) -> list[Cut]:
    """For some tensions, so much risk of columns like those chosen as can't be borne: those with most columns.

    If each column's risk at a tension z is at least shape(z) times that at the one looked at, the chance of all is at
    most the mean of exp(-shape times their sum there), which must not be less than `sure`.
    """
    z, weight = tension_grid()
    found: list[tuple[int, Cut]] = []
    for at in np.flatnonzero((z > _LOW) & (z < _HIGH))[::_EVERY]:
        window = slice(max(0, at - _BELOW), at + _ABOVE)
        able = np.flatnonzero(risk[:, at] > _NO_RISK)
        least_part = max(_NO_RISK, 0.01 * float(risk[list(chosen), at].sum()))
        theirs = [place for place in chosen if risk[place, at] > least_part]
        if not theirs:
            continue
        steep = risk[able, window] / risk[able, at, None]
        least = np.min([risk[place, window] / risk[place, at] for place in theirs], axis=0)
        less_steep = np.where(least > 0, 1.0 - steep / np.maximum(least, 1e-300), 0.0).max(axis=1)
        for bearable in _LESS_STEEP:
            among = able[less_steep <= bearable + 1e-12]
            most = _bearable((risk[among] / risk[among, at, None]).min(axis=0), weight, sure)
            if risk[[place for place in theirs if place in among], at].sum() > most * (1 + 1e-7):
                found.append((len(among), ({int(one): float(risk[one, at]) for one in among}, most)))
                break
    return [cut for _, cut in sorted(found, key=lambda one: -one[0])[:_MOST]]


def _bearable(shape: Floats, weight: Floats, sure: float) -> float:
    """The least risk that is certainly too much."""
    falls = -shape
    low, high = 0.0, 64.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if float(np.exp(falls * middle).dot(weight)) >= sure else (low, middle)
    return high

"""Shaping: the stitches of every round of a zone that narrows or widens, as it is really knitted.

A pattern, its metres and its picture count by this one rule. A round's stitches are those on the needle after it; a
round of k2tog can at most halve them.

Crown: in sections, each a stitch narrower in every decrease round, down to one stitch a section; the first decrease
round brings an uneven count to a multiple of the sections. The first decreases stand in every second round, the last
in every round (common practice). Frustum (the tip of a mitten, a toe): two stitches at either side, its plain rounds
shared out over the decreases. Triangle: a stitch at either edge, in a few rows that come
again, nearly on a straight line from its first row, which has the first stitches, to its last.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import NamedTuple

AT_SIDES = 4  # stitches that a decrease round of a frustum takes: two at either side
AT_EDGES = 2  # stitches that a row of a triangle gains: one at either edge
_LONGEST_CYCLE = 8  # rows of a triangle that come again (a choice: what can be kept in mind)
_OFF = 0.04  # of what an edge gains, that it may be off a straight line (a choice: it can hardly be seen)


class Change(NamedTuple):
    """A round that alters the number of stitches: `number` counts from 0 at the bottom of the zone."""

    number: int
    before: int
    after: int

    @property
    def by(self) -> int:
        """Stitches more, or fewer below 0."""
        return self.after - self.before


def spread(stitches: int, changes: int) -> tuple[int, ...]:
    """Stitches divided by so many changes into runs that differ by at most one: cuts at floor(i n / k).

    Empty without a change. Decreases take the last two stitches of each run, increases stand after it.
    """
    cuts = [place * stitches // changes for place in range(changes + 1)] if changes else []
    return tuple(after - before for before, after in pairwise(cuts))


@lru_cache(maxsize=16384)
def crown_end(first: int, rounds: int, usual: int, least: int, most: int, columns: int = 1) -> int:
    """Stitches that a crown is drawn together over, one for each of its sections, of which it has least to most.

    Of the numbers of sections whose decreases fill the rounds, one that divides the stitches and is next to the usual
    one; best of all into whole repeats of so many columns, as of rib. Where the rounds are more than that, the fewest
    sections; where too few, what can still be reached.
    """
    if first <= usual:
        return first
    every = {number: -(-first // number) - 1 for number in range(least, most + 1)}  # decrease rounds
    room = [number for number, times in every.items() if times <= rounds]
    fitting = [number for number in room if rounds <= 2 * every[number] + 1]
    if fitting:
        return min(fitting, key=lambda one: (first % (one * columns) > 0, first % one > 0, abs(one - usual), one))
    return min(room) if room else _in_a_hurry(first, usual, rounds)[-1]


def frustum_end(first: int, wanted: int) -> int:
    """The number next to the wanted one that is reached by two stitches at either side, the larger of two as near.

    At least 4, since a round of k2tog can only halve.
    """
    last = first + AT_SIDES * ((wanted - first + AT_SIDES // 2) // AT_SIDES)
    return max(last, first if first < 2 * AT_SIDES else AT_SIDES + first % AT_SIDES)


def triangle_end(first: int, wanted: int) -> int:
    """The number next to the wanted one that is reached by one stitch at either edge, the larger of two as near."""
    return first + AT_EDGES * ((wanted - first + AT_EDGES // 2) // AT_EDGES)


@lru_cache(maxsize=16384)
def by_round(shape: str, first: int, last: int, rounds: int) -> tuple[int, ...]:
    """Stitches after each round of a zone, bottom up; the last are `last` wherever the rounds suffice.

    shape: as of the catalogue's zones. first: on the needle before the first round; of a triangle, in its first row.
    """
    if shape == "triangle":
        return _triangle(first, last, rounds)
    if first == last:
        return (first,) * rounds
    if first < last:
        return (*reversed(by_round(shape, last, first, rounds)[:-1]), last)
    step = last if shape == "crown" else AT_SIDES
    times = -(-(first - last) // step)
    if times > rounds or 2 * (last + (times - 1) * step) < first or 2 * last < min(first, last + step):
        return _in_a_hurry(first, last, rounds)
    after = [last + step * (times - 1 - number) for number in range(times)]
    found: list[int] = []
    for plain, before, now in zip(_plain_before(shape, times, rounds - times), (first, *after), after, strict=False):
        found += [before] * plain + [now]
    return tuple(found)


def changes_of(first: int, rounds: Sequence[int]) -> tuple[Change, ...]:
    """The rounds that alter the number of stitches. first: on the needle before them."""
    pairs = enumerate(zip((first, *rounds), rounds, strict=False))
    return tuple(Change(number, before, after) for number, (before, after) in pairs if before != after)


def _plain_before(shape: str, times: int, plain: int) -> list[int]:
    """Plain rounds before each of so many decrease rounds.

    As many as there are gaps stand one in a gap, from the bottom. Of more a crown has the others first, a frustum
    shares them out.
    """
    gaps = times - 1
    if plain <= gaps:
        return [0] + [1] * plain + [0] * (gaps - plain)
    if shape == "crown":
        return [plain - gaps] + [1] * gaps
    whole, rest = divmod(plain, times)
    return [whole + (number < rest) for number in range(times)]


def _triangle(first: int, last: int, rows: int) -> tuple[int, ...]:
    if rows == 1:
        return (last,)
    if last < first:
        return tuple(reversed(_triangle(last, first, rows)))
    times, steps = (last - first) // AT_EDGES, rows - 1
    gains = _regularly(times, steps) if times <= steps else _nearest(times, steps)
    return tuple(first + AT_EDGES * gained for gained in accumulate(gains, initial=0))


def _regularly(times: int, steps: int) -> list[int]:
    """Which of so many rows gain, 1 or 0: a few rows that come again and again, so that they can be kept in mind.

    What doesn't go into them stands in the first rows. The shortest such rule that nowhere is further off the straight
    line than _OFF says; without one, as near to it as may be.
    """
    straight = _nearest(times, steps)
    most = max(1.5, _OFF * times)
    for cycle in range(1, _LONGEST_CYCLE + 1):
        found = []
        for gains in range(1, cycle + 1):
            again = min(steps // cycle, times // gains)
            if gains < cycle:
                again = min(again, (steps - times) // (cycle - gains))
            if again <= 1:
                continue
            rest = steps - again * cycle
            rule = [*_nearest(times - again * gains, rest), *_floor(gains, cycle) * again]
            off = max(abs(a * steps - times * row) for row, a in enumerate(accumulate(rule), 1)) / steps
            if off <= most:
                found.append((off, rule))
        if found:
            return min(found)[1]
    return straight


def _nearest(times: int, steps: int) -> list[int]:
    """So many gains shared out over the rows, as near to a straight line as may be."""
    return [
        (2 * times * (row + 1) + steps) // (2 * steps) - (2 * times * row + steps) // (2 * steps)
        for row in range(steps)
    ]


def _floor(times: int, steps: int) -> list[int]:
    """The same with plain rows first."""
    return [times * (row + 1) // steps - times * row // steps for row in range(steps)]


def _in_a_hurry(first: int, last: int, rounds: int) -> tuple[int, ...]:
    """In each round as many decreases as an even way down asks, but never more than halve it.

    Where even that will not do, the stitches stay more than `last`.
    """
    found, now = [], first
    for left in range(rounds, 0, -1):
        evenly = now - -(-(now - last) // left)
        now = max(last, -(-now // 2), min(evenly, last << (left - 1)))
        found.append(now)
    return tuple(found)

"""What is counted on a motif before it is knitted: row by row, its repeats, its neighbours, light and dark."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from matcher.knitting.motifs.grid import longest_floats
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.colour import Colour

# Two L* this near are one: it only keeps rounding from splitting colours that are alike.
_ALIKE = 1e-9


@dataclass(frozen=True)
class RowCount:
    """One row, counted from 1 at the bottom: the stitches of each role in it, and each role's longest float.

    Only roles that the row uses stand here, in the order of the motif's roles. A float is the run of stitches
    between two of its own that a role passes behind, round the edge of the repeat.
    """

    row: int
    stitches: Mapping[str, int]
    longest_floats: Mapping[str, int]

    @property
    def colours(self) -> int:
        """How many roles the row uses."""
        return len(self.stitches)


@dataclass(frozen=True)
class SharedEdges:
    """Sides of stitches where two different roles meet, both ways round the edge of the repeat.

    beside: between neighbours of one row; above: between a stitch and the one that stands on it.
    """

    roles: tuple[str, str]
    beside: int
    above: int

    @property
    def edges(self) -> int:
        """Both together."""
        return self.beside + self.above


@dataclass(frozen=True)
class Balance:
    """Light and dark of a motif in given colours.

    mean_l: the mean L* of all stitches, each colour weighted by the stitches that show it; lighter_share: the part
    of the stitches whose L* is above that mean; apart_l: the mean L* of those, less the mean L* of all others (0
    when all stitches are alike).
    """

    mean_l: float
    lighter_share: float
    apart_l: float


def count_rows(motif: Motif) -> tuple[RowCount, ...]:
    """Every row of one repeat, bottom row first."""
    return tuple(_count(number, row, motif.role_names) for number, row in enumerate(motif.named_rows, start=1))


def _count(number: int, row: Sequence[str], order: Sequence[str]) -> RowCount:
    stitches, floats = Counter(row), longest_floats(row)
    used = [role for role in order if role in stitches]
    return RowCount(number, {role: stitches[role] for role in used}, {role: floats[role] for role in used})


def shared_edges(motif: Motif) -> tuple[SharedEdges, ...]:
    """Every two roles that touch, the most edges first."""
    beside, above = motif.touching
    pairs = ((pair, frozenset(pair)) for pair in combinations(motif.role_names, 2))
    found = [SharedEdges(pair, beside.get(edge, 0), above.get(edge, 0)) for pair, edge in pairs]
    return tuple(sorted((one for one in found if one.edges), key=lambda one: -one.edges))


def smallest_repeat(motif: Motif) -> tuple[int, int]:
    """Stitches and rows of the smallest block that, set side by side and stacked, makes this very grid.

    Each is a divisor of the grid's own, since the grid itself repeats; (width, height) when nothing smaller does.
    """
    across = next(
        size for size in _divisors(motif.width) if all(row[:size] * (motif.width // size) == row for row in motif.grid)
    )
    up = next(size for size in _divisors(motif.height) if motif.grid[:size] * (motif.height // size) == motif.grid)
    return across, up


def _divisors(number: int) -> list[int]:
    return [size for size in range(1, number + 1) if number % size == 0]


def balance(motif: Motif, colours: Mapping[str, Colour]) -> Balance:
    """Light and dark, every role in its colour; a variegated colour counts with each of its parts.

    Raises KeyError for a role without a colour.
    """
    shown = [
        (lab[0], share * count) for role, count in motif.stitches.items() for lab, share in colours[role].stitches()
    ]
    mean = _mean(shown)
    lighter = [one for one in shown if one[0] > mean + _ALIKE]
    darker = [one for one in shown if one[0] <= mean + _ALIKE]
    apart = _mean(lighter) - _mean(darker) if lighter else 0.0
    return Balance(mean, sum(weight for _, weight in lighter) / motif.size, apart)


def _mean(shown: Sequence[tuple[float, float]]) -> float:
    return sum(value * weight for value, weight in shown) / sum(weight for _, weight in shown)

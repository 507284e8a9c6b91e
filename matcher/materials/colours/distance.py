"""What is left of a motif's colours at a distance: how far the stitches of two roles blur into each other.

The blurring is linear in light, so that what a motif does to colours at one gauge and one distance is found once, as
shares; any pair of colours then costs a few multiplications and one CIEDE2000.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.eye import SpatialRules, angle_deg, blurred

Floats = npt.NDArray[np.float64]
Grid = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Element:
    """Stitches of one role that touch each other by a side or a corner: a diamond, a line, a single stitch.

    Columns and rows are those that it reaches into; where it runs right round the repeat, all of them.
    """

    role: int
    stitches: int
    columns: int
    rows: int
    cells: Flags

    def least_deg(self, stitch_cm: tuple[float, float], distance_m: float) -> float:
        """The visual angle of its smaller side, in degrees."""
        return angle_deg(min(self.columns * stitch_cm[0], self.rows * stitch_cm[1]), distance_m)


@dataclass(frozen=True, eq=False)
class View:
    """A repeat of a motif from one distance.

    grid: array (rows, stitches) of role numbers from 0. mixed: array (3, roles, rows, stitches): in each opponent
    channel, what each role's colour counts for at the centre of each stitch; over the roles it sums to 1.
    """

    grid: Grid
    mixed: Floats

    def shares(self, role: int, other: int, cells: Flags | None = None) -> Floats:
        """How much of its own colour a role keeps beside another: array (2, 3), on its stitches and on the other's.

        1 and 0 is untouched, twice the same value is blurred into one. The mean over stitches is the straight line
        that fits best from the colours knitted to the colours seen, so that every size of element counts by its
        stitches. Further roles count as half way between the two, so that a pair never hangs on a third colour.
        The filters sharpen lightness a little, past what is there; no more than the whole is said to be kept.

        cells: the stitches of `role` that are asked about (rows, stitches), with those of the other that touch
        them; else all of both. At least one of each is needed.
        """
        on = self.grid == role if cells is None else cells
        off = self.grid == other
        off = off if cells is None else off & _with_neighbours(cells)
        own = 0.5 + (self.mixed[:, role] - self.mixed[:, other]) / 2
        kept = np.stack([own[:, on].mean(axis=1), own[:, off].mean(axis=1)])
        return np.asarray(np.clip(kept, 0.0, 1.0))


def view(grid: Grid, stitch_cm: tuple[float, float], distance_m: float, rules: SpatialRules) -> View:
    """A motif that repeats both ways, looked at from straight before it.

    Parameters
    ----------
    grid : array (rows, stitches) of role numbers from 0, each of which is used.
    stitch_cm : width and height of a stitch: 10 divided by the stitches, and by the rows, in 10 cm.
    distance_m : from the eye to the knitting.
    """
    return View(grid, blurred(_masks(grid), _cell_deg(stitch_cm, distance_m), rules))


def seen(
    grid: Grid,
    labs: Floats,
    stitch_cm: tuple[float, float],
    distance_m: float,
    rules: SpatialRules,
    samples: int = 1,
) -> Floats:
    """The repeat as it is seen: CIELAB, array (rows * samples, stitches * samples, 3).

    labs: array (roles, 3), CIELAB D65. samples: points along each side of a stitch. Else as `view`. Beside sharp edges
    the filters sharpen, so that a point may come out a little darker or lighter than any of the colours.
    """
    mixed = blurred(_masks(grid), _cell_deg(stitch_cm, distance_m), rules, samples)
    return rules.lab(np.einsum("crij,rc->ijc", mixed, rules.opponent(labs)))


def remains(ones: Floats, others: Floats, shares: Floats, rules: SpatialRules) -> tuple[Floats, Floats]:
    """What is left of the differences of many pairs of colours, from near to far: CIEDE2000, and L* without its sign.

    No difference is more than side by side, nor grows with the distance. By the filters alone a few would, such as
    black beside red: what a dark colour takes on of a vivid one weighs heavily in CIELAB.

    Parameters
    ----------
    ones, others : opponent channels (`SpatialRules.opponent`) of one colour of each pair and of the other; arrays
        (..., 3) that go together.
    shares : array (k, 2, 3), `View.shares` at each of k distances, the nearest first.

    Returns
    -------
    two arrays (k, ...)
    """
    side_by_side = np.array([[[1.0], [0.0]]]) * np.ones(3)
    apart = ones - others
    pairs = [[rules.lab(others + share * apart) for share in at] for at in np.concatenate([side_by_side, shares])]
    delta_e = np.stack([ciede2000(one, other) for one, other in pairs])
    delta_l = np.stack([np.abs(one[..., 0] - other[..., 0]) for one, other in pairs])
    return np.minimum.accumulate(delta_e)[1:], np.minimum.accumulate(delta_l)[1:]


def elements(grid: Grid, role: int) -> Iterator[Element]:
    """The elements that a role's stitches make in a grid that repeats both ways, from the bottom left."""
    left = grid == role
    while left.any():
        cells = np.zeros_like(left)
        cells[np.unravel_index(left.argmax(), left.shape)] = True
        reached = 0
        while (count := int(cells.sum())) > reached:
            reached, cells = count, _with_neighbours(cells) & left
        left = left & ~cells
        yield Element(role, reached, int(cells.any(axis=0).sum()), int(cells.any(axis=1).sum()), cells)


def roles_of(rows: Sequence[str], marks: Sequence[str]) -> Grid:
    """A grid of marks, one character a stitch, as role numbers in the order of `marks`; ValueError for any other."""
    return np.array([[marks.index(mark) for mark in row] for row in rows], dtype=np.intp)


def _with_neighbours(cells: Flags) -> Flags:
    """These cells and all that touch them by a side or a corner, round the edges."""
    wide = cells | np.roll(cells, 1, axis=1) | np.roll(cells, -1, axis=1)
    return np.asarray(wide | np.roll(wide, 1, axis=0) | np.roll(wide, -1, axis=0))


def _masks(grid: Grid) -> Floats:
    return np.stack([grid == role for role in range(int(grid.max()) + 1)]).astype(float)


def _cell_deg(stitch_cm: tuple[float, float], distance_m: float) -> tuple[float, float]:
    return angle_deg(stitch_cm[0], distance_m), angle_deg(stitch_cm[1], distance_m)

"""What stays of a motif's figures at a distance, in words: "across a room the single stitches blur".

The elements of a role (`colours/distance.py`) are put together by their size, and each size is held against the
stitches that touch it. An element that looks large bears a low contrast; a smaller one must have twice as much left.
That letters behave so is published, that elements do is a choice, and so is what counts as low.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import Any

import numpy as np
import numpy.typing as npt

from matcher.knitting.motifs.motif import Motif
from matcher.matching.kept import grid_of
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.distance import Element, View, elements, remains, view
from matcher.materials.colours.eye import DISTANCES, SpatialRules
from matcher.materials.colours.words import ColourWords, nearest_word
from matcher.materials.rules import ContrastRules
from matcher.reasons.reason import Term, Words, listed, reason

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

USUAL_GAUGE = (22.0, 29.0)
"""Stitches and rows in 10 cm where none is told: a choice, as the pictures have it."""
# In a grid of more stitches elements are not told apart, and no more kinds of them are named: choices.
_MOST_STITCHES, _MOST_KINDS = 6_000, 4


@dataclass(frozen=True)
class Afar:
    """Two colours of a motif from one distance: CIEDE2000 and L* that are left, over all their stitches.

    stays, blurs : the kinds of elements of the figure that can still be told from the ground, and that cannot. into :
    the plain word nearest to what those come to.
    """

    distance: str
    metres: float
    delta_e: float
    delta_l: float
    stays: tuple[Words, ...]
    blurs: tuple[Words, ...]
    into: str

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "distance": self.distance,
            "metres": round(self.metres, 2),
            "delta_e": round(self.delta_e, 2),
            "delta_l": round(self.delta_l, 2),
            "stays": list(self.stays),
            "blurs": list(self.blurs),
            "into": self.into,
        }


class FromAfar:
    """A motif at a gauge (stitches and rows in 10 cm), looked at from the three distances."""

    def __init__(
        self,
        motif: Motif,
        gauge: tuple[float, float],
        spatial: SpatialRules,
        contrast: ContrastRules,
        words: ColourWords,
    ) -> None:
        self.spatial, self.contrast, self.words = spatial, contrast, words
        self.motif, self.stitch_cm = motif, (10.0 / gauge[0], 10.0 / gauge[1])
        self.grid, self.roles = grid_of(motif)

    @cached_property
    def views(self) -> list[View]:
        """From near to far."""
        return [view(self.grid, self.stitch_cm, metres, self.spatial) for metres in self.spatial.distances_m]

    def of(self, ground: str, figure: str, colours: Mapping[str, Colour]) -> tuple[Afar, ...]:
        """What stays of two roles in their colours, from near to far; the one with fewer stitches is the figure.

        A yarn of several colours counts as their mean: from afar that is what is seen.
        """
        if self.motif.stitches[figure] > self.motif.stitches[ground]:
            ground, figure = figure, ground
        role, other = self.roles.index(figure), self.roles.index(ground)
        one, beside = (self.spatial.opponent(np.array(colours[name].mean())) for name in (figure, ground))
        whole_e, whole_l = self._left(one, beside, self._shares(role, other, None))
        kinds = []
        for name, element, cells in self._kinds(role, figure):
            shares = self._shares(role, other, cells)
            kinds.append((name, element, shares, *self._left(one, beside, shares)))
        found = []
        for at, (distance, metres) in enumerate(zip(DISTANCES, self.spatial.distances_m, strict=True)):
            stays: list[Words] = []
            blurs: list[Words] = []
            into = []
            for name, element, shares, delta_e, delta_l in kinds:
                large = element.least_deg(self.stitch_cm, metres) >= self.spatial.low_contrast_from_deg
                left = max(delta_l[at] / self.contrast.readable_delta_l, delta_e[at] / self.contrast.readable_delta_e)
                if left >= (1.0 if large else 2.0):
                    stays.append(name)
                else:
                    blurs.append(name)
                    into.append(beside + shares[at].mean(axis=0) * (one - beside))
            word = nearest_word(self.spatial.lab(np.mean(into, axis=0)), self.words) if into else ""
            found.append(
                Afar(distance, metres, float(whole_e[at]), float(whole_l[at]), tuple(stays), tuple(blurs), word)
            )
        return tuple(found)

    def _left(self, one: Floats, other: Floats, shares: Floats) -> tuple[Floats, Floats]:
        return remains(one, other, shares, self.spatial)

    def _shares(self, role: int, other: int, cells: Flags | None) -> Floats:
        return np.stack([one.shares(role, other, cells) for one in self.views])

    def _kinds(self, role: int, figure: str) -> list[tuple[Words, Element, Flags | None]]:
        """The elements of a role by kind, smallest first: what they are called, one of them, and all their stitches."""
        height, width = self.grid.shape
        every = self.grid == role
        whole = Element(role, int(every.sum()), width, height, every)
        name = reason("the stitches of {role}", role=Term(figure))
        if self.grid.size > _MOST_STITCHES:
            return [(name, whole, None)]
        by_size: dict[tuple[int, int, int], list[Element]] = {}
        for one in elements(self.grid, role):
            by_size.setdefault((min(one.columns, one.rows), one.columns, one.rows), []).append(one)
        if len(by_size) > _MOST_KINDS:
            return [(name, whole, None)]
        return [
            (_called(several[0], width, height), several[0], np.any([one.cells for one in several], axis=0))
            for _, several in sorted(by_size.items())
        ]


def _called(one: Element, width: int, height: int) -> Words:
    if one.stitches == 1:
        return reason("the single stitches")
    if one.columns >= width or one.rows >= height:
        return reason("the lines")
    if one.columns == 1:
        return reason("the upright lines of {rows} stitches", rows=one.rows)
    if one.rows == 1:
        return reason("the level lines of {columns} stitches", columns=one.columns)
    return reason("the figures of {columns} by {rows} stitches", columns=one.columns, rows=one.rows)


def afar_words(found: Sequence[Afar]) -> Words:
    """What stays at the three distances, in one sentence; distances where all is alike go together."""
    said: list[Words] = []
    for (stays, blurs, into), several in groupby(found, key=lambda one: (one.stays, one.blurs, one.into)):
        where = listed([Term(one.distance) for one in several], "and")
        if not blurs:
            said.append(reason("{where} all of it shows", where=where))
            continue
        gone = reason("{what} blur into the background and look {into}", what=listed(blurs, "and"), into=into)
        both = listed([reason("{what} show", what=listed(stays, "and")), gone]) if stays else gone
        said.append(reason("{where} {both}", where=where, both=both))
    return listed(said, between="; ")

"""How much of a difference of hue a motif keeps across a table, by the size of its elements and by the gauge.

The eye blurs hues before it blurs lightness (`materials/colours/distance`): across a table all of the lightness is left
at any gauge that is knitted, of a hue a half to nine tenths. So two colours that differ by hue alone read in stripes of
three rows and blur in single stitches. The table is the distance that decides: a choice; the other two are told beside
it (`afar`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import Gauge
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.distance import Grid, view
from matcher.materials.colours.eye import DISTANCES, SpatialRules

DECIDES = DISTANCES.index("across a table")
# What is left of a hue is never said to be less than this: a figure to divide by, and below all that is knitted.
_LEAST = 0.2


def grid_of(motif: Motif) -> tuple[Grid, tuple[str, ...]]:
    """The motif's grid of role numbers, array (rows, stitches), and the roles that have stitches, in their order."""
    roles = tuple(role for role in motif.role_names if motif.stitches[role])
    return np.array([[roles.index(role) for role in row] for row in motif.named_rows], dtype=np.intp), roles


@lru_cache(maxsize=1024)
def hue_kept(motif: Motif, gauge: tuple[float, float], spatial: SpatialRules) -> Mapping[frozenset[str], float]:
    """The part of a difference of hue that two roles of a motif keep across a table, for each two that touch.

    gauge: stitches and rows in 10 cm. Of the two channels of hue it is the one that keeps less.
    """
    grid, roles = grid_of(motif)
    across = view(grid, (10.0 / gauge[0], 10.0 / gauge[1]), spatial.distances_m[DECIDES], spatial)
    found = {}
    for edge in motif.edges:
        one, other = (roles.index(role) for role in edge)
        on, off = across.shares(one, other)
        found[edge] = max(_LEAST, float((on - off)[1:].min()))
    return found


def least_kept(motif: Motif, gauge: tuple[float, float], spatial: SpatialRules) -> float:
    """The least that any two roles of a motif keep; 0, as for single stitches, where none touch."""
    return min(hue_kept(motif, gauge, spatial).values(), default=0.0)


@dataclass(frozen=True)
class KeptHues:
    """What accessories keep, by the motifs that there are."""

    motifs: Mapping[str, Motif]
    spatial: SpatialRules

    def of(self, accessory: Accessory, gauge: Gauge) -> dict[frozenset[str], float]:
        """For each two roles that touch: of its motifs the one in which they keep least."""
        found: dict[frozenset[str], float] = {}
        for key in {zone.motif for zone in accessory.zones if zone.motif}:
            of_motif = hue_kept(self.motifs[key], (gauge.stitches_10cm, gauge.rows_10cm), self.spatial)
            for edge, kept in of_motif.items():
                found[edge] = min(kept, found.get(edge, 1.0))
        return found

"""What the other parts of a stock hold, as far as the bounds of one part must know of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from zlib import crc32

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import ColourTable
from matcher.matching.pools import Stock
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.tops import Tops

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
BlockName = tuple[str, str, float]
"""Accessory, party, stitches in 10 cm."""


@dataclass(frozen=True)
class Beyond:
    """What one part tells of itself, or several parts together.

    tops : by block. garments, yarns : marks of the names of what some pool lived in, or is of; of several parts, those
    that more than one has. colours : (k, 6), the ends of all colours with their spreads.
    """

    tops: Mapping[BlockName, Tops] = field(default_factory=dict)
    garments: Indexes = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    yarns: Indexes = field(default_factory=lambda: np.zeros(0, dtype=np.intp))
    colours: Floats = field(default_factory=lambda: np.zeros((0, 6)))

    def away(self, stock: Stock) -> Floats:
        """How far each pool could belong together with one in another part: array (n,)."""
        garments = np.append(np.isin(_marks(stock.garments, stock.homes), self.garments), False)
        yarns = np.append(np.isin(_marks(stock.yarn_names, stock.yarns), self.yarns), False)
        one_yarn = np.where(yarns[stock.yarns], stock.rules.one_yarn_kindred, 0.0)
        return np.where(garments[stock.homes].any(axis=1), 1.0, one_yarn)

    def seen_with(self, stock: Stock) -> Stock:
        """A part whose table of colours reaches as far as that of the whole."""
        labs, sds = self.colours[:, :3], self.colours[:, 3:]
        return replace(stock, labs=np.concatenate([stock.labs, labs]), sds=np.concatenate([stock.sds, sds]))


def most_away(stock: Stock, whole_garments: bool) -> Floats:
    """As `Beyond.away`, where nothing is known of other parts."""
    one_yarn = np.where(stock.yarns >= 0, stock.rules.one_yarn_kindred, 0.0)
    return one_yarn if whole_garments else np.where((stock.homes >= 0).any(axis=1), 1.0, one_yarn)


def told(searcher: Searcher, tops: Mapping[BlockName, Tops]) -> Beyond:
    """What a part tells of itself."""
    stock = searcher.stock
    tables = [searcher.colours, *(one.colours for one in searcher.parties.values())]
    ends = np.unique(np.concatenate([_ends(table) for table in tables]))
    colours = np.hstack([stock.labs[ends], stock.sds[ends]])
    garments, yarns = _marks(stock.garments, stock.homes), _marks(stock.yarn_names, stock.yarns)
    return Beyond(tops, _there(garments, stock.homes), _there(yarns, stock.yarns), colours)


def together(parts: Sequence[Beyond]) -> Beyond:
    """What several parts hold together, and have in common."""
    tops: dict[BlockName, Tops] = {}
    for part in parts:
        for name, one in part.tops.items():
            tops[name] = tops[name].or_more(one) if name in tops else one
    garments, yarns = (_of_several(marks) for marks in ([p.garments for p in parts], [p.yarns for p in parts]))
    return Beyond(tops, garments, yarns, np.unique(np.concatenate([part.colours for part in parts]), axis=0))


def _marks(names: tuple[str, ...], numbers: Indexes) -> Indexes:
    """A number for each name, the same in every process. Two names with one number only make a bound looser.

    A table without names is of numbers alone, which all parts share.
    """
    if not names:
        return np.arange(int(numbers.max(initial=-1)) + 1)
    return np.array([crc32(name.encode()) for name in names], dtype=np.intp)


def _there(marks: Indexes, numbers: Indexes) -> Indexes:
    """Of a table that other parts may share, the marks of what stands in this part."""
    here = np.unique(numbers)
    return np.unique(marks[here[here >= 0]])


def _of_several(marks: Iterable[Indexes]) -> Indexes:
    every, times = np.unique(np.concatenate([*marks, np.zeros(0, dtype=np.intp)]), return_counts=True)
    return every[times > 1]


def _ends(table: ColourTable) -> Indexes:
    """The colours that lie farthest out in each sight, and the two that are least in doubt."""
    if not table.lightness.shape[1]:
        return np.zeros(0, dtype=np.intp)
    ends = [*table.seen.argmin(axis=1).ravel(), *table.seen.argmax(axis=1).ravel()]
    if table.guesses:
        ends += [*np.argsort(table.doubt, axis=1)[:, :2].ravel()]
    return np.array(ends, dtype=np.intp)

"""Body sizes: a table from size and dimension to centimetres, each figure with its source."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unclear
from matcher.reasons.reason import listed, reason

DIMENSIONS = (
    "head",
    "head_arc",
    "neck",
    "neck_base",
    "chest",
    "shoulders",
    "hand",
    "wrist",
    "palm_length",
    "hand_length",
    "thumb",
    "foot",
    "foot_length",
    "ankle",
    "calf",
)


@dataclass(frozen=True)
class BodyFigure:
    """One dimension of one size [cm], and where it comes from."""

    size: str
    wearer: str
    dimension: str
    cm: float
    source: str
    how_obtained: str
    note: str = ""


@dataclass(frozen=True)
class Sizes:
    """All sizes, in the order of the table (smallest first). words: what else a size goes by, folded."""

    names: tuple[str, ...]
    table: Mapping[str, Mapping[str, float]]
    figures: tuple[BodyFigure, ...] = field(default=(), repr=False)
    words: Mapping[str, str] = field(default_factory=dict, repr=False)

    def named(self, word: str) -> str:
        """The size that a word means, such as one that a store holds from earlier; any other word as it is."""
        folded = fold(word)
        return next((name for name in self.names if fold(name) == folded), self.words.get(folded, word))

    def dimension(self, size: str, dimension: str) -> float:
        """Centimetres of a dimension of a size. Raises KeyError with a reason."""
        try:
            return self.table[size][dimension]
        except KeyError:
            if size not in self.table:
                known = listed(self.names)
                raise KeyError(reason('unknown size "{size}"; the sizes are {known}', size=size, known=known)) from None
            said = 'size "{size}" has no dimension "{dimension}"'
            raise KeyError(reason(said, size=size, dimension=dimension)) from None

    def has(self, size: str, dimension: str) -> bool:
        """Whether the table holds the dimension for the size."""
        return dimension in self.table.get(size, {})

    def wearer(self, size: str) -> str:
        """Who wears a size ("baby", "child", "adult", "anyone"), as the table says."""
        return next((one.wearer for one in self.figures if one.size == size), "")


def sizes_of(figures: Iterable[BodyFigure], words: Mapping[str, str] | None = None) -> Sizes:
    """Build the table from its rows; words: what else the sizes go by. A repeated size and dimension raises Unclear."""
    rows = tuple(figures)
    table: dict[str, dict[str, float]] = {}
    for row in rows:
        body = table.setdefault(row.size, {})
        if row.dimension in body:
            said = 'size "{size}" gives "{dimension}" twice'
            raise Unclear(reason(said, size=row.size, dimension=row.dimension))
        body[row.dimension] = row.cm
    return Sizes(tuple(table), table, rows, {fold(word): size for word, size in (words or {}).items()})

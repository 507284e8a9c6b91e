"""The stitches of each round that are seen, with the widths and heights that the gauge gives them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted, FittedPart

_RIB = 4  # knit two, purl two
_PURL_WIDTH = 0.8  # a purl column of rib lies back between the knit ones; for the eye only, a choice
_EASED = 5  # rounds over which rib widens to the fabric next to it; for the eye only
FLAT = ("flat", "triangle", "piece")  # shapes that lie open, so that all their stitches are seen
Rounds = Sequence[tuple[FittedPart, tuple[str, ...]]]


@dataclass(frozen=True)
class Row:
    """Stitches side by side: roles, widths and height [mm], which are purled, and the corner at their lower left.

    Of a panel that bends, widths and `left` are angles.
    """

    roles: tuple[str, ...]
    widths: tuple[float, ...]
    purled: tuple[bool, ...]
    height: float
    left: float = 0.0
    bottom: float = 0.0

    @property
    def width(self) -> float:
        return sum(self.widths)

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def top(self) -> float:
        return self.bottom + self.height


def _purled(look: str, number: int, stitches: int) -> tuple[bool, ...]:
    """Which stitches of a round show as purls, for each look that `structures.csv` names."""
    if look == "columns":
        return tuple(place % _RIB >= _RIB // 2 for place in range(stitches))
    return (look == "rows" and number % 2 == 1,) * stitches


def seen(stitches: int) -> int:
    """Stitches of a round that the front shows: half of it, and of an odd number the one in the middle too."""
    return (stitches + 1) // 2


def rounds_of(fitted: Fitted, part: FittedPart) -> Rounds:
    """The rounds of a part by itself, as `Fitted.rounds` gives those of the main ones."""
    return replace(fitted, parts=(part,), extra=()).rounds()


def rows_of(fitted: Fitted, rounds: Rounds, constants: FabricConstants, whole: bool = False) -> list[Row]:
    """Rows of the stitches that are seen, one standing on the other from 0 up, each in the middle of the widest.

    The first stitch of a round is at the left, as a chart shows it. Rib is drawn in, and eases towards other fabric
    over its rounds next to it. whole: of rows that lie open, where every stitch is seen.
    """
    wide, high = 100 / fitted.gauge.stitches_10cm, 100 / fitted.gauge.rows_10cm
    blocks = [list(of_part) for _, of_part in groupby(rounds, key=lambda one: one[0].structure)]
    rows: list[Row] = []
    bottom = 0.0
    for place, block in enumerate(blocks):
        structure = block[0][0].structure
        width, height = wide / constants.wales(structure), high / constants.courses(structure)
        look = constants.structure(structure).purled
        for number, (_, roles) in enumerate(block):
            shown = roles if whole else roles[: seen(len(roles))]
            purled = _purled(look, number, len(shown))
            to_other = min(
                number if place > 0 else len(block), len(block) - 1 - number if place + 1 < len(blocks) else len(block)
            )
            drawn_in = (1 - _PURL_WIDTH) * min(1.0, (to_other + 0.5) / _EASED) if look == "columns" else 0.0
            narrow = width * (1 - drawn_in)
            widths = tuple(narrow if purl else width for purl in purled)
            rows.append(Row(shown, widths, purled, height, 0.0, bottom))
            bottom += height
    return rows

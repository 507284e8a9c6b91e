"""How much there is, as people write it: "41 g", "about 40", "2 x 50g", "half a ball", "40-45 g", "scraps".

Each word has the range that it stands for (catalog/standards/amounts.csv), evenly from end to end: so an amount is a
mass with its standard deviation, and a ball is one only by its band. The grammar is in `amount_words`; `weights` makes
grams of it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from matcher.materials.estimate import Estimate, evenly
from matcher.materials.reading.numerals import LONGEST_READ, Unreadable, tidy
from matcher.materials.reading.units import LEFT_OF, parse_mass_g

OF = ("amount", "grams", "ball", "part", "ball grams")
"""What a range is of: times the amount said after it, grams, balls, times a part judged by eye, grams of a ball."""
MEANINGS = (
    *("about", "maybe", "nearly", "just over", "at most", "at least", "most of", "bit", "scraps", "part", "full"),
    *("by eye", "usual ball"),
)


@dataclass(frozen=True)
class AmountWord:
    """One meaning: its spellings, and the range it stands for, `of` what (one of `OF`); guess: never sure."""

    meaning: str
    words: tuple[str, ...]
    of: str
    low: float
    high: float
    guess: bool

    @property
    def range(self) -> Estimate:
        """Anywhere in the range, as a mean and its deviation."""
        return evenly(self.low, self.high)


@dataclass(frozen=True)
class AmountWords:
    """All meanings by name."""

    known: Mapping[str, AmountWord]

    def __getitem__(self, meaning: str) -> AmountWord:
        return self.known[meaning]

    @cached_property
    def spelled(self) -> tuple[tuple[str, AmountWord], ...]:
        """Every spelling with its meaning, the longest first."""
        pairs = [(spelling, one) for one in self.known.values() for spelling in one.words]
        return tuple(sorted(pairs, key=lambda pair: (-len(pair[0]), pair[0])))

    @property
    def usual_ball_g(self) -> Estimate:
        """A ball whose band is lost [g]: evenly by ratio over the range."""
        ball = self.known["usual ball"]
        middle = math.sqrt(ball.low * ball.high)
        return Estimate(middle, middle * math.log(ball.high / ball.low) / math.sqrt(12.0))


_SHORT = 8  # letters of a fraction; a choice
_PARTS = re.compile(r"(?:(\d)[ -])?(\d+)/(\d+)")

NOTHING = Estimate(0.0, 0.0)


@dataclass(frozen=True)
class Told:
    """An amount as it is told: what of it is in grams and what in balls; pieces: as many as it names, None for none.

    guess: whether the words themselves are unsure.
    """

    grams: Estimate = NOTHING
    balls: Estimate = NOTHING
    pieces: int | None = None
    guess: bool = False

    def mass(self, ball_g: Estimate) -> Estimate:
        """All of it in grams, of balls that weigh so much."""
        return self.grams + self.balls.product(ball_g)


@dataclass(frozen=True)
class Amount:
    """A mass [g] with its standard deviation; pieces: as many as the words name, None where they name none.

    A weight that was read off a scale has no deviation here: its step is added where the length is worked out.
    """

    mass: Estimate
    pieces: int | None = None


@lru_cache(maxsize=16384)
def plain_amount(text: str) -> Amount | None:
    """The amount of a cell that says a weight and nothing else; None for other words. Raises Unreadable."""
    if "/" in text and (parts_of_a_ball(text) is not None or left_of(text) is not None):
        return None
    return Amount(Estimate(parse_mass_g(text), 0.0))


@lru_cache(maxsize=65536)
def is_weight(text: str) -> bool:
    """Whether a cell says a weight and nothing else, so that nothing beside it changes what it says."""
    try:
        return len(text) <= LONGEST_READ and plain_amount(tidy(text)) is not None
    except Unreadable:
        return False


def parts_of_a_ball(text: str) -> float | None:
    """A fraction with no unit, such as "1/2" or "1 1/2": nobody weighs half a gram, so it is a part of a ball."""
    found = _PARTS.fullmatch(tidy(text)) if len(text) < _SHORT else None
    if found is None or not 0 < int(found[2]) < int(found[3]):
        return None
    return int(found[1] or 0) + int(found[2]) / int(found[3])


def left_of(text: str) -> float | None:
    """Grams that are left of so many: "45/100 g", "45 g of 100 g"."""
    found = LEFT_OF.fullmatch(text.strip())
    return float(found[1]) if found and int(found[1]) <= int(found[2]) else None

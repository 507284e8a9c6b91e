"""How decreases are told, so that they can be knitted."""

from __future__ import annotations

import pytest

from matcher.actions.partner.words import decrease_words
from matcher.knitting.fit.fitted import FittedPart


@pytest.mark.parametrize(
    ("first", "last", "rounds", "said"),
    [
        (108, 8, 20, "decrease 8 stitches evenly in 12 of the 20 rounds and 4 in one other"),
        (104, 8, 20, "decrease 8 stitches evenly in 12 of the 20 rounds"),
        (9, 8, 4, "decrease 1 stitch in one of the rounds"),
    ],
)
def test_stitches_and_rounds_come_to_what_goes(first: int, last: int, rounds: int, said: str) -> None:
    assert str(decrease_words(FittedPart("crown", "stockinette", first, last, rounds))) == said

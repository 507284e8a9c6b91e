"""A body that was measured: what follows the tape, and what stays."""

from __future__ import annotations

import pytest

from matcher.knitting.fit.measured import FOLLOW, MEASURED, with_measured
from matcher.store.catalogue.catalogue import load_catalogue

SIZES = load_catalogue().sizes
ADULTS = ("adult small", "adult medium", "adult large")


@pytest.mark.parametrize(("dimension", "cm"), [("head", 58.9), ("hand", 17.3), ("neck", 41.0)])
def test_the_measure_is_taken_as_it_is_and_others_follow_in_proportion(dimension: str, cm: float):
    sizes, like = with_measured(SIZES, dimension, cm, ADULTS)
    assert sizes.dimension(MEASURED, dimension) == pytest.approx(cm)
    assert all(
        abs(SIZES.dimension(like, dimension) - cm) <= abs(SIZES.dimension(one, dimension) - cm) for one in ADULTS
    )
    for name, value in SIZES.table[like].items():
        grown = sizes.dimension(MEASURED, name) / value
        assert grown == pytest.approx(cm / SIZES.dimension(like, dimension) if name in FOLLOW[dimension] else 1.0)
    assert all(sizes.table[size] == SIZES.table[size] for size in SIZES.names)


def test_a_size_that_lacks_the_measure_is_no_likeness():
    lacking = [size for size in SIZES.names if not SIZES.has(size, "head")]
    with pytest.raises(KeyError):
        with_measured(SIZES, "head", 56.0, lacking)

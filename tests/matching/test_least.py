"""The least amount that is enough, found by halving: whatever the amount, and where there is none."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.matching.least import least_that


@given(st.floats(0.0, 900.0), st.sampled_from([0.01, 0.05]))
def test_it_is_enough_and_hardly_more(needed: float, within: float):
    found = least_that(lambda amount: amount >= needed, 1000.0, within)
    assert needed <= found <= needed + within + 1e-9


@pytest.mark.parametrize("needed", [5000.0, math.inf])
def test_where_nothing_is_enough_it_is_infinite(needed: float):
    assert least_that(lambda amount: amount >= needed, 1000.0, 0.01) == math.inf

"""Lengths that are shown beside their sum add up to it as they are shown."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.reasons.quantities import Length, PartOf, Quantity
from matcher.reasons.style import Style


def figure(quantity: Quantity, style: Style) -> Decimal:
    return Decimal(quantity.shown(style).split()[0].replace(",", "."))


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("decimal", [".", ","])
@given(parts=st.lists(st.floats(0, 200), min_size=1, max_size=7))
def test_parts_add_up_as_shown(parts: list[float], units: Literal["metric", "imperial"], decimal: Literal[".", ","]):
    style = Style(units, decimal)
    shown = [figure(PartOf(tuple(parts), place), style) for place in range(len(parts))]
    whole = figure(Length(sum(parts)), style)
    assert sum(shown) == whole
    step = Decimal("0.1") if whole < 10 else 1
    exact = [Decimal(part) / (Decimal("0.9144") if units == "imperial" else 1) for part in parts]
    assert all(abs(one - part) <= step for one, part in zip(shown, exact, strict=True))


def test_eight_and_one_do_not_make_eight_point_four():
    parts = (7.8, 0.62)
    assert [str(PartOf(parts, place)) for place in (0, 1)] == ["7.8 m", "0.6 m"]
    assert str(Length(sum(parts))) == "8.4 m"

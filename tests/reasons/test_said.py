"""The look at every reason that the tests meet is itself tested with planted faults."""

from __future__ import annotations

import pytest
from said import Met, faults_of

from matcher.reasons.quantities import Length, Quantity
from matcher.reasons.reason import Reason, listed, reason
from matcher.reasons.style import Style


class Stubborn(Quantity):
    """A quantity that knows no style."""

    def shown(self, style: Style) -> str:
        return "8.5 m"


@pytest.mark.parametrize(
    "good",
    [
        reason("{lot}: {free} free", lot="navy 50 g, 1.5 m", free=Length(8.4)),
        reason("write a length such as 41 m or 1.5 oz"),
        listed((reason("{m} of {lot}", m=Length(8.4), lot="{box}"), "3 m"), "and"),
    ],
)
def test_what_is_good_passes(good):
    assert faults_of(good) == []


@pytest.mark.parametrize(
    ("template", "values", "fault"),
    [
        ("{free} free", {"free": Stubborn()}, "yards"),
        ("{free} free", {"free": Stubborn()}, "with a point"),
        ("{free} free {{lot}}", {"free": Length(3.0)}, "unfilled"),
        ("nothing of {free}", {"free": Length(3.0), "lot": "navy"}, "lost 'navy'"),
    ],
)
def test_what_is_wrong_is_seen(template: str, values: dict, fault: str):
    assert any(fault in one for one in faults_of(Reason(template, tuple(values.items()))))


def test_reasons_are_seen_as_they_are_made():
    class Other(Reason):
        pass

    met = Met()
    met.watch(Other)
    for free in range(9):
        Other("{free} free", (("free", Stubborn()), ("lot", str(free))))
    assert len(met.new) == Met.MOST_OF_ONE
    # In each of four styles the lot's name is lost; metres in two of them; a point for a comma.
    assert len(met.faults()) == Met.MOST_OF_ONE * 7
    assert met.faults() == []

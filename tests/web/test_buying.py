"""What to buy, and what could stand in: the page says what the actions found, and keeps what was asked."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from visitor import Visitor

from matcher.actions.instead.instead import instead
from matcher.actions.ranking.gap import gap
from matcher.actions.ranking.gaps import Gaps
from matcher.web.views import buying


def test_purchases_are_those_of_the_action(demo: Visitor, monkeypatch: pytest.MonkeyPatch):
    made: list[Gaps] = []

    def kept(*given: Any, **named: Any) -> Gaps:
        made.append(gap(*given, **named))
        return made[0]

    monkeypatch.setattr(buying, "gap", kept)
    asked = "/gap?accessory=cowl%2C+five+colours&for=my+father&single=yes&go=yes"
    words = re.sub(r"\s+", " ", demo.read(asked).words)
    (found,) = made
    assert not found.held_together
    assert found.to_buy
    for one in found.to_buy:
        assert f"{one.yarn}: {one.amount}" in words
        assert str(one.band) in words
        for opened in one.opens:
            assert str(opened.suggestion.called) in words
    assert str(found.how_complete)[1:] in words
    sheet = demo.look(asked.replace("/gap?", "/gap/paper?"))
    assert "script" not in sheet.text
    assert str(found.to_buy[0].amount) in sheet.text


def test_what_stands_in_is_what_the_action_finds(demo: Visitor, taken_in: Path):
    words = demo.read("/instead?lot=navy&metres=100").words
    found = instead("navy", metres="100", top=5, bin=taken_in)
    assert found.stand_ins
    for one in found.stand_ins:
        assert str(one.called) in words
        assert str(one.takes)[1:] in words
        for change in one.changes:
            assert str(change) in words


def test_a_yarn_can_be_described(demo: Visitor, taken_in: Path):
    words = demo.read("/instead?class=DK&fibre=wool&colour=cream&metres=60").words
    found = instead(None, {"class": "DK", "fibre": "wool", "colour": "cream"}, metres="60", top=5, bin=taken_in)
    assert all(str(one.called) in words for one in found.stand_ins)


def test_what_was_asked_stays_when_it_is_refused(demo: Visitor):
    for address, kept in (
        ("/gap?accessory=spaceship&most=90+g&go=yes", 'value="90 g"'),
        ("/gap?want=2+hats&kind=hat&go=yes", 'value="2 hats"'),
        ("/instead?lot=no+such&metres=40", 'value="no such"'),
        ("/instead?lot=navy&fibre=wool", 'value="wool"'),
        ("/instead?lot=navy&metres=lots", 'value="lots"'),
    ):
        page = demo.visit(address)
        assert page.status_code == 400, address
        assert "Not done." in page.text
        assert kept in page.text

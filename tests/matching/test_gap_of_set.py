"""What to buy to finish a set: each purchase is added to the bin, and the whole set planned again by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest

from matcher.actions.desk import Desk
from matcher.actions.sets.gap import gap_of_set
from matcher.actions.sets.plan import plan_set
from matcher.matching.gap.offers import Offer
from matcher.store.catalogue.catalogue import load_catalogue

WANT = "1 hat-stranded-band, 1 hat-plain"
# Enough for one hat with a band, and neither for another nor for a plain one.
LOTS = """lot,colour,grams,ball_grams,ball_metres,class,fibre
navy,#1f2a4a,60,50,125,3,wool
ink,#22252c,20,50,125,3,wool
cream,#efe6d0,30,50,125,3,wool
"""
WHOLE = load_catalogue()
# Few classes, kinds and colours, so that little has to be planned again.
CATALOGUE = replace(
    WHOLE,
    classes=WHOLE.classes[2:4],
    fibres_to_buy=WHOLE.fibres_to_buy[:1],
    purchase=replace(WHOLE.purchase, hues=2, lightnesses=3, shown=3, range_checks=12),
)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = tmp_path_factory.mktemp("bin")
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    return Desk(folder, CATALOGUE)


def missing(desk: Desk, want: str, *bought: Offer) -> list[int]:
    """How many wants can't be, with each of these yarns by itself."""
    bins = [replace(desk.bin, lots=(*desk.bin.lots, one.lot("bought", WHOLE.measuring))) for one in bought]
    return [len(plan_set(desk.with_(bin=one), want=want, time_limit=10).not_possible) for one in bins]


def test_each_purchase_makes_the_set_whole_and_a_ball_less_does_not(desk: Desk):
    assert len(plan_set(desk, want=WANT).not_possible) == 1
    found = gap_of_set(desk, want=WANT, most_grams=100)
    assert found.to_buy
    for one in found:
        assert one.finishes is not None
        assert not one.finishes.missing
        assert one.finishes.sure >= found.sure_at_least
        offer = one.purchase.offer
        ends = [replace(offer, tex=tex) for tex in (offer.tex, one.purchase.tex[1])]
        assert not any(missing(desk, WANT, *ends))
        if offer.balls > 1:
            assert any(missing(desk, WANT, *(end.in_balls(offer.balls - 1, offer.ball_g) for end in ends)))


def test_where_no_purchase_finishes_the_set_the_nearest_are_shown_as_no_more(desk: Desk):
    want = f"{WANT}, 1 cowl-banded, 1 hat-striped"
    before = plan_set(desk, want=want)
    found = gap_of_set(desk, want=want, most_grams=50)
    assert len(before.not_possible) > 1
    for one in found:
        assert one.finishes is not None
        assert len(one.finishes.missing) == missing(desk, want, one.purchase.offer)[0] < len(before.not_possible)


def test_where_nothing_is_missing_there_is_nothing_to_buy(desk: Desk):
    found = gap_of_set(desk, want="1 hat-stranded-band")
    assert not found.to_buy
    assert found.of_set is not None
    assert "all of it can be made" in str(found.of_set.said)


def test_what_does_without_buying_is_sure_enough_beside_the_set(desk: Desk):
    """Where a hat can't be in the size that is wanted, the same is planned for the size that is told."""
    want = "1 key-fob, 1 hat-stranded-band for adult large"
    before = plan_set(desk, want=want)
    found = gap_of_set(desk, want=want, most_grams=50)
    assert len(before.best) == len(before.not_possible) == 1
    assert found.without
    assert found.as_dict()["without"]
    for way in found.without:
        assert str(way.how) == f"in the size {way.suggestion.size}"
        assert not plan_set(
            desk, want=f"1 key-fob, 1 {way.suggestion.found.variant.accessory.key} for {way.suggestion.size}"
        ).not_possible


def test_what_would_take_of_the_set_is_no_way_without_buying(desk: Desk):
    """A hat takes nearly all of the cream; nothing is left for a second one in whatever size."""
    want = "1 hat-stranded-band, 1 hat-stranded-band for adult large"
    assert len(plan_set(desk, want=want).best) == 1
    assert not gap_of_set(desk, want=want, most_grams=50).without

"""What to buy: each purchase is added to the bin and the search is asked again; so is each way that does without one.

Colours, thicknesses and balls that a purchase allows are tried by adding a lot of just that; which purchase opens most
is held against adding every yarn of the grid, one after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random

import pytest

from matcher.actions.desk import Desk
from matcher.actions.ranking import gap as gap_module
from matcher.actions.ranking.gap import NEW, gap
from matcher.actions.ranking.gaps import Gaps, Opened, ToBuy
from matcher.actions.ranking.question import Question
from matcher.matching.gap.find import _Search
from matcher.matching.gap.offers import Offer, amounts_tried, colours_tried
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import Outcome, search_all
from matcher.materials.colours.colour import parse_colour
from matcher.materials.lots import Bin, Lot
from matcher.materials.people import Person
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

WHOLE = load_catalogue()
FIBRES = {one.name: one for one in WHOLE.fibres}
WOOL = WHOLE.fibres_to_buy[0]
# Few classes, kinds and colours, so that every one of them can be added by itself.
SMALL = replace(
    WHOLE,
    accessories={
        key: WHOLE.accessories[key] for key in ("hat-stranded-band", "cowl-banded", "hat-plain", "hat-striped")
    },
    classes=WHOLE.classes,
    fibres_to_buy=(WOOL,),
    purchase=replace(WHOLE.purchase, hues=2, lightnesses=3, shown=3, range_checks=12, most_g=100),
)


def lot(name: str, colour: str, grams: float, tex: float = 400.0, fibre: str = "wool") -> Lot:
    offer = Offer(WHOLE.classes[3], WOOL, (50.0, 0.0, 0.0), tex, 1, 50.0)
    estimate = tex_from_ball(50.0, 50_000.0 / tex, WHOLE.measuring)
    blend = replace(offer.blend, parts=((FIBRES[fibre], 1.0),))
    return replace(
        offer.lot(name, WHOLE.measuring),
        mass_g=grams,
        colour=parse_colour(colour, WHOLE.colour_words),
        yarn=Yarn(f"yarn of {name}", estimate, "ball band", 3, blend, "hand"),
        length=length_on_hand(grams, estimate, 1, blend, WHOLE.measuring),
    )


# Enough of one dark yarn for most of a hat, and only a little of the others.
SHORT = (lot("navy", "#1f2a4a", 40), lot("ink", "#22252c", 20), lot("grey", "#7f8285", 12))


def possible(desk: Desk, key: str, offer: Offer | None, wishes: Wishes, whom: Sequence[str] = ()) -> bool:
    """Whether the search finds a way once a lot of just this yarn lies in the bin."""
    lots = desk.bin.lots if offer is None else (*desk.bin.lots, offer.lot(NEW, WHOLE.measuring))
    return Question(desk.with_(bin=replace(desk.bin, lots=lots)), wishes, tuple(whom)).possible(key)


def check(desk: Desk, found: Gaps, wishes: Wishes, whom: Sequence[str] = (), tries: int = 6) -> None:
    """Each purchase does what it says, with all that it allows, and not with a ball less."""
    draw = Random(7)
    for one in found:
        bought = one.purchase
        offer, keys = bought.offer, list(bought.opens)
        assert [opened.balls for opened in one.opens] == [bought.opens[_key(opened)] for opened in one.opens]
        for key, balls in bought.opens.items():
            assert not possible(desk, key, None, wishes, whom)
            assert possible(desk, key, offer.in_balls(balls, offer.ball_g), wishes, whom)
            assert balls == 1 or not possible(desk, key, offer.in_balls(balls - 1, offer.ball_g), wishes, whom)
        for number, ball_g in bought.balls:
            assert all(possible(desk, key, offer.in_balls(number, ball_g), wishes, whom) for key in keys)
            fewer = offer.in_balls(number - 1, ball_g)
            assert number == 1 or not all(possible(desk, key, fewer, wishes, whom) for key in keys)
        assert max(bought.opens.values()) == offer.balls
        low, high = bought.colours.low, bought.colours.high
        assert bought.colours.holds(offer.lab)
        assert bought.tex[0] <= offer.tex <= bought.tex[1]
        for _ in range(tries):
            lab = tuple(draw.uniform(a, b) for a, b in zip(low, high, strict=True))
            other = replace(offer, lab=lab, tex=draw.choice([*bought.tex, offer.tex]))
            assert all(possible(desk, key, other, wishes, whom) for key in keys), other


def _key(opened: Opened) -> str:
    return opened.suggestion.found.variant.accessory.key


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(Bin(SHORT), SMALL)


@pytest.fixture(scope="module")
def found(desk: Desk) -> Gaps:
    return gap(desk)


def test_what_a_purchase_promises_comes_true_when_it_is_added(desk: Desk, found: Gaps):
    assert found.to_buy
    check(desk, found, Wishes())


def test_what_is_not_come_to_is_told_by_any_way_to_make_it(desk: Desk, found: Gaps, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(gap_module, "search_all", lambda *_, **__: Outcome((), (), frozenset(), cut_short=True))
    cut = gap(desk)
    assert [{_key(one) for one in bought.opens} for bought in cut] == [set(bought.purchase.opens) for bought in found]
    assert "better ones may be missing" in str(cut.said[-1])
    assert not any("better ones" in str(one) for one in found.said)


def test_no_yarn_of_the_grid_opens_more(desk: Desk, found: Gaps):
    """Every class in every colour, most of it, added by itself: none opens more things, or one that is said to be shut."""
    single = Wishes(held_together=False)
    alone = gap(desk, held_together=False)
    number, ball_g = amounts_tried(100.0, SMALL.purchase)[-1]
    wanted = [key for key in SMALL.accessories if len(SMALL.accessories[key].role_names) > 1]
    opened: set[str] = set()
    most = 0
    missing = [key for key in wanted if not possible(desk, key, None, single)]
    for of_class in SMALL.classes:
        for lab in colours_tried(SMALL.purchase):
            offer = Offer(of_class, WOOL, lab, of_class.tex.mean, number, ball_g)
            does = {key for key in missing if possible(desk, key, offer, single)}
            opened |= does
            most = max(most, len(does))
    assert max(len(one.opens) for one in alone) == most
    assert {key for one in alone for key in one.purchase.opens} == opened
    assert {SMALL.accessories[key].name for key in set(missing) - opened} == set(alone.never)
    assert not alone.more


def test_the_best_of_what_it_opens_is_what_would_be_suggested(desk: Desk, found: Gaps):
    from matcher.actions.ranking.suggest import suggest

    one = found.to_buy[0]
    new = one.purchase.offer.lot(NEW, WHOLE.measuring)
    after = desk.with_(bin=replace(desk.bin, lots=(*desk.bin.lots, new)))
    listed = {other.found.variant.accessory.key: other.score for other in suggest(after, lot=NEW, varied=False)}
    for opened in one.opens:
        assert listed[_key(opened)] == pytest.approx(opened.suggestion.score, abs=1e-9)
        assert NEW in [part.name for role in opened.suggestion.roles for part in role.lots]


def test_things_of_one_colour_count_only_when_asked_for(desk: Desk, found: Gaps):
    assert "hat-plain" not in {key for one in found for key in one.purchase.opens}
    thin = Desk(Bin((lot("ink", "#22252c", 20),)), SMALL)
    assert not thin.bin.garments
    asked = gap(thin, accessory="hat-plain")
    assert {key for one in asked for key in one.purchase.opens} == {"hat-plain"}
    check(thin, asked, Wishes(kinds=("hat",)), tries=2)


def test_a_thing_that_can_be_made_needs_no_purchase():
    rich = Desk(Bin((lot("navy", "#1f2a4a", 150), lot("cream", "#efe6d0", 150))), SMALL)
    asked = gap(rich, accessory="hat-stranded-band")
    assert not asked.to_buy
    assert [one.accessory for one in asked.possible] == ["hat with a stranded band"]
    assert not gap(rich, accessory="hat-striped").to_buy


def test_wool_is_not_offered_to_somebody_who_does_not_bear_it():
    kinds = replace(SMALL, fibres_to_buy=WHOLE.fibres_to_buy[:3], purchase=replace(SMALL.purchase, shown=2))
    cotton = lot("navy", "#1f2a4a", 60, fibre="cotton")
    ann = Person("Ann", size="adult medium", unsuited=("wool", "superwash wool"))
    desk = Desk(Bin((cotton,), people={"Ann": ann}), kinds)
    found = gap(desk, accessory="hat-stranded-band")
    assert found.to_buy
    assert {one.purchase.offer.kind.fibre.name for one in found} == {"cotton"}
    check(desk, found, Wishes(kinds=("hat",)), tries=2)


def test_ways_without_are_made_and_tried():
    little = Desk(Bin((lot("navy", "#1f2a4a", 52), lot("cream", "#efe6d0", 12))), SMALL)
    found = gap(little, accessory="hat-stranded-band", size="adult large")
    way = found.without[0]
    assert str(way.how) == f"in the size {way.suggestion.size}"
    assert way.suggestion.sure >= found.sure_at_least
    assert possible(little, "hat-stranded-band", None, Wishes(kinds=("hat",), sizes=(way.suggestion.size,)))
    assert not possible(little, "hat-stranded-band", None, Wishes(kinds=("hat",), sizes=("adult large",)))


def test_strands_held_together_do_without():
    thin = [lot(name, colour, 90, tex=200.0) for name, colour in (("navy", "#1f2a4a"), ("ink", "#22252c"))]
    desk = Desk(Bin((*thin, lot("cream", "#efe6d0", 90))), SMALL)
    found = gap(desk, accessory="hat-stranded-band", held_together=False)
    (way,) = (one for one in found.without if str(one.how) == "with strands held together")
    assert way.suggestion.strands > 1
    assert possible(desk, "hat-stranded-band", None, Wishes(kinds=("hat",)))
    assert not possible(desk, "hat-stranded-band", None, Wishes(kinds=("hat",), held_together=False))


def test_a_colour_in_the_yarn_of_another_does_without():
    three = replace(WHOLE, fibres_to_buy=(WOOL,), purchase=replace(SMALL.purchase, lightnesses=2, hues=1, shown=1))
    desk = Desk(Bin((lot("navy", "#1f2a4a", 150), lot("cream", "#efe6d0", 100))), three)
    found = gap(desk, accessory="hat-three-colour-band")
    (way,) = (one for one in found.without if "in the yarn of" in str(one.how))
    assert {lot.name for role in way.suggestion.roles for lot in role.lots} == {"navy", "cream"}
    assert way.suggestion.sure >= found.sure_at_least
    roles = {role.role: role for role in way.suggestion.roles}
    asked = next(
        one
        for one in desk.variants["hat-three-colour-band"]
        if (one.size, one.gauge) == (way.suggestion.size, way.suggestion.found.variant.gauge)
    )
    assert sum(role.need_m for role in roles.values()) == pytest.approx(asked.length_m.sum())
    assert all(role.left_m > 0 for role in roles.values())


def test_the_same_bin_gives_the_same_purchases(desk: Desk, found: Gaps):
    again = gap(Desk(Bin(tuple(reversed(SHORT))), SMALL))
    assert again.as_dict()["purchases"] == found.as_dict()["purchases"]


def test_the_words_of_a_range_lie_within(found: Gaps):
    def within(one: ToBuy) -> bool:
        return all(one.purchase.colours.holds(lab) for _, lab in one.examples)

    assert all(within(one) or len(one.examples) == 1 for one in found)
    assert all(len({word for word, _ in one.examples}) == len(one.examples) for one in found)


def test_every_yarn_to_buy_is_in_the_catalogue():
    assert isinstance(WHOLE, Catalogue)
    assert [one.wash for one in WHOLE.fibres_to_buy] == ["hand", "machine", "machine", "machine"]
    assert all(lightest[0] <= WHOLE.purchase.lightest_l for lightest in colours_tried(WHOLE.purchase))


def test_in_a_large_bin_nothing_is_held_together_with_new_yarn(monkeypatch: pytest.MonkeyPatch):
    """Neither to find what opens nor to tell the best of it, which would take minutes."""
    asked: list[bool] = []

    def counted(*given: object, **how: object) -> object:
        asked.append(bool(how.get("marls", True)))
        return search_all(*given, **how)

    monkeypatch.setattr("matcher.actions.ranking.gap.search_all", counted)
    assert gap(Desk(Bin(SHORT), SMALL)).held_together
    assert set(asked) == {True}
    asked.clear()
    few = replace(SMALL, purchase=replace(SMALL.purchase, held_lots=2))
    found = gap(Desk(Bin(SHORT), few))
    assert found.to_buy
    assert not found.held_together
    assert set(asked) == {False}
    for one in found:
        assert all(len(role.lots) == 1 for opened in one.opens for role in opened.suggestion.roles)


def test_what_the_most_does_not_open_is_tried_in_no_less(monkeypatch: pytest.MonkeyPatch):
    tried: dict[tuple[object, str], list[float]] = {}
    does = _Search._does

    def noted(self: _Search, yarn: object, key: str, amount: tuple[int, float]) -> bool:
        found = does(self, yarn, key, amount)
        if not found:
            tried.setdefault((yarn, key), []).append(amount[0])
        return found

    monkeypatch.setattr(_Search, "_does", noted)
    gap(Desk(Bin(SHORT), SMALL), held_together=False)
    most = amounts_tried(100.0, SMALL.purchase)[-1][0]
    shut = [amounts for amounts in tried.values() if most in amounts]
    assert shut
    assert all(amounts == [most] for amounts in shut)

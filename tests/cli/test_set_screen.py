"""A set on screen: what stands there, in 80 columns and her units, and what is said of how good it is."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from made_sets import made_sets

from matcher.actions.desk import Desk
from matcher.actions.sets.result import LotUse, NotPossible, PlannedSet, Sets
from matcher.actions.sets.told import how_good, how_it_differs, how_near, so_far
from matcher.cli.screens.sets import show_sets
from matcher.cli.words import style_of
from matcher.matching.sets.aims import AIMS
from matcher.reasons.reason import reason

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="module")
def made() -> Sets:
    return made_sets(Desk(DEMO))


@pytest.fixture
def shown(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    def show(found: Sets, units: str = "metric") -> str:
        show_sets(found, style_of(units))
        return capsys.readouterr().out

    return show


def test_things_lots_chance_and_aim_stand_there_in_their_order(made: Sets, shown, fits_80):
    text = shown(made)
    fits_80(text)
    joined = " ".join(text.split())
    places = [joined.index(f"{one.rank} {one.called}") for one in made.best]
    places += [joined.index(f"{one.lot.name} ({one.lot.place})") for one in made.best.lots]
    places.append(joined.index("6 things from 11 lots; 96 in 100 sure that the yarn lasts for all."))
    places.append(joined.index("It uses 81% of what is free, by weight; nothing can use more than 84%."))
    assert places == sorted(places)
    for one in made.best:
        assert f"{one.roles[0].need_m:.0f} m ({one.roles[0].need_g:.0f} g) of {one.roles[0].lots[0].name}" in joined
    for one in made.best.lots:
        row = joined[joined.index(f"{one.lot.name} ({one.lot.place})") :]
        assert re.search(rf" {one.on_hand_m:.0f} m {one.used[0][0]}: ", row)


def test_what_a_thing_takes_of_a_lot_is_the_same_figure_in_its_line_and_beside_the_lot(made: Sets, shown):
    """Each rounded by itself: 12.4 m and 12.4 m of a lot are 12 m and 12 m, as where the things stand."""
    first, *others = made.best.lots
    number = first.used[0][0]
    lots = (replace(first, used=((number, 12.4), (number, 12.4))), *others)
    joined = " ".join(shown(replace(made, best=replace(made.best, lots=lots))).split())
    grams = f"{12.4 * first.lot.yarn.tex.mean / 1000.0:.1f} g"
    assert joined.count(f"{number}: 12 m ({grams})") == 2


@pytest.mark.parametrize("units", ["imperial", "mixed"])
def test_it_is_in_her_units(units: str, made: Sets, shown, fits_80, no_metric):
    text = shown(made, units)
    fits_80(text)
    assert " yd" in text
    if units == "imperial":
        no_metric(text)
    else:
        assert re.search(r"\d g\b", text)
        assert not re.search(r"\d m\b", text)


def test_what_works_on_the_needles_hold_has_a_column_where_there_is_any(made: Sets, shown):
    assert "needles" not in shown(made)
    lots = (replace(made.best.lots[0], claimed_m=20.0, left_m=28.0), *made.best.lots[1:])
    text = shown(replace(made, best=replace(made.best, lots=lots)))
    assert "needles" in text
    assert "  20 m" in text


def test_what_cannot_be_and_the_others_are_said(made: Sets, shown, fits_80):
    others = made_sets(Desk(DEMO), most=5).best
    missing = NotPossible(reason("9 yokes"), reason("there is yarn for one"))
    text = shown(replace(made, alternatives=(others,), not_possible=(missing,)))
    fits_80(text)
    joined = " ".join(text.split())
    assert "Can't be: 9 yokes: there is yarn for one." in joined
    assert "Otherwise 1: without 6. It uses 81% of what is free, by weight; 96 in 100 sure of all." in joined


def test_nothing_at_all_is_a_sentence(made: Sets, shown, fits_80):
    text = shown(replace(made, best=PlannedSet((), (), 1.0, 0.0, 0.0, True)))
    fits_80(text)
    assert text.splitlines() == ["Nothing can be made from what is free and be 95 in 100 sure."]


def test_a_baby_s_caution_and_a_guessed_colour_are_said(made: Sets, shown):
    things = (replace(made.best.things[0], for_baby=True), *made.best.things[1:])
    assert "For a baby:" in shown(replace(made, best=replace(made.best, things=things)))
    assert "For a baby:" not in shown(made)


def _planned(objective: float, bound: float, proved: bool) -> PlannedSet:
    return PlannedSet((), (), 0.96, objective, bound, proved)


@pytest.mark.parametrize(
    ("aim", "objective", "bound", "proved", "said"),
    [
        ("best", 5.0, 5.0, True, "the best there is"),
        ("best", 5.0, 5.1, False, "as things are ranked, no set can be better by more than 2%"),
        ("best", 5.0, 5.0101, False, "as things are ranked, no set can be better by more than 0.3%"),
        ("best", 0.0, 1.0, False, "as things are ranked, no set can be better by more than 100%"),
        ("use-up", 0.8199, 0.8401, False, "it uses 81% of what is free, by weight; nothing can use more than 85%"),
        ("use-up", 0.81, 0.84, False, "it uses 81% of what is free, by weight; nothing can use more than 84%"),
        ("use-up", 0.81, 0.81, True, "it uses 81% of what is free, by weight: the best there is"),
        ("use-up", 0.999, 1.003, False, "it uses 99% of what is free, by weight; nothing can use more than 100%"),
        ("few", 1.0, 3.9, False, "it uses up 1 lot; nothing can use up more than 3"),
        ("few", 3.004, 3.9, False, "it uses up 3 lots, and no set does more"),
        ("few", 3.004, 3.004, True, "it uses up 3 lots: the best there is"),
        ("most", 7.0, 9.2, False, "it is 7 things; no more than 9 can be knitted at once"),
        ("most", 1.0, 1.0, True, "it is 1 thing: the best there is"),
    ],
)
def test_the_best_there_is_is_said_only_where_it_is_proved(
    aim: str, objective: float, bound: float, proved: bool, said: str
):
    told = str(how_good(_planned(objective, bound, proved), aim))
    assert told == said
    assert ("the best there is" in told) == proved


def test_progress_says_how_far_it_is_by_every_aim():
    figures = {"use-up": (0.812, 1.02)}
    said = [str(so_far(aim, *figures.get(aim, (3.21, 4.567)))) for aim in AIMS]
    assert said == [
        "scores 3.21 so far; at most 4.57; gap 29.7%",
        "uses 81% so far; at most 100%; gap 20.4%",
        "lots used up: 3 so far; at most 4; gap 29.7%",
        "things: 3 so far; at most 4; gap 29.7%",
    ]
    assert str(so_far("best", 3.2, float("inf"))) == "scores 3.2 so far"


def test_a_bound_that_nobody_knows_is_said_and_is_no_number(made: Sets):
    unknown = replace(made, best=replace(made.best, bound=float("inf")))
    up = "time was up before it was known how good a set can be"
    assert str(how_good(unknown.best, "best")) == up
    assert str(how_good(unknown.best, "use-up")) == f"it uses 81% of what is free, by weight; {up}"
    told = unknown.as_dict()
    assert (told["bound"], told["gap"]) == (None, 1.0)


def test_how_another_differs_is_told_by_numbers_of_the_best(made: Sets):
    best = made.best
    other = replace(best, things=best.things[1:])
    assert str(how_it_differs(other, best)) == "without 1"
    assert str(how_it_differs(best, other)).startswith("besides: hat with a band of three colours, adult large")
    assert str(how_it_differs(best, best)) == "the same things"
    swapped = replace(best, things=(replace(best.things[0], people=("my aunt",)), *best.things[1:]))
    assert str(how_it_differs(swapped, best)).startswith("instead of 1: hat with a band of three colours, adult large")


def test_how_near_another_comes_is_told_by_the_aim():
    best, other = _planned(4.0, 4.0, True), _planned(3.6, 4.0, False)
    assert str(how_near(other, best, "best")) == "as things are ranked it is worth 90% of the first"
    assert str(how_near(_planned(0.777, 1.0, False), best, "use-up")) == "it uses 77% of what is free, by weight"
    assert str(how_near(other, best, "most")) == "it is 3 things"
    assert str(how_near(other, best, "few")) == "it uses up 3 lots"


def test_the_frame_has_a_row_for_each_lot_and_thing(made: Sets):
    frame = made.frame()
    assert len(frame) == sum(len(one.used) for one in made.best.lots)
    assert list(frame.columns) == [
        *("lot", "place", "on_hand_m", "reserve_m", "claimed_m", "number", "accessory", "size", "person"),
        *("metres", "grams", "left_m"),
    ]
    for use, rows in zip(made.best.lots, (frame[frame["lot"] == one.lot.name] for one in made.best.lots), strict=True):
        assert isinstance(use, LotUse)
        assert rows["metres"].sum() == pytest.approx(use.used_m)
        assert rows["grams"].sum() == pytest.approx(use.used_m * use.lot.yarn.tex.mean / 1000)

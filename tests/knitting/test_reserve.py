"""Reserve: how much is held, for what, and on which lots."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reserved import CATALOGUE, DK, bins, garment, groups, lot, only

from matcher.knitting.mending.reserve import ReserveGroup, reserves, surplus
from matcher.materials.lots import MENDING, Alteration, Bin
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Length
from matcher.reasons.style import Style


def test_a_plain_adult_pullover_keeps_50_to_80_m() -> None:
    """The aim of the choices in repairs.csv, for yarn of class 3."""
    found = only([lot("a", 400)])
    assert 50 <= found.reserve_m <= 80
    assert "two elbow patches" in str(found.because)
    assert "both cuffs" in str(found.because)
    assert sum(line.length_m for line in found.working) < found.reserve_m


def test_a_yoke_contrast_keeps_8_to_15_m() -> None:
    lots = [lot("m", 200, role="main")]
    lots += [lot(f"c{n}", 60, role=f"contrast {n}", colour_name=f"colour {n}") for n in (1, 2)]
    held = {found.colour: found.reserve_m for found in groups(lots, garment(kind="yoke pullover"))}
    assert 50 <= held["grey"] <= 90
    assert 8 <= held["colour 1"] <= 15
    assert held["colour 1"] == pytest.approx(held["colour 2"])


def test_worn_given_gone() -> None:
    plan = (Alteration("lengthen body 5 cm", "body", 5.0),)
    worn = only([lot("a", 900)], garment(alterations=plan, chest_cm=100))
    given_away = only([lot("a", 900)], garment(alterations=plan, chest_cm=100, status="given"))
    gone = only([lot("a", 900)], garment(alterations=plan, chest_cm=100, status="gone"))
    assert worn.reserve_m > given_away.reserve_m > 50
    assert '"lengthen body 5 cm"' in str(worn.because)
    assert "plan" not in str(given_away.because)
    assert gone.reserve_m == 0
    assert gone.held == {"a": 0}
    assert "gone" in str(gone.because)


def test_a_plan_by_hand() -> None:
    """5 cm of a 100 cm body at 22 x 30: 220 stitches by 15 rows of 1.8708 cm."""
    plan = (Alteration("lengthen body 5 cm", "body", 5.0),)
    found = only([lot("a", 900)], garment(alterations=plan, chest_cm=100, stitches_10cm=22, rows_10cm=30))
    assert found.working[-1].length_m == pytest.approx(220 * 15 * (23.1 / 6.6) ** 0.5 / 100)
    mean = sum(line.length_m for line in found.working)
    assert found.sd_m == pytest.approx(0.08 * mean)
    assert found.reserve_m == pytest.approx(1.08 * mean)


def test_a_plan_is_knitted_in_the_main_colour() -> None:
    plan = (Alteration("lengthen sleeves 3 cm", "sleeves", 3.0),)
    lots = [lot("m", 300, role="main"), lot("c", 300, role="contrast 1", colour_name="red")]
    main, contrast = groups(lots, garment(kind="stranded pullover", alterations=plan))
    assert any("sleeves" in str(line.area) for line in main.working)
    assert not any("sleeves" in str(line.area) for line in contrast.working)


def test_colours_without_a_role_share_alike_and_it_says_so() -> None:
    lots = [lot("a", 300), lot("b", 300, colour_name="red")]
    first, second = groups(lots)
    assert first.reserve_m == pytest.approx(second.reserve_m)
    assert "its role isn't known, so repairs are split evenly with the garment's other lots" in str(first.because)
    assert {line.share for line in first.working} == {0.5}


def test_dye_lots_of_one_colour_share_one_reserve() -> None:
    found = only([lot("a", 300, dye_lot="1"), lot("b", 300, dye_lot="2", colour_name="Grey ")])
    assert set(found.held) == {"a", "b"}


def two_baths(first_m: float, second_m: float) -> ReserveGroup:
    return only([lot("a", first_m, dye_lot="12"), lot("b", second_m, dye_lot="14")])


def test_one_repair_comes_from_one_dye_lot() -> None:
    """A pullover's repairs need about 68 m: the cuffs 37, the elbows 23, the holes 8."""
    assert two_baths(200, 70).held["a"] == 0, "the smallest dye lot that holds enough, whatever its name"
    assert two_baths(70, 200).held["b"] == 0
    apart = two_baths(38, 45)
    longest, *others = sorted((line.length_m for line in apart.working), reverse=True)
    safe = apart.reserve_m / sum(line.length_m for line in apart.working)
    assert apart.held == {"a": pytest.approx(longest * safe), "b": pytest.approx(sum(others) * safe)}
    assert "mixed" not in str(apart.because)


def test_a_repair_that_no_dye_lot_holds_is_mixed_and_it_says_so() -> None:
    mixed = two_baths(10, 12)
    assert mixed.missing_m > 0
    assert "mixed" not in str(mixed.because), "what is missing is said in its place"
    mixed = only([lot(str(number), 20, dye_lot=str(number)) for number in range(12, 16)])
    assert mixed.missing_m == 0
    assert "no dye lot holds enough for both cuffs knitted again, so dye lot 12 and dye lot 13 are mixed" in str(
        mixed.because
    )


def test_dye_lots_that_nobody_wrote_down_count_as_one() -> None:
    found = only([lot("a", 40), lot("b", 400)])
    assert found.held == {"a": 40, "b": pytest.approx(found.reserve_m - 40)}


@pytest.mark.parametrize("dye_lot", ["14", ""])
def test_begun_pieces_of_a_larger_dye_lot_go_before_the_ball_of_a_smaller_one(dye_lot: str) -> None:
    """Also where nobody wrote down which dye lot the begun pieces are of."""
    ball = lot("a", 130, dye_lot="12", ball_g=50.0, mass_g=50.0)
    assert only([ball, lot("b", 400, dye_lot=dye_lot)]).held["a"] == 0


def test_a_colour_with_a_role_does_not_carry_the_garment_for_those_without() -> None:
    """The main stitches are shared by what may be main; each stitch is kept once."""
    lots = [lot("m", 300, role="main"), *(lot(one, 300, colour_name=one) for one in ("red", "sky"))]
    main, red, sky = (one.reserve_m for one in groups(lots))
    assert main == pytest.approx(only([lot("m", 300)]).reserve_m / 3)
    assert red == sky == pytest.approx(main)
    assert "split evenly with lots whose role isn't known" in str(groups(lots)[0].because)
    yoke = groups([lot("c", 300, role="contrast 1"), lot("x", 300, colour_name="red")], garment(kind="yoke pullover"))
    patches = [line.share for one in yoke for line in one.working if "yoke" in str(line.area)]
    assert sum(patches) == pytest.approx(1.0)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_what_is_shown_adds_up(units: Literal["metric", "imperial"]) -> None:
    """7.8 m and 0.6 m more make 8.4 m, and are not shown as 8 m and 1 m."""
    for found in groups(
        [lot("m", 200, role="main"), *(lot(f"c{n}", 60, role=f"contrast {n}", colour_name=str(n)) for n in (1, 2))],
        garment(kind="yoke pullover"),
    ):
        figures = re.findall(r"([\d.]+) (?:m|yd)\b", Style(units).say(found.because))
        shown = Style(units).say(Length(found.reserve_m)).split()[0]
        assert sum(map(Decimal, figures)) == Decimal(shown)


def test_highest_contrast_counts_the_colours_that_are_not_in_the_bin() -> None:
    some = groups(
        [
            lot("c", 90, role="contrast 1", colour_name="red"),
            lot("d", 90, role="contrast 3", colour_name="blue"),
        ],
        garment(kind="stranded pullover"),
    )
    assert some[0].working[0].share == pytest.approx(0.45 / 3)


def test_part_used_pieces_first_then_balls_by_name() -> None:
    full = {"ball_g": 50.0, "mass_g": 50.0}
    lots = [lot("a ball", 130, **full), lot("b rest", 30), lot("c rest", 500)]
    found = only(lots)
    assert found.held["a ball"] == 0
    assert found.held["b rest"] == 30
    assert found.held["c rest"] == pytest.approx(found.reserve_m - 30)
    short = only(lots[:2])
    assert short.held["b rest"] == 30
    assert short.held["a ball"] == pytest.approx(short.reserve_m - 30)


def test_a_hand_set_reserve_stands() -> None:
    found = only([lot("a", 300, reserve_m=20.0), lot("b", 300)])
    usual = only([lot("b", 300)]).reserve_m
    assert found.held == {"a": 20.0, "b": pytest.approx(usual - 20)}
    assert found.reserve_m == pytest.approx(usual)
    assert "set by hand: 20 m on a" in str(found.because)
    alone = only([lot("a", 300, reserve_m=20.0)])
    assert (alone.held, alone.reserve_m, alone.missing_m) == ({"a": 20.0}, 20.0, 0.0)
    none = only([lot("a", 300, reserve_m=0.0)])
    assert none.held == {"a": 0.0}
    much = only([lot("a", 300, reserve_m=500.0)])
    assert much.held == {"a": 300.0}
    assert much.missing_m == 200
    assert "200 m" in str(much.because)


def test_hand_set_on_a_gone_garment_and_without_a_garment() -> None:
    gone = only([lot("a", 300, reserve_m=15.0)], garment(status="gone"))
    assert gone.held == {"a": 15.0}
    assert groups([lot("a", 300, garment="")]) == ()
    (loose,) = groups([lot("a", 300, garment="", reserve_m=15.0)])
    assert (loose.garment, loose.held, loose.freed) == ("", {"a": 15.0}, {"a": 285.0})


def test_lots_from_nowhere_are_one_yarn_only_by_its_name() -> None:
    unnamed = replace(DK, name="")
    lots = [lot("a", 90, garment="", reserve_m=12, yarn=unnamed), lot("b", 90, garment="", yarn=unnamed)]
    assert [one.held for one in groups(lots)] == [{"a": 12}]
    named = [replace(one, yarn=DK) for one in lots]
    assert [one.held for one in groups(named)] == [{"a": 12, "b": 0}]
    # Of one garment the colour tells enough.
    (one,) = groups([replace(one, garment="Anna's sweater") for one in lots])
    assert set(one.held) == {"a", "b"}


def test_too_little_yarn_is_all_held_and_said() -> None:
    found = only([lot("a", 12)])
    assert found.held == {"a": 12}
    assert f"{found.reserve_m - 12:.0f} m of it are missing" in str(found.because)


def test_floor() -> None:
    """A ninth contrast of a stranded sweater computes to less than the floor of 4 m."""
    lots = [lot("c", 90, role="contrast 9")]
    found = only(lots, garment(kind="stranded pullover"))
    assert found.reserve_m == CATALOGUE.repairs.floor_m
    assert "never less than 4 m" in str(found.because)


@pytest.mark.parametrize("kind", ["Pullover", "raglan pullover", "raglan jumper", "stranded yoke", "", "poncho"])
def test_any_word_for_a_kind_is_understood(kind: str) -> None:
    assert only([lot("a", 300)], garment(kind=kind)).reserve_m >= CATALOGUE.repairs.floor_m


@pytest.mark.parametrize(
    ("british", "kind"),
    [
        ("jumper", "pullover"),
        ("yoke jumper", "yoke pullover"),
        ("stranded jumper", "stranded pullover"),
        ("child jumper", "child pullover"),
        ("gansey", "pullover"),
    ],
)
def test_a_jumper_is_mended_as_a_pullover(british: str, kind: str) -> None:
    lots = [lot("m", 300, role="main"), lot("c", 90, role="contrast 1", colour_name="red")]
    one, other = (groups(lots, garment(kind=word)) for word in (british, kind))
    assert [found.working for found in one] == [found.working for found in other]


@pytest.mark.parametrize("kind", CATALOGUE.repairs.kinds)
def test_every_kind_keeps_something_sensible(kind: str) -> None:
    little, usual, everything = (
        only([lot("a", 900, role="main")], garment(kind=kind, mending=one)).reserve_m for one in MENDING
    )
    assert CATALOGUE.repairs.floor_m <= little < usual <= everything
    assert 15 <= usual <= 60
    assert 15 <= everything <= 110


def test_rows_are_rounded_up() -> None:
    """4.2 cm at 30 rows are 12.6 rows: 13; 5 cm are 15 and not 16."""
    for cm, rows in ((4.0, 12), (4.1, 13), (4.2, 13), (5.0, 15)):
        plan = (Alteration("lengthen body", "body", cm),)
        found = only([lot("a", 900)], garment(alterations=plan, stitches_10cm=22, rows_10cm=30))
        assert found.working[-1].rows == rows


def free(some: Bin) -> dict[str, float]:
    found = reserves(some, CATALOGUE.repairs, CATALOGUE.fabric, CATALOGUE.sizes)
    return {name: one.mean for name, one in surplus(some, found).items()}


@given(bins(("", "1", "2")))
def test_held_and_freed_are_what_is_on_hand(some: Bin) -> None:
    found = reserves(some, CATALOGUE.repairs, CATALOGUE.fabric, CATALOGUE.sizes)
    on_hand = {one.name: one.length.mean for one in some.lots}
    seen: set[str] = set()
    for group in found:
        for name, held in group.held.items():
            assert name not in seen
            seen.add(name)
            assert 0 <= held <= on_hand[name]
            assert held + group.freed[name] == pytest.approx(on_hand[name])
        assert sum(group.held.values()) + group.missing_m == pytest.approx(group.reserve_m)
    for one in some.lots:
        if one.garment or one.reserve_m is not None:
            assert one.name in seen
        if one.reserve_m is not None:
            held = next(group.held[one.name] for group in found if one.name in group.held)
            assert held == pytest.approx(min(one.reserve_m, one.length.mean))
    spread = surplus(some, found)
    assert all(spread[one.name].sd == one.length.sd for one in some.lots)


def grown(some: Bin, place: int, more_m: float) -> tuple[Bin, str] | None:
    """One lot longer, but no begun piece turned into a full ball."""
    lots = list(some.lots)
    place %= len(lots)
    old = lots[place]
    # The ball keeps its part of the lot, so that only the begun piece grows.
    new = replace(
        old,
        length=Estimate(old.length.mean + more_m, old.length.sd),
        mass_g=old.mass_g * (old.length.mean + more_m) / old.length.mean,
    )
    if new.full_balls != old.full_balls:
        return None
    return replace(some, lots=(*lots[:place], new, *lots[place + 1 :])), new.name


@given(bins(), st.integers(0, 6), st.floats(0.1, 200))
def test_more_yarn_never_leaves_less_free(some: Bin, place: int, more_m: float) -> None:
    """In one dye lot: when no lot turns into a full ball, more of one takes nothing from any other."""
    more = grown(some, place, more_m)
    if more is None:
        return
    before, after = free(some), free(more[0])
    assert all(after[name] >= before[name] - 1e-9 for name in before)


@given(bins(("", "1", "2")), st.integers(0, 6), st.floats(0.1, 200))
def test_more_yarn_never_leaves_less_free_in_all(some: Bin, place: int, more_m: float) -> None:
    """In several dye lots a repair may move to the one that grew; what is free in all grows nevertheless."""
    more = grown(some, place, more_m)
    if more is None:
        return
    assert sum(free(more[0]).values()) >= sum(free(some).values()) - 1e-6

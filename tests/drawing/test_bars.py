"""Lots as bars: every metre to scale, every thing's number beside what it takes, all of it in words as well."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from matcher.drawing.bars import WIDE, Bar, Stretch, bars_scenes
from matcher.drawing.scene import INK, PAPER, Scene, svg
from matcher.materials.colours.colour import parse_colour
from matcher.reasons.quantities import Amount
from matcher.reasons.style import Style

KINDS = ("used", "kept", "needles", "left")


def _bar(name: str, *stretches: tuple[str, float] | tuple[str, float, int], colour: str = "#1f2a4a") -> Bar:
    return Bar(name, parse_colour(colour, {}), 400.0, tuple(Stretch(*one) for one in stretches))


PLAIN_BARS = (
    _bar("navy", ("used", 120.0, 1), ("used", 31.5, 2), ("kept", 12.25), ("needles", 7.0), ("left", 48.0)),
    _bar("white", ("used", 40.0, 2), ("left", 3.5), colour="#ffffff"),
    _bar("speckled", ("used", 15.0, 3), ("kept", 60.0), colour="#a8304f 60%, #ffffff 25%, #000000 15%"),
)
UNEQUAL = (
    _bar("much", ("used", 4000.0, 1), ("used", 2.0, 2), ("kept", 400.0), ("left", 598.0)),
    _bar("little", ("used", 12.0, 1), ("used", 1.0, 2), ("used", 1.0, 11), ("used", 1.0, 12), ("left", 5.0)),
    _bar("less", ("used", 8.0, 2)),
)
MANY = tuple(_bar(f"lot {n}", ("used", 20.0 + n % 90, n + 1), ("left", 5.0 + n % 7)) for n in range(300))


def _widths(seen: list) -> float:
    return sum(max(x for x, _ in one.points) - min(x for x, _ in one.points) for one in seen)


def _mm_a_metre(key: Scene, seen_in) -> float:
    """Read back from the key: the line that is so many metres long, and what it says."""
    longest = max(_widths([one]) for one in seen_in(key, "scale"))
    (said,) = (re.fullmatch(r"([\d.]+) (m|yd)", label.text) for label in key.labels[-1:])
    return longest / (float(said[1]) * (0.9144 if said[2] == "yd" else 1.0))


@pytest.mark.parametrize("units", ["metric", "imperial", "mixed"])
@pytest.mark.parametrize("bars", [PLAIN_BARS, UNEQUAL, MANY[:60]], ids=["plain", "unequal", "sixty"])
def test_the_pieces_of_a_bar_come_to_what_is_on_hand(bars: tuple[Bar, ...], units: str, seen_in):
    key, *rows = bars_scenes(bars, Style(units))
    mm = _mm_a_metre(key, seen_in)
    for bar, row in zip(bars, rows, strict=True):
        for kind in KINDS:
            asked = sum(one.metres for one in bar.stretches if one.takes == kind)
            pieces = seen_in(row, kind)
            assert _widths(pieces) / mm == pytest.approx(asked, abs=0.02 * (len(pieces) + 1) / mm, rel=0.002)
        drawn = sum(_widths(seen_in(row, kind)) for kind in KINDS) / mm
        assert drawn == pytest.approx(bar.on_hand_m, rel=0.01)


@pytest.mark.parametrize("bars", [PLAIN_BARS, UNEQUAL, MANY], ids=["plain", "unequal", "three hundred"])
def test_no_piece_lies_over_another_or_beyond_the_picture(bars: tuple[Bar, ...], seen_in):
    for row in bars_scenes(bars):
        boxes = []
        for kind in KINDS:
            for one in seen_in(row, kind):
                xs, ys = zip(*one.points, strict=True)
                boxes.append((min(ys), min(xs), max(xs)))
                assert min(xs) >= 0
                assert max(xs) <= WIDE + 0.01
                assert max(ys) <= row.height + 0.01
        boxes.sort()
        for (y, _, right), (below, left, _) in pairwise(boxes):
            assert below > y or left > right  # with a gap between
        assert all(-0.01 <= label.y <= row.height for label in row.labels)


def test_every_thing_s_number_stands_at_what_it_takes_and_in_words():
    for bars in (PLAIN_BARS, UNEQUAL, MANY):
        for bar, row in zip(bars, bars_scenes(bars)[1:], strict=True):
            bold = [label.text for label in row.labels if label.bold]
            said = " ".join(label.text for label in row.labels if not label.bold).replace("\u00a0", " ")
            for one in bar.stretches:
                if one.number:
                    assert str(one.number) in bold
                    assert re.search(rf"\b{one.number}: [\d.]+ m", said)
            assert ("kept" in said) == any(one.takes == "kept" for one in bar.stretches)
            assert ("left" in said) == any(one.takes == "left" for one in bar.stretches)
            assert re.match(r"[\d.]+ m \([\d.]+ g\) on hand", said)


def test_numbers_beside_narrow_pieces_do_not_lie_over_each_other():
    row = bars_scenes(UNEQUAL)[2]
    numbers = sorted((label.x, label.text) for label in row.labels if label.bold and label.anchor == "middle")
    assert [text for _, text in numbers] == ["1", "2", "11", "12"]
    assert all(b - a > 1.5 for (a, _), (b, _) in pairwise(numbers))
    assert len([one for one in row.shapes if one.kind == "leader"]) >= 3


def test_a_lot_with_much_more_than_the_others_leaves_them_readable(seen_in):
    key, much, *others = bars_scenes(UNEQUAL)
    assert len({min(y for _, y in one.points) for one in seen_in(much, "used")}) > 3  # it goes on in further rows
    assert all(_widths(seen_in(row, "used")) > 1.5 for row in others)
    assert sum(row.height for row in (key, much, *others)) < 250  # and all goes onto one sheet


def test_marks_show_on_dark_yarn_and_on_pale(seen_in):
    dark, pale, _ = bars_scenes(PLAIN_BARS)[1:]
    for kind in ("hatch", "dot"):
        assert {one.fill for one in seen_in(dark, kind)} == {INK, PAPER}
    for row in (dark, pale):
        assert all(one.stroke == INK and one.stroke_width > 0 for one in row.shapes if one.kind in ("used", "kept"))
        assert all(one.fill == PAPER and one.stroke for one in row.shapes if one.kind == "left")
    assert {one.fill for one in seen_in(pale, "yarn")} == {"#ffffff"}


def test_a_lot_of_several_colours_shows_each_by_its_share(seen_in):
    speckled = bars_scenes(PLAIN_BARS)[3]
    tall: dict[str, float] = {}
    for one in seen_in(speckled, "yarn")[:3]:
        tall[one.fill] = max(y for _, y in one.points) - min(y for _, y in one.points)
    whole = sum(tall.values())
    assert {fill: round(each / whole, 2) for fill, each in tall.items()} == {
        "#a8304f": 0.6,
        "#ffffff": 0.25,
        "#000000": 0.15,
    }


def test_what_is_not_there_is_not_in_the_key(words_in):
    key = bars_scenes(MANY[:3])[0]
    assert "kept back" not in words_in(key)
    assert {"kept back", "on the needles", "left"} <= set(words_in(bars_scenes(PLAIN_BARS)[0]))


def test_her_words_are_only_words():
    bars = [_bar('<script>alert("1")</script> & "co"', ("used", 5.0, 1))]
    drawn = svg(bars_scenes(bars)[1])
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_no_bars_are_a_key_alone():
    assert len(bars_scenes([])) == 1


def test_a_figure_is_rounded_as_it_is_on_every_screen():
    """Not to make a sum come out: 24.57 m stood as 24 m in the picture, and as 25 m beside it."""
    bar = _bar("fawn", ("used", 8.64, 1), ("kept", 24.57), ("left", 125.4))
    told = " ".join(map(Style().say, bar.told))
    for stretch in bar.stretches:
        assert Style().say(Amount(stretch.metres, bar.tex)) in told
    assert "8.6 m" in told
    assert "25 m" in told

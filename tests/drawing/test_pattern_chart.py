"""Charts of a pattern: every stitch a box, decreases with their signs, rows above the stitches they are worked into."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from matcher.drawing.pattern_chart import pattern_charts
from matcher.drawing.scene import png, svg
from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import Fitted, FittedPart
from matcher.knitting.pattern.charted import seen_charts
from matcher.knitting.pattern.pattern import Chart, ChartRow, Course, Pattern, Piece, Section
from matcher.knitting.pattern.stitches import Stitch
from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

GAUGE = Gauge(20.0, 25.0, 2.1)  # boxes of 5 by 4 mm
CODES = {"main": "#1f2a4a", "contrast 1": "#efe6d0"}
COLOURS = {role: parse_colour(code, {}) for role, code in CODES.items()}
NAVY, CREAM = CODES.values()
HAT = load_catalogue().accessories["hat-stranded-band"]


def _worked(text: str) -> tuple[Stitch, ...]:
    """ "k3 k2tog" in the main colour, "K2" in the contrast; as it is worked."""
    found = []
    for word in text.split():
        op, times = (word[0].lower(), int(word[1:])) if word[1:].isdigit() else (word, 1)
        found += [Stitch(op.lower(), "contrast 1" if word[0] == "K" else "main")] * times
    return tuple(found)


def _pattern(courses, charts=(), heading="crown") -> Pattern:
    part = FittedPart("crown", "stocking", 12, 4, 3, "main")
    fitted = Fitted(GAUGE, 12, 1, 12, 0, (part, replace(part, role="contrast 1")), {}, 40.0, 42.0, -2.0, 0.0)
    return Pattern(HAT, fitted, (Piece("hat", (Section(heading, tuple(courses)),)),), tuple(charts))


def _round(text: str, times: int = 1, **more) -> Course:
    return Course(_worked(text) * times, "stocking", **more)


def _by_row(found, height=4.0):
    """Places and codes from left to right, lowest row first."""
    rows: dict[float, list] = {}
    for one in found:
        rows.setdefault(round(one.middle[1] / height, 1), []).append(one)
    return [sorted(rows[y], key=lambda one: one.middle[0]) for y in sorted(rows, reverse=True)]


CROWN = [_round("k6", 2), _round("k4 k2tog", 2), _round("k5", 2), _round("k3 k2tog", 2), _round("k2 k2tog", 2)]


def test_a_crown_is_charted_from_its_first_decrease_one_section_wide(seen_in):
    (chart,) = seen_charts(_pattern(CROWN))
    assert (chart.times, chart.columns, [row.number for row in chart.rows]) == ((2,), 5, [2, 3, 4, 5])
    assert [len(row.cells) for row in chart.rows] == [5, 5, 4, 3]
    ((said, scene),) = pattern_charts(_pattern(CROWN), COLOURS)
    assert said == "Crown: 5 stitches, 4 rows, 2 times round, rounds 2 to 5."
    rows = _by_row(seen_in(scene))
    assert [len(row) for row in rows] == [5, 5, 4, 3]
    # The decrease ends a section, so at its left; rows end above each other at the right.
    assert len({row[-1].middle[0] for row in rows}) == 1
    *signs, listed = (one.middle[0] for one in seen_in(scene, "sign"))
    lefts = [row[0].middle[0] for row in rows]
    assert signs == pytest.approx([lefts[0], lefts[2], lefts[3]], abs=0.02)
    assert listed > 0


def test_where_there_is_no_stitch_the_grid_is_grey(seen_in):
    ((_, scene),) = pattern_charts(_pattern(CROWN), COLOURS)
    widths = sorted(max(x for x, _ in one.points) - min(x for x, _ in one.points) for one in seen_in(scene, "nothing"))
    assert widths == pytest.approx([5.0, 10.0], abs=0.02)


def test_a_tip_narrows_at_both_sides(seen_in):
    tip = [_round("ssk k6 k2tog", 2), _round("ssk k4 k2tog", 2), _round("ssk k2 k2tog", 2)]
    ((_, scene),) = pattern_charts(_pattern(tip, heading="tip"), COLOURS)
    rows = _by_row(seen_in(scene))
    assert [len(row) for row in rows] == [8, 6, 4]
    middles = {round((row[0].middle[0] + row[-1].middle[0]) / 2, 2) for row in rows}
    assert len(middles) == 1


def test_numbers_are_those_of_the_rounds_bold_at_tens(words_in):
    plain = [_round("k12") for _ in range(7)]
    ((_, scene),) = pattern_charts(_pattern([*plain, *CROWN[1:]]), COLOURS)
    assert {"8", "9", "10", "11"} <= set(words_in(scene))


def test_a_lettered_chart_says_its_rows_and_its_rounds(seen_in, words_in):
    rows = (_worked("k1 K1 k2"), _worked("K2 k2"))
    courses = [Course(row * 3, "stranded", charted=(ChartRow("A", number, 3),)) for number, row in enumerate(rows, 1)]
    pattern = _pattern([_round("k12"), _round("k12"), *courses], [Chart("A", rows)])
    ((said, scene),) = pattern_charts(pattern, COLOURS)
    assert said == "Chart A: 4 stitches, 2 rows, 3 times round, rounds 3 to 4."
    assert [[one.fill for one in row] for row in _by_row(seen_in(scene))] == [
        [NAVY, NAVY, CREAM, NAVY],  # worked from the right
        [NAVY, NAVY, CREAM, CREAM],
    ]
    words = Counter(words_in(scene))
    assert words["3"] == 1
    assert words["4"] == 1 + 1  # round 4, and the fourth stitch
    assert {"MC", "CC1"} <= set(words)


def test_rows_of_the_wrong_side_are_seen_from_the_right_side_and_numbered_at_the_left(seen_in):
    rows = (_worked("k1 K3"), _worked("p1 p1 p1 p1"))
    courses = [
        Course(rows[0], "stranded", True, False, (ChartRow("A", 1, 1),)),
        Course(rows[1], "stranded", True, True, (ChartRow("A", 2, 1),)),
    ]
    (chart,) = seen_charts(_pattern(courses, [Chart("A", rows)]))
    assert [row.wrong_side for row in chart.rows] == [False, True]
    assert {one.op for one in chart.rows[1].stitches} == {"k"}
    assert [one.role for one in chart.rows[0].stitches] == ["contrast 1"] * 3 + ["main"]


def test_what_does_not_come_round_again_is_left_to_the_words():
    assert seen_charts(_pattern([_round("k5 k2tog k5"), _round("k4 k2tog k5"), _round("k10")])) == ()


def test_two_decrease_rounds_alone_need_no_chart():
    assert seen_charts(_pattern([_round("k4 k2tog", 2), _round("k5", 2), _round("k3 k2tog", 2)])) == ()


def test_an_uneven_first_round_is_left_to_the_words():
    (chart,) = seen_charts(_pattern([_round("k3 k2tog k4 k2tog k2"), *CROWN[2:]]))
    assert [row.number for row in chart.rows] == [2, 3, 4]


def test_every_role_needs_a_colour():
    with pytest.raises(BadInput, match="contrast 1"):
        pattern_charts(_pattern(CROWN), {"main": COLOURS["main"]})


def test_the_same_bytes_every_time_in_both_kinds():
    for ((_, one),) in zip(pattern_charts(_pattern(CROWN), COLOURS), strict=True):
        again = pattern_charts(_pattern(CROWN), COLOURS)[0][1]
        assert svg(one) == svg(again)
        assert png(one, 3) == png(again, 3)


def test_the_box_of_a_row_is_round_its_stitches_and_no_others():
    from matcher.drawing.pattern_chart import row_boxes

    rows = (_worked("k4"), _worked("k1 k2tog k1"), _worked("k3"))
    courses = [Course(row, "stocking", charted=(ChartRow("A", n, 1),)) for n, row in enumerate(rows, start=1)]
    pattern = _pattern(courses, [Chart("A", rows)])
    ((_, scene),) = pattern_charts(pattern, COLOURS)
    (boxes,) = row_boxes(pattern)
    assert list(boxes) == [1, 2, 3]
    stitches = [shape for shape in scene.shapes if shape.kind == "stitch"]
    for number, (left, top, width, height) in boxes.items():
        inside = [
            one
            for one in stitches
            if all(
                left - 0.01 <= x <= left + width + 0.01 and top - 0.01 <= y <= top + height + 0.01
                for x, y in one.points
            )
        ]
        assert len(inside) == len(seen_charts(pattern)[0].rows[number - 1].cells)

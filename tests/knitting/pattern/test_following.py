"""Every entry gone through step by step: each step is in the line that tells of it, and in the row of its chart."""

from __future__ import annotations

import re

import pytest
from listed import CATALOGUE, FABRIC, listed

from matcher.knitting.pattern.charted import seen_charts
from matcher.knitting.pattern.following import places_of
from matcher.knitting.pattern.pattern import Course
from matcher.knitting.pattern.place import stages_of
from matcher.knitting.pattern.words import course_words, lines_of

LISTED = sorted(CATALOGUE.accessories)


@pytest.mark.parametrize("key", LISTED)
def test_each_step_has_its_words_its_line_and_its_rows(key: str):
    pattern = listed(key)
    stages, places = stages_of(pattern, FABRIC), places_of(pattern)
    assert len(places) == len(stages)
    lines = [lines_of(piece, pattern) for piece in pattern.pieces]
    charts = seen_charts(pattern)
    for stage, place in zip(stages, places, strict=True):
        section = lines[place.piece][place.section]
        assert section.heading == stage.section
        if not place.words:
            continue
        assert place.line is not None, (stage.section, str(place.words[0]))
        line = section.lines[place.line]
        if isinstance(stage.step, Course):
            assert line.first <= stage.number <= line.last
            assert re.match(rf"(round|row) {stage.number}\b", str(place.words[0]))
        else:
            assert line.words == place.words[0]
        for chart, number in place.charts:
            assert number in {row.number for row in charts[chart].rows}


@pytest.mark.parametrize("key", ["hat-three-colour-band", "mitts-fingerless-stranded", "mittens-stranded"])
def test_a_charted_row_is_spelled_as_its_chart_has_it(key: str):
    pattern = listed(key)
    seen = 0
    for stage, place in zip(stages_of(pattern, FABRIC), places_of(pattern), strict=True):
        if not isinstance(stage.step, Course) or not stage.step.charted:
            assert place.spelled == ()
            continue
        seen += 1
        rows = dict.fromkeys((one.chart, one.row) for one in stage.step.charted)
        for (name, number), said in zip(rows, place.spelled, strict=True):
            stitches = pattern.chart(name).rows[number - 1]
            course = Course(stitches, stage.step.structure, stage.step.flat)
            assert str(said) == f"chart {name}, row {number}: {course_words(course, pattern.several)}"
    assert seen > 5


def test_a_row_of_a_crown_is_marked_in_its_chart():
    pattern = listed("hat-ribbed")
    charts = seen_charts(pattern)
    crown = next(place for place, chart in enumerate(charts) if not chart.lettered)
    marked = [
        (stage.number, row)
        for stage, place in zip(stages_of(pattern, FABRIC), places_of(pattern), strict=True)
        for chart, row in place.charts
        if chart == crown
    ]
    assert [number for number, _ in marked] == [row for _, row in marked] == [row.number for row in charts[crown].rows]

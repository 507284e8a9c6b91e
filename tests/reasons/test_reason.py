"""Reasons are put into words once: in her units, with her decimal sign, in her language; her own words stay as they are."""

from __future__ import annotations

from gettext import NullTranslations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.errors import BadInput, BadSheets, Fault, NotFound
from matcher.reasons.quantities import (
    Band,
    Chance,
    GaugeFigures,
    Length,
    Mass,
    Measure,
    Number,
    Share,
    StitchGauge,
    StitchLength,
    Tex,
)
from matcher.reasons.reason import Action, Column, Field, Term, counted, listed, reason
from matcher.reasons.style import PLAIN, Style

IMPERIAL = Style("imperial")
COMMA = Style(decimal=",")


@pytest.mark.parametrize(
    ("quantity", "metric", "imperial", "comma"),
    [
        # 1 yd = 0.9144 m, 1 oz = 28.3495 g, 1 in = 2.54 cm, all by definition.
        (Length(91.44), "91 m", "100 yd", "91 m"),
        (Length(8.4), "8.4 m", "9.2 yd", "8,4 m"),
        (Length(9.96), "10 m", "11 yd", "10 m"),
        (Length(0.0), "0 m", "0 yd", "0 m"),
        (Mass(28.349523125), "28 g", "1 oz", "28 g"),
        (Mass(1.0), "1 g", "0.04 oz", "1 g"),
        (Mass(453.59237), "454 g", "16 oz", "454 g"),
        (Band(50.0), "50 g", "50 g (1.76 oz)", "50 g"),
        (Band(49.612), "50 g", "1.75 oz", "50 g"),
        (Measure(25.4), "25.4 cm", "10 in", "25,4 cm"),
        (StitchLength(1.9), "1.90 cm", "0.75 in", "1,90 cm"),
        (
            GaugeFigures(22, 29.04),
            "22 stitches and 29 rows in 10 cm",
            "22.4 stitches and 29.5 rows in 4 in",
            "22 stitches and 29 rows in 10 cm",
        ),
        (StitchGauge(22.5), "22.5 stitches in 10 cm", "22.9 stitches in 4 in", "22,5 stitches in 10 cm"),
        (Tex(353.4), "353 tex", "353 tex", "353 tex"),
        (Number(1.25, 2), "1.25", "1.25", "1,25"),
        (Number(2.0, 1), "2", "2", "2"),
        (Share(0.175, 1), "17.5%", "17.5%", "17,5%"),
        (Number(-0.04, 1), "0", "0", "0"),
        (Share(0.031, signed=True), "+3%", "+3%", "+3%"),
        (Share(-0.0625, 1, signed=True), "-6.2%", "-6.2%", "-6,2%"),
        (Share(0.001, signed=True), "0%", "0%", "0%"),
    ],
)
def test_quantities_in_every_style(quantity, metric: str, imperial: str, comma: str):
    assert str(quantity) == PLAIN.say(quantity) == metric
    assert IMPERIAL.say(quantity) == imperial
    assert COMMA.say(quantity) == comma


@pytest.mark.parametrize(
    ("chance", "shown"),
    [
        (Chance(0.95), "95 in 100"),
        (Chance(0.9999), "99 in 100"),
        (Chance(1.0), "99 in 100"),
        (Chance(0.949999), "94 in 100"),
        (Chance(0.0), "0 in 100"),
        (Chance(0.999, 1), "99.9 in 100"),
        (Chance(0.95, 1), "95 in 100"),
        (Chance(1.0, 1), "99.9 in 100"),
    ],
)
def test_a_chance_is_never_said_to_be_more_sure_than_it_is(chance: Chance, shown: str):
    assert str(chance) == shown


def test_her_own_words_stay_as_she_wrote_them():
    said = reason("{lot}: {free} free", lot='navy 50 g, "box 3 m" {0} %s', free=Length(10.0))
    assert str(said) == 'navy 50 g, "box 3 m" {0} %s: 10 m free'
    assert IMPERIAL.say(said) == 'navy 50 g, "box 3 m" {0} %s: 11 yd free'


@given(st.text(max_size=40))
def test_any_name_goes_through_every_style_untouched(name: str):
    for style in (PLAIN, IMPERIAL, COMMA):
        assert style.say(reason("of {lot}", lot=name)) == f"of {name}"
        assert style.say(counted(2, "{n} of {lot}", "{n} of {lot}", lot=name)) == f"2 of {name}"
        assert style.say(listed((name, "b"), "and")) == f"{name} and b"


def test_one_and_many():
    rounds = [str(counted(number, "{n} round", "{n} rounds")) for number in (0, 1, 2)]
    assert rounds == ["0 rounds", "1 round", "2 rounds"]


def test_lists_end_as_people_end_them():
    assert [str(listed("abc"[:number], "and")) for number in range(4)] == ["", "a", "a and b", "a, b and c"]
    assert str(listed("abc", "or")) == "a, b or c"
    assert str(listed((Length(1.0), "b"), between="; ")) == "1 m; b"
    assert IMPERIAL.say(listed((Length(0.9144), Length(1.8288)), "and")) == "1 yd and 2 yd"


def test_a_bare_figure_is_refused():
    for value in (1.5, True, None, b"x"):
        with pytest.raises(TypeError, match="free is a bare"):
            reason("{free} free", free=value)


def test_reasons_are_values():
    """Equal reasons are one, so that they can be counted and left out when said before."""
    same = [reason("{m} free", m=Length(3.0)) for _ in range(2)]
    assert len(dict.fromkeys(same)) == 1
    assert reason("{m} free", m=Length(4.0)) not in same


class _Toy(NullTranslations):
    """A language of three templates, with another order of words and another rule for plurals."""

    def gettext(self, message: str) -> str:
        return {
            "{lot}: {free} free": "frei: {free} ({lot})",
            "clear": "deutlich",
            "{most} and {last}": "{most} und {last}",
        }.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return "{n} Reihe" if n in (0, 1) else "{n} Reihen"


def test_another_language_needs_only_another_style():
    style = Style(decimal=",", language=_Toy())
    assert style.say(reason("{lot}: {free} free", lot="clear", free=Length(8.4))) == "frei: 8,4 m (clear)"
    assert style.say(listed((Term("clear"), counted(0, "{n} round", "{n} rounds")), "and")) == "deutlich und 0 Reihe"


def test_a_face_has_its_own_words_for_fields_columns_and_actions():
    face = Style(field=lambda name: f"[{name}]", column=str.upper, action=lambda name: f"<{name}>")
    error = BadInput(
        reason("too little"), Field("least contrast"), reason("see {how}", how=Action("undo", (Field("list", "5"),)))
    )
    assert str(error) == "too little (least contrast): see undo list 5"
    assert error.shown(face) == "too little ([least contrast]): see <undo> [list] 5"
    assert face.say(reason("fill in {column}", column=Column("ball_grams"))) == "fill in BALL_GRAMS"


def test_faults_are_put_into_words_by_the_face_too():
    fault = Fault("lots.csv", 3, "grams", "", reason("up to {most}", most=Mass(20_000)))
    assert str(fault) == "lots.csv:3 grams: found nothing, expected up to 20000 g"
    assert IMPERIAL.say(fault) == "lots.csv:3 grams: found nothing, expected up to 705.5 oz"
    assert "705.5 oz" in BadSheets([fault]).shown(IMPERIAL)


def test_units_that_are_none_are_refused():
    with pytest.raises(ValueError, match="metric"):
        Style("stone")


def test_names_that_are_near_are_told():
    error = NotFound(reason('there is no lot "{name}"', name="navi"), near=("navy", "navy 50 g"))
    assert error.shown(IMPERIAL) == 'there is no lot "navi": did you mean navy or navy 50 g?'

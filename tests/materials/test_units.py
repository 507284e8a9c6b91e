"""Units as people write them: what is read, what is refused, and that what is shown reads back."""

from __future__ import annotations

import math
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.reading.numerals import Unreadable
from matcher.materials.reading.units import (
    parse_cm,
    parse_count,
    parse_gauge,
    parse_length_m,
    parse_mass_g,
    parse_number,
    parse_percent,
    parse_tex,
    tex_from_count,
)
from matcher.reasons.quantities import Length, Mass, Measure
from matcher.reasons.style import Style

OZ_G = 28.349523125


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("41", 41),
        ("41 g", 41),
        ("41g.", 41),
        ("41,5 g", 41.5),
        ("0.1 kg", 100),
        ("0,125 kg", 125),
        ("1.5 oz", 1.5 * OZ_G),
        ("1 1/2 oz", 1.5 * OZ_G),
        ("1½ oz", 1.5 * OZ_G),
        ("½ oz", 0.5 * OZ_G),
        ("1⁄2 oz", 0.5 * OZ_G),
        ("1 lb", 453.59237),
        ("1 lb 2 oz", 18 * OZ_G),
        ("1 234 g", 1234),
        ("1\u202f234 g", 1234),
        ("1,234.5 g", 1234.5),
        ("1.234,5 g", 1234.5),
        ("1'234 g", 1234),
        ("\u200b41\u00a0g", 41),
        ("4.1e1", 41),
    ],
)
def test_mass(text: str, grams: float):
    assert parse_mass_g(text) == pytest.approx(grams, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("200", 200),
        ("200 m", 200),
        ("220 yd", 201.168),
        ("220yds", 201.168),
        ("8 in", 0.2032),
        ('8"', 0.2032),
        ("12 cm", 0.12),
        ("1 yd 2 ft", 1.524),
        ("0.2 km", 200),
    ],
)
def test_length(text: str, metres: float):
    assert parse_length_m(text) == pytest.approx(metres, rel=1e-12)


def test_a_bare_number_is_metres_of_yarn_and_centimetres_of_a_piece():
    assert (parse_length_m("92"), parse_cm("92")) == (92, 92)
    assert parse_cm("36 in") == pytest.approx(91.44)
    assert parse_cm("8 mm") == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("text", "stitches", "rows"),
    [
        ("22 st x 30 rows", 22, 30),
        ("22 sts and 30 rows in 10 cm", 22, 30),
        ("22/30", 22, 30),
        ("22 x 30 / 10 cm", 22, 30),
        ("22.5 st", 22.5, None),
        ("22", 22, None),
        ("5.5 st per in", 5.5 * 10 / 2.54, None),
        ("22 sts and 30 rows in 4 in", 22 * 10 / 10.16, 30 * 10 / 10.16),
        ("22 sts, 30 rows = 10 cm (4 in)", 22, 30),
        ("22 st x 30 rows in 4 in / 10 cm", 22, 30),
        ("22 stitches by 30 rounds over 10 cm", 22, 30),
    ],
)
def test_gauge(text: str, stitches: float, rows: float | None):
    assert parse_gauge(text) == (pytest.approx(stitches), None if rows is None else pytest.approx(rows))


@pytest.mark.parametrize(
    ("text", "tex"),
    [
        ("250", 250),
        ("250 tex", 250),
        ("R 250 tex", 250),
        ("125 tex x 2", 250),
        ("Nm 4", 250),
        ("Nm4", 250),
        ("Nm 8/2", 250),
        ("2/8 Nm", 250),
        ("2500 dtex", 250),
        ("2250 den", 250),
        ("400 m/100 g", 250),
        ("400m per 100g", 250),
        ("100 g = 400 m", 250),
        ("4 m/g", 250),
        ("218.7226597 yd / 50 g", 250),
        ("25 g/100 m", 250),
        ("Ne 16", 36.909),
        ("worsted 30", 29.527),
        ("3 1/4 run", 95.395),
        ("1600 ypp", 310.034),
    ],
)
def test_tex(text: str, tex: float):
    assert parse_tex(text) == pytest.approx(tex, rel=2e-5)


def test_counts_and_percentages():
    assert (parse_count("3"), parse_count("3.0")) == (3, 3)
    assert (parse_percent("60 %"), parse_percent("12,5%")) == (60, 12.5)
    assert tex_from_count("Nm", 8, 2) == 250
    with pytest.raises(ValueError, match="no yarn count called"):
        tex_from_count("furlong", 3)
    for number in (0.0, -1.0, math.nan):
        with pytest.raises(ValueError, match="above zero"):
            tex_from_count("Nm", number)


PARSERS = (
    parse_mass_g,
    parse_length_m,
    parse_cm,
    parse_percent,
    parse_count,
    parse_gauge,
    parse_tex,
    parse_number,
)


@pytest.mark.parametrize("parse", PARSERS)
@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "nan",
        "inf",
        "-inf",
        "-3",
        "−3",
        "three",
        "3 furlongs",
        "3..4",
        "1/0",
        "9" * 400,
        "1e999",
        "½½",
    ],
)
def test_refused_by_every_parser_in_plain_words(parse, text: str):
    with pytest.raises(Unreadable) as caught:
        parse(text)
    assert "expected a" in str(caught.value)
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize("parse", PARSERS)
@given(text=st.text(max_size=30) | st.text("0123456789 .,/-+½'eEgmoznydxst%NTf", max_size=14))
def test_any_text_is_read_or_refused(parse, text: str):
    try:
        value = parse(text)
    except Unreadable:
        return
    for number in value if isinstance(value, tuple) else (value,):
        assert number is None or (math.isfinite(number) and number >= 0)


@pytest.mark.parametrize("units", ["metric", "imperial"])
@given(value=st.floats(0, 1e5))
def test_what_is_shown_reads_back(units: Literal["metric", "imperial"], value: float):
    style = Style(units)
    # Within half a step of the last digit shown: 1 m or yd from 10 on, else a tenth; 0.01 oz below 10 oz.
    step_m = (1 if value >= 9 else 0.1) * 1.0
    assert parse_length_m(Length(value).shown(style)) == pytest.approx(value, abs=0.51 * step_m)
    step_g = (0.01 if value < 280 else 0.1) * OZ_G if units == "imperial" else (1 if value >= 9 else 0.1)
    assert parse_mass_g(Mass(value).shown(style)) == pytest.approx(value, abs=0.51 * step_g)
    step_cm = 0.254 if units == "imperial" else 0.1
    assert parse_cm(Measure(value).shown(style)) == pytest.approx(value, abs=0.51 * step_cm)


@given(st.integers(0, 10**6), st.integers(0, 99))
def test_a_decimal_comma_is_a_decimal_point(whole: int, hundredths: int):
    assert parse_number(f"{whole},{hundredths:02d}") == parse_number(f"{whole}.{hundredths:02d}")


@given(st.integers(0, 999), st.integers(1, 99), st.integers(1, 99))
def test_fractions(whole: int, upper: int, lower: int):
    assert parse_number(f"{whole} {upper}/{lower}") == pytest.approx(whole + upper / lower)


@given(st.floats(0.01, 99_999), st.sampled_from([",", " ", "'"]))
def test_thousands_marks(value: float, mark: str):
    text = f"{value:,.2f}"
    assert parse_number(text.replace(",", mark)) == pytest.approx(float(text.replace(",", "")))


@given(st.integers(1, 999), st.integers(0, 999))
def test_a_comma_that_may_be_either_is_refused(whole: int, rest: int):
    with pytest.raises(Unreadable, match="could mean"):
        parse_mass_g(f"{whole},{rest:03d} g")


@given(st.floats(5, 10_000))
def test_a_count_and_its_tex_agree(tex: float):
    assert parse_tex(f"Nm {1000 / tex:.12g}") == pytest.approx(tex, rel=1e-9)
    assert parse_tex(f"{9 * tex:.12g} den") == pytest.approx(tex, rel=1e-9)
    assert parse_tex(f"{100_000 / tex:.12g} m/100 g") == pytest.approx(tex, rel=1e-9)


def test_units_are_named():
    with pytest.raises(ValueError, match="metric"):
        Style("furlongs")

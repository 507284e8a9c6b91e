"""How much there is, in words: against a table worked out apart, and laws that every reading keeps."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.errors import CatalogueError
from matcher.materials.estimate import Estimate, evenly
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unreadable
from matcher.materials.reading.weights import heard_amount
from matcher.store.catalogue.amounts import load_amounts
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.catalogue.folders import catalogue_folder

WORDS = load_amounts()
with (Path(__file__).parent / "amounts.csv").open(encoding="utf-8") as table:
    ROWS = list(csv.DictReader(table))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['cell']} of {row['ball_g']}")
def test_a_cell_against_the_table(row: dict[str, str]):
    heard = heard_amount(row["cell"], WORDS, float(row["ball_g"]) if row["ball_g"] else None)
    assert heard.value.mass.mean == pytest.approx(float(row["mean"]), rel=1e-4)
    assert heard.value.mass.sd == pytest.approx(float(row["sd"]), rel=1e-3, abs=1e-9)
    assert heard.value.pieces == (int(row["pieces"]) if row["pieces"] else None)
    assert heard.sure is (row["sure"] == "yes")


@pytest.mark.parametrize(
    ("cell", "ball_g", "said"),
    [
        ("about 40 g", None, "40 g, give or take 3.5 g"),
        ("2 x 50g", None, "100 g, in 2 pieces"),
        ("half", 50.0, "50% of a ball of 50 g: 25 g, give or take 5.8 g"),
        ("half", None, "50% of a ball, guessing 50 g a ball: 25 g, give or take 12 g"),
        ("1 ball less 10 g", 50.0, "1 ball less 10 g at 50 g a ball: 40 g, give or take 1.4 g"),
    ],
)
def test_what_was_made_of_it_is_said(cell: str, ball_g: float | None, said: str):
    assert str(heard_amount(cell, WORDS, ball_g).taken) == said


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("1,234", "could mean 1234 or 1.234"),
        ("1,234 g", "could mean"),
        ("about 1,234 g", "a weight such as"),
        ("4O g", "did you mean 40 g"),
        ("-5", "can't be negative"),
        ("45-40 g", "a weight such as"),
        ("about", "a weight such as"),
        ("?", "a weight such as"),
        ("lots", "isn't a unit"),
        ("several balls", "a weight such as"),
        ("20m", "isn't a unit"),
        ("1 ball less 100 g", "leaves nothing"),
        ("1/0 ball", "a weight such as"),
        ("not weighed", "a weight such as"),
        ("45g 38g", "write the one that counts"),
        ("100/50g", "write the one that counts"),
        ("45g (with cone)", "a weight such as"),
        ("38g (was 45)", "a weight such as"),
    ],
)
def test_what_is_no_amount_is_refused(cell: str, said: str):
    with pytest.raises(Unreadable, match=said):
        heard_amount(cell, WORDS, 50.0)


def test_what_stands_on_two_lines_is_told_on_one():
    with pytest.raises(Unreadable) as refused:
        heard_amount("forty\n grams", WORDS)
    assert 'found "forty grams"' in str(refused.value)


def test_a_dash_is_nothing_and_no_negative_number():
    with pytest.raises(Unreadable) as refused:
        heard_amount("-", WORDS)
    assert "negative" not in str(refused.value)


@pytest.mark.parametrize(
    ("cell", "grams", "sd"),
    [("20 m", 8, 0), ("about 20 m", 8, 0.6928), ("20-30 m", 10, 1.1547), ("100 yds", 36.576, 0)],
)
def test_a_length_that_is_left_is_weighed_by_its_tex(cell: str, grams: float, sd: float):
    mass = heard_amount(cell, WORDS, 50.0, 400.0).value.mass
    assert (mass.mean, mass.sd) == (pytest.approx(grams, rel=1e-4), pytest.approx(sd, rel=1e-3))
    with pytest.raises(Unreadable):
        heard_amount(cell, WORDS, 50.0)


UNITS = st.sampled_from(["", " g", "g", " grams", " gms"])
WEIGHTS = st.integers(1, 999)


@given(WEIGHTS, WEIGHTS, UNITS)
def test_a_range_lies_within(one: int, other: int, unit: str):
    low, high = sorted((one, other))
    if low == high:
        return
    mass = heard_amount(f"{low}-{high}{unit}", WORDS).value.mass
    assert mass == Estimate(pytest.approx((low + high) / 2), pytest.approx((high - low) / math.sqrt(12)))
    assert low <= mass.mean - mass.sd < mass.mean + mass.sd <= high


@given(WEIGHTS, UNITS)
def test_a_tidy_cell_has_nothing_made_of_it(grams: int, unit: str):
    heard = heard_amount(f"{grams}{unit}", WORDS)
    assert (heard.taken, heard.sure, heard.value.mass) == ("", True, Estimate(grams, 0))


@given(WEIGHTS, UNITS, st.sampled_from([spelling for spelling, word in WORDS.spelled if word.of == "amount"]))
def test_a_word_before_a_weight_never_makes_it_surer(grams: int, unit: str, word: str):
    heard = heard_amount(f"{word} {grams}{unit}", WORDS)
    meant = next(one for spelling, one in WORDS.spelled if spelling == word)
    assert heard.value.mass.mean == pytest.approx(grams * meant.range.mean)
    assert heard.value.mass.sd == pytest.approx(grams * meant.range.sd)
    assert heard.taken
    assert heard.sure is not meant.guess


@given(st.text(max_size=70))
def test_any_text_is_read_or_refused(text: str):
    try:
        heard = heard_amount(text, WORDS, 50.0)
    except Unreadable:
        return
    assert heard.value.mass.mean >= 0
    assert heard.value.mass.sd >= 0
    if heard.value.mass.sd > 0 or not heard.sure:
        assert heard.taken


WORDY = st.lists(
    st.sampled_from(["about", "half", "1", "2", "40", "g", "oz", "a", "ball", "balls", "of", "+", "-", "x", "and", "bit",
                     "(", ")", "1/2", "%", "full", ",", "less", "or", "so", "?", "nearly", "<", "scraps", "="]), max_size=12
)  # fmt: skip


@given(WORDY, st.sampled_from([" ", ""]))
def test_words_in_any_order_are_read_or_refused(words: list[str], between: str):
    try:
        heard = heard_amount(between.join(words), WORDS, 50.0)
    except Unreadable:
        return
    assert isinstance(heard, Heard)
    assert heard.value.mass.mean >= 0


def test_evenly_and_products_by_hand():
    assert evenly(40, 45) == Estimate(42.5, pytest.approx(5 / math.sqrt(12)))
    # E[xy] = 6, Var = 4*0.25 + 9*0.01 + 0.0025
    product = Estimate(2, 0.1).product(Estimate(3, 0.5))
    assert product == Estimate(6, pytest.approx(math.sqrt(4 * 0.25 + 9 * 0.01 + 0.25 * 0.01)))


def test_words_that_stand_twice_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    import shutil

    shutil.copytree(catalogue_folder(), tmp_path / "catalog")
    file = tmp_path / "catalog" / "standards" / "amounts.csv"
    file.write_text(file.read_text("utf-8").replace("about|approx", "about|nearly"), encoding="utf-8")
    with pytest.raises(CatalogueError, match="stands twice"):
        load_catalogue(folder=tmp_path / "catalog")

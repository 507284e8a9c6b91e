"""Thickness by a word for it, against a table written apart; the tex of several classes against sums by hand."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.materials.reading.numerals import Unreadable
from matcher.materials.thickness import Thickness, heard_thickness, tex_of_thickness
from matcher.materials.yarn import MeasuringRules, tex_from_class
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
CLASSES, NAMES, RULES = CATALOGUE.classes, CATALOGUE.yarn_names, CATALOGUE.measuring


def heard(text: str):
    return heard_thickness(text, CLASSES, NAMES)


@pytest.mark.parametrize(
    ("cell", "classes", "sure", "taken"),
    [
        ("3", (3,), True, ""),
        ("class 3", (3,), True, ""),
        ("3.0", (3,), True, ""),
        ("DK", (3,), True, ""),
        ("dk weight", (3,), True, "class 3"),
        ("D.K.", (3,), True, ""),
        ("double-knit", (3,), True, "class 3"),
        ("fing", (1,), True, "class 1"),
        ("worsted", (4,), True, ""),
        ("Aran", (4,), True, ""),
        ("fingering", (1,), True, ""),
        ("4ply", (1,), True, "class 1"),
        ("4 ply", (1,), True, "class 1"),
        ("4-ply", (1,), True, "class 1"),
        ("2ply", (0,), True, "class 0"),
        ("8ply", (3,), True, "class 3"),
        ("10 ply", (4,), True, "class 4"),
        ("double knitting", (3,), True, "class 3"),
        ("Double-Knitting", (3,), True, "class 3"),
        ("jumper weight", (1,), True, "class 1"),
        ("sock weight", (1,), True, "class 1"),
        ("sock yarn", (1,), True, "class 1"),
        ("chunky", (5,), True, ""),
        ("super-chunky", (6,), True, "class 6"),
        ("laceweight", (0,), True, "class 0"),
        ("lace", (0,), True, ""),
        ("DK (8ply)", (3,), True, "class 3"),
        ("3 (light)", (3,), True, "class 3"),
        ("4ply/fingering", (1,), True, "class 1"),
        ("aran/worsted", (4,), True, "class 4"),
        ("DK/worsted", (3, 4), True, "class 3 or 4"),
        ("DK/4ply", (1, 3), True, "class 1 or 3"),
        ("DK or aran", (3, 4), True, "class 3 or 4"),
        ("3-4", (3, 4), True, "class 3 or 4"),
        ("3/4", (3, 4), True, "class 3 or 4"),
        ("sport to worsted", (2, 3, 4), True, "class 2 to 4"),
        ("DK-worsted", (3, 4), True, "class 3 or 4"),
        ("aran ish", (4,), False, "near class 4"),
        ("aran-ish", (4,), False, "near class 4"),
        ("DKish", (3,), False, "near class 3"),
        ("about DK", (3,), False, "near class 3"),
        ("DK?", (3,), False, "near class 3"),
        ("baby", (1, 2), False, "class 1 or 2"),
        ("5 ply", (2, 3), False, "class 2 or 3"),
        ("heavy DK", (3, 4), False, "class 3 or 4"),
        ("light aran", (3, 4), False, "class 3 or 4"),
        ("light dk", (2,), True, "class 2"),
        ("worstd", (4,), False, "class 4"),
        ("figering", (1,), False, "class 1"),
        ("duble knitting", (3,), False, "class 3"),
    ],
)
def test_a_cell_against_the_table(cell: str, classes: tuple[int, ...], sure: bool, taken: str):
    found = heard(cell)
    assert found.value.classes == classes
    assert (str(found.taken), found.sure) == (taken, sure)
    assert found.value.loose == taken.startswith("near")


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("12", "ball_metres"),
        ("plies", "a name such as DK"),
        ("2 strands", "a name such as DK"),
        ("??", "a name such as DK"),
        ("unknown", "a name such as DK"),
        ("moss stitch", "a name such as DK"),
        ("4 needles", "a name such as DK"),
        ("dkx", "a name such as DK"),
    ],
)
def test_what_names_no_thickness_is_refused(cell: str, said: str):
    with pytest.raises(Unreadable, match=said):
        heard(cell)


def test_every_published_name_is_read():
    """The names of the trade, one row each; a name of two classes leaves both open."""
    with (Path(__file__).parents[1] / "published" / "yarn_names.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            among = {int(one) for one in row["class"].split(" or ")}
            assert among <= set(heard(row["name"]).value.classes), row["name"]


def test_two_classes_span_what_each_table_says_of_both():
    """DK to worsted: 333 to 833 by one table, 400 to 833 and 400 to 769 by the others."""
    tex = tex_of_thickness(Thickness((3, 4)), CLASSES, RULES)
    assert tex.mean == pytest.approx(math.sqrt(333 * 833))
    evenly = math.log(833 / 333) / math.sqrt(12)
    away = math.log(math.sqrt(400 * 833) / tex.mean)
    assert tex.sd / tex.mean == pytest.approx(math.hypot(evenly, away), rel=1e-6)
    for number in (3, 4):
        alone = tex_from_class(number, CLASSES)
        assert tex.sd / tex.mean > alone.sd / alone.mean


@pytest.mark.parametrize("pair", [(0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (5, 6), (6, 7), (0, 7)])
def test_several_classes_hold_what_is_drawn_from_them(pair: tuple[int, int]):
    """A yarn evenly by ratio from either class by any table: metres are held in 95 of 100 at 1.645 deviations."""
    tex = tex_of_thickness(Thickness(pair), CLASSES, RULES)
    rng = np.random.default_rng(1)
    tables = [ends for one in CLASSES if one.number in pair for ends in one.tables.values()]
    for low, high in tables:
        drawn = np.exp(rng.uniform(math.log(low), math.log(high), 20_000)) if high > low else np.array([low])
        inside = np.abs(np.log(drawn / tex.mean)) <= 2.0 * tex.sd / tex.mean
        assert inside.mean() > 0.9, (low, high)


def test_a_loose_word_is_less_sure_than_the_class():
    alone, near = tex_from_class(4, CLASSES), tex_of_thickness(Thickness((4,), loose=True), CLASSES, RULES)
    assert near.mean == alone.mean
    assert near.sd == pytest.approx(math.hypot(alone.sd, 0.15 * alone.mean))
    assert isinstance(RULES, MeasuringRules)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str):
    try:
        found = heard(text)
    except Unreadable:
        return
    assert found.value.classes == tuple(sorted(found.value.classes))


@given(
    st.lists(
        st.sampled_from([*NAMES, "3", "heavy", "light", "/", "-", "to", "or", "ish", "?", "weight", "("]), max_size=8
    )
)
def test_names_in_any_order_are_read_or_refused(words: list[str]):
    try:
        found = heard(" ".join(words))
    except Unreadable:
        return
    assert set(found.value.classes) <= {one.number for one in CLASSES}

"""Weight classes of the catalogue against the published standard's gauge, needle and tex ranges."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from matcher.materials.thickness import Thickness, heard_thickness
from matcher.materials.yarn import class_of_tex
from matcher.store.catalogue.catalogue import load_catalogue

with open(Path(__file__).with_name("yarn_weight_standard.csv"), encoding="utf-8", newline="") as _file:
    ROWS = {int(row["class"]): row for row in csv.DictReader(_file)}
with open(Path(__file__).with_name("class_lengths.csv"), encoding="utf-8", newline="") as _file:
    LENGTHS = list(csv.DictReader(_file))
CLASSES, NAMES = load_catalogue().classes, load_catalogue().yarn_names


def test_all_classes_are_there():
    assert [entry.number for entry in CLASSES] == sorted(ROWS)


@pytest.mark.parametrize("entry", CLASSES, ids=lambda entry: entry.name)
def test_ranges_are_the_standards(entry):
    row = ROWS[entry.number]
    assert entry.name == row["name"]
    ours = {
        "stitches_per_4in_min": entry.gauge_min_4in,
        "stitches_per_4in_max": entry.gauge_max_4in,
        "needle_mm_min": entry.needle_mm_min,
        "needle_mm_max": entry.needle_mm_max,
    }
    for column, value in ours.items():
        if row[column]:  # the chart leaves the ends of the heaviest classes open
            assert value == float(row[column]), column


@pytest.mark.parametrize("entry", CLASSES, ids=lambda entry: entry.name)
def test_a_class_is_as_thin_and_as_thick_as_any_table_says(entry):
    """Three tables circulate (class_lengths.csv); none of them is the standard's, and no yarn of theirs is left out."""
    tables = [row for row in LENGTHS if int(row["class"]) == entry.number]
    assert len(tables) == (3 if 1 <= entry.number <= 5 else 2 if entry.number == 6 else 0)
    for row in tables:
        for column in ("tex_low", "tex_high"):
            assert not row[column] or entry.tex_min <= float(row[column]) <= entry.tex_max
        for metres, tex in (("m_per_100g_high", "tex_low"), ("m_per_100g_low", "tex_high")):
            if row[metres]:
                assert float(row[tex]) == round(100_000 / float(row[metres]))
    if 1 <= entry.number <= 5:
        thinnest, thickest = (
            min(float(row["tex_low"]) for row in tables),
            max(float(row["tex_high"]) for row in tables),
        )
        assert (entry.tex_min, entry.tex_max) == (thinnest, thickest)
        assert entry.tex.mean == pytest.approx(math.sqrt(thinnest * thickest))


@pytest.mark.parametrize("number", range(1, 6))
def test_the_spread_of_a_class(number: int):
    """Evenly by ratio from the thinnest to the thickest, and beside it the farthest middle of a table."""
    ends = [(float(row["tex_low"]), float(row["tex_high"])) for row in LENGTHS if int(row["class"]) == number]
    logs = [math.log(tex) for both in ends for tex in both]
    low, high = min(logs), max(logs)
    evenly = (high - low) ** 2 / 12
    farthest = max(((math.log(a) + math.log(b)) / 2 - (low + high) / 2) ** 2 for a, b in ends)
    found = next(entry for entry in CLASSES if entry.number == number).tex
    assert found.sd / found.mean == pytest.approx(math.sqrt(evenly + farthest))


@pytest.mark.parametrize("entry", CLASSES, ids=lambda entry: entry.name)
def test_number_and_names_lead_to_the_class(entry):
    for words in (
        str(entry.number),
        f"class {entry.number}",
        entry.name,
        entry.name.lower().replace(" ", "-"),
    ):
        assert heard_thickness(words, CLASSES, {}).value == Thickness((entry.number,))


@pytest.mark.parametrize(
    ("words", "number"),
    [
        ("DK", 3),
        ("dk weight", 3),
        ("light worsted", 3),
        ("worsted", 4),
        ("aran", 4),
        ("sock", 1),
        ("fingering", 1),
        ("sport", 2),
    ],
)
def test_the_standards_names_of_yarns(words: str, number: int):
    assert words.split()[0].lower() in ROWS[number]["types"].lower()
    assert heard_thickness(words, CLASSES, NAMES).value == Thickness((number,))


@pytest.mark.parametrize("number", range(6))
def test_a_metre_count_of_the_chart_leads_back_to_the_class(number: int):
    row = ROWS[number]
    middle = 2e5 / (float(row["m_per_100g_min"]) + float(row["m_per_100g_max"]))
    assert class_of_tex(middle, CLASSES) == number

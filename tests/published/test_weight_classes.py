"""Weight classes of the catalogue against the published standard's gauge, needle and tex ranges."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from matcher.materials.yarn import class_of_tex
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.cells import parse_class

with open(Path(__file__).with_name("yarn_weight_standard.csv"), encoding="utf-8", newline="") as _file:
    ROWS = {int(row["class"]): row for row in csv.DictReader(_file)}
CLASSES = load_catalogue().classes


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
        "tex_min": entry.tex_min,
        "tex_max": entry.tex_max,
    }
    for column, value in ours.items():
        if row[column]:  # the chart leaves the ends of the heaviest classes open
            assert value == float(row[column]), column


@pytest.mark.parametrize("entry", CLASSES, ids=lambda entry: entry.name)
def test_number_and_names_lead_to_the_class(entry):
    for words in (
        str(entry.number),
        f"class {entry.number}",
        entry.name,
        entry.name.lower().replace(" ", "-"),
    ):
        assert parse_class(words, CLASSES) == entry.number


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
    assert parse_class(words, CLASSES) == number


@pytest.mark.parametrize("number", range(6))
def test_a_metre_count_of_the_chart_leads_back_to_the_class(number: int):
    row = ROWS[number]
    middle = 2e5 / (float(row["m_per_100g_min"]) + float(row["m_per_100g_max"]))
    assert class_of_tex(middle, CLASSES) == number

"""Yarn counts against a published table (Dooley, Textiles, 1912), with its tex, Nm and denier.

Tolerance: the table gives tex to three decimals and lengths to whole yards or metres.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from matcher.materials.reading.units import parse_tex, tex_from_count

with open(Path(__file__).with_name("count_conversions.csv"), encoding="utf-8", newline="") as _file:
    ROWS = list(csv.DictReader(_file))
NAMES = {
    "worsted": "worsted",
    "woollen American run": "run",
    "woollen Philadelphia cut": "cut",
    "cotton count Ne": "cotton",
    "English spun silk": "spun silk",
    "French spun silk": "Nm",
}


def count(row: dict[str, str]) -> tuple[str, float, int]:
    """System, count of one strand, strands, from the table's words: "No. 50-2", "3 1/4 run", "No. 2-100"."""
    system = next(ours for theirs, ours in NAMES.items() if row["system"].startswith(theirs))
    numbers = re.findall(r"\d+ \d/\d|\d+", row["example"])
    whole, _, fraction = numbers[0].partition(" ")
    first = int(whole) + (int(fraction[0]) / int(fraction[2]) if fraction else 0)
    second = float(numbers[1]) if len(numbers) > 1 else 1.0
    return system, max(first, second), int(min(first, second)) if len(numbers) > 1 else 1


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['system'][:12]} {row['example']}")
def test_tex_of_the_published_examples(row: dict[str, str]):
    tex = float(row["tex"])
    assert tex_from_count(*count(row)) == pytest.approx(tex, abs=0.0006)
    rounded = 0.0006 / float(row["Nm"])
    assert parse_tex(f"Nm {row['Nm']}") == pytest.approx(tex, rel=rounded, abs=0.0006)
    assert parse_tex(f"{row['denier']} den") == pytest.approx(tex, abs=0.0012)  # two decimals of denier
    assert parse_tex(f"{row['length']} {row['length_unit']}") == pytest.approx(tex, rel=2e-5, abs=0.0006)


@pytest.mark.parametrize(
    ("text", "tex"),
    [
        ("worsted 30", 29.527),
        ("130's worsted", 6.814),
        ("3 1/4 run", 95.395),
        ("No. 30 cut", 55.117),
        ("Ne 16", 36.909),
        ("Nm 100/2", 20.0),
        ("Nm 2/100", 20.0),
    ],
)
def test_the_same_as_people_write_them(text: str, tex: float):
    assert parse_tex(text) == pytest.approx(tex, abs=0.0006)

"""Body sizes of the catalogue against the WHO growth standard and the adult survey.

who_head_circumference.csv: WHO Child Growth Standards 2007. adult_body_dimensions.csv: ANSUR II 2012.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from matcher.knitting.bodies import Sizes
from matcher.store.catalogue.catalogue import load_catalogue

HERE = Path(__file__).parent
CHILDREN_MONTHS = {"1 month": (0, 3), "6 months": (3, 12), "2 years": (12, 36), "5 years": (36, 60)}
# dimension of ours -> dimension of the survey; the adult sizes are percentiles of women and men together.
ADULT = {
    "head": "headcircumference",
    "neck": "neckcircumference",
    "neck_base": "neckcircumferencebase",
    "chest": "chestcircumference",
    "shoulders": "shouldercircumference",
    "hand": "handcircumference",
    "wrist": "wristcircumference",
    "palm_length": "palmlength",
    "hand_length": "handlength",
    "foot": "balloffootcircumference",
    "foot_length": "footlength",
    "ankle": "anklecircumference",
    "calf": "calfcircumference",
}


def rows(name: str) -> list[dict[str, str]]:
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def sizes() -> Sizes:
    return load_catalogue().sizes


@pytest.mark.parametrize("size", CHILDREN_MONTHS)
def test_children_heads(sizes: Sizes, size: str) -> None:
    """A child's head lies between the medians (z0) of boys and girls over the ages of the size."""
    low, high = CHILDREN_MONTHS[size]
    months = [row for row in rows("who_head_circumference.csv") if low <= int(row["month"]) <= high]
    medians = [float(row["M_cm"]) for row in months]
    assert min(medians) <= sizes.dimension(size, "head") <= max(medians)


def test_heads_grow_from_size_to_size(sizes: Sizes) -> None:
    people = [size for size in sizes.names if sizes.wearer(size) != "anyone" and sizes.has(size, "head")]
    heads = [sizes.dimension(size, "head") for size in people]
    assert heads == sorted(heads)
    assert len(heads) >= 8


def test_heads_between_five_years_and_adult_say_that_they_are_derived(sizes: Sizes) -> None:
    last_child = max(float(row["M_cm"]) for row in rows("who_head_circumference.csv") if row["month"] == "60")
    smallest_adult = sizes.dimension("adult small", "head")
    between = [one for one in sizes.figures if one.dimension == "head" and last_child < one.cm < smallest_adult]
    assert between
    assert all(one.how_obtained == "derived" for one in between)


@pytest.mark.parametrize("dimension", ADULT)
def test_adults(sizes: Sizes, dimension: str) -> None:
    """Adults lie between women's 1st and men's 99th percentile, medium between the two medians."""
    survey = {row["sex"]: row for row in rows("adult_body_dimensions.csv") if row["dimension"] == ADULT[dimension]}
    low, high = float(survey["female"]["p1"]) / 10, float(survey["male"]["p99"]) / 10
    small, medium, large = (sizes.dimension(f"adult {size}", dimension) for size in ("small", "medium", "large"))
    assert low <= small < medium < large <= high
    assert float(survey["female"]["p50"]) / 10 <= medium <= float(survey["male"]["p50"]) / 10

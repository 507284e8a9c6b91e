"""A yarn of which only the class is known: what is called 95 % sure holds whichever of the tables is the true one."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from matcher.materials.fibre import Blend
from matcher.materials.uncertain import chance_of_all
from matcher.materials.yarn import length_on_hand, tex_from_class
from matcher.store.catalogue.catalogue import load_catalogue

TIMES, GRAMS, SURE = 40_000, 100.0, 0.95
CATALOGUE = load_catalogue()
with open(Path(__file__).parents[1] / "published" / "class_lengths.csv", encoding="utf-8", newline="") as _file:
    TABLES = [row for row in csv.DictReader(_file) if 1 <= int(row["class"]) <= 5]


def longest_need(number: int, spread: float) -> float:
    """The longest need that 100 g of a class are called 95 % sure for, with so much tension shared by all roles [m]."""
    free = length_on_hand(GRAMS, tex_from_class(number, CATALOGUE.classes), 1, Blend(()), CATALOGUE.measuring)
    low, high = 0.0, free.mean
    for _ in range(40):
        need = (low + high) / 2
        own = np.hypot(free.sd, CATALOGUE.fabric.share_sd * need)
        sure = chance_of_all(np.array([free.mean - need]), np.array([spread * need]), np.array([own]))
        low, high = (need, high) if sure >= SURE else (low, need)
    return low


@pytest.mark.parametrize("spread", [0.08, 0.15, 0.20])
@pytest.mark.parametrize("row", TABLES, ids=lambda row: f"class {row['class']} by table {row['table']}")
def test_what_is_called_sure_holds_by_any_table(row: dict[str, str], spread: float) -> None:
    number, rng = int(row["class"]), np.random.default_rng(12)
    need = longest_need(number, spread)
    metres = 1000.0 * GRAMS / rng.uniform(float(row["tex_low"]), float(row["tex_high"]), TIMES)
    taken = need * (1.0 + rng.normal(0.0, spread, TIMES) + rng.normal(0.0, CATALOGUE.fabric.share_sd, TIMES))
    held = float(np.mean(metres >= taken))
    assert held >= SURE - 3.0 * np.sqrt(SURE * (1.0 - SURE) / TIMES), f"{held:.3f}"


def test_the_middle_of_one_table_alone_would_not_hold() -> None:
    """What the spread is there for: a DK taken for the middle of the thinnest table holds far less by the others."""
    thin, thick = ((row["tex_low"], row["tex_high"]) for row in TABLES if row["class"] == "3" and row["table"] != "c")
    middle, sd = sum(map(float, thin)) / 2, (float(thin[1]) - float(thin[0])) / np.sqrt(12)
    rng = np.random.default_rng(12)
    said = 1000.0 * GRAMS / middle
    need = said - 1.645 * np.hypot(said * sd / middle, 0.15 * 0.78 * said)
    metres = 1000.0 * GRAMS / rng.uniform(*map(float, thick), TIMES)
    assert np.mean(metres >= need * (1.0 + rng.normal(0.0, 0.15, TIMES))) < 0.85

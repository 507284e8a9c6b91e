"""Roles that touch nothing of each other may be of one colour: then it is said, since fewer colours will be seen."""

from __future__ import annotations

from pathlib import Path

import pytest

HEAD = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn,reserve\n"


def bin_of(folder: Path, colours: list[str], grams: int = 40, ball_m: int = 200) -> None:
    rows = [f"lot {at},{grams},{colour},50,{ball_m},wool,hand,yarn {at},0" for at, colour in enumerate(colours)]
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")


def yokes(folder: Path, colours: list[str], run, run_json) -> tuple[str, list[list[str]]]:
    bin_of(folder, colours)
    asked = ("suggest", folder, "--kind", "yoke", "--single")
    found = run_json(*asked)["suggestions"]
    return " ".join(run(*asked).stdout.split()), [one["warnings"] for one in found]


def test_contrasts_of_one_colour_are_told(tmp_path: Path, run, run_json):
    shown, warnings = yokes(tmp_path, ["#101010", "#111111", "#121212", "#131313"], run, run_json)
    assert "Mind: contrast 1 and contrast 2 look alike, so that fewer colours will be seen." in shown
    assert warnings
    assert all(sum("look alike" in words for words in one) == 1 for one in warnings)


def test_contrasts_of_several_are_not(tmp_path: Path, run, run_json):
    shown, warnings = yokes(tmp_path, ["#f5f5f0", "#b01020", "#1d3f8a", "#0a0a0a"], run, run_json)
    assert warnings
    assert "look alike" not in shown
    assert not any("look alike" in words for one in warnings for words in one)


def test_two_of_four_are_told_by_themselves(tmp_path: Path, run, run_json):
    _, warnings = yokes(tmp_path, ["#f5f5f0", "#b01020", "#b11121", "#0a0a0a"], run, run_json)
    told = [words for one in warnings for words in one if "look alike" in words]
    assert told
    assert all(words.count("contrast") == 2 for words in told)


@pytest.mark.parametrize(("second", "told"), [("#6a8049", True), ("#c04040", False)])
def test_what_speaks_for_it_says_no_more_than_what_touches(tmp_path: Path, run, run_json, second: str, told: bool):
    """Two bands of a cowl lie apart: the ground may read clearly beside both, though they are of one green."""
    bin_of(tmp_path, ["#1a1f33", "#6b7f4a", second, "#f1eee4"], grams=90, ball_m=120)
    asked = ("suggest", tmp_path, "--kind", "cowl", "--single", "--full")
    found = next(one for one in run_json(*asked)["suggestions"] if one["key"] == "cowl-banded")
    touching = "what touches reads clearly, but contrast 1 and contrast 2 look alike"
    assert all(one["verdict"] == "clear" for one in found["contrasts"])
    assert (touching in found["reasons"]) == told
    assert ("its colours read clearly" in found["reasons"]) != told
    assert (touching in " ".join(run(*asked).stdout.split())) == told

"""Roles that touch nothing of each other may be of one colour: then it is said, since fewer colours will be seen."""

from __future__ import annotations

from pathlib import Path

HEAD = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn,reserve\n"


def yokes(folder: Path, colours: list[str], run, run_json) -> tuple[str, list[list[str]]]:
    rows = [f"lot {at},40,{colour},50,200,wool,hand,yarn {at},0" for at, colour in enumerate(colours)]
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
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

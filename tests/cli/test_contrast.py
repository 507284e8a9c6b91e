"""`matcher contrast` from the outside."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

KEYS = {"a", "b", "delta_e", "delta_l", "protan", "deutan", "tritan", "verdict", "reason"}


def test_json_has_the_promised_keys_for_every_pair(run_json):
    found = run_json("contrast", "navy", "cream", "#9c4a24")
    pairs = [(one["a"], one["b"]) for one in found["pairs"]]
    assert pairs == [("navy", "cream"), ("navy", "#9c4a24"), ("cream", "#9c4a24")]
    for one in found["pairs"]:
        assert set(one) >= KEYS
        for sight in ("protan", "deutan", "tritan"):
            assert set(one[sight]) == {"delta_e", "delta_l"}
        assert one["reason"]


@pytest.mark.parametrize(
    ("arguments", "exit_code", "verdict"),
    [
        (["navy", "cream"], 0, "readable"),
        (["#1f2a4a", "#efe6d0"], 0, "clear"),
        (["#7f8285", "#8d9092"], 1, "merges"),
        (["#808080", "#a8a8a8"], 0, "readable"),
        (["#808080", "#a8a8a8", "--least-contrast", "clear"], 1, "readable"),
        (["#808080", "#989898"], 1, "quiet"),
        (["#808080", "#989898", "--least-contrast", "quiet"], 0, "quiet"),
        (["navy", "navy 50%, white 50%"], 1, "merges"),
        (["lab(30, 10, -20)", "lab(80 0 0)"], 0, "clear"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_it_ends_with_1_when_a_pair_reads_too_little(arguments: list[str], exit_code: int, verdict: str, run, run_json):
    found = run_json("contrast", *arguments, exit_code=exit_code)
    assert [one["verdict"] for one in found["pairs"]] == [verdict]
    shown = run("contrast", *arguments)
    assert shown.exit_code == exit_code
    assert verdict in shown.stdout
    assert ("less than" in shown.stdout) == (exit_code == 1)
    assert run("contrast", *arguments, "--csv").exit_code == exit_code


def test_one_bad_pair_among_good_ones_is_enough(run):
    assert run("contrast", "navy", "cream", "white").exit_code == 1


def test_the_screen_has_the_matrix_the_figures_and_grey(run, fits_80):
    shown = run("contrast", "navy", "cream", "rust", "moss green", "dark brown")
    fits_80(shown.stdout)
    said = " ".join(shown.stdout.split())
    for a, b in (("navy", "cream"), ("navy", "rust"), ("moss green", "dark brown")):
        assert f"{a} and {b}: " in said
    for word in ("daylight", "red-blind", "green-blind", "blue-blind", "in grey"):
        assert said.count(word) >= 10, word
    assert not any(word in said for word in ("protan", "deutan", "tritan"))
    matrix = shown.stdout.split("\n\n")[0].splitlines()
    assert [name for name in ("cream", "rust", "moss", "dark") if name not in matrix[0]] == []


def test_many_long_names_still_fit_80_columns(run, fits_80):
    """Seven colours with shares: more than a table of 80 columns can hold side by side."""
    colours = [f"#{n}02030 50%, #e0e0{n}0 50%" for n in range(1, 8)]
    fits_80(run("contrast", *colours).stdout)


def test_output_in_a_process_of_its_own(by_itself, fits_80):
    shown = by_itself("contrast", "navy", "cream", "#7f8285")
    assert shown.returncode == 0
    fits_80(shown.stdout)
    assert "\x1b" not in shown.stdout


def test_the_sights_are_shown_in_colour_where_there_is_colour(by_itself):
    colour = {"FORCE_COLOR": "1", "COLORTERM": "truecolor", "TERM": "xterm-256color"}
    shown = by_itself("contrast", "navy", "cream", **colour)
    for sight in ("grey", "red-blind", "green-blind", "blue-blind"):
        (line,) = [line for line in shown.stdout.splitlines() if line.strip("\x1b[0m ").startswith(f"{sight} ")]
        assert "█" in line
    assert "█" not in by_itself("contrast", "navy", "cream", **colour, NO_COLOR="1").stdout


def test_lots_of_a_bin_by_name(run_json, small: Path):
    found = run_json("contrast", "Navy", "cream", "--bin", small)
    assert [(one["a"], one["b"]) for one in found["pairs"]] == [("navy", "cream")]
    by_code = run_json("contrast", "#1f2a4a", "#efe6d0")["pairs"][0]
    assert found["pairs"][0]["delta_e"] == by_code["delta_e"]


def test_csv_is_one_row_for_each_pair(run):
    rows = list(csv.DictReader(io.StringIO(run("contrast", "navy", "cream", "black", "--csv").stdout)))
    assert [(row["a"], row["b"]) for row in rows] == [("navy", "cream"), ("navy", "black"), ("cream", "black")]
    assert {"delta_e", "delta_l", "protan_delta_e", "verdict", "reason"} <= set(rows[0])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["navy"], ["give two colours or more"]),
        (["navy", "creem"], ["creem", "did you mean cream?"]),
        (["navy", "#12345"], ["#12345", "expected a code such as"]),
        (["navy", "lab(200, 0, 0)"], ["L* from 0 to 100"]),
        (["navy", "cream 60%, white 60%"], ["120%"]),
        (["navy", ""], ["found nothing, expected a code such as"]),
        (["navy", "cream", "--least-contrast", "loud"], ["clear", "readable", "quiet"]),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_what_is_no_colour_is_refused_with_2(arguments: list[str], words: list[str], run):
    shown = run("contrast", *arguments)
    assert shown.exit_code == 2
    assert shown.stdout == ""
    said = " ".join(shown.stderr.replace("│", " ").split())
    for word in words:
        assert word in said


def test_a_lot_that_is_not_in_the_bin(run, small: Path):
    shown = run("contrast", "nvay", "cream", "--bin", small)
    assert shown.exit_code == 2
    assert "did you mean navy" in " ".join(shown.stderr.split())


def test_what_stays_of_a_motif_at_three_distances(run, run_json, fits_80):
    found = run_json("contrast", "#4f9a4a", "#e24f92", "--motif", "yoke-two")["pairs"][0]["distances"]
    assert [(one["distance"], one["metres"]) for one in found] == [
        ("in the hand", 0.4),
        ("across a table", 1.0),
        ("across a room", 3.0),
    ]
    assert "the single stitches" in found[2]["blurs"]
    assert found[2]["into"]
    shown = run("contrast", "#4f9a4a", "#e24f92", "--motif", "yoke-two", "--swatch", "14 st x 19 rows").stdout
    fits_80(shown)
    assert "In the hand and across a table all of it shows" in " ".join(shown.split())


def test_whose_eyes_decide(run_json):
    pair = ("#b3262e", "#4f9a4a")
    ordinary = run_json("contrast", *pair)
    assert (ordinary["eyes"], ordinary["pairs"][0]["verdict"]) == ("ordinary", "readable")
    assert ordinary["pairs"][0]["verdicts"]["deutan"] == "quiet"
    assert run_json("contrast", *pair, "--eyes", "blue")["pairs"][0]["verdict"] == "readable"
    assert run_json("contrast", *pair, "--eyes", "green", exit_code=1)["pairs"][0]["least_seen"] == "deutan"

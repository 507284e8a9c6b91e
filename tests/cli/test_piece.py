"""`matcher piece` from the outside."""

from __future__ import annotations

import pytest

PIECE = ("piece", "--structure", "stocking", "--stitches", "110", "--height", "20 cm", "--class", "3")


def test_json_has_the_promised_keys(run_json):
    found = run_json(*PIECE)
    assert set(found) >= {"metres", "sd", "grams"}
    assert found["metres"] > found["sd"] > 0
    assert found["grams"] > 0


@pytest.mark.parametrize("structure", ["stocking", "garter", "rib", "stranded"])
@pytest.mark.parametrize("yarn", [("--class", "3"), ("--tex", "400"), ("--swatch", "22 st x 30 rows")])
def test_every_structure_from_every_knowledge_of_the_yarn(structure: str, yarn: tuple[str, str], run_json):
    found = run_json("piece", "--structure", structure, "--stitches", "100", "--rows", "60", *yarn)
    # 6,000 stitches of a medium yarn take 1.5 to 3 cm each.
    assert 90 < found["metres"] < 200
    assert found["working"]["rows"] == 60


def test_a_height_in_inches_is_the_same_height(run_json):
    metric = run_json("piece", "--structure", "rib", "--stitches", "80", "--height", "20.32", "--class", "3")
    imperial = run_json("piece", "--structure", "rib", "--stitches", "80", "--height", "8 in", "--class", "3")
    assert metric == imperial


def test_a_swatch_narrows_the_spread(run_json):
    common = ("piece", "--structure", "stocking", "--stitches", "100", "--rows", "60")
    guess, swatch = run_json(*common, "--class", "3"), run_json(*common, "--swatch", "22 st x 30 rows")
    assert swatch["sd"] / swatch["metres"] < 0.75 * guess["sd"] / guess["metres"]


def test_a_colour_more_takes_more(run_json):
    common = ("piece", "--structure", "stranded", "--stitches", "100", "--rows", "60", "--class", "3", "--colours")
    metres = [run_json(*common, str(colours))["metres"] for colours in (1, 2, 3)]
    assert metres == sorted(metres)
    assert metres[0] < metres[2]


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_output_fits_80_columns(units: str, run, fits_80):
    large = ("--stitches", "4999", "--rows", "19999", "--class", "3")
    shown = run("piece", "--structure", "stranded", *large, "--units", units)
    assert shown.exit_code == 0
    fits_80(shown.stdout)


def test_output_in_a_process_of_its_own(by_itself, fits_80):
    shown = by_itself(*PIECE)
    assert shown.returncode == 0
    assert shown.stderr == ""
    fits_80(shown.stdout)


def test_imperial_units_show_yards_and_ounces_and_no_metres(run, no_metric):
    shown = run(*PIECE, "--units", "imperial").stdout
    assert " yd" in shown
    assert " oz" in shown
    no_metric(shown)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), ["height", "rows"]),
        (("--rows", "0", "--class", "3"), ["0 rows"]),
        (("--rows", "10"), ["the yarn's thickness isn't known", "--tex 380, --class 3 or --swatch"]),
        (("--rows", "10", "--class", "12"), ['class "12"']),
        (("--rows", "10", "--tex", "1"), ["--tex"]),
        (("--height", "tall", "--class", "3"), ["--height", "tall"]),
        (("--height", "0", "--class", "3"), ["height"]),
        (("--height", "-5 cm", "--class", "3"), ["--height"]),
        (("--rows", "10", "--swatch", "none"), ["--swatch"]),
        (("--rows", "10", "--class", "3", "--colours", "9"), ["9 colours"]),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_makes_no_sense_is_refused_with_2(arguments: tuple[str, ...], words: list[str], run):
    shown = run("piece", "--structure", "stranded", "--stitches", "100", *arguments)
    assert shown.exit_code == 2
    assert shown.stdout == ""
    for word in words:
        assert word in " ".join(shown.stderr.replace("│", " ").split())


def test_an_unknown_structure_is_refused_with_the_known_ones(run):
    shown = run("piece", "--structure", "cable", "--stitches", "100", "--rows", "10", "--class", "3")
    assert shown.exit_code == 2
    for word in ("cable", "stocking", "garter", "rib", "stranded"):
        assert word in " ".join(shown.stderr.split())

"""`matcher needs` from the outside."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

ROLE_KEYS = {"role", "metres", "sd", "grams", "stitches"}


def test_json_has_the_promised_keys(run_json):
    found = run_json("needs", "hat-stranded-band")
    assert len(found["needs"]) == 8 * 4  # sizes by classes of the entry
    for row in found["needs"]:
        assert set(row) >= {"size", "class", "tex", "roles"}
        assert [role["role"] for role in row["roles"]] == ["main", "contrast 1"]
        for role in row["roles"]:
            assert set(role) >= ROLE_KEYS
            assert 0 < role["sd"] < role["metres"]
            assert role["grams"] == pytest.approx(role["metres"] * row["tex"] / 1000, rel=1e-3)


def test_a_name_serves_as_well_as_a_key(run_json):
    assert run_json("needs", "Ribbed Hat", "--class", "3") == run_json("needs", "hat-ribbed", "--class", "3")


def test_narrowed_to_one_size_and_class(run_json):
    (row,) = run_json("needs", "hat-ribbed", "--size", "Adult Medium", "--class", "3")["needs"]
    assert (row["size"], row["class"]) == ("adult medium", 3)


def test_her_own_tex_and_swatch(run_json):
    (by_tex,) = run_json("needs", "hat-ribbed", "--size", "adult medium", "--tex", "400")["needs"]
    assert by_tex["tex"] == 400
    swatch = ("needs", "hat-ribbed", "--size", "adult medium", "--swatch")
    (metric,) = run_json(*swatch, "20 st x 26 rows")["needs"]
    (imperial,) = run_json(*swatch, "20.32 st x 26.416 rows in 4 in")["needs"]
    assert metric["gauge"]["stitches_10cm"] == 20
    assert metric["roles"][0]["metres"] == pytest.approx(imperial["roles"][0]["metres"], rel=1e-3)
    assert metric["roles"][0]["sd"] < by_tex["roles"][0]["sd"], "a swatch narrows the spread"


@pytest.mark.parametrize("how", [[], ["--size", "adult medium", "--class", "3"]], ids=["table", "working"])
@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("accessory", ["hat-ribbed", "yoke-five-colours", "mittens-three-colours"])
def test_output_fits_80_columns(accessory: str, how: list[str], units: str, run, fits_80):
    shown = run("needs", accessory, *how, "--units", units)
    assert shown.exit_code == 0
    fits_80(shown.stdout)


def test_output_in_a_process_of_its_own(by_itself, fits_80):
    shown = by_itself("needs", "hat-stranded-band", "--size", "adult medium", "--class", "3")
    assert shown.returncode == 0
    assert shown.stderr == ""
    assert "\x1b" not in shown.stdout
    fits_80(shown.stdout)


def test_the_working_names_zones_stitches_rows_and_loop(run, run_json):
    narrow = ("needs", "hat-stranded-band", "--size", "adult medium", "--class", "3")
    said = " ".join(run(*narrow).stdout.split())
    (row,) = run_json(*narrow)["needs"]
    for role in row["roles"]:
        assert f"{role['role']} {role['metres']:.0f} m, give or take {role['sd']:.0f}"[:20] in said
        assert f"{role['stitches']} stitches" in said
        for zone in role["zones"]:
            assert zone["zone"] in said
            assert f"by {zone['rows']} rows" in said
    assert f"{row['loop_cm']:.2f} cm" in said


@pytest.mark.parametrize("how", [[], ["--size", "adult medium", "--class", "3"]], ids=["table", "working"])
def test_imperial_units_show_yards_and_ounces_and_no_metres(how: list[str], run, no_metric):
    shown = run("needs", "hat-ribbed", *how, "--units", "imperial").stdout
    assert " yd" in shown
    assert " oz" in shown
    no_metric(shown)


def test_csv_is_one_row_for_each_size_class_and_role(run):
    rows = list(csv.DictReader(io.StringIO(run("needs", "hat-stranded-band", "--csv").stdout)))
    assert len(rows) == 8 * 4 * 2
    assert list(rows[0]) == ["size", "class", "tex", "role", "metres", "sd", "grams", "stitches"]


def test_every_accessory_of_the_catalogue_has_its_needs(run_json, demo: Path):
    keys = sorted(path.stem for path in (demo.parent / "catalog" / "accessories").glob("*.toml"))
    assert len(keys) >= 24
    for key in keys:
        rows = run_json("needs", key)["needs"]
        assert rows
        assert min(role["metres"] for row in rows for role in row["roles"]) > 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["hat-rxd"], ["hat-rxd"]),
        (["cowl"], ["ribbed cowl"]),
        (["zzz"], ["there is no accessory", "hat-plain"]),
        (["hat-ribbed", "--size", "adult middling"], ["adult middling", "adult medium"]),
        (["hat-ribbed", "--size", "one size"], ["one size"]),
        (["hat-ribbed", "--class", "7"], ["class 7", "1, 2, 3, 4 or 5"]),
        (["hat-ribbed", "--class", "DK or aran"], ["--class", "class 3 or 4"]),
        (["hat-ribbed", "--tex", "0"], ["--tex"]),
        (["hat-ribbed", "--tex", "nan"], ["--tex"]),
        (["hat-ribbed", "--swatch", "many"], ["--swatch", "22 st x 30 rows"]),
        (["hat-ribbed", "--swatch", "0 st x 30 rows"], ["--swatch"]),
        (["hat-ribbed", "--swatch", "40 st x 10 rows"], ["hardly of one swatch (--swatch)", "about 4 rows for 3"]),
        (["hat-ribbed", "--swatch", "20 st x 61 rows"], ["hardly of one swatch (--swatch)"]),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_what_makes_no_sense_is_refused_with_2(arguments: list[str], words: list[str], run):
    shown = run("needs", *arguments)
    assert shown.exit_code == 2
    assert shown.stdout == ""
    said = " ".join(shown.stderr.replace("│", " ").split())
    for word in words:
        assert word in said
    assert "Traceback" not in shown.output

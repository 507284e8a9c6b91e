"""`matcher list`: everything on a line each, no name cut, figures that agree with the other commands."""

from __future__ import annotations

import csv
import io
import re
import shutil
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

import matcher
from matcher.actions.desk import Desk
from matcher.materials.estimate import Estimate

LONG = "a very long name of a lot that nobody would ever want to see cut off anywhere on the screen"


def test_every_lot_of_the_demo_is_listed_whole(run, fits_80):
    read = matcher.read_bin("demo")
    shown = run("list", "demo")
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    words = " ".join(shown.stdout.split())
    assert words.startswith(f"{len(read.lots)} lots: ")
    for name in {word for lot in read.lots for word in (*lot.name.split(), *lot.place.split())}:
        assert name in words


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("what", ["lots", "garments", "works"])
def test_a_name_of_any_length_takes_more_lines_and_is_never_cut(what: str, units: str, run, tmp_path, fits_80):
    store = tmp_path / "bin.sqlite"
    place = "the drawer below the one with the buttons in the sewing room"
    cells = {"grams": "120", "colour": "navy", "class": "3", "place": place, "garment": f"{LONG}, a garment"}
    matcher.garment(cells["garment"], "worn", {"wearer": f"{LONG}, a wearer"}, bin=store)
    matcher.add(LONG, cells, bin=store)
    matcher.begin("egg-cosy", [LONG], name=f"{LONG}, knitted", anyway=True, bin=store)
    shown = run("list", what, store, "--units", units)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    for word in LONG.split():
        assert word in shown.stdout
    if what == "lots":
        assert all(word in shown.stdout for word in place.split())
    assert not re.search(r"…|\.\.\.", shown.stdout)
    assert not re.search(r"\d\n", shown.stdout.replace(" ", ""))  # a figure stands with its unit


def test_what_and_bin_may_stand_in_either_order(run_json):
    one = run_json("list", "garments", "demo")
    assert run_json("list", "demo", "garments") == one
    assert run_json("list", "demo", "garment") == one
    assert [line["status"] for line in one["garments"]] == sorted(
        (line["status"] for line in one["garments"]), key=["worn", "given", "gone"].index
    )
    assert one["of"] == len(one["garments"]) == 9


def test_free_metres_are_those_of_the_reserve(run_json):
    freed = {free["lot"]: free["metres"] for group in run_json("reserve", "demo")["groups"] for free in group["freed"]}
    listed = {one["lot"]: one for one in run_json("list", "demo")["lots"]}
    for name, metres in freed.items():
        assert listed[name]["free_m"] == pytest.approx(metres, abs=0.011)
    for one in listed.values():
        assert one["free_m"] + one["kept_m"] + one["claimed_m"] == pytest.approx(one["metres"], abs=0.03)
        assert one["free_g"] <= one["grams"] + 0.01


def test_a_lot_that_is_all_free_is_as_heavy_as_it_weighs(tmp_path: Path, run, run_json):
    """Of ten pieces the ends that joining takes are no metres, but they lie on the scale."""
    (tmp_path / "lots.csv").write_text(
        "lot,grams,colour,ball_grams,ball_metres,pieces,fibre\ngrey,450 g,#777a70,50,60,10,wool\n", encoding="utf-8"
    )
    (one,) = run_json("list", tmp_path)["lots"]
    assert one["free_m"] == one["metres"] < 9 * 60
    assert one["free_g"] == one["grams"] == 450
    whole = f"{one['metres']:.0f} m"
    assert f"free {whole}, 450 g" in " ".join(run("show", "grey", "--bin", tmp_path).stdout.split())
    assert f"{whole} (450 g) free" in " ".join(run("triage", tmp_path).stdout.split())
    asked = Desk(tmp_path).bin.lots[0]
    assert asked.tex_on_scale > asked.yarn.tex.mean
    assert replace(asked, length=Estimate(0.0, 0.0)).tex_on_scale == asked.yarn.tex.mean


@pytest.mark.parametrize(
    ("asked", "fits"),
    [
        (["--place", "BLUE  box"], lambda one: one["place"] == "blue box"),
        (["--place", "box"], lambda one: "box" in one["place"]),
        (["--class", "DK"], lambda one: one["class"] == 3),
        (["--class", "3"], lambda one: one["class"] == 3),
        (["--free", "100m"], lambda one: one["free_m"] >= 100),
        (["--free", "110 yd"], lambda one: one["free_m"] >= 110 * 0.9144),
        (["--colour", "blue"], lambda one: any(name.endswith("blue") for name in one["colours"])),
        (["--color", "Dark Blue"], lambda one: "dark blue" in one["colours"]),
        (["--colour", "light gray"], lambda one: "pale grey" in one["colours"]),
        (
            ["--class", "DK", "--colour", "grey", "--free", "50 m"],
            lambda one: one["class"] == 3 and any("grey" in name for name in one["colours"]) and one["free_m"] >= 50,
        ),
    ],
)
def test_only_such_lots(asked: list[str], fits, run_json):
    every = run_json("list", "demo")["lots"]
    wanted = [one for one in every if fits(one)]
    found = run_json("list", "demo", *asked)
    assert found["lots"] == wanted
    assert 0 < len(wanted) < found["of"] == len(every)
    names = {one["garment"] for one in wanted} - {""}
    assert {one["garment"] for one in run_json("list", "garments", "demo", *asked)["garments"]} == names


def test_a_colour_that_is_no_family_stands_for_its_own_and_it_is_said(run):
    shown = run("list", "demo", "--colour", "navy")
    assert "is looked for as" in shown.stderr
    assert "navy" in shown.stdout


@pytest.mark.parametrize(
    ("by", "key"),
    [
        ("free", lambda one: -one["free_m"]),
        ("grams", lambda one: -one["grams"]),
        ("class", lambda one: one["class"]),
        ("place", lambda one: one["place"] or "~"),
        ("name", lambda one: one["lot"].casefold()),
    ],
)
def test_lots_are_sorted_as_asked(by: str, key, run_json):
    lots = run_json("list", "demo", "--sort", by)["lots"]
    assert [key(one) for one in lots] == sorted(key(one) for one in lots)
    assert len(lots) == 46


def test_by_place_each_place_is_a_heading(run, fits_80):
    shown = run("list", "demo", "--sort", "place")
    fits_80(shown.stdout)
    assert shown.stdout.count("blue box") == 1
    assert shown.stdout.splitlines().count("shoebox under the stairs") == 1


def test_colours_of_one_family_stand_together(run_json):
    families = [one["colours"][0].split()[-1] for one in run_json("list", "demo", "--sort", "colour")["lots"]]
    assert len([1 for a, b in pairwise(families) if a != b]) == len(set(families)) - 1


@pytest.mark.parametrize("what", ["lots", "garments"])
def test_csv_has_a_row_for_each(what: str, run, run_json):
    rows = list(csv.DictReader(io.StringIO(run("list", what, "demo", "--csv").stdout)))
    assert [row[what[:-1]] for row in rows] == [one[what[:-1]] for one in run_json("list", what, "demo")[what]]
    assert not any(cell.startswith("[") for row in rows for cell in row.values())


def test_works_are_those_of_the_store_on_the_needles_first(run, run_json, tmp_path):
    store = tmp_path / "bin.sqlite"
    matcher.intake("demo", bin=store)
    assert "nothing has been put on the needles" in run("list", "works", store).stdout.lower()
    matcher.begin("egg-cosy", ["white cotton"], bin=store)
    matcher.finish("egg-cosy", {"white cotton": "36 g"}, bin=store)
    matcher.begin("hat-plain", ["navy"], size="adult small", bin=store)
    works = run_json("list", "works", store)["works"]
    assert [(one["accessory"], one["state"]) for one in works] == [("hat-plain", "begun"), ("egg-cosy", "finished")]
    assert works[1]["lots"][0]["grams"] == pytest.approx(5.0)
    assert run_json("list", "works", store, "--class", "DK")["works"] == works
    assert run_json("list", "works", store, "--colour", "white")["works"] == works[1:]
    assert run_json("list", "works", "demo")["works"] == []


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--place", "bleu box"], "blue box"),
        (["--place", "attic"], "nothing lies in"),
        (["--class", "heavyish"], "--class"),
        (["--colour", "glorious"], "--colour"),
        (["--colour", ""], "--colour"),
        (["--free", "lots"], "--free"),
        (["garments", "--sort", "free"], "--sort"),
        (["garments", "lots"], "too many"),
        (["one", "more"], "too many"),
    ],
)
def test_what_cannot_be_meant_is_told_with_a_way_out(asked: list[str], said: str, run):
    shown = run("list", "demo", *asked)
    assert shown.exit_code == 2
    assert said in shown.stderr


def test_none_of_them_is_said(run):
    shown = run("list", "demo", "--free", "5000m")
    assert shown.exit_code == 0
    assert shown.stdout.strip() == "None of your lots is like that."


def with_nobody(demo: Path, folder: Path) -> Path:
    """A store that holds the demo's lots and garments, and none of its people."""
    (folder / "demo").mkdir()
    for name in ("lots.csv", "garments.csv"):
        shutil.copy(demo / name, folder / "demo" / name)
    matcher.intake(folder / "demo", bin=folder / "bin.sqlite")
    return folder / "bin.sqlite"


def test_people_are_listed_with_what_they_wear(run, run_json, tmp_path, fits_80, demo):
    store = with_nobody(demo, tmp_path)
    assert "matcher person" in run("list", "people", store).stdout
    matcher.person("my father", {"head_cm": "58", "avoid_on_skin": "mohair", "eyes": "red-green"}, bin=store)
    matcher.person("Ada", {"size": "5 years", "likes": "hats; blue"}, bin=store)
    people = run_json("list", "people", store)["people"]
    assert [one["person"] for one in people] == ["Ada", "my father"]
    assert people[1]["garments"] == ["oatmeal vest"]
    assert people[1]["measures"] == {"head_cm": 58}
    assert people[1]["avoid_on_skin"] == ["mohair"]
    shown = run("list", "people", store)
    fits_80(shown.stdout)
    assert "oatmeal vest" in shown.stdout
    assert [one["person"] for one in run_json("list", "people", store, "--place", "basket")["people"]] == ["my father"]
    assert run("list", "people", store, "--csv").stdout.startswith("person,size,")


def test_somebody_is_shown(run, run_json, tmp_path, fits_80, demo):
    store = with_nobody(demo, tmp_path)
    matcher.person("my father", {"head_cm": "58"}, bin=store)
    matcher.person("my father", {"eyes": "red-green"}, bin=store)
    shown = run("show", "my", "father", "--bin", store, "--units", "imperial")
    fits_80(shown.stdout)
    assert "22.8" in shown.stdout
    assert "oatmeal vest" in shown.stdout
    (person,) = run_json("show", "my father", "--bin", store)["people"]
    assert [event["what"] for event in person["history"]] == ["written down", "eyes: red-green"]


def test_a_colour_that_is_only_a_word_is_marked_as_guessed(run, run_json, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "lot,colour,grams,class,place\nshawl rest,plum,50,DK,box\nhat rest,#5b2a4a,40,DK,box\n", encoding="utf-8"
    )
    lots, guessed = {one["lot"]: one for one in run_json("list", tmp_path)["lots"]}, {"shawl rest"}
    assert {name for name, one in lots.items() if one["colour_guessed"]} == guessed
    shown = run("list", tmp_path, "--sort", "place").stdout
    for line in shown.splitlines():
        (name, *_) = line.split("  ")
        if name in lots:
            assert ("?" in line) == (name in guessed)
    assert "? colour guessed from the word" in shown
    assert "guessed from the word" in run("show", min(guessed), "--bin", tmp_path).stdout


BAND = "banded,half a ball,50,125,,navy"
CLASS = "classed,40,,,3,navy"
NOTES = {
    BAND: ["~ before a weight, and so its length: not weighed, but read from your words."],
    CLASS: ["~ by the weight class alone: weigh 20 m of it to know better."],
    f"{BAND}\n{CLASS}": [
        "~ before a length alone: by its weight class; weigh 20 m of it to know better.",
        "~ before a weight, and so its length: not weighed, but read from your words.",
    ],
}


@pytest.mark.parametrize("rows", NOTES)
def test_what_stands_before_a_figure_is_told_for_its_own_cause(rows: str, run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(f"lot,grams,ball_grams,ball_metres,class,colour\n{rows}\n", encoding="utf-8")
    lines = run("list", tmp_path).stdout.splitlines()
    assert [line for line in lines if line.startswith("~")] == NOTES[rows]

"""`matcher palette` from the outside."""

from __future__ import annotations

import csv
import io
import math
from pathlib import Path
from xml.etree import ElementTree

import pytest

from matcher.materials.lots import Bin


@pytest.mark.parametrize("by", ["lightness", "hue", "map"])
def test_json_lays_every_lot_out_by_class(by: str, run_json, demo: Path):
    found = run_json("palette", demo, "--by", by)
    names = [one["lot"] for one in found["lots"]]
    with (demo / "lots.csv").open(encoding="utf-8") as file:
        assert sorted(names) == sorted(row["lot"] for row in csv.DictReader(file))
    classes = [one["class"] for one in found["lots"]]
    assert classes == sorted(classes)
    for one in found["lots"]:
        assert set(one) == {"lot", "class", "lab", "colour", "colour_guessed", "free_m", "makes_something"}
    for pair, number in ((found["pairs"], 2), (found["triples"], 3)):
        assert pair
        for one in pair:
            assert len(one["lots"]) == len(one["free_m"]) == number
            assert one["verdict"] in ("clear", "readable")
            assert all(
                next(lot for lot in found["lots"] if lot["lot"] == name)["makes_something"] for name in one["lots"]
            )


def test_by_lightness_it_goes_from_dark_to_light(run_json, demo: Path):
    lots = run_json("palette", demo)["lots"]
    for number in {one["class"] for one in lots}:
        light = [one["lab"][0] for one in lots if one["class"] == number]
        assert light == sorted(light)


def test_by_hue_greys_come_first(run_json, demo: Path):
    lots = [one for one in run_json("palette", demo, "--by", "hue")["lots"] if one["class"] == 3]
    coloured = [math.hypot(*one["lab"][1:]) >= 8 for one in lots]
    assert coloured == sorted(coloured)
    hue = [
        math.degrees(math.atan2(one["lab"][2], one["lab"][1])) % 360 // 30
        for one in lots
        if math.hypot(*one["lab"][1:]) >= 8
    ]
    assert hue == sorted(hue)


@pytest.mark.parametrize("by", ["lightness", "hue", "map"])
def test_the_screen_fits_in_colour_and_without(by: str, run, demo: Path, fits_80, by_itself):
    plain = run("palette", demo, "--by", by, "--units", "imperial")
    fits_80(plain.stdout)
    assert "free, as a strand" in plain.stdout
    for words in ("class 3, Light", "navy", "Pairs that read well together", "Triples that read well together"):
        assert words in plain.stdout
    assert " m free" not in plain.stdout
    if by != "hue":
        shown = by_itself("palette", demo, "--by", by, FORCE_COLOR="1", COLORTERM="truecolor", TERM="xterm-256color")
        assert shown.returncode == 0
        fits_80(shown.stdout)
        assert "█" in shown.stdout


def test_metres_of_lots_that_count_as_one_are_said_to_be_of_all(run, run_json, demo: Path):
    """moss has 95 m free, with its full ball 195: a pair with "moss (195 m)" would contradict the row above it."""
    found = run_json("palette", demo)
    free = {one["lot"]: one["free_m"] for one in found["lots"]}
    shown = " ".join(run("palette", demo).stdout.split())
    pooled = {
        name: metres
        for group in found["pairs"] + found["triples"]
        for name, metres in zip(group["lots"], group["free_m"], strict=True)
    }
    assert pooled["moss"] > free["moss"] + 50
    for name, metres in pooled.items():
        assert (f"{name} (2 lots)" in shown) == (abs(metres - free[name]) > 0.5), name
    assert "The first figure is lightness: 0 is black, 100 is white." in shown


def test_numbers_on_dots_of_several_colours_stand_on_a_plate(run, demo: Path, tmp_path: Path):
    svg = tmp_path / "map.svg"
    assert run("palette", demo, "--by", "map", "--svg", svg).exit_code == 0
    classes = [one.get("class") for one in ElementTree.parse(svg).iter()]
    assert classes.count("plate") == 1  # berry mix; a heather is of one colour to the eye


@pytest.mark.parametrize("by", ["lightness", "map"])
def test_pictures_show_every_lot(by: str, run, demo: Path, tmp_path: Path):
    from PIL import Image

    svg, png = tmp_path / "palette.svg", tmp_path / "palette.png"
    shown = run("palette", demo, "--by", by, "--svg", svg, "--png", png)
    assert shown.exit_code == 0, shown.output
    assert "is written" in " ".join(shown.stderr.split())
    tree = ElementTree.parse(svg)
    text = [one.text or "" for one in tree.iter("{http://www.w3.org/2000/svg}text")]
    with (demo / "lots.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            assert any(row["lot"][:20] in one for one in text), row["lot"]
    classes = [one.get("class") for one in tree.iter() if one.get("class")]
    # Two parts more than lots: berry mix has three colours; a heather is blended.
    assert classes.count("colour") == 46 + 2
    assert classes.count("grey") == (46 if by == "lightness" else 0)
    with Image.open(png) as image:
        colours = {code for _, code in image.convert("RGB").getcolors(image.width * image.height)}
        width, height = image.size
    assert {(0x1F, 0x2A, 0x4A), (0xB3, 0x26, 0x2E)} <= colours
    assert width < 3 * height


def test_csv_and_a_bin_of_little(run, run_json, tmp_path: Path, fits_80):
    folder = tmp_path / "little"
    folder.mkdir()
    (folder / "lots.csv").write_text("lot,colour,grams,class\nend,navy,1,3\n", encoding="utf-8")
    found = run_json("palette", folder)
    assert found["pairs"] == found["triples"] == []
    assert found["lots"][0]["makes_something"] is False
    shown = run("palette", folder)
    fits_80(shown.stdout)
    assert "too little free" in shown.stdout
    assert "No two yarns" in " ".join(shown.stdout.split())
    rows = list(csv.DictReader(io.StringIO(run("palette", folder, "--csv").stdout)))
    assert rows[0]["lot"] == "end"


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--by", "size"], "size"),
        (["--svg", "p.png"], "let its name end in .svg"),
        (["--png", "nowhere/p.png"], "there is no folder nowhere"),
        (["--top", "-1"], "0 or more"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_what_makes_no_sense_is_refused_with_2(
    options: list[str], words: str, run, demo: Path, tmp_path: Path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    shown = run("palette", demo, *options)
    assert shown.exit_code == 2, shown.output
    assert shown.stdout == ""
    assert words in " ".join(shown.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_an_empty_bin_has_an_empty_palette():
    from matcher.actions.colours.palette import palette

    found = palette(Bin(()))
    assert found.as_dict()["lots"] == []
    assert found.scene().shapes == ()
    assert list(found.frame().columns)


def test_a_lot_that_she_decided_to_keep_is_called_kept(run, run_json, demo: Path, tmp_path: Path):
    """Not "too little free": there is enough of it, but she said that it stays."""
    store = tmp_path / "bin.db"
    assert run("intake", demo, "--bin", store).exit_code == 0
    assert run("triage", store, "--lot", "navy", "--decide", "keep").exit_code == 0
    (navy,) = [
        line
        for line in run("palette", store).stdout.splitlines()
        if "navy " in line and "cotton" not in line and line.split()[0].isdigit()
    ]
    assert navy.endswith("kept by you")
    (row,) = [one for one in run_json("palette", store)["lots"] if one["lot"] == "navy"]
    assert (row["free_m"], row["makes_something"]) == (0, False)

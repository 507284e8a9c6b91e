"""`matcher motif` from the outside."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from PIL import Image

import matcher
from matcher.store.catalogue.catalogue import load_catalogue

KEYS = {"width", "height", "roles", "rows", "longest_floats", "shared_edges"}
# Seven stitches by three rows: main 13, contrast 1 6, contrast 2 2; row 2 has three colours; contrast 2 passes 6.
MINE = """name: my own
roles: . main, x contrast 1, o contrast 2
licence: MIT

x.x.x..
..x..o.
o..x..x
"""


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    path = tmp_path / "mine.txt"
    path.write_text(MINE, encoding="utf-8")
    return path


def test_json_has_the_promised_keys_and_what_is_counted_by_hand(run_json, mine: Path):
    found = run_json("motif", mine)
    assert set(found) >= KEYS
    assert (found["name"], found["width"], found["height"]) == ("my own", 7, 3)
    assert found["roles"] == {"main": 13, "contrast 1": 6, "contrast 2": 2}
    assert found["longest_floats"] == {"main": 2, "contrast 1": 6, "contrast 2": 6}
    assert found["rows"][1] == {
        "row": 2,
        "colours": 3,
        "roles": {"main": 5, "contrast 1": 1, "contrast 2": 1},
        "longest_floats": {"main": 1, "contrast 1": 6, "contrast 2": 6},
    }
    assert found["many_coloured_rows"] == [2, 3]
    assert found["repeat"] == {"width": 7, "height": 3}
    edges = {tuple(one["roles"]): (one["beside"], one["above"], one["edges"]) for one in found["shared_edges"]}
    # Row 1 main and contrast 1 meet 6 times, row 2 twice, row 3 three times; upwards row 1 to 2 twice, 2 to 3 three
    # times, 3 to 1 four times. Contrast 1 and contrast 2 meet once in row 3 and once upwards, from row 3 to row 1.
    assert edges["main", "contrast 1"] == (11, 9, 20)
    assert edges["contrast 1", "contrast 2"] == (1, 1, 2)
    assert found["balance"] is None
    assert found["contrasts"] == found["colours"] == found["files"] == []


def test_long_floats_bring_the_caution_with_them(run_json, mine: Path):
    long = run_json("motif", mine)["warnings"]
    assert [one for one in long if "contrast 2 passes 6 stitches (row 2)" in one]
    assert [one for one in long if one.startswith("Long floats snag")]
    assert run_json("motif", "dots")["warnings"] == []


def test_two_repeats_in_one_grid_are_told(run, run_json, tmp_path: Path):
    path = tmp_path / "twice.txt"
    path.write_text("name: twice\nroles: . main, x contrast 1\n\nx..x..\n.x..x.\n", encoding="utf-8")
    found = run_json("motif", path)
    assert found["repeat"] == {"width": 3, "height": 2}
    assert found["warnings"] == ["the grid shows the same repeat 2 times across: 3 stitches by 2 rows are enough"]
    assert "2 times across" in " ".join(run("motif", path).stdout.split())


def test_the_screen_shows_the_grid_as_it_is_knitted(run, mine: Path, fits_80):
    shown = run("motif", mine)
    fits_80(shown.stdout)
    lines = [line.rstrip() for line in shown.stdout.splitlines()]
    assert lines[3:7] == ["o . . x . . x  3", ". . x . . o .  2", "x . x . x . .  1", "            1"]
    said = " ".join(shown.stdout.split())
    for words in (
        "7 stitches by 3 rows",
        "Three colours or more in rows 2, 3.",
        "main and contrast 1 touch at 20 stitch edges (11 side by side, 9 one above the other)",
        "Catch a float that passes behind more than five stitches",
    ):
        assert words in said


@pytest.mark.parametrize(
    ("width", "height", "words"), [(60, 3, ""), (400, 5, "stitches 1 to 77"), (3, 400, "rows 1 to 64")]
)
def test_large_grids_fit_the_screen_and_say_what_is_left_out(
    width: int, height: int, words: str, run, tmp_path: Path, fits_80
):
    path = tmp_path / "large.txt"
    path.write_text(f"name: large\nroles: . main, x b\n\n{'.' * (width - 1)}x\n" + ("." * width + "\n") * (height - 1))
    shown = run("motif", path)
    fits_80(shown.stdout)
    assert words in shown.stdout.casefold()
    assert ("are shown;" in shown.stdout) == bool(words)


def test_every_tenth_stitch_is_numbered_below_its_own(run, tmp_path: Path):
    path = tmp_path / "marked.txt"
    row = "".join("x" if stitch in (1, 10, 20, 30) else "." for stitch in range(33, 0, -1))
    for width in (33, 73):
        path.write_text(f"name: m\nroles: . main, x b\n\n{'.' * (width - 33)}{row}\n", encoding="utf-8")
        chart, numbers = run("motif", path).stdout.splitlines()[3:5]
        marked = [place for place, mark in enumerate(chart) if mark == "x"]
        for number, place in zip(("30", "20", "10", "1"), marked, strict=True):
            # Two columns a stitch where there is room: the number begins below it; else it ends there.
            at = place if width == 33 else place - len(number) + 1
            assert numbers[at : at + len(number)] == number


def test_a_catalogue_motif_by_key_and_by_name(run_json):
    assert run_json("motif", "nested-diamonds") == run_json("motif", "Nested Diamonds")


def test_names_are_known_whatever_their_case_and_spaces(run_json):
    assert run_json("motif", "nested  diamonds") == run_json("motif", "nested-diamonds")
    found = run_json("motif", "crosses", "--bin", "demo", "--lots", "Contrast  1=cream", "--lots", "mid  GREY")
    assert [(one["role"], one["name"], one["lot"]) for one in found["colours"]] == [
        ("main", "mid grey", True),
        ("contrast 1", "cream", True),
    ]


def test_a_file_goes_before_a_catalogue_motif_of_the_same_name(run_json, tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("dots").write_text(MINE, encoding="utf-8")
    assert run_json("motif", "dots")["name"] == "my own"


def test_lots_of_a_bin_in_order_and_by_role(run, run_json, mine: Path, small: Path, fits_80):
    in_order = run_json("motif", mine, "--bin", small, "--lots", "Navy", "--lots", "cream", "--lots", "rust")
    named = run_json("motif", mine, "--bin", small, "--lots", "Contrast 2=rust", "--lots", "navy", "--lots", "cream")
    assert in_order == named
    assert [(one["role"], one["name"], one["lot"]) for one in named["colours"]] == [
        ("main", "navy", True),
        ("contrast 1", "cream", True),
        ("contrast 2", "rust", True),
    ]
    judged = run_json("contrast", "navy", "cream", "--bin", small)["pairs"][0]
    (found,) = [one for one in named["contrasts"] if one["roles"] == ["main", "contrast 1"]]
    assert found["edges"] == 20
    for key in ("delta_e", "delta_l", "verdict", "reason", "least_seen"):
        assert found[key] == judged[key]
    fits_80(run("motif", mine, "--bin", small, "--lots", "navy", "--lots", "cream", "--lots", "rust").stdout)


def test_colours_that_never_touch_are_not_judged(run, run_json):
    colours = [one for code in ("#101010", "#f0f0f0", "#efefef") for one in ("--lots", code)]
    found = run_json("motif", "yoke-three", *colours)
    assert {tuple(one["roles"]) for one in found["contrasts"]} == {("main", "contrast 1"), ("main", "contrast 2")}
    assert {one["verdict"] for one in found["contrasts"]} == {"clear"}
    assert "Never touching" in run("motif", "yoke-three", *colours).stdout


def test_colours_given_are_weighed_light_against_dark(run, run_json, mine: Path):
    colours = ("--lots", "lab(80,0,0)", "--lots", "lab(20,0,0)", "--lots", "lab(50,0,0)")
    # 13 stitches of 80, 6 of 20, 2 of 50: mean 1260 / 21 = 60; the others' mean (120 + 100) / 8 = 27.5.
    assert run_json("motif", mine, *colours)["balance"] == {"mean_l": 60, "lighter_share": 0.619, "apart_l": 52.5}
    assert "62% of the stitches are lighter" in " ".join(run("motif", mine, *colours).stdout.split())
    assert "(a colour)" in run("motif", mine, *colours).stdout


def test_a_painted_picture_brings_its_own_colours(run, run_json, tmp_path: Path):
    path = tmp_path / "painted.png"
    image = Image.new("RGB", (4, 2), (240, 230, 208))
    image.putpixel((1, 1), (31, 42, 74))
    image.save(path)
    found = run_json("motif", path)
    assert found["roles"] == {"main": 7, "contrast 1": 1}
    assert [one["name"] for one in found["colours"]] == ["#f0e6d0", "#1f2a4a"]
    assert found["contrasts"][0]["verdict"] == "clear"
    assert "Colours became roles in the order of their stitches" in run("motif", path).stdout


def test_pictures_and_grids_are_written_and_read_again(run, run_json, mine: Path, tmp_path: Path):
    svg, png, text, pixels = (tmp_path / name for name in ("m.svg", "m.png", "g.txt", "g.png"))
    colours = ("--lots", "#f0e6d0", "--lots", "#1f2a4a", "--lots", "#9c4a24")
    shown = run("motif", mine, *colours, "--svg", svg, "--png", png, "--grid", text)
    assert shown.exit_code == 0
    # A path longer than a line is broken, so blanks don't count.
    assert "".join(shown.stderr.split()) == "".join(f"{path}iswritten" for path in (svg, png, text))
    assert ET.parse(svg).getroot().tag.endswith("svg")
    for code in ("#f0e6d0", "#1f2a4a", "#9c4a24"):
        assert code in svg.read_text(encoding="utf-8")
    assert max(Image.open(png).size) <= 2400
    run("motif", mine, "--grid", pixels)
    assert Image.open(pixels).size == (7, 3)
    for path in (text, pixels):
        assert run_json("motif", path)["rows"] == run_json("motif", mine)["rows"]
    assert run_json("motif", mine, "--grid", text)["files"] == [str(text)]


def test_in_a_terminal_with_colour_the_grid_is_in_colour(by_itself):
    colour = {"FORCE_COLOR": "1", "COLORTERM": "truecolor", "TERM": "xterm-256color"}
    arguments = ("motif", "dots", "--lots", "#efe6d0", "--lots", "#1f2a4a")
    shown = by_itself(*arguments, **colour)
    assert shown.stdout.count("██") > 16
    plain = by_itself(*arguments, **colour, NO_COLOR="1")
    assert "█" not in plain.stdout
    assert "x . . . " in plain.stdout


def test_the_library_gives_the_same(mine: Path, run_json):
    found = matcher.motif(mine)
    assert json.loads(json.dumps(found.as_dict(), default=str)) == run_json("motif", mine)
    frame = found.frame()
    assert list(frame.columns) == ["row", "role", "stitches", "longest_float"]
    assert frame.groupby("role")["stitches"].sum().to_dict() == found.motif.stitches


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nested-dimonds"], ["neither a file nor in the catalogue", "did you mean nested-diamonds"]),
        (["nowhere.png"], ["there is no file nowhere.png"]),
        ([""], ["folder"]),
        (["dots", "--lots", "#ffffff"], ["no lot for contrast 1", "main, contrast 1"]),
        (["dots", "--lots", "#fff", "--lots", "#000", "--lots", "#f00"], ['no role is left for "#f00"']),
        (["dots", "--lots", "main=#fff", "--lots", "main=#000"], ["main is given two lots"]),
        (["dots", "--lots", "crem", "--lots", "#000"], ["isn't a lot or a colour", "--lots, main", "cream"]),
        (["dots", "--lots", "#ffff", "--lots", "#000"], ["#ffff", "--lots, main"]),
        (["dots", "--lots", "#fff", "--lots", "#000", "--bin", "nowhere"], ["nowhere"]),
        (["dots", "--grid", "out.jpg"], ["doesn't end in .txt or .png", "--grid"]),
        (["dots", "--svg", "nowhere/a.svg"], ["no folder nowhere", "--svg"]),
        (["dots", "--svg", "a-folder.svg"], ["is a folder", "--svg"]),
        (["dots", "--grid", "a.png", "--png", "a.png"], ["two files have one name", "--png, --grid"]),
        (["mine.txt", "--grid", "mine.txt"], ["is what is read", "another name"]),
    ],
    ids=lambda one: " ".join(one)[:40],
)
def test_what_makes_no_sense_is_refused_with_2(
    arguments: list[str], words: list[str], run, mine: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(mine.parent)
    (mine.parent / "a-folder.svg").mkdir()
    before = sorted(mine.parent.iterdir())
    shown = run("motif", *arguments)
    assert (shown.exit_code, shown.stdout) == (2, "")
    said = " ".join(shown.stderr.split())
    assert [word for word in words if word not in said] == [], shown.stderr
    assert sorted(mine.parent.iterdir()) == before
    assert mine.read_text(encoding="utf-8") == MINE


def test_a_motif_beside_the_bin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    from matcher.actions.motifs.motif import motif_asked

    beside = tmp_path / "bin"
    beside.mkdir()
    (beside / "mine.txt").write_text(MINE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert motif_asked("mine.txt", load_catalogue(), beside).name == "my own"
    assert motif_asked("dots", load_catalogue(), beside).key == "dots"


def test_a_motif_is_drawn_as_it_is_seen_from_near_and_far(run, run_json, mine: Path, tmp_path: Path):
    svg, png = tmp_path / "afar.svg", tmp_path / "afar.png"
    lots = [one for code in ("#4f9a4a", "#e24f92", "cream") for one in ("--lots", code)]
    for path in (svg, png):
        assert run_json("motif", mine, *lots, "--distances", path)["files"] == [str(path)]
    drawn = svg.read_text(encoding="utf-8")
    for words in ("in the hand", "across a table", "across a room", "(300 cm)"):
        assert words in drawn
    assert png.read_bytes().startswith(b"\x89PNG")
    refused = run("motif", mine, "--distances", svg)
    assert refused.exit_code == 2
    assert "--lots" in " ".join(refused.stderr.split())

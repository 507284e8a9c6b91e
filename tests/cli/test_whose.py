"""`matcher whose` from the outside."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest


def test_json_has_the_promised_keys_and_chances_that_sum_to_one(run_json, demo: Path):
    found = run_json("whose", demo, "--colour", "#22304f", "--weighed", "12 m = 5.1 g", "--felts", "yes")
    assert set(found) >= {"candidates", "none", "measure_next"}
    for one in found["candidates"]:
        assert set(one) >= {"lot", "yarn", "probability", "because"}
        assert one["because"]
    assert found["candidates"][0]["lot"] == "navy"
    chances = [one["probability"] for one in found["candidates"]]
    assert chances == sorted(chances, reverse=True)
    assert sum(chances) + found["none"] + found["others"] == pytest.approx(1, abs=1e-3)


def test_it_says_what_to_measure_next(run_json, demo: Path):
    found = run_json("whose", demo, "--colour", "#22304f")
    assert found["first_two"] == ["navy", "navy cotton"]
    assert found["measure_next"].startswith("wet two ends")
    bits = [one["bits"] for one in found["gains"]]
    assert found["gains"][0]["clue"] == "felts"
    assert bits == sorted(bits, reverse=True)
    assert {one["clue"] for one in found["gains"]} == {"weighed", "wraps", "plies", "felts"}
    assert 0 <= bits[0] <= found["doubt_bits"] <= 1
    done = run_json("whose", demo, "--colour", "#22304f", "--felts", "no")
    assert done["candidates"][0]["lot"] == "navy cotton"
    assert done["measure_next"].startswith("wind it round")  # ink sock is machine wash: it does not felt either
    unsure = run_json("whose", demo, "--colour", "#22304f", "--felts", "?")
    assert unsure["candidates"] == found["candidates"]


def test_a_colour_that_is_not_there(run_json, demo: Path):
    found = run_json("whose", demo, "--colour", "#22ff4f")
    assert found["none"] > 0.8
    assert found["first_two"][0] == "none of these"


def test_what_is_none_of_these_cannot_be_laid_beside_a_lot(run, demo: Path):
    told = ["--weighed", "12 m = 5.1 g", "--wraps", "9", "--plies", "4", "--felts", "yes"]
    none = " ".join(run("whose", demo, "--colour", "#22ff4f", *told).stdout.split())
    assert "would tell none of these from" in none
    assert "side by side" not in none
    two = " ".join(run("whose", demo, "--colour", "#7f8285", *told).stdout.split())
    assert "lay them side by side in daylight" in two


@pytest.mark.parametrize(
    "clues",
    [
        ["--colour", "navy"],
        ["--weighed", "13 yd = 0.18 oz"],
        ["--wraps", "9"],
        ["--plies", "2"],
        ["--felts", "yes"],
        ["--colour", "#7f8285", "--weighed", "12 m = 5.1 g", "--wraps", "13.5", "--plies", "4", "--felts", "?"],
        ["--colour", "#a8304f 50%, #e9b7c0 50%", "--top", "3", "--units", "imperial"],
    ],
    ids=lambda one: " ".join(one),
)
def test_any_clue_alone_or_all_together(clues: list[str], run, demo: Path, fits_80):
    shown = run("whose", demo, *clues)
    assert shown.exit_code == 0, shown.output
    fits_80(shown.stdout)
    assert "none of these" in shown.stdout
    assert "Next: " in shown.stdout or "side by side in daylight" in " ".join(shown.stdout.split())


def test_each_thickness_says_how_it_was_measured(run_json, demo: Path):
    found = run_json("whose", demo, "--weighed", "12 m = 5.1 g", "--wraps", "12")
    because = found["candidates"][0]["because"]
    assert because.startswith("425 tex weighed and ")
    assert "tex by its wraps, " in because
    assert found["notes"] == []
    assert "weighed" not in run_json("whose", demo, "--wraps", "12")["candidates"][0]["because"]


def test_weighing_and_winding_that_disagree_are_said(run_json, demo: Path):
    """Three wraps in an inch is a rope of some 2500 tex, 5.1 g in 12 m is 425 tex."""
    (note,) = run_json("whose", demo, "--weighed", "12 m = 5.1 g", "--wraps", "3")["notes"]
    assert note.startswith("the weighed length and the wraps disagree (425 tex and ")


def test_what_is_all_but_ruled_out_takes_no_lines(run, run_json, demo: Path):
    """The first two stand whatever their chance; the rest is gathered, so that the chances still come to all."""
    clues = ["--photo", demo / "scraps.jpg", "--box", "50,50,150,150"]
    found = run_json("whose", demo, *clues)
    shown = run("whose", demo, *clues).stdout
    for place, one in enumerate(found["candidates"]):
        assert (one["lot"] in shown) == (place < 2 or one["probability"] >= 0.01), one
    assert sum(one["probability"] < 0.01 for one in found["candidates"]) > 1
    assert "all others together" in shown


def test_plies_are_not_used_where_no_lot_tells_its_own(run, demo: Path):
    assert "plies were not used" in " ".join(run("whose", demo, "--plies", "2").stderr.split())


def test_a_lot_that_tells_its_plies(run_json, tmp_path: Path):
    folder = tmp_path / "two"
    folder.mkdir()
    (folder / "lots.csv").write_text(
        "lot,colour,grams,class,note\nround,#1f2a4a,20,3,3 plies\nflat,#1f2a4a,20,3,2 plies\n", encoding="utf-8"
    )
    found = run_json("whose", folder, "--colour", "#1f2a4a")
    assert found["measure_next"].startswith("untwist an end")
    found = run_json("whose", folder, "--colour", "#1f2a4a", "--plies", "3")
    assert found["candidates"][0]["lot"] == "round"
    assert found["candidates"][0]["probability"] > 0.9


def test_csv_ends_with_none(run, demo: Path):
    rows = list(csv.DictReader(io.StringIO(run("whose", demo, "--colour", "#22304f", "--csv").stdout)))
    assert rows[-1]["lot"] == "none of these"
    assert {"lot", "yarn", "probability", "because"} == set(rows[0])


@pytest.mark.parametrize(
    ("clues", "words"),
    [
        ([], ["nothing is said about the scrap", "--weighed"]),
        (["--felts", "?"], ["nothing is said about the scrap"]),
        (["--felts", "perhaps"], ["give yes, no or ?"]),
        (["--weighed", "12 m"], ["12 m = 5.1 g"]),
        (["--weighed", "0 m = 3 g"], ["above zero"]),
        (["--weighed", "12 m = 4O g"], ["did you mean 40"]),
        (["--wraps", "0"], ["from 1 to 100"]),
        (["--wraps", "nan"], ["from 1 to 100"]),
        (["--plies", "13"], ["from 1 to 12"]),
        (["--plies", "0"], ["from 1 to 12"]),
        (["--colour", "navvy"], ["did you mean navy?"]),
        (["--colour", "navy", "--photo", "x.png"], ["give one of them"]),
        (["--colour", "navy", "--box", "1,2,3,4"], ["give it with --photo"]),
        (["--photo", "nowhere.png"], ["nowhere.png"]),
        (["--colour", "navy", "--top", "0"], ["1 or more"]),
    ],
    ids=lambda one: " ".join(one),
)
def test_what_makes_no_sense_is_refused_with_2(clues: list[str], words: list[str], run, demo: Path):
    shown = run("whose", demo, *clues)
    assert shown.exit_code == 2, shown.output
    assert shown.stdout == ""
    said = " ".join(shown.stderr.split())
    assert "Traceback" not in said
    for word in words:
        assert word in said


def test_a_bin_without_lots_has_nothing_to_compare_with():
    from matcher.actions.colours.whose import whose
    from matcher.errors import BadInput
    from matcher.materials.lots import Bin

    with pytest.raises(BadInput, match="no lots"):
        whose(Bin(()), colour="navy")


def picture(path: Path) -> Path:
    """Two squares of yarn, navy and rust, on a grey cloth with white paper beside them."""
    from PIL import Image, ImageDraw

    image = (
        Image.effect_noise((640, 480), 6).convert("RGB").point([min(255, 120 + (one - 128)) for one in range(256)] * 3)
    )
    pen = ImageDraw.Draw(image)
    pen.rectangle((20, 20, 180, 200), fill=(243, 243, 243))
    pen.rectangle((240, 60, 400, 220), fill=(31, 42, 74))
    pen.rectangle((240, 260, 400, 420), fill=(156, 74, 36))
    image.save(path)
    return path


def test_a_photograph_stands_for_the_colour(run_json, run, demo: Path, tmp_path: Path):
    file = picture(tmp_path / "scrap.png")
    found = run_json("whose", demo, "--photo", file, "--box", "250,70,140,140", "--white", "30,30,140,160")
    assert found["candidates"][0]["lot"] == "navy"
    assert "colour" not in {one["clue"] for one in found["gains"]}
    found = run_json("whose", demo, "--photo", file, "--box", "250,270,140,140", "--white", "30,30,140,160")
    assert found["candidates"][0]["lot"] == "rust"
    unsaid = run("whose", demo, "--photo", file, "--white", "30,30,140,160")
    assert unsaid.exit_code == 2
    assert "--box" in " ".join(unsaid.stderr.split())


def test_what_makes_a_photograph_unsure_is_passed_on(run_json, demo: Path, tmp_path: Path):
    """The same scraps without the paper below them."""
    from PIL import Image

    with Image.open(demo / "scraps.jpg") as picture:
        picture.crop((0, 0, picture.width, 240)).save(tmp_path / "bare.png")
    notes = run_json("whose", demo, "--photo", tmp_path / "bare.png", "--box", "60,60,120,120")["notes"]
    assert any(one.startswith("no white paper") for one in notes)
    beside = run_json("whose", demo, "--photo", demo / "scraps.jpg", "--box", "60,60,120,120")["notes"]
    assert beside == []

"""`matcher instead` from the outside."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher

LOTS = """lot,garment,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot
blue,pullover,plain wool,#2b3f6b,90,50,125,wool,hand,4
blue again,,plain wool,#2b3f6b,30,50,125,wool,hand,4
blue once more,,plain wool,#2b3f6b,30,50,125,wool,hand,9
fine blue,,sock yarn,#2c406d,60,100,420,75% wool 25% nylon,machine,1
thin cotton,,cotton,#31456f,60,50,170,cotton,machine,2
orange,,plain wool,#d9772b,90,50,125,wool,hand,5
white,pullover,plain wool,#f1eee6,40,50,125,wool,hand,1
"""
GARMENTS = "garment,kind,status,chest_cm\npullover,pullover,worn,96\n"


@pytest.fixture
def blues(tmp_path: Path) -> Path:
    folder = tmp_path / "blues"
    folder.mkdir()
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    (folder / "garments.csv").write_text(GARMENTS, encoding="utf-8")
    return folder


def lots(way: dict) -> list[tuple[str, int]]:
    return [(one["lot"], one["strands"]) for one in way["lots"]]


def test_the_like_comes_first_then_what_is_joined_and_held_together(run_json, blues: Path):
    found = run_json("instead", "blue", "--metres", "60", "--bin", blues, "--top", "20")
    first, *rest = found["stand_ins"]
    assert lots(first) == [("blue again", 1)]
    assert first["score"] == 1.0
    assert first["changes"] == ["looks the same", "the same yarn, colour and dye lot"]
    assert first["stays"] == ["gauge", "wash", "fibre"]
    assert first["mends"] == {"garment": "pullover", "serves": True, "why": "would do to mend pullover"}
    doubled = next(one for one in rest if lots(one) == [("fine blue", 2)])
    assert doubled["how"] == "held together"
    # 2 x 238 tex for 400 tex: the loop grows with the root, so less of each strand is needed.
    assert doubled["needed_m"] == pytest.approx(60 * (400 / (2 * 1000 / 4.2)) ** 0.5, abs=0.01)
    assert doubled["gauge"]["stitches_10cm_after"] < doubled["gauge"]["stitches_10cm_before"]
    assert "machine wash; before: wash by hand" in doubled["changes"]
    assert not doubled["mends"]["serves"]
    assert all(("blue", 1) not in lots(one) and "orange" not in str(one["lots"]) for one in found["stand_ins"])


def test_lots_are_joined_only_where_none_is_enough_alone(run_json, blues: Path):
    found = run_json("instead", "blue", "--metres", "110", "--bin", blues)
    joined = next(one for one in found["stand_ins"] if one["how"] == "joined")
    assert lots(joined) == [("blue again", 1), ("blue once more", 1)]
    said = "dye lots: blue again 4, blue once more 9; alternate them every two rows where they meet"
    assert said in joined["changes"]
    assert all(lots(one) != [("blue again", 1)] for one in found["stand_ins"])


def test_where_nothing_can_stand_in_the_nearest_says_what_it_lacks(run_json, run, blues: Path, fits_80):
    found = run_json("instead", "blue", "--metres", "900", "--bin", blues)
    assert found["stand_ins"] == []
    assert [one["rank"] for one in found["nearest"]] == [1, 2, 3]
    assert all(" m more of " in one["lacks"][0] for one in found["nearest"])
    shown = run("instead", "blue", "--metres", "900", "--bin", blues)
    fits_80(shown.stdout)
    assert "Nothing that is free can stand in for it. What comes nearest:" in shown.stdout


def test_the_metres_that_lack_are_enough_once_they_are_there(run_json, blues: Path):
    (blues / "lots.csv").write_text("\n".join(LOTS.splitlines()[:3]), encoding="utf-8")
    (near,) = run_json("instead", "blue", "--metres", "110", "--bin", blues)["nearest"]
    short_m = float(near["lacks"][0].split()[0])
    grams = 30 + (short_m + 0.5) * 0.4
    (blues / "lots.csv").write_text("\n".join(LOTS.splitlines()[:3]).replace("6b,30", f"6b,{grams}"), encoding="utf-8")
    assert lots(run_json("instead", "blue", "--metres", "110", "--bin", blues)["stand_ins"][0]) == [("blue again", 1)]


def test_a_yarn_is_described_as_in_the_sheets(run, run_json, blues: Path):
    described = ("--class", "DK", "--fibre", "wool", "--colour", "#2b3f6b", "--wash", "hand", "--metres", "66 yd")
    found = run_json("instead", *described, "--bin", blues)
    assert found["asked"]["class"] == 3
    assert found["asked"]["needed_m"] == pytest.approx(66 * 0.9144, abs=0.01)
    assert [lots(one) for one in found["stand_ins"][:2]] == [[("blue", 1)], [("blue once more", 1)]]
    any_colour = run_json("instead", *described, "--any-colour", "--bin", blues, "--top", "20")
    assert [("orange", 1)] in [lots(one) for one in any_colour["stand_ins"]]
    no_colour = run_json("instead", "--tex", "400", "--metres", "60", "--bin", blues)
    assert no_colour["asked"]["colour"] is None
    assert all(one["look"] is None for one in no_colour["stand_ins"])


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ((), "nothing is said of what to stand in for"),
        (("bleu",), 'there is no lot "bleu"'),
        (("blue", "--class", "3"), "a lot and a description are too much"),
        (("--class", "3"), "nothing says how much of it is wanted"),
        (("--class", "thin", "--metres", "60"), "thin"),
        (("--colour", "navy", "--metres", "60"), "class"),
        (("blue", "--metres", "lots"), '"lots"'),
        (("blue", "--sure", "2"), "--sure"),
        (("blue", "--top", "0"), "--top"),
        (("blue", "--explain", "99"), "there is no way 99"),
    ],
)
def test_what_cannot_be_asked_is_said_in_one_message(run, blues: Path, asked: tuple[str, ...], said: str):
    shown = run("instead", *asked, "--bin", blues)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_what_she_decided_to_keep_and_what_is_on_the_needles_stands_in_for_nothing(run, run_json, blues, tmp_path):
    store = tmp_path / "bin.sqlite"
    assert run("intake", blues, "--yes", "--bin", store).exit_code == 0
    assert run("triage", store, "--lot", "blue again", "--decide", "keep").exit_code == 0
    begun = run("begin", "egg-cosy", "--lots", "main=blue once more", "--bin", store)
    assert begun.exit_code == 0, begun.output
    found = run_json("instead", "blue", "--metres", "20", "--bin", store, "--top", "50")
    named = {lot for way in found["stand_ins"] for one in way["lots"] for lot in one["lots"]}
    assert "blue again" not in named
    free_m = next(way["free_m"] for way in found["stand_ins"] if lots(way) == [("blue once more", 1)])
    assert 20 < free_m < 65, "some of its 75 m are on the needles"
    assert any("blue again isn't offered" in note for note in found["notes"])


def test_the_working_is_shown(run, blues: Path, fits_80):
    shown = run("instead", "blue", "--metres", "60", "--bin", blues, "--explain", "1")
    fits_80(shown.stdout)
    assert "look     1.000  0.350 0.350" in shown.stdout
    assert shown.stdout.count("score") == 1


def test_a_notebook_gets_a_frame(blues: Path):
    frame = matcher.instead("blue", metres="60", bin=blues).frame()
    assert str(frame["called"][0]) == "blue again"
    assert list(frame["rank"]) == sorted(frame["rank"])

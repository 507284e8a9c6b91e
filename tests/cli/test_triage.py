"""`matcher triage`: the advice on screen and in JSON; decisions made by hand stay."""

import csv
import io

import pytest

ADVICE = {
    *(
        "tag it now",
        "weigh it",
        "free all of it",
        "back to the full balls",
        "free the surplus",
        "bag it with its like",
    ),
    *("too short", "keep with the garment"),
}


@pytest.fixture
def store(tmp_path, small, run):
    place = tmp_path / "bin.sqlite"
    assert run("intake", small, "--bin", place).exit_code == 0
    return place


def test_json_has_one_advice_for_each_lot(demo, run_json):
    found = run_json("triage", demo)["advice"]
    assert len(found) == 46
    assert {frozenset(one) for one in found} == {frozenset(("lot", "advice", "because", "free_m", "by_hand", "place"))}
    assert {one["advice"] for one in found} <= ADVICE
    assert all(one["because"] for one in found)
    by_lot = {one["lot"]: one["advice"] for one in found}
    assert by_lot["grey scrap"] == "tag it now"
    assert by_lot["navy"] == "free all of it"
    assert by_lot["mid grey, full ball"] == "back to the full balls"


def test_free_metres_are_those_of_the_reserve(demo, run_json):
    freed = {one["lot"]: one["metres"] for group in run_json("reserve", demo)["groups"] for one in group["freed"]}
    for one in run_json("triage", demo)["advice"]:
        if one["lot"] in freed:
            assert one["free_m"] == pytest.approx(freed[one["lot"]], abs=0.01)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_screen(demo, run, fits_80, no_metric, units: str):
    shown = run("triage", demo, "--units", units)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    if units == "imperial":
        no_metric(shown.stdout)


def test_csv_is_a_table(demo, run):
    rows = list(csv.DictReader(io.StringIO(run("triage", demo, "--csv").stdout)))
    assert len(rows) == 46
    assert rows[0]["lot"] == "berry mix"


def test_one_lot(small, run_json):
    assert [one["lot"] for one in run_json("triage", small, "--lot", "NAVY")["advice"]] == ["navy"]


def test_a_decision_sticks_until_it_is_taken_back(store, run_json, run):
    before = run_json("triage", store, "--lot", "rust")["advice"][0]
    assert before["advice"] == "free all of it"
    decided = run_json("triage", store, "--lot", "rust", "--decide", "keep")["advice"][0]
    assert (decided["advice"], decided["by_hand"]) == ("keep with the garment", True)
    assert "the figures say: free all of it" in decided["because"]
    assert run("weigh", "rust", "58g", "--bin", store).exit_code == 0
    later = run_json("triage", store)["advice"]
    assert {one["lot"]: one["advice"] for one in later}["rust"] == "keep with the garment"
    assert run_json("triage", store, "--lot", "rust", "--decide", "bag it")["advice"][0]["advice"].startswith("bag")
    taken_back = run_json("triage", store, "--lot", "rust", "--undecide")["advice"][0]
    assert (taken_back["advice"], taken_back["by_hand"]) == ("free all of it", False)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--decide", "keep"), "name it with --lot"),
        (("--lot", "navy", "--decide", "sell it"), "give one of: tag it now; weigh it"),
        (("--lot", "navy", "--decide", "free"), "give one of"),
        (("--lot", "navy", "--decide", "keep", "--undecide"), "these two don't go together"),
        (("--lot", "navi", "--decide", "keep"), "did you mean navy?"),
        (("--lot", "navi"), "did you mean navy?"),
    ],
)
def test_what_cannot_be_decided(store, run, arguments, words: str):
    shown = run("triage", store, *arguments)
    assert shown.exit_code == 2
    assert words in " ".join(shown.stderr.split())


def test_sheets_remember_no_decision(small, run):
    shown = run("triage", small, "--lot", "navy", "--decide", "keep")
    assert shown.exit_code == 2
    assert "only a store remembers" in " ".join(shown.stderr.split())


def test_a_decision_goes_with_its_lot_and_undo_brings_both_back(store, run, run_json):
    assert run("triage", store, "--lot", "rust", "--decide", "keep").exit_code == 0
    assert run("weigh", "rust", "0", "--bin", store).exit_code == 0
    assert "rust" not in {one["lot"] for one in run_json("triage", store)["advice"]}
    assert run_json("verify", "--bin", store)["ok"] is True
    assert run("undo", "--bin", store).exit_code == 0
    assert run_json("triage", store, "--lot", "rust")["advice"][0]["by_hand"] is True


def test_a_ball_band_and_a_fibre_are_as_good_as_a_label_where_none_is_spoken_of(run_json, tmp_path):
    (tmp_path / "lots.csv").write_text(
        "lot,colour,grams,ball_grams,ball_metres,class,fibre\npine,#2f4a3c,45,50,120,,wool\nfog,#c3c6c8,45,,,3,wool\n",
        encoding="utf-8",
    )
    advice = {one["lot"]: one["advice"] for one in run_json("triage", tmp_path)["advice"]}
    assert advice == {"pine": "free the surplus", "fog": "tag it now"}

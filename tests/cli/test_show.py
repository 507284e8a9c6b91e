"""`matcher show`: one thing with what holds it, what she wrote, and what was done with it; names that fit several."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import matcher
from matcher.store.database.store import open_store


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """The demo in a store, lived in a little."""
    place = tmp_path / "bin.sqlite"
    matcher.intake("demo", bin=place)
    matcher.move("navy", "tin", bin=place)
    matcher.weigh("navy", "85 g", bin=place)
    matcher.begin("hat-plain", ["navy"], size="adult small", bin=place)
    matcher.change("navy", {"note": "by the door"}, name="deep navy", bin=place)
    matcher.triage(place, lot="fog", decide="keep")
    return place


def history(run_json, name: str, store: Path) -> list[str]:
    return [event["what"] for event in run_json("show", name, "--what", "lot", "--bin", store)["lots"][0]["history"]]


def test_the_history_of_a_lot_is_told_in_plain_words_through_its_names(run, run_json, store: Path):
    assert history(run_json, "deep navy", store) == [
        "it came in with 88 g (intake demo)",
        "place: tin, was basket by the window",
        "85 g, was 88 g",
        history(run_json, "deep navy", store)[3],
        "called deep navy, was navy; note: by the door",
    ]
    assert re.fullmatch(r"\d+ m set aside for plain hat with a folded brim", history(run_json, "deep navy", store)[3])
    shown = run("show", "deep", "navy", "--bin", store, "--units", "imperial")
    assert re.search(r"3 oz, was 3\.1 oz", shown.stdout)


def test_another_lot_of_the_same_name_is_another(run_json, store: Path):
    matcher.weigh("rust", "0", bin=store)
    matcher.add("rust", {"grams": "20", "colour": "rust", "class": "3"}, bin=store)
    assert history(run_json, "rust", store) == ["it came in with 20 g"]


def test_what_was_split_joined_and_finished_is_told(run_json, store: Path):
    matcher.split("mid grey", "20 g", name="grey two", bin=store)
    assert history(run_json, "grey two", store) == ["it came in with 20 g (split 20 g from mid grey as grey two)"]
    assert history(run_json, "mid grey", store)[-1].startswith("46 g, was 66 g")
    matcher.finish("plain hat", {"deep navy": "40 g"}, bin=store)
    assert "40 g, was 85 g (finish plain hat with a folded brim)" in history(run_json, "deep navy", store)[-1]


def test_a_decision_is_told_and_taken_back(run_json, store: Path):
    assert history(run_json, "fog", store)[-1] == "you decided: keep with the garment"
    assert run_json("show", "fog", "--bin", store)["lots"][0]["decision"]["advice"] == "keep with the garment"
    matcher.triage(store, lot="fog", undecide=True)
    assert history(run_json, "fog", store)[-1] == "your decision about it was taken back"


def test_undo_takes_its_line_away(run_json, store: Path):
    before = history(run_json, "cream", store)
    matcher.weigh("cream", "40 g", bin=store)
    assert len(history(run_json, "cream", store)) == len(before) + 1
    matcher.undo(bin=store)
    assert history(run_json, "cream", store) == before


def test_what_holds_a_lot_is_shown(run, run_json, store: Path, fits_80):
    shown = run("show", "deep navy", "--bin", store)
    fits_80(shown.stdout)
    assert re.search(r"needles +\d+ m, \d+ g for plain hat with a folded brim", shown.stdout)
    (lot,) = run_json("show", "mid grey", "--bin", store)["lots"]
    kept = {held["lot"]: held["metres"] for group in run_json("reserve", store)["groups"] for held in group["held"]}
    assert lot["kept_m"] == kept["mid grey"]
    assert "lengthen body 5 cm" in lot["kept_because"]


def test_a_lot_is_found_by_the_code_on_its_tag(run_json, store: Path):
    (lot,) = run_json("show", "cream", "--bin", store)["lots"]
    assert run_json("show", lot["code"].lower(), "--bin", store)["lots"] == [lot]


def test_what_she_wrote_stands_beside_what_was_made_of_it(run, run_json, store: Path, fits_80):
    wrote = {"heading": "Weight", "cell": "approx 45g", "of_column": "grams", "taken": "43"}
    with open_store(store) as opened, opened.action("intake book.xlsx") as act:
        act.insert("written", {"sheet": "lots", "name": "cream", **wrote})
        act.insert("written", {"sheet": "lots", "name": "cream", "heading": "Bought in", "cell": "Leith"})
    shown = run("show", "cream", "--bin", store)
    fits_80(shown.stdout)
    assert '"approx 45g" under "Weight", taken as grams 43' in shown.stdout
    assert '"Leith" under "Bought in", which is in no column here' in shown.stdout
    assert [one["cell"] for one in run_json("show", "cream", "--bin", store)["lots"][0]["written"]] == [
        "approx 45g",
        "Leith",
    ]


def test_a_garment_is_shown_with_its_reserve_and_lots(run, run_json, fits_80):
    shown = run("show", "grey", "yoke", "pullover", "--bin", "demo")
    fits_80(shown.stdout)
    (garment,) = run_json("show", "Grey Yoke Pullover", "--bin", "demo")["garments"]
    groups = [one for one in run_json("reserve", "demo")["groups"] if one["garment"] == "grey yoke pullover"]
    assert [one["reserve_m"] for one in garment["reserves"]] == [one["reserve_m"] for one in groups]
    for lot in garment["lots"]:
        assert f"{lot}: " in shown.stdout
    assert "nothing, since it is gone" in run("show", "denim jacket", "--bin", "demo").stdout


def test_an_accessory_is_shown_with_what_it_takes(run, run_json, fits_80):
    shown = run("show", "hat", "with", "a", "stranded", "band", "--bin", "demo")
    fits_80(shown.stdout)
    (entry,) = run_json("show", "hat-stranded-band", "--bin", "demo")["accessories"]
    assert entry["roles"] == ["main", "contrast 1"]
    assert [one["size"] for one in entry["needs"]] == entry["sizes"]
    rows = run_json("needs", "hat-stranded-band", "--class", str(entry["class"]))["needs"]
    assert [one["takes"][0]["metres"] for one in entry["needs"]] == [
        pytest.approx(row["roles"][0]["metres"], abs=0.01) for row in rows
    ]


def test_a_name_that_fits_several_is_told_and_what_picks_one(run, run_json, store: Path):
    shown = run("show", "plain hat with a folded brim", "--bin", store)
    assert "is a piece of yours and an accessory to knit; --what" in " ".join(shown.stdout.split())
    found = run_json("show", "hat-plain", "--bin", store)
    assert [len(found[kind]) for kind in ("lots", "garments", "works", "accessories")] == [0, 0, 1, 1]
    found = run_json("show", "hat-plain", "--what", "work", "--bin", store)
    assert [len(found[kind]) for kind in ("works", "accessories")] == [1, 0]


def test_a_finished_work_is_shown_with_what_it_used(run, store: Path, fits_80):
    matcher.finish("plain hat", {"deep navy": "40 g"}, bin=store)
    shown = run("show", "plain hat with a folded brim", "--what", "work", "--bin", store)
    fits_80(shown.stdout)
    assert re.search(r"used +main: \d+ m, 45 g of deep navy; \d+ m were estimated", " ".join(shown.stdout.split()))


@pytest.mark.parametrize(
    ("name", "near"), [("cremm", "cream"), ("moss cardi", "moss cardigan"), ("hat-plane", "hat-plain")]
)
def test_near_names_are_offered(name: str, near: str, run):
    shown = run("show", name, "--bin", "demo")
    assert shown.exit_code == 2
    assert near in shown.stderr


def test_no_name_is_told(run):
    assert run("show", " ", "--bin", "demo").exit_code == 2


def test_a_damaged_journal_is_told(run, store: Path):
    import sqlite3
    from contextlib import closing

    with closing(sqlite3.connect(store)) as db:
        db.execute('UPDATE journal SET after = replace(after, \'"lot":"cream"\', \'"strange":1,"lot":"cream"\')')
        db.commit()
    shown = run("show", "cream", "--bin", store)
    assert shown.exit_code == 2
    assert "journal" in shown.stderr

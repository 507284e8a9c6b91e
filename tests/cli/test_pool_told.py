"""How `matcher pool` tells its answer: what is said of names, of what is free, and of who has nothing."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from made_pools import write_bin, write_pool

from matcher.actions.collection import result
from matcher.actions.collection.codes import Part
from matcher.actions.collection.gathered import rows_of
from matcher.actions.collection.planned import heaviest
from matcher.actions.collection.pool import pool
from matcher.actions.collection.result import Cost
from matcher.cli.screens.pool import show_pool
from matcher.reasons.style import PLAIN
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.collection.lying import lying_in

HATS = ("--kind", "hat")  # what is told of a file or of the whole hangs on nothing that is made of it
HEAD = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn,reserve\n"


def nothing_free(folder: Path) -> None:
    folder.mkdir(parents=True)
    row = "red,30,#b01020,50,100,wool,hand,soft wool,1000\n"
    (folder / "lots.csv").write_text(HEAD + row, encoding="utf-8")


def said(shown: str) -> str:
    return " ".join(shown.split())


@pytest.fixture
def few(tmp_path: Path) -> Path:
    """Three bins with yarn, and one with nothing free at a place of its own."""
    folder = write_pool(tmp_path / "pool", 3)
    nothing_free(folder / "empty place" / "bin")
    return folder


def test_members_and_places_with_nothing_free_are_told(few: Path, run, run_json):
    shown = said(run("pool", few, "--each-member", "--each-place", "--gap", *HATS).stdout)
    assert "member 2: nothing free" in shown
    assert "empty place: nothing free" in shown
    found = run_json("pool", few, "--each-member", "--each-place", *HATS)
    assert [one["member"] for one in found["by_member"]] == found["members"]
    assert [one["place"] for one in found["by_place"]] == [one["place"] for one in found["places"]]
    assert {"place": "empty place", "lots": 0} in found["places"]


def test_what_holds_for_the_whole_answer_is_said_before_it(few: Path, run):
    shown = said(run("pool", few, *HATS).stdout)
    assert shown.index("Sizes are adults' unless --size says another") < shown.index("in 100 sure")
    assert "nobody's likes or skin are looked at, nor eyes without --eyes" in shown


def test_nothing_near_is_said_in_each_group_too(few: Path, run):
    shown = run("pool", few, "--gap", "--each-member", "--kind", "yoke").stdout
    assert "near." not in shown
    heads = shown.count("nearly:") + shown.count("Nearly\n")
    assert heads == 1 + 3
    without = run("pool", few, "--each-member", "--kind", "yoke").stdout
    assert "nearly:" not in without


def test_a_near_miss_names_the_lots_of_all_its_roles(tmp_path: Path, run):
    head = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn\n"
    for name, grams, colour in (("one", 30, "#b01020"), ("two", 12, "#f0f0e0")):
        row = f"a,{grams},{colour},50,125,wool,hand,soft\n"
        (tmp_path / f"{name}.csv").write_text(head + row, encoding="utf-8")
    shown = said(run("pool", tmp_path, "--gap", "--kind", "hat").stdout)
    near = shown[shown.index(" Nearly ") :]
    assert "from member 1: lot 1 (" in near


@pytest.mark.parametrize("asked", [("--json", "--csv"), ("--csv", "--explain", "1"), ("--json", "--explain", "1")])
def test_an_answer_has_one_form(few: Path, run, asked: tuple[str, ...]):
    shown = run("pool", few, *asked)
    assert shown.exit_code == 2
    assert "an answer has one form" in said(shown.stderr)


def test_a_lot_and_its_number_stay_in_one_line(tmp_path: Path, run):
    folder = write_pool(tmp_path / "pool", 9, 9)
    shown = run(
        "pool", folder, "--kind", "hat", "--kind", "cowl", "--each-member", "--gap", "--set", "--time-limit", "0.2"
    ).stdout
    ends = [line for line in shown.splitlines() if line.split()[-1:] == ["lot"] or line.endswith(" from member")]
    assert ends == []


def test_memory_is_no_part_of_the_screen(few: Path, run, run_json):
    assert "Memory" not in run("pool", few, "--explain", "1", *HATS).stdout
    assert run_json("pool", few, *HATS)["cost"]["memory_mb"] >= 0


def test_what_goes_along_is_said_openly(tmp_path: Path, run):
    own = write_bin(tmp_path / "own", 1)
    shown = run("export", tmp_path / "one.parquet", "--bin", own)
    assert "look through it before you hand it on" in said(shown.stderr)
    assert "as they are written" in said(run("pool", "--help").stdout)
    assert "look through the file before you hand it on" in said(run("export", "--help").stdout)


def one_bin(folder: Path, name: str, *rows: str) -> None:
    head = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn\n"
    lots = "".join(f"{row},50,125,wool,hand,soft wool\n" for row in rows)
    (folder / f"{name}.csv").write_text(head + lots, encoding="utf-8")


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Two members: one whose colour is only a code, one whose colour is only a word."""
    one_bin(tmp_path, "one", "a,60,#b01020")
    one_bin(tmp_path, "two", "a,60,cream")
    return tmp_path


def test_a_colour_that_is_a_code_is_told_by_its_words_and_a_guess_by_its_mark(two: Path, run, run_json):
    shown = said(run("pool", two, "--kind", "hat", "--all").stdout)
    assert "#b01020" not in shown
    assert "lot 1 (red soft wool)" in shown
    assert "lot 1 (cream? soft wool)" in shown
    assert "? colour guessed from the word" in shown
    lots = [lot for one in run_json("pool", two, "--kind", "hat")["suggestions"] for lot in one["from"]]
    assert {(lot["colour"], lot["guessed"]) for lot in lots} == {("red", False), ("cream", True)}


def test_only_what_is_free_is_told(two: Path, run, run_json):
    shown = run("pool", two, "--kind", "hat", "--set", "--time-limit", "0.2").stdout
    assert " free " in shown
    assert "kept" not in shown
    assert "on hand" not in shown
    working = run("pool", two, "--kind", "hat", "--explain", "1").stdout
    assert "Free 150 m, needed" in said(working)
    assert "kept" not in working
    assert "On hand" not in working
    roles = run_json("pool", two, "--kind", "hat")["suggestions"][0]["roles"]
    assert all(148 < role["free_m"] <= 150 and "free_sd_m" in role for role in roles)
    assert not any(key in role for role in roles for key in ("on_hand_m", "reserve_m", "on_hand_sd_m"))


def test_a_set_says_how_much_of_each_lot_it_takes(two: Path, run, run_json):
    asked = ("pool", two, "--set", "--time-limit", "0.2")
    shown = said(run(*asked).stdout)
    assert "of the yarn of 2 lots, by weight" in shown
    planned = run_json(*asked)["set"]
    assert planned["lots"]
    grams = 0.0
    for lot in planned["lots"]:
        used = sum(one["metres"] for one in lot["used"])
        assert used + lot["left_m"] == pytest.approx(lot["free_m"], abs=0.05)
        assert all(1 <= one["thing"] <= len(planned["things"]) for one in lot["used"])
        grams += used * 0.4
    assert grams / 120 == pytest.approx(planned["used"], abs=0.01)


def test_the_table_says_how_much_and_who_could_give(tmp_path: Path, run):
    one_bin(tmp_path, "one", "a,30,#b01020")
    one_bin(tmp_path, "two", "a,30,#b01020", "b,12,#f0f0e0")
    rows = list(csv.DictReader(io.StringIO(run("pool", tmp_path, "--gap", "--csv").stdout)))
    assert {"nearly", "gap"} <= {row["list"] for row in rows}
    for row in rows:
        assert row["score"] == str(round(float(row["score"]), 6))
        assert float(row["metres"]) > 0
        if row["member"]:
            assert float(row["grams"]) == pytest.approx(0.4 * float(row["metres"]), abs=0.01)
            assert row["number"] in ("1", "2")
            assert float(row["free_m"]) > 0
    given = [row for row in rows if row["list"] == "gap" and row["member"]]
    assert given
    assert all(float(row["free_m"]) <= 75 for row in given)


def test_what_no_set_passes_is_said_only_of_the_kinds_that_were_asked_for(tmp_path: Path, run_json):
    folder = write_pool(tmp_path / "pool", 2)
    planned = run_json("pool", folder, "--set", "--kind", "hat", "--time-limit", "0.05")["set"]
    assert planned["most"] in (None, planned["used"])


def test_a_set_is_of_what_was_asked_for(tmp_path: Path, run_json):
    folder = write_pool(tmp_path / "pool", 2)
    asked = ("--size", "adult large", "--colourwork", "--single")
    planned = run_json("pool", folder, "--set", *asked, "--time-limit", "0.05")["set"]
    assert planned["most"] in (None, planned["used"])
    for thing in planned["things"]:
        assert thing["size"] in ("adult large", "one size")
        assert len(thing["roles"]) > 1
        assert thing["strands"] == 1
        assert all(len(role["lots"]) == 1 for role in thing["roles"])
    assert planned["things"]


def test_what_is_held_together_is_told_in_the_short_list_too(tmp_path: Path, run, run_json):
    """One strand of it would be too thin; whoever gives the yarn out reads no more than that line."""
    (tmp_path / "lace.csv").write_text(f"{HEAD}lace,50,red,50,375,wool,hand,lace,\n", encoding="utf-8")
    asked = ("pool", tmp_path, "--kind", "mitts", "--all")
    other = run_json(*asked)["suggestions"][1:]
    assert max(one["roles"][0]["strands"] for one in other) > 1
    shown = said(run(*asked).stdout)
    for one in other:
        strands = one["roles"][0]["strands"]
        held = f", in {strands} strands" if strands > 1 else ""
        assert f"{one['accessory']}, {one['size']}" in shown
        assert f"sure from member 1: lot 1 (red? lace){held}" in shown
    rows = list(csv.DictReader(io.StringIO(run(*asked, "--csv").stdout)))
    for row, one in zip(rows, run_json(*asked)["suggestions"], strict=True):
        assert int(row["strands"]) == one["from"][0]["strands"] == one["roles"][0]["strands"]
        assert float(row["metres"]) == one["from"][0]["metres"] == pytest.approx(one["roles"][0]["need_m"], abs=0.01)


def test_a_set_of_many_lots_says_among_how_many_it_is_chosen(two: Path, capsys: pytest.CaptureFixture[str]):
    """The heaviest are among them: what a set uses is counted by weight, so thin yarn of many metres is no gain."""
    found = pool(two, kind="hat", use_most=True, time_limit=0)
    show_pool(replace(found, lots=99), PLAIN)
    assert "the yarn of the 2 of 99 lots among which it is chosen" in said(capsys.readouterr().out)


def test_a_set_is_chosen_among_the_list_and_the_heaviest_however_the_pool_is_cut(few: Path):
    """What a set uses is counted by weight, so thin yarn of many metres is no gain."""
    rows = rows_of(
        Part(next(one for one in lying_in(few) if one.called.endswith("0002.csv")), 0, "a"), load_catalogue()
    )
    by_weight = np.argsort(-rows.free_m * rows.tex, kind="stable")
    lightest = int(by_weight[-1])
    kept = heaviest(rows, frozenset({("a", str(rows.number.of(lightest)[0])), ("b", "1")}), 3)
    assert kept.number.values.tolist() == [rows.number.of(at)[0] for at in sorted([*by_weight[:2], lightest])]
    asked = {"kind": ("hat", "cowl"), "use_most": True, "time_limit": 0.0}
    whole, parted = (pool(few, lots_at_once=how, **asked).as_dict()["set"] for how in (None, 4))
    assert whole["things"]
    assert str(whole) == str(parted)


def test_what_a_large_pool_took_is_said(few: Path, run, monkeypatch: pytest.MonkeyPatch):
    assert "of memory" not in run("pool", few).stderr
    monkeypatch.setattr(result, "LARGE", 3)
    assert re.search(r"This took at most [\d.]+ [MG]B of memory\.", said(run("pool", few).stderr))
    assert "of memory" not in run("pool", few, "--json").stderr  # it stands in the answer
    assert PLAIN.say(Cost(5, 2_540_000_000).said()) == (
        "This took at most 2.5 GB of memory, reading 5 parts one after the other."
    )
    assert PLAIN.say(Cost(5, 640_000_000).said(by_workers=True)).startswith("This took at most 640 MB of memory here,")
    assert Cost(1, 0).said() == ""


@pytest.mark.parametrize(
    ("colour", "said"),
    [
        ("#b01020", "of a like yarn: lot 1"),
        ("#b11323", "of a like yarn: lot 1"),
        ("#b02f2a", "of a like yarn in another shade, to compare in daylight: lot 1"),
    ],
)
def test_a_like_yarn_is_said_to_be_of_another_shade_where_the_eye_tells_them_apart(
    tmp_path: Path, run_json, colour: str, said: str
):
    one_bin(tmp_path, "one", "a,40,#b01020")
    one_bin(tmp_path, "two", f"b,39,{colour}")
    found = run_json("pool", tmp_path, "--gap", "--kind", "hat")["near_misses"]
    givers = [giver for near in found for lack in near["short"] for giver in lack["givers"]]
    assert givers
    assert all(said in giver["said"] for giver in givers)
    limit = load_catalogue().instead.hardly_delta_e
    assert all((giver["delta_e"] > limit) == ("shade" in said) for giver in givers)


@pytest.mark.parametrize("grams", [39, 12])  # as much as is wanted; less than that
def test_who_could_give_is_the_same_however_the_files_are_cut(tmp_path: Path, grams: int):
    one_bin(tmp_path, "a", "a,40,#b01020" if grams == 39 else "a,25,#b01020")
    for number in range(11):  # of whom none is better than another
        one_bin(tmp_path, f"b{number:02d}", f"b{number},{grams},#b01020")
    asked = {"kind": "hat", "size": "adult small", "held_together": False, "gap": True, "each_member": True}
    whole, parted = (pool(tmp_path, lots_at_once=how, **asked).as_dict()["by_member"] for how in (None, 2))
    givers = [lack["givers"] for near in whole[0]["near_misses"] for lack in near["short"]]
    assert [len(several) for several in givers] == [3] * len(givers) != []
    assert parted == whole

"""A number means what she saw: the last list of each bin is kept, and `begin` takes a suggestion by its number."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from matcher.store import last_lists
from matcher.store.database.store import open_store
from matcher.store.last_lists import keep_list, kept_list, list_file
from matcher.store.recipes import parse_recipe

# Lots that go into one role together: two of one dye lot, one yarn doubled, two thin ones held together.
THIN = {"yarn": "thin wool", "ball_grams": "50", "ball_metres": "210", "fibre": "wool", "wash": "hand"}
WOOL = {"yarn": "plain wool", "ball_grams": "50", "ball_metres": "125", "fibre": "wool", "wash": "hand"}
LOTS: dict[str, dict[str, str]] = {
    "navy": {**WOOL, "grams": "35", "colour": "#1f2a4a", "dye_lot": "8"},
    "navy, second ball": {**WOOL, "grams": "40", "colour": "#1f2a4a", "dye_lot": "8"},
    "cream": {**WOOL, "grams": "90", "colour": "#efe6d0", "dye_lot": "3"},
    "rust": {**THIN, "grams": "130", "colour": "#9c4a24", "dye_lot": "5"},
    "moss": {**THIN, "grams": "60", "colour": "#5a6b2f", "dye_lot": "6"},
    "moss, another bath": {**THIN, "grams": "60", "colour": "#5a6b2f", "dye_lot": "7"},
}


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Her store; it is what every command reads when no bin is named."""
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("all") as act:
        act.insert("people", {"person": "me", "head_cm": "57", "hand_cm": "18"})
        for name, cells in LOTS.items():
            act.insert("lots", {**cells, "lot": name})
    monkeypatch.setenv("MATCHER_BIN", str(path))
    return path


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as db:
        return list(db.iterdump())


def in_order(found: dict[str, Any]) -> list[dict[str, Any]]:
    return [*found["suggestions"], *found["small"], *found["near_misses"]]


def test_every_number_is_there_once_and_stands_on_the_screen(path: Path, run: Callable[..., Result], run_json) -> None:
    found = run_json("suggest")
    every = in_order(found)
    assert [one["rank"] for one in every] == list(range(1, len(every) + 1))
    assert found["small"]
    assert found["near_misses"]
    shown = " ".join(run("suggest").stdout.split())
    for one in found["small"]:
        assert f"{one['accessory']} ({one['rank']})" in shown
    assert f"({found['near_misses'][0]['rank']}): " in shown
    whole = run("suggest", "--full").stdout
    for one in every[:-5]:
        assert f"\n{one['rank']}  " in f"\n{whole}"


def test_what_is_begun_by_its_number_is_what_was_shown(path: Path, run: Callable[..., Result], run_json) -> None:
    kinds: Counter[str] = Counter()

    def listed() -> Iterator[dict[str, Any]]:
        yield from run_json("suggest", "--top", "40", "--all", "--each", "2")["suggestions"]
        for lot in [lot for lot in LOTS if "moss" not in lot]:
            run("weigh", lot, "0")
        yield from run_json("suggest", "--top", "300", "--all", "--each", "20")["suggestions"]

    for one in listed():
        filled = [role for role in one["roles"] if not role["brought"]]
        ways = ["doubled" if role["strands"] > len(role["lots"]) else f"{role['strands']} of {len(role['lots'])}" for role in filled]  # fmt: skip
        ways += ["measured"] if one["size"] == "me (measured)" else []
        if all(kinds[way] > 3 for way in ways):
            continue
        kinds.update(ways)
        before = dump(path)
        begun = run_json("begin", one["rank"])
        assert (begun["accessory"], begun["size"]) == (one["key"], one["size"])
        assert begun["sure"] == pytest.approx(one["sure"], abs=0.02)
        for role in filled:
            claims = [claim for claim in begun["claims"] if claim["role"] == role["role"]]
            assert [claim["lot"] for claim in claims] == role["lots"]
            assert sum(claim["metres"] for claim in claims) == pytest.approx(role["need_m"], abs=0.05)
        with open_store(path) as store:
            row = store.rows("works")[-1]
            recipe = parse_recipe(row["recipe"])
        assert round(row["stitches_10cm"], 2) == one["gauge"]["stitches_10cm"] == round(recipe.gauge.stitches_10cm, 2)
        assert recipe.lots == tuple(dict.fromkeys(lot for role in filled for lot in role["lots"]))
        assert list(recipe.people) == one["for"]
        assert run("undo").exit_code == 0
        assert dump(path) == before
    # All that a role can be knitted with was among them.
    assert {"1 of 1", "1 of 2", "2 of 2", "doubled", "measured"} <= set(kinds)


def test_a_list_asked_for_otherwise_is_the_one_that_numbers_mean(
    path: Path, run: Callable[..., Result], run_json
) -> None:
    run("suggest")
    narrow = run_json("suggest", "--kind", "small", "--lot", "cream")["suggestions"]
    assert run_json("begin", "1")["accessory"] == narrow[0]["key"]


def test_small_things_and_near_misses_have_numbers_too(path: Path, run: Callable[..., Result], run_json) -> None:
    found = run_json("suggest")
    small = found["small"][0]
    near = next(one for one in found["near_misses"] if min(role["left_m"] for role in one["roles"]) < 0)
    assert run_json("begin", small["rank"])["accessory"] == small["key"]
    run("undo")
    refused = run("begin", near["rank"])
    assert refused.exit_code == 2
    assert "matcher suggest makes another list, or --anyway" in " ".join(refused.stderr.split())
    assert run_json("begin", near["rank"], "--anyway")["accessory"] == near["key"]
    assert near["accessory"] in run("suggest", "--explain", near["rank"]).stdout


def test_a_role_can_be_given_other_lots(path: Path, run_json) -> None:
    found = in_order(run_json("suggest", "--all", "--top", "40"))
    one = next(one for one in found if len(one["roles"]) == 2 and "cream" not in one["roles"][0]["lots"])
    begun = run_json("begin", one["rank"], "--lots", f"{one['roles'][1]['role']}=cream", "--anyway")
    assert [claim["lot"] for claim in begun["claims"]] == [*one["roles"][0]["lots"], "cream"]


def test_a_changed_bin_says_so(path: Path, run: Callable[..., Result], run_json) -> None:
    found = in_order(run_json("suggest"))
    numbers = {lot: one["rank"] for one in reversed(found) for role in one["roles"] for lot in role["lots"]}
    number = numbers["cream"]
    assert not [note for note in run_json("begin", number)["notes"] if "changed" in note]
    run("undo")
    run("weigh", "cream", "89g")
    (note,) = (note for note in run_json("begin", number)["notes"] if "changed" in note)
    assert note.endswith("): cream weighs 89 g, was 90 g.")
    run("undo")
    run("weigh", "cream", "90 g")
    run("move", "cream", "tin")  # where it lies changes nothing
    assert not [note for note in run_json("begin", number)["notes"] if "changed" in note]
    run("undo")
    run("add", "sky", "--grams", "40", "--colour", "sky", "--class", "3")
    (note,) = (note for note in run_json("begin", number)["notes"] if "changed" in note)
    assert note.endswith(f"but the yarn for suggestion {number} is still as it was.")
    (note,) = (note for note in run_json("begin", number, "--anyway")["notes"] if "changed" in note)
    assert " of cream are set aside, were 0 m" in note


def test_lots_that_are_gone_or_too_few_are_told_of(path: Path, run: Callable[..., Result], run_json) -> None:
    found = run_json("suggest")["suggestions"]
    number, lot = next((one["rank"], one["roles"][0]["lots"][0]) for one in found)
    run("change", lot, "--grams", "2")
    before = dump(path)
    few = run("begin", number)
    assert few.exit_code == 2
    assert "matcher suggest makes another list, or --anyway" in " ".join(few.stderr.split())
    run("weigh", lot, "0")
    gone = run("begin", number)
    assert gone.exit_code == 2
    words = f"the bin has changed since that list: {lot}, which suggestion {number} takes, isn't there any more"
    assert words in " ".join(gone.stderr.split())
    run("undo")
    assert sorted(dump(path)) == sorted(before)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("99",), "there is no suggestion 99: the last list goes from 1 to "),
        (("0",), "there is no suggestion 0"),
        (("1", "--size", "5 years"), "are settled already (--size): leave this out, or name the accessory"),
        (("1", "--for", "me", "--swatch", "20 st"), "are settled already (--for --swatch)"),
        (("1", "--lots", "sleeve=navy"), 'has no role "sleeve"'),
        (("1", "--lots", "main=nvy"), "did you mean navy"),
        (
            (),
            "nothing is named to begin: name an accessory, the number of a suggestion, a pattern (--pattern) or a set (--set)",
        ),
        (("9" * 5000,), "no accessory"),
        (
            ("egg-cosy", "--lots", "cream", "--swatch", "3 st x 4 rows"),
            "only 4 stitches round at this gauge (--swatch)",
        ),
    ],
)
def test_what_no_number_means_is_refused(
    path: Path, run: Callable[..., Result], arguments: tuple[str, ...], words: str
) -> None:
    run("suggest")
    before = dump(path)
    refused = run("begin", *arguments)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert words in " ".join(refused.stderr.split())
    assert dump(path) == before


def test_where_no_list_was_made_she_is_told_how(path: Path, run: Callable[..., Result], demo: Path) -> None:
    run("suggest", demo)  # a list of another bin is none of this one
    refused = run("begin", "1")
    assert refused.exit_code == 2
    words = "no list of this bin has been made yet"
    assert words in " ".join(refused.stderr.split())
    assert "matcher suggest makes one" in " ".join(refused.stderr.split())
    for text in ("", "{", "[]", '{"version": 99}', '{"version": 1, "suggestions": 7}'):
        keep_list(path, text)
        assert words in " ".join(run("begin", "1").stderr.split())


def test_an_accessory_of_hers_that_is_not_named_again(
    path: Path, run: Callable[..., Result], run_json, tmp_path: Path
) -> None:
    from matcher.store.catalogue.folders import catalogue_folder

    own = tmp_path / "mine" / "accessories"
    own.mkdir(parents=True)
    entry = next((catalogue_folder() / "accessories").glob("egg-cosy.*"))
    (own / f"my-cosy{entry.suffix}").write_text(
        entry.read_text("utf-8").replace('"egg cosy"', '"my own cosy"'), encoding="utf-8"
    )
    found = in_order(run_json("suggest", "--catalog", own.parent, "--kind", "small", "--all", "--top", "40"))
    number = next(one["rank"] for one in found if one["key"] == "my-cosy")
    refused = run("begin", number)
    assert refused.exit_code == 2
    assert "my-cosy, one size, isn't in the catalogue (--catalog): give the folder" in " ".join(refused.stderr.split())
    assert run_json("begin", number, "--catalog", own.parent)["accessory"] == "my-cosy"


def test_looking_writes_nothing_into_a_store_and_needs_no_right_to(
    path: Path, run: Callable[..., Result], by_itself
) -> None:
    before = path.read_bytes()
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")  # another program is writing
        assert run("suggest").exit_code == 0
        other.execute("ROLLBACK")
    os.chmod(path, 0o444)
    ended = by_itself("suggest", MATCHER_BIN=str(path))
    assert (ended.returncode, path.read_bytes()) == (0, before)
    assert "remembered" not in ended.stderr
    refused = run("begin", "1")
    assert refused.exit_code == 2
    assert path.read_bytes() == before


def test_a_list_is_given_where_it_cannot_be_remembered(path: Path, by_itself, tmp_path: Path) -> None:
    (tmp_path / "home" / "matcher").mkdir(parents=True)
    (tmp_path / "home" / "matcher" / "last lists").write_text("in the way", encoding="utf-8")
    ended = by_itself("suggest", MATCHER_BIN=str(path), XDG_DATA_HOME=str(tmp_path / "home"))
    assert ended.returncode == 0
    assert "1  " in ended.stdout
    assert "This list can't be remembered, so its numbers mean nothing to matcher begin" in " ".join(
        ended.stderr.split()
    )


def test_a_list_that_is_cut_off_leaves_the_one_before(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep_list(path, "the first")

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(last_lists.os, "replace", killed)
    with pytest.raises(KeyboardInterrupt):
        keep_list(path, "the second")
    assert kept_list(path) == "the first"
    assert [one.name for one in list_file(path).parent.iterdir() if "under-way" in one.name] == []
    assert list_file(path).stat().st_mode & 0o077 == 0  # her own eyes alone


def test_a_folder_of_sheets_has_a_list_of_its_own(run: Callable[..., Result], small: Path, path: Path) -> None:
    run("suggest", small)
    ours = json.loads(kept_list(small))
    assert ours["suggestions"][0]["number"] == 1
    run("suggest")
    assert json.loads(kept_list(small)) == ours
    moved = small.with_name("moved")
    shutil.move(small, moved)
    assert kept_list(moved) == ""


def test_a_pattern_file_is_begun_as_it_says(path: Path, run: Callable[..., Result], run_json, tmp_path: Path) -> None:
    one = run_json("suggest")["suggestions"][0]
    begun = run_json("begin", "1")
    with open_store(path) as store:
        recipe = json.loads(store.rows("works")[-1]["recipe"])
    run("undo")
    file = tmp_path / "pattern.json"
    file.write_text(json.dumps({"recipe": recipe}), encoding="utf-8")
    again = run_json("begin", "--pattern", file)
    assert again["claims"] == begun["claims"]
    assert again["accessory"] == one["key"]
    run("undo")
    both = run("begin", "1", "--pattern", file)
    assert "two things are named to begin" in " ".join(both.stderr.split())
    for text, words in (
        ("{", "this isn't a pattern"),
        ('{"recipe": {}}', "this isn't a pattern"),
        (json.dumps({"recipe": {**recipe, "version": 9}}), "written by a later version of matcher"),
        (json.dumps({"recipe": {**recipe, "accessory": "gone"}}), "isn't in the catalogue (--catalog)"),
    ):
        file.write_text(text, encoding="utf-8")
        refused = run("begin", "--pattern", file)
        assert refused.exit_code == 2
        assert words in " ".join(refused.stderr.split())
    assert "there is no such file" in " ".join(run("begin", "--pattern", tmp_path / "none.json").stderr.split())
    assert "can't be read" in " ".join(run("begin", "--pattern", tmp_path).stderr.split())

"""Keeping a store from the command line: what each action changes and says, and what it refuses."""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from matcher.actions.desk import Desk
from matcher.store.database.store import open_store

LOTS = {
    "navy": {"grams": "120", "colour": "#1f2a4a", "garment": "pullover", "dye_lot": "8", "role": "main"},
    "cream": {"grams": "90", "colour": "#efe6d0", "garment": "pullover", "dye_lot": "3", "role": "contrast 1"},
    "rust": {"grams": "60", "colour": "#9c4a24", "garment": "cardigan", "dye_lot": "5"},
    "fog": {"grams": "20", "colour": "#c3c6c8", "place": "tin", "dye_lot": "2"},
}
YARN = {"yarn": "plain wool", "ball_grams": "50", "ball_metres": "125", "fibre": "wool", "wash": "hand"}


@pytest.fixture
def path(tmp_path: Path, monkeypatch) -> Path:
    """Her store: two garments, four lots. It is what every command reads when no bin is named."""
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("all") as act:
        act.insert(
            "garments",
            {"garment": "pullover", "status": "worn", "chest_cm": "98", "stitches_10cm": "22", "rows_10cm": "29"},
        )
        act.insert("garments", {"garment": "cardigan", "status": "gone"})
        for name, cells in LOTS.items():
            act.insert("lots", {**YARN, **cells, "lot": name})
    monkeypatch.setenv("MATCHER_BIN", str(path))
    return path


def lots(path: Path) -> dict[str, dict[str, Any]]:
    with open_store(path) as store:
        return {row["lot"]: row for row in store.rows("lots")}


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as db:
        return list(db.iterdump())


# Lots -----------------------------------------------------------------------------------------------------


def test_weigh(path: Path, run: Callable[..., Result], run_json: Callable[..., dict[str, Any]]):
    found = run_json("weigh", "Navy", "41g")
    assert {key: found[key] for key in ("lot", "before_g", "after_g")} == {
        "lot": "navy",
        "before_g": 120.0,
        "after_g": 41.0,
    }
    row = lots(path)["navy"]
    assert (row["grams"], row["mass_g"]) == ("41g", 41.0)
    assert re.fullmatch(r"\d{4}-\d\d-\d\d", row["weighed_on"])
    shown = run("weigh", row["code"].lower(), "1.5 oz")
    assert shown.stdout == "navy: 43 g, was 41 g.\n"
    assert run("weigh", "navy", "1 oz", "--units", "imperial").stdout == "navy: 1 oz, was 1.5 oz.\n"


def test_a_weight_that_can_hardly_be_is_remarked_on(path: Path, run: Callable[..., Result]):
    def remark(*arguments: str) -> str:
        return " ".join(run("weigh", *arguments).stderr.split())

    check = "check the scale, or the number of pieces"
    assert remark("fog", "24") == ""
    assert remark("fog", "45") == f"45 g is clearly more than before (24 g): {check}"
    assert remark("fog", "62") == f"62 g is clearly more than before (45 g): {check}"
    run("weigh", "fog", "45")
    assert remark("fog", "63") == f"63 g is more than one 50 g ball weighs: {check}"
    assert remark("navy", "100") == remark("navy", "119") == ""
    assert remark("navy", "200") == f"200 g is more than 3 balls of 50 g weigh: {check}"
    run("change", "rust", "--pieces", "1")
    assert (
        remark("rust", "66", "--units", "imperial") == f"2.33 oz is more than one 50 g (1.76 oz) ball weighs: {check}"
    )


def test_a_weight_that_is_hardly_but_a_slip_is_refused(path: Path, run: Callable[..., Result], run_json):
    before = lots(path)["fog"]["grams"]
    shown = run("weigh", "fog", "10kg")
    assert shown.exit_code == 2
    said = " ".join(shown.stderr.split())
    assert "fog would weigh 10000 g, and weighed 20 g" in said
    assert "if it really is so much, write it down with matcher change" in said
    assert lots(path)["fog"]["grams"] == before
    assert run("weigh", "fog", "300").exit_code == 0  # much more, and only remarked on
    assert run("weigh", "fog", "2 kg").exit_code == 0  # a cone, and not ten times as much
    assert run("change", "fog", "--grams", "15 kg").exit_code == 0  # she says so


def test_a_lot_of_which_nothing_is_left_leaves_the_bin(path: Path, run: Callable[..., Result]):
    assert run("weigh", "fog", "0").stdout == "Nothing is left of fog, so it is out of the bin.\n"
    assert "fog" not in lots(path)
    run("undo")
    assert lots(path)["fog"]["grams"] == "20"


def test_the_first_lot_begins_the_store(tmp_path: Path, run: Callable[..., Result], run_json):
    mine = tmp_path / "new" / "bin.sqlite"
    found = run_json(
        *("add", "sea green", "--grams", "1.5 oz", "--colour", "#2f6f66", "--class", "DK", "--place", "tin"),
        *("--bin", mine),
    )
    assert found["lot"] == "sea green"
    row = lots(mine)["sea green"]
    assert (row["grams"], row["class"], row["place"], row["code"]) == ("1.5 oz", "DK", "tin", found["code"])
    assert found["after_g"] == pytest.approx(42.52, abs=0.01)
    again = run("add", "Sea Green", "--grams", "3", "--colour", "navy", "--class", "3", "--bin", mine)
    assert again.exit_code == 2
    assert 'there is already a lot "Sea Green"' in " ".join(again.stderr.split())


def test_every_column_of_the_sheet_can_be_given(path: Path, run: Callable[..., Result]):
    from matcher.store.sheets.columns import LOTS

    cells = {
        "garment": "Cardigan", "role": "main", "yarn": "old wool", "colour": "heather #6b7f4a 60%, cream 40%",
        "colour_name": "moss", "grams": "41,5 g", "ball_grams": "50", "ball_metres": "137 yd", "tex": "400",
        "class": "3", "fibre": "80% wool 20% nylon", "wash": "machine", "pieces": "2", "dye_lot": "007",
        "label": "partly", "reserve": "20 m", "place": "top shelf", "note": 'a "note"',
    }  # fmt: skip
    assert {"lot", *cells} == set(LOTS.typed)
    options = [part for name, text in cells.items() for part in ("--" + name.replace("_", "-"), text)]
    assert run("add", "moss", *options).exit_code == 0
    assert {name: lots(path)["moss"][name] for name in cells} == cells
    changed = {"garment": "", "place": "attic", "wash": "hand", "ball_metres": "130", "class": "4"}
    options = [part for name, text in changed.items() for part in ("--" + name.replace("_", "-"), text)]
    shown = run("change", "moss", *options, "--name", "moss heather")
    assert shown.exit_code == 0
    assert 'moss: garment cleared, was "Cardigan".' in shown.stdout
    assert {name: lots(path)["moss heather"][name] for name in cells} == {**cells, **changed}
    assert run("change", "moss heather", "--place", "attic").stdout == (
        "moss heather already says that; nothing was changed.\n"
    )


def test_cells_are_held_to_the_rules_of_the_sheets_all_at_once(path: Path, run: Callable[..., Result]):
    before = dump(path)
    shown = run("add", "new", "--grams", "4O", "--colour", "naavy")
    assert shown.exit_code == 2
    assert shown.stderr.splitlines() == [
        "matcher: 3 cells can't be read: nothing was changed",
        "  --ball-grams: found nothing, expected --ball-grams and --ball-metres, or",
        "    --tex, or --class; give --class, such as 3 or DK",
        '  --colour: found "naavy", expected a code such as #6b7f4a, "lab(52, -8, 25)" or',
        "    a plain word such as navy; did you mean navy?",
        '  --grams: found "4O", expected a weight such as 41 or 1.5 oz; did you mean 40?',
    ]
    for arguments, words in (
        (("change", "navy", "--fibre", "80% wool 30% nylon"), "come to 110%"),
        (("change", "navy", "--ball-metres", ""), "--ball-metres: found nothing"),
        (("change", "navy", "--garment", "cardigann"), "did you mean cardigan?"),
        (("change", "navy", "--grams", "0"), "--grams: found"),
        (("change", "navy", "--name", "CREAM"), "already"),
        (("change", "nvy", "--note", "x"), "did you mean navy?"),
        (("weigh", "navy", "a lot"), '"a lot" isn\'t a weight'),
        (("weigh", "navy", "21 kg"), "more than 20 kg"),
        (("weigh", "navy", "-3"), 'a number below 0 makes no sense here ("-3"): leave out the minus'),
        (("weigh", "navy", "--", "-3"), "it can't be negative"),
        (("mended", "pullover", "navy", "-2m", "--json"), 'makes no sense here ("-2m")'),
        (("garment", "pullover", "boiled"), "say worn, given (it may come back) or gone"),
        (("garment", "vest"), "worn, given or gone after its name"),
        (("garment", "vest", "worn", "--chest", "wide"), "--chest: found"),
        (("split", "navy", "120"), "give less than the lot weighs"),
        (("mended", "pullover", "fog", "60 m"), "would be 24 g, but fog weighs 20 g"),
        (("mended", "pullovr", "fog", "6 m"), "did you mean pullover?"),
        (("undo", "2"), "only 1 action can be undone"),
        (("undo", "0"), "say how many actions to take back (N): 1 or more"),
        (("add", "new", "--grams", "40", "--class", "3"), "a cell is missing: nothing was changed --colour: found"),
    ):
        shown = run(*arguments)
        assert (shown.exit_code, shown.stdout) == (2, ""), arguments
        assert words in " ".join(shown.stderr.split()), arguments
    assert dump(path) == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("garment", "vest", "worn", "--chest", "wide"),
        ("garment", "vest"),
        ("add", "navy", "--grams", "50", "--colour", "navy", "--class", "3", "--garment", "vest"),
    ],
)
def test_no_store_is_begun_by_what_is_refused(tmp_path: Path, run: Callable[..., Result], arguments):
    place = tmp_path / "new.sqlite"
    assert run(*arguments, "--bin", place).exit_code == 2
    assert not place.exists()


def test_what_is_so_already(path: Path, run: Callable[..., Result]):
    assert run("garment", "pullover", "worn").stdout == "pullover is worn already; nothing was changed.\n"
    assert run("garment", "pullover").stdout == "pullover is worn; nothing was changed.\n"


def test_what_was_done_is_told_in_her_words(path: Path, run: Callable[..., Result], run_json):
    run("change", "fog", "--dye-lot", "7", "--name", "mist")
    run("garment", "pullover", "--chest", "38 in", "--note", "")
    assert [one["what"] for one in run_json("undo", "--list")["actions"]][:2] == [
        "garment pullover: chest 38 in",
        "change fog: dye lot, name",
    ]


def test_move_split_and_join(path: Path, run: Callable[..., Result], run_json):
    assert run("move", "fog", "top shelf").stdout == "fog: its place is now top shelf, was tin.\n"
    found = run_json("split", "navy", "50g", "--as", "navy, full ball")
    assert (found["lot"], found["new"], found["after_g"], found["new_g"]) == ("navy", "navy, full ball", 70.0, 50.0)
    held = lots(path)
    assert {column: held["navy, full ball"][column] for column in ("yarn", "garment", "dye_lot", "colour")} == {
        column: held["navy"][column] for column in ("yarn", "garment", "dye_lot", "colour")
    }
    assert held["navy"]["code"] != held["navy, full ball"]["code"]
    assert run("split", "navy", "20").stdout.startswith("navy 2: 20 g, split from navy, which keeps 50 g.")
    joined = run_json("join", "navy", "navy 2", "navy, full ball")
    assert (joined["lot"], joined["joined"], joined["after_g"]) == ("navy", ["navy 2", "navy, full ball"], 120.0)
    assert lots(path).keys() == LOTS.keys()
    refused = run("join", "navy", "cream")
    assert refused.exit_code == 2
    assert 'colour "#1f2a4a" and "#efe6d0", dye lot "8" and "3"' in " ".join(refused.stderr.split())
    assert run("join", "navy", "cream", "--anyway").exit_code == 0
    assert lots(path)["navy"]["colour"] == "#1f2a4a"


# Garments -------------------------------------------------------------------------------------------------


def test_a_garment_given_away_frees_its_yarn(path: Path, run: Callable[..., Result], run_json):
    def free(lot: str) -> float:
        groups = run_json("reserve")["groups"]
        return sum(one["metres"] for group in groups for one in group["freed"] if one["lot"] == lot)

    before = free("cream")
    assert run("garment", "pullover", "gone").stdout.splitlines()[0].startswith("pullover was worn and is now gone")
    assert free("cream") > before
    run("undo")
    assert free("cream") == before
    assert run_json("garment", "vest", "worn", "--kind", "vest", "--plans", "lengthen body 5 cm")["garment"] == "vest"


def test_mending_lowers_the_weight_and_a_reserve_set_by_hand(path: Path, run: Callable[..., Result], run_json):
    run("change", "cream", "--reserve", "30 m")
    found = run_json("mended", "pullover", "cream", "12 m")
    assert found["after_g"] == pytest.approx(90 - 12 * 400 / 1000, abs=0.05)  # 50 g of 125 m are 400 tex
    assert (lots(path)["cream"]["grams"], lots(path)["cream"]["reserve"]) == ("85.2", "18")
    run("mended", "cardigan", "cream", "5 m")
    assert lots(path)["cream"]["reserve"] == "18"
    run("change", "fog", "--ball-grams", "", "--ball-metres", "", "--class", "3")
    assert run("mended", "cardigan", "fog", "5 m").exit_code == 0


# The store as a whole -------------------------------------------------------------------------------------


def test_undo_as_far_back_as_wanted(path: Path, run: Callable[..., Result], run_json):
    before = dump(path)
    run("weigh", "navy", "100")
    run("move", "navy", "attic")
    run("garment", "pullover", "given")
    listed = run_json("undo", "--list")
    assert [one["what"] for one in listed["actions"]] == [
        "garment pullover: status given",
        "move navy to attic",
        "weigh navy: 120 g to 100 g",
        "all",
    ]
    assert "  2  20" in run("undo", "--list").stdout
    found = run_json("undo", "3")
    assert [one["what"] for one in found["undone"]] == [one["what"] for one in listed["actions"][:3]]
    assert found["left"] == 1
    assert dump(path) == before


def test_verify_ends_with_1_when_something_is_wrong(path: Path, run: Callable[..., Result], run_json):
    assert run("verify").stdout == "4 lots, all in order.\n"
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("UPDATE lots SET mass_g = 5 WHERE lot = 'fog'")
    shown = run("verify")
    assert shown.exit_code == 1
    assert "lot fog: its cell says 20, but 5 g is what counts" in shown.stdout
    found = run_json("verify", exit_code=1)
    assert not found["ok"]
    assert {"where": "lot fog", "what": "its cell says 20, but 5 g is what counts"} in found["faults"]


@pytest.mark.parametrize(
    "command",
    [
        ("weigh", "navy", "4"), ("move", "navy", "x"), ("split", "navy", "4"), ("join", "navy", "fog"), ("undo",),
        ("change", "navy", "--note", "x"), ("mended", "pullover", "navy", "1m"), ("finish", "hat"), ("abandon", "hat"),
        ("begin", "egg-cosy", "--lots", "fog"), ("verify",),
    ],
)  # fmt: skip
def test_without_a_store_each_says_how_to_begin_one(
    tmp_path: Path, run: Callable[..., Result], command: tuple[str, ...]
):
    shown = run(*command, "--bin", tmp_path / "none.sqlite")
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert "there is no store yet" in " ".join(shown.stderr.split())
    assert list(tmp_path.iterdir()) == []
    folder = run(*command, "--bin", tmp_path)
    assert "a folder is a bin on paper" in " ".join(folder.stderr.split())


def test_other_commands_read_the_store_when_no_bin_is_named(path: Path, run: Callable[..., Result], run_json):
    assert {
        lot for group in run_json("reserve")["groups"] for lot in (one["lot"] for one in group["freed"])
    } <= LOTS.keys()
    found = run("suggest", "--top", "1", "--json")
    assert "demo" not in found.stderr
    lots_named = {
        lot for one in json.loads(found.stdout)["suggestions"] for role in one["roles"] for lot in role["lots"]
    }
    assert lots_named
    assert lots_named <= LOTS.keys()
    (pair,) = run_json("contrast", "navy", "white")["pairs"]
    assert (pair["a"], pair["b"]) == ("navy", "white")
    assert run("check", path).stdout.startswith("4 lots and 2 garments, all in order.")


def holds(pid: int, path: Path) -> bool:
    """Whether a process has a file open; one that it closes meanwhile is none."""
    for one in Path(f"/proc/{pid}/fd").iterdir():
        with suppress(FileNotFoundError):
            if str(path) in os.readlink(one):
                return True
    return False


def test_ctrl_c_leaves_the_store_as_it_was(path: Path):
    """The command is stopped while another program holds the store, so that it waits in the middle of its work."""
    before = dump(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        start = [sys.executable, "-c", "from matcher.cli.main import main; main()", "weigh", "navy", "4"]
        with subprocess.Popen(
            start,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            # Whoever starts the tests in the background has Ctrl-C ignored, and children take that over.
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        ) as done:
            until = time.monotonic() + 60
            while time.monotonic() < until and not holds(done.pid, path):
                time.sleep(0.05)
            time.sleep(0.2)
            assert done.poll() is None
            done.send_signal(signal.SIGINT)
            time.sleep(0.1)
            other.execute("ROLLBACK")
            out, err = done.communicate(timeout=60)
    assert done.returncode != 0
    assert "Traceback" not in err
    assert out == ""
    assert dump(path) == before


def test_everything_shown_fits_80_columns(path: Path, run: Callable[..., Result], fits_80: Callable[[str], None]):
    long = "a very long name for a very small lot of yarn that lies somewhere in the house, nobody knows where"
    shown = run("change", "fog", "--name", long, "--note", long)
    fits_80(shown.stdout)
    fits_80(run("weigh", long, "19").stdout)
    fits_80(run("begin", "egg cosy", "--lots", long, "--as", long).stdout)
    fits_80(run("undo", "--list").stdout)


def test_what_is_joined_was_weighed_when_its_oldest_part_was(path: Path, run: Callable[..., Result]):
    assert run("split", "navy", "20g").exit_code == 0
    with open_store(path) as store, store.action("an old weight") as act:
        act.update("lots", "navy", {"weighed_on": "2026-01-05"})
    assert run("join", "navy 2", "navy").exit_code == 0
    assert lots(path)["navy 2"]["weighed_on"] == "2026-01-05"


def test_a_garment_whose_name_is_nearly_one_that_is_there_is_told(run, tmp_path, monkeypatch, small):
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "near.sqlite"))
    assert run("intake", small).exit_code == 0
    shown = run("garment", "pulover", "gone")
    assert "pullover exists; if you meant it, run matcher undo." in " ".join(shown.stdout.split())
    assert "Did you mean" not in run("garment", "scarf of my aunt", "gone").stdout


@pytest.mark.parametrize("unknown", ["unknown", "?", "n/a", "not known", "not sure"])
def test_that_nobody_knows_the_dye_lot_is_no_sign_of_one_bath(path: Path, run: Callable[..., Result], unknown: str):
    """Two lots of which nobody knows the dye lot are not joined in silence, nor counted as one."""
    for name in ("fog", "rust"):
        run("change", name, "--dye-lot", unknown, "--garment", "", "--colour", "#c3c6c8", "--place", "")
    refused = run("join", "fog", "rust")
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert "have no dye lot written down" in " ".join(refused.stderr.split())
    pools = [{one.name for one in pool.lots} for pool in Desk(path).shelf.pools]
    assert {"fog"} in pools
    assert {"rust"} in pools
    # Left over from one garment they are of its bath; that one says "unknown" and the other nothing makes no odds.
    run("change", "fog", "--garment", "cardigan", "--dye-lot", "")
    run("change", "rust", "--garment", "cardigan")
    assert run("join", "fog", "rust").exit_code == 0


@pytest.mark.parametrize(
    "command",
    [("weigh", "navy", "41g"), ("move", "navy", "attic"), ("split", "navy", "9g"), ("undo",), ("change", "navy", "--place", "x")],
    ids=lambda command: command[0],
)  # fmt: skip
def test_the_quick_ones_load_nothing_heavy(path: Path, command: tuple[str, ...]):
    """They take as long as an empty command, with any number of lots: no arrays, no catalogue, no screen."""
    ask = (
        "import sys; from matcher.cli.main import main\n"
        "try:\n    main()\nexcept SystemExit as left:\n    assert not left.code\n"
        "print([one for one in sys.modules if one in HEAVY])"
    ).replace("HEAVY", "('numpy', 'rich', 'matcher.store.catalogue.catalogue', 'matcher.materials.lots')")
    done = subprocess.run([sys.executable, "-c", ask, *command], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]", done.stdout

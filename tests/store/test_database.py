"""The store itself: what it keeps, what it refuses, all or nothing, and undo to the very state before."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from matcher.errors import BadInput, NotFound
from matcher.store.codes import LETTERS, code_of
from matcher.store.database.faults import APPLICATION_ID
from matcher.store.database.rows import KEYS
from matcher.store.database.schema import migrations
from matcher.store.database.store import Store, is_store, open_store, store_path
from matcher.store.database.verify import faults_of
from matcher.store.sheets.columns import GARMENTS, LOTS

NAVY = {"lot": "navy", "grams": "120 g", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "bin.sqlite"


@pytest.fixture
def store(path: Path):
    with open_store(path, create=True) as opened:
        with opened.action("first") as act:
            act.insert("garments", {"garment": "Moss Cardigan", "status": "worn"})
            act.insert("lots", {**NAVY, "garment": "moss  cardigan"})
        yield opened


def everything(store: Store) -> dict[str, list[dict[str, Any]]]:
    return {table: store.rows(table) for table in (*KEYS, "actions", "journal")}


# What is kept ---------------------------------------------------------------------------------------------


def test_the_columns_are_those_of_the_sheets(store: Store, path: Path):
    """And what the program works out of them, beside."""
    worked_out = {"lots": {"mass_g", "folded", "of_garment"}, "garments": {"folded"}}
    with closing(sqlite3.connect(path)) as db:
        for sheet in (LOTS, GARMENTS):
            columns = [row[1] for row in db.execute(f"PRAGMA table_info({sheet.sheet})")]
            assert sorted(columns) == sorted({*sheet} | worked_out[sheet.sheet])
            assert len({*sheet.typed, *sheet.exported}) == len(sheet.typed) + len(sheet.exported)


def test_a_store_is_known_by_its_header_and_writes_ahead(store: Store, path: Path):
    assert is_store(path)
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
        assert db.execute("PRAGMA user_version").fetchone()[0] == len(migrations())
        assert db.execute("PRAGMA journal_mode").fetchone()[0] == "wal"
        strict = {row[1]: row[5] for row in db.execute("PRAGMA table_list") if not row[1].startswith("sqlite_")}
        assert strict.keys() >= KEYS.keys() | {"actions", "journal", "migrations"}
        assert set(strict.values()) == {1}
    assert [row["version"] for row in store.rows("migrations")] == [one.version for one in migrations()]


def test_cells_come_back_as_they_were_written_in_order_of_the_names(store: Store):
    odd = {
        "note": 'a "quoted", kept; line\nbreak',
        "dye_lot": "007",
        "grams": "1,5 oz",
        "place": "=1+1",
        "colour": " Ecru ",
    }
    with store.action("two more") as act:
        act.insert("lots", {**NAVY, "lot": "ärgerlich grün", **odd})
        act.insert("lots", {**NAVY, "lot": "Zebra"})
    rows = store.lots()
    assert [row["lot"] for row in rows] == ["Zebra", "navy", "ärgerlich grün"]
    assert all(tuple(row) == LOTS.typed for row in rows)
    assert {column: rows[2][column] for column in odd} == odd
    assert rows[1]["garment"] == "moss  cardigan"
    assert rows[1]["fibre"] == ""
    assert store.garments() == [{**dict.fromkeys(GARMENTS.typed, ""), "garment": "Moss Cardigan", "status": "worn"}]
    assert store.row("lots", "ärgerlich grün")["mass_g"] == pytest.approx(1.5 * 28.349523125)


def test_a_lot_is_found_whatever_its_case_and_by_its_code(store: Store):
    row = store.named("lots", "  NAVY ")
    assert row is not None
    assert row["lot"] == "navy"
    assert store.named("lots", row["code"].lower()) == row
    assert store.named("garments", "moss cardigan")["garment"] == "Moss Cardigan"
    assert store.named("lots", "cream") is None


def test_codes_are_short_alike_for_a_name_and_different_for_two():
    codes = {code_of(f"lot {number}") for number in range(300)}
    assert len(codes) == 300
    assert all(len(code) == 5 and set(code) <= set(LETTERS) for code in codes)
    assert code_of("Navy  blue") == code_of("navy blue")
    assert not set(LETTERS) & set("01OILUV") - {"V"}
    first = code_of("navy")
    assert code_of("navy", {first}) not in {first, ""}


def test_where_a_store_lies(monkeypatch, tmp_path: Path):
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "mine.sqlite"))
    assert store_path(tmp_path / "other") == tmp_path / "other"
    assert store_path() == tmp_path / "mine.sqlite"
    monkeypatch.delenv("MATCHER_BIN")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    assert store_path().name == "bin.sqlite"
    assert store_path().parent.name == "matcher"


def test_a_store_is_begun_whole_or_not_at_all(tmp_path: Path):
    path = tmp_path / "new folder" / "bin.sqlite"
    with pytest.raises(NotFound, match="no store yet"):
        open_store(path)
    assert not path.parent.exists()
    open_store(path, create=True).close()
    assert [one.name for one in path.parent.iterdir()] == ["bin.sqlite"]
    open_store(path, create=True).close()


# What is refused ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "values"),
    [
        ("lots", {**NAVY, "lot": " Navy "}),
        ("lots", {**NAVY, "lot": " "}),
        ("lots", {**NAVY, "lot": "none left", "grams": "0"}),
        ("lots", {**NAVY, "lot": "no colour", "colour": ""}),
        ("lots", {**NAVY, "lot": "no such garment", "garment": "vest"}),
        ("lots", {**NAVY, "lot": "odd day", "weighed_on": "yesterday"}),
        ("lots", {**NAVY, "lot": "a number", "note": None}),
        ("garments", {"garment": "MOSS cardigan", "status": "worn"}),
        ("garments", {"garment": "vest", "status": "lost"}),
        ("works", {"accessory": "hat", "name": "hat", "state": "begun", "begun_on": "2026-01-01", "ended_on": "2026-01-02"}),
        ("claims", {"work": 9, "role": "main", "lot": "navy", "metres": 1.0, "tex": 400.0, "from_g": 1.0}),
        ("used", {"work": 9, "role": "main", "lot": "navy", "predicted_m": 1.0, "predicted_sd_m": 0.0, "used_m": 1.0, "used_g": 1.0, "tex": 1.0, "accessory": "hat", "ended_on": "x"}),
        ("decisions", {"lot": "no such lot", "advice": "keep", "made_on": "2026-01-01"}),
        ("swatches", {"made_on": "2026-01-01", "tex": "thick", "structure": "rib", "stitches": 20.0, "rows": 20.0}),
    ],
)  # fmt: skip
def test_what_the_schema_refuses_leaves_the_store_as_it_was(store: Store, table: str, values: dict[str, Any]):
    before = everything(store)

    def good_then_bad():
        with store.action("bad") as act:
            act.insert("lots", {**NAVY, "lot": "good"})
            act.insert(table, values)

    with pytest.raises(BadInput, match="the store refused it"):
        good_then_bad()
    assert everything(store) == before


def test_a_lot_that_is_claimed_cannot_be_taken_out(store: Store):
    with store.action("begin") as act:
        work = act.insert("works", {"accessory": "hat", "name": "hat", "state": "begun", "begun_on": "2026-01-01"})
        claim = {"work": work, "role": "main", "lot": "navy", "metres": 10.0, "tex": 400.0, "from_g": 120.0}
        act.insert("claims", claim)
    before = everything(store)
    with pytest.raises(BadInput, match="refused"), store.action("bad") as act:
        act.delete("lots", "navy")
    assert everything(store) == before


@pytest.mark.parametrize("interruption", [KeyboardInterrupt, RuntimeError, SystemExit])
def test_whatever_interrupts_an_action_leaves_the_store_as_it_was(store: Store, interruption: type[BaseException]):
    before = everything(store)

    def half():
        with store.action("half") as act:
            act.update("lots", "navy", {"grams": "3"})
            act.delete("lots", "navy")
            raise interruption

    with pytest.raises(interruption):
        half()
    assert everything(store) == before
    with store.action("whole") as act:
        act.update("lots", "navy", {"grams": "3"})
    assert store.lots()[0]["grams"] == "3"


# Undo -----------------------------------------------------------------------------------------------------


def test_undo_brings_back_the_very_state_before_action_by_action(store: Store):
    states = [everything(store)]

    def act_and_remember(change) -> None:
        with store.action("something") as act:
            change(act)
        states.append(everything(store))

    act_and_remember(lambda act: act.insert("lots", {**NAVY, "lot": "cream", "reserve": "4 m"}))
    act_and_remember(lambda act: act.insert("decisions", {"lot": "cream", "advice": "keep", "made_on": "2026-02-03"}))
    act_and_remember(lambda act: act.update("lots", "navy", {"grams": "90", "note": "é"}))
    act_and_remember(
        lambda act: (act.update("lots", "cream", {"lot": "ecru"}), act.update("decisions", "cream", {"lot": "ecru"}))
    )
    act_and_remember(lambda act: act.update("garments", "Moss Cardigan", {"status": "gone"}))
    act_and_remember(lambda act: act.delete("lots", "ecru"))
    act_and_remember(lambda act: (act.delete("lots", "navy"), act.insert("lots", {**NAVY, "grams": "1"})))
    assert len({str(one) for one in states}) == len(states)
    for before in reversed(states[:-1]):
        store.undo()
        assert everything(store) == before
    assert store.undo() == [(1, store_time(states), "first")]
    assert all(rows == [] for rows in everything(store).values())


def store_time(states: list[dict[str, list[dict[str, Any]]]]) -> str:
    return str(states[0]["actions"][0]["done_at"])


def test_undo_of_several_is_all_or_nothing(store: Store):
    for grams in ("90", "80", "70"):
        with store.action(f"weigh {grams}") as act:
            act.update("lots", "navy", {"grams": grams})
    before = everything(store)
    with pytest.raises(BadInput, match="only 4 actions"):
        store.undo(5)
    assert everything(store) == before
    assert [words for _, _, words in store.undo(2)] == ["weigh 70", "weigh 80"]
    assert store.lots()[0]["grams"] == "90"
    store.undo(2)
    with pytest.raises(BadInput, match="nothing to undo"):
        store.undo()


def test_an_action_that_changes_nothing_leaves_no_trace(store: Store):
    before = everything(store)
    with store.action("nothing") as act:
        act.update("lots", "navy", {"grams": "120 g"})
    assert everything(store) == before


# Several at once ------------------------------------------------------------------------------------------


def test_eight_writers_at_once_lose_nothing(store: Store, path: Path):
    """2,000 actions; each reads a weight and adds a gram to it, and adds a lot of its own now and then."""
    writers, each = 8, 250
    with store.action("start") as act:
        act.update("lots", "navy", {"grams": "1"})
    store.close()
    children = []
    for writer in range(writers):
        child = os.fork()
        if child == 0:
            status = 1
            try:
                with open_store(path, busy_s=60) as mine:
                    for number in range(each):
                        with mine.action(f"writer {writer}, {number}") as act:
                            grams = mine.row("lots", "navy")["mass_g"]
                            act.update("lots", "navy", {"grams": f"{grams + 1:g}"})
                            if number % 50 == 0:
                                act.insert("lots", {**NAVY, "lot": f"of {writer}, {number}"})
                status = 0
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * writers
    with open_store(path) as whole:
        assert whole.row("lots", "navy")["mass_g"] == 1 + writers * each
        assert len(whole.lots()) == 1 + writers * (each // 50)
        assert len(whole.rows("actions")) == 2 + writers * each
        whole.undo(writers * each)
        assert whole.row("lots", "navy")["mass_g"] == 1
        assert len(whole.lots()) == 1


def test_eight_at_once_begin_one_and_the_same_store(tmp_path: Path):
    path, children = tmp_path / "new" / "bin.sqlite", []
    for writer in range(8):
        child = os.fork()
        if child == 0:
            status = 1
            try:
                with open_store(path, create=True) as mine, mine.action("add") as act:
                    act.insert("lots", {**NAVY, "lot": f"of {writer}"})
                status = 0
            finally:
                os._exit(status)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 8
    with open_store(path) as whole:
        assert len(whole.lots()) == 8
    assert [one.name for one in path.parent.iterdir()] == ["bin.sqlite"]


def test_a_reader_sees_one_moment_while_another_writes(store: Store, path: Path):
    with open_store(path) as other, other.reading():
        before = other.lots()
        with store.action("meanwhile") as act:
            act.update("lots", "navy", {"grams": "5"})
        assert other.lots() == before
    assert store.lots()[0]["grams"] == "5"


def test_what_she_wrote_goes_with_its_lot(path: Path):
    """It follows a new name, goes with the lot, and comes back with it."""
    with open_store(path, create=True) as store:
        with store.action("intake") as act:
            act.insert("lots", {**NAVY, "lot": "ecru"})
            act.insert(
                "written", {"sheet": "lots", "name": "ecru", "of_column": "class", "heading": "Ply", "cell": "DK"}
            )
        with store.action("rename") as act:
            act.update("lots", "ecru", {"lot": "cream"})
        assert [row["name"] for row in store.rows("written")] == ["cream"]
        with store.action("gone") as act:
            act.delete("lots", "cream")
        assert store.rows("written") == []
        store.undo(2)
        assert [row["name"] for row in store.rows("written")] == ["ecru"]
        assert faults_of(store) == ()

"""A store from elsewhere is data: nothing that somebody put into it runs, and what is no table of ours is named."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from matcher.actions.keeping.lots import move
from matcher.actions.keeping.store import undo, verify
from matcher.actions.learning.calibration import ratio_of
from matcher.actions.learning.history import history_at
from matcher.errors import BadInput
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store

LOT = {"grams": "120", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125"}
COUNTING = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store:
        with store.action("all") as act:
            act.insert("lots", {**LOT, "lot": "navy"})
            act.insert("lots", {**LOT, "lot": "cream"})
        with store.action("move") as act:
            act.update("lots", "navy", {"place": "box"})
    return path


def planted(path: Path, *statements: str, values: tuple[object, ...] = ()) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        for statement in statements:
            db.execute(statement, values)


@pytest.mark.parametrize(
    ("statements", "named"),
    [
        (["CREATE TRIGGER t AFTER UPDATE ON lots BEGIN UPDATE lots SET mass_g = 1 WHERE lot = 'cream'; END"], "trigger t"),
        ([f"CREATE VIEW v AS {COUNTING} i FROM n"], "view v"),
        (["ALTER TABLE lots RENAME TO other", f"CREATE VIEW lots AS {COUNTING} i AS lot FROM n"], "view lots"),
        (["CREATE TABLE more (x)"], "table more"),
        (["ALTER TABLE lots ADD COLUMN owner TEXT NOT NULL DEFAULT ''"], "table lots"),
        (["DROP INDEX claims_of_lot"], "index claims_of_lot"),
        (["CREATE INDEX slow ON lots (hex(randomblob(length(lot) * 0)))"], None),
        (["CREATE INDEX slow ON lots (length(lot || lot))"], "index slow"),
        (["CREATE VIRTUAL TABLE words USING fts5(x)"], "table words"),
        (["ANALYZE"], "table sqlite_stat1"),
    ],
)  # fmt: skip
def test_what_is_no_table_of_ours_is_named_and_nothing_of_it_runs(path: Path, statements: list[str], named: str | None):
    try:
        planted(path, *statements)
    except sqlite3.Error:  # the database itself does not take it
        assert named is None
        return
    before = path.read_bytes()
    for act in (lambda: move("navy", "attic", bin=path), lambda: verify(bin=path), lambda: undo(bin=path)):
        with pytest.raises(BadInput, match="changed by something other than matcher") as told:
            act()
        assert str(named) in str(told.value)
        assert "nothing was read from it; put" in str(told.value)
    assert path.read_bytes() == before


def test_the_way_to_a_copy_is_told(path: Path):
    with open_store(path) as store:
        copy = store.back_up("intake")
    planted(path, "CREATE TABLE more (x)")
    with pytest.raises(BadInput) as told:
        verify(bin=path)
    assert f"put its last copy in its place: {copy}" in str(told.value)


def test_a_schema_that_is_no_text_is_named_and_not_decoded(path: Path):
    data = path.read_bytes()
    place = data.index(b"claims_of_lot ON claims")
    path.write_bytes(data[:place] + b"\xff\xfe" + data[place + 2 :])
    with pytest.raises(BadInput, match="damaged"):
        verify(bin=path)


def test_names_in_the_journal_do_not_reach_the_database(path: Path):
    before = {"lot": "navy", 'place" = (SELECT lot FROM lots), "note': "x"}
    planted(path, "UPDATE journal SET before = ? WHERE action = 2", values=(json.dumps(before),))
    with open_store(path) as store:
        held = store.rows("lots")
    with pytest.raises(BadInput, match="the journal of action 2: it isn't a row of lots"):
        undo(bin=path)
    assert str(verify(bin=path).faults[0].where) == "the journal of action 2"
    with open_store(path) as store:
        assert store.rows("lots") == held


@pytest.mark.parametrize(
    "image",
    ["", "no JSON", "[1]", "7", "{}", '{"place": "box"}', '{"lot": "navy", "place": ["box"]}', '{"lot": "navy", "place": NaN}',
     '{"lot": "navy", "mass_g": Infinity}', '{"lot": "navy", "mass_g": 1e999}', '{"lot": "navy", "mass_g": 99999999999999999999}',
     "[" * 100_000, '{"lot":' * 50_000, '{"lot": "navy", "mass_g": ' + "9" * 5000 + "}", '{"lot": "\\ud800"}'],
)  # fmt: skip
def test_a_damaged_journal_is_said_and_named(path: Path, image: str):
    planted(path, "UPDATE journal SET before = ? WHERE action = 2", values=(image,))
    found = verify(bin=path)
    assert any("action 2" in str(one.where) for one in found.faults), found.faults
    with open_store(path) as store:
        held = store.rows("lots")
    with pytest.raises(BadInput) as told:
        undo(bin=path)
    assert "damaged" in str(told.value)
    with open_store(path) as store:
        assert store.rows("lots") == held


def test_a_journal_of_no_table_of_ours_is_said_and_named(path: Path):
    planted(path, "UPDATE journal SET of_table = 'sqlite_schema' WHERE action = 2")
    assert not verify(bin=path).ok
    with pytest.raises(BadInput, match="it isn't about any table of a store"):
        undo(bin=path)


SWATCH = "INSERT INTO swatches (made_on, tex, structure, stitches, rows, grams) VALUES ('2026-01-02', 400, 'stocking', ?, ?, ?)"


@pytest.mark.parametrize(
    "values",
    [(1e308, 20, 5), (20, 1e308, 5), (1e-300, 20, 5), (20, 20, 1e-300), (20, 20, 1e308), (float("inf"), 20, 5), (20, 20, float("inf"))],
)  # fmt: skip
def test_figures_that_no_yarn_has_are_refused_and_named(path: Path, values: tuple[float, ...]):
    planted(path, SWATCH, values=values)
    with pytest.raises(BadInput, match="the store is damaged"):
        history_at(path, load_catalogue())
    (fault,) = verify(bin=path).faults
    assert str(fault.where) == "swatches, row 1"


@pytest.mark.parametrize("values", [(1e11, 1e11, 1e11), (1e-29, 1e-29, 1e-29), (4000, 4000, 5), (20, 20, None)])
def test_figures_that_are_odd_are_counted_with(path: Path, values: tuple[float, ...]):
    planted(path, SWATCH, values=values)
    found = history_at(path, load_catalogue()).calibration.knitter
    assert abs(ratio_of(found) - 1) < 0.1
    assert 0 < found.sd < 1
    assert verify(bin=path).ok


def test_text_that_is_none_is_said_and_named(path: Path):
    planted(path, "UPDATE lots SET note = CAST(x'ff41' AS TEXT) WHERE lot = 'navy'")
    with pytest.raises(BadInput, match="damaged: a cell holds something that isn't text"), open_store(path) as store:
        store.lots()
    (fault,) = verify(bin=path).faults
    assert str(fault.where) == "lots, row 1"
    assert "note holds something that isn't text" in str(fault.what)


@pytest.mark.parametrize("number", [9223372036854775808, 10**40])
def test_more_actions_than_can_be_counted(path: Path, number: int):
    with pytest.raises(BadInput, match="only 2 actions can be undone"):
        undo(number, bin=path)

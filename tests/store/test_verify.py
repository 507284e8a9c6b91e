"""`verify` sees what an action could never do: each fault is planted in the file by another hand."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from matcher.actions.keeping.store import verify
from matcher.store.database.store import open_store

LOT = {"grams": "120", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125"}
WORK = {"accessory": "hat-plain", "name": "hat", "begun_on": "2026-01-02"}
CLAIM = {"role": "main", "lot": "navy", "metres": 100.0, "tex": 400.0, "from_g": 120.0}
USED = {
    "role": "main", "lot": "navy", "predicted_m": 50.0, "predicted_sd_m": 8.0, "used_m": 55.0, "used_g": 22.0,
    "tex": 400.0, "accessory": "hat-plain", "ended_on": "2026-02-03",
}  # fmt: skip


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("all") as act:
        act.insert("garments", {"garment": "pullover", "status": "worn"})
        act.insert("lots", {**LOT, "lot": "navy", "garment": "Pullover"})
        act.insert("lots", {**LOT, "lot": "cream"})
        done = act.insert("works", {**WORK, "state": "finished", "ended_on": "2026-02-03"})
        act.insert("used", {**USED, "work": done})
        act.insert("claims", {**CLAIM, "work": act.insert("works", {**WORK, "state": "begun"})})
        act.insert(
            "written", {"sheet": "lots", "name": "cream", "of_column": "grams", "heading": "Left", "cell": "120"}
        )
    with open_store(path) as store, store.action("change cream") as act:
        act.update("lots", "cream", {"note": "soft"})
    return path


def test_a_store_in_order(path: Path):
    found = verify(bin=path)
    assert found.ok
    assert found.as_dict() == {"ok": True, "faults": [], "lots": 2}


@pytest.mark.parametrize(
    ("planted", "where", "words"),
    [
        ("UPDATE lots SET mass_g = 99 WHERE lot = 'cream'", "lot cream", "its cell says 120, but 99 g is what counts"),
        ("UPDATE lots SET grams = 'much' WHERE lot = 'cream'", "lot cream", '"much"'),
        ("UPDATE lots SET folded = 'milk' WHERE lot = 'cream'", "lot cream", "found by"),
        ("UPDATE garments SET folded = 'vest'", "lots", "names a row of garments that isn't there"),
        ("UPDATE claims SET metres = 301", "lot navy", "0.4 g more of it is set aside than it weighs (120 g)"),
        ("DELETE FROM works WHERE state = 'begun'", "claims", "names a row of works that isn't there"),
        ("DELETE FROM lots WHERE lot = 'navy'", "claims", "names a row of lots that isn't there"),
        ("UPDATE works SET state = 'abandoned', ended_on = '2026-02-03'", "work hat", "yarn is still set aside for it"),
        ("UPDATE works SET state = 'abandoned' WHERE state = 'finished'", "work hat", "used, but it is abandoned"),
        ("UPDATE used SET used_g = 30", "work hat", "the length and the weight used don't agree"),
        ("DELETE FROM journal", "action 1", "no rows in the journal"),
        ("UPDATE lots SET place = 'attic' WHERE lot = 'cream'", "lot cream", "something other than matcher"),
        ("UPDATE written SET name = 'navi'", "lots", "what you wrote about navi is kept, but navi isn't there"),
        (
            """UPDATE journal SET before = replace(before, '"lot":"cream"', '"lot":"creak"') WHERE action = 2""",
            "the journal of action 2",
            "something other than matcher",
        ),
        ("UPDATE lots SET colour = 'colourless' WHERE lot = 'cream'", "lot cream", "something other than matcher"),
    ],
)
def test_a_planted_fault_is_found(path: Path, planted: str, where: str, words: str):
    with closing(sqlite3.connect(path)) as db, db:
        assert db.execute(planted).rowcount > 0
    found = verify(bin=path)
    assert not found.ok
    assert [one for one in found.faults if str(one.where) == where and words in str(one.what)], found.faults


def test_a_cell_that_no_sheet_could_bring_in_is_told_by_the_lot(path: Path):
    with open_store(path) as store, store.action("odd") as act:
        act.update("lots", "cream", {"fibre": "80% wool 30% nylon"})
    (fault,) = verify(bin=path).faults
    assert str(fault.where) == "lot cream"
    assert "the shares come to 110%" in str(fault.what)

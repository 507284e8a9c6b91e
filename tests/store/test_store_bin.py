"""A bin out of the store is the bin of the same sheets, less what is claimed."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from matcher.actions.beginning.begin import begin
from matcher.actions.desk import Desk, read_bin
from matcher.actions.keeping.cells import add
from matcher.actions.place import own_bin, reads_demo
from matcher.actions.progress.weigh import weigh
from matcher.actions.progress.works import abandon
from matcher.errors import BadInput, BadSheets
from matcher.knitting.mending.reserve import reserves, surplus
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.catalogue.folders import demo_folder
from matcher.store.database.bin import read_store
from matcher.store.database.store import open_store


@pytest.fixture
def demo_store(tmp_path: Path) -> Path:
    """The demo, its cells put into a store one by one."""
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("demo") as act:
        for table in ("garments", "lots"):
            with (demo_folder() / f"{table}.csv").open(encoding="utf-8", newline="") as file:
                for row in csv.DictReader(file):
                    act.insert(table, row)
    return path


def claim(path: Path, lot: str, metres: float) -> None:
    with open_store(path) as store, store.action("begin") as act:
        number = len(store.rows("works"))
        values = {"accessory": "hat-plain", "name": f"hat {number}", "state": "begun", "begun_on": "2026-01-02"}
        work = act.insert("works", values)
        row = store.row("lots", lot)
        tex = 1000 * float(row["ball_grams"]) / float(row["ball_metres"])
        claimed = {"work": work, "role": "main", "lot": lot, "metres": metres, "tex": tex, "from_g": row["mass_g"]}
        act.insert("claims", claimed)


def test_the_demo_in_a_store_is_the_demo(demo_store: Path):
    from_files, from_store = read_bin(demo_folder()), read_bin(demo_store)
    untagged = (replace(lot, code="") for lot in from_store.lots)
    assert sorted(from_files.lots, key=lambda lot: lot.name) == sorted(untagged, key=lambda lot: lot.name)
    assert all(lot.code for lot in from_store.lots)
    assert from_files.garments == from_store.garments
    assert from_store.source == str(demo_store)


def test_claimed_yarn_is_not_offered_twice(demo_store: Path):
    catalogue = load_catalogue()
    before = read_bin(demo_store)
    free = surplus(before, reserves(before, catalogue.repairs, catalogue.fabric, catalogue.sizes))
    claim(demo_store, "navy", 90.0)
    claim(demo_store, "navy", 60.0)
    after = read_bin(demo_store)
    lot = next(one for one in after.lots if one.name == "navy")
    assert lot.claimed_m == 150.0
    assert lot.unclaimed_m == pytest.approx(lot.length.mean - 150.0)
    left = surplus(after, reserves(after, catalogue.repairs, catalogue.fabric, catalogue.sizes))
    assert left["navy"].mean == pytest.approx(free["navy"].mean - 150.0)
    assert {name: one.mean for name, one in left.items() if name != "navy"} == {
        name: one.mean for name, one in free.items() if name != "navy"
    }
    pool = next(one for one in Desk(after, catalogue).shelf.pools if any(lot.name == "navy" for lot in one.lots))
    assert pool.free.mean == pytest.approx(left["navy"].mean)
    assert pool.reserve_m == pytest.approx(0.0)  # its garment is gone; a claim is no reserve


def test_a_reserve_is_laid_on_what_is_not_claimed(demo_store: Path):
    """Mid grey is kept for a pullover that is worn; what is on the needles cannot mend it, so the full ball must."""
    catalogue = load_catalogue()

    def held(path: Path) -> dict[str, float]:
        read = read_bin(path)
        groups = reserves(read, catalogue.repairs, catalogue.fabric, catalogue.sizes)
        return next(group.held for group in groups if "mid grey" in group.held)

    before = held(demo_store)
    assert before["mid grey, full ball"] == 0.0
    claim(demo_store, "mid grey", 120.0)
    after = held(demo_store)
    assert sum(after.values()) == pytest.approx(sum(before.values()))
    assert after["mid grey, full ball"] > 50.0
    lots = {lot.name: lot for lot in read_bin(demo_store).lots}
    assert all(metres <= lots[name].unclaimed_m + 1e-9 for name, metres in after.items())


def test_a_lot_that_is_claimed_whole_has_nothing_free(demo_store: Path):
    lot = next(one for one in read_bin(demo_store).lots if one.name == "navy")
    assert replace(lot, claimed_m=lot.length.mean + 5.0).unclaimed_m == 0.0


def test_without_a_bin_the_store_is_read_where_there_is_one(demo_store: Path, monkeypatch):
    assert own_bin() is None
    assert reads_demo(None)
    assert not reads_demo(demo_store)
    assert read_bin().source == str(demo_folder())
    monkeypatch.setenv("MATCHER_BIN", str(demo_store))
    assert own_bin() == demo_store
    assert not reads_demo(None)
    assert read_bin().source == str(demo_store)


def test_an_empty_store_is_an_empty_bin(tmp_path: Path):
    open_store(tmp_path / "bin.sqlite", create=True).close()
    read = read_bin(tmp_path / "bin.sqlite")
    assert (read.lots, read.garments) == ((), {})


def test_a_file_that_only_has_the_ending_says_so(tmp_path: Path):
    (tmp_path / "bin.sqlite").write_text("lot,grams\n", encoding="utf-8")
    with pytest.raises(BadInput, match="the file isn't a store"):
        read_bin(tmp_path / "bin.sqlite")


def test_cells_that_no_sheet_could_bring_in_are_told_by_lot(demo_store: Path):
    with open_store(demo_store) as store, store.action("odd") as act:
        act.update("lots", "plum", {"class": "huge"})
        act.update("garments", "moss cardigan", {"chest_cm": "wide"})
    with pytest.raises(BadSheets) as told:
        read_bin(demo_store)
    assert [fault.where for fault in told.value.faults] == ["garment moss cardigan", "lot plum"]
    assert ":0" not in str(told.value)


def test_a_cell_that_differs_makes_another_yarn(tmp_path: Path):
    # Lots of one yarn share what is worked out of its cells; each of these cells has its say.
    base = {"yarn": "w", "ball_grams": "50", "ball_metres": "125", "tex": "400", "class": "3", "fibre": "wool"}
    base |= {"wash": "hand", "colour": "navy", "grams": "41"}
    other = {"yarn": "v", "ball_grams": "60", "ball_metres": "90", "tex": "700", "class": "6", "fibre": "cotton"}
    other |= {"wash": "machine"}
    rows = [{**base, "lot": "base"}, *({**base, column: cell, "lot": column} for column, cell in other.items())]

    def read(folder: Path, some: list[dict[str, str]]):
        folder.mkdir()
        with (folder / "lots.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            writer.writerows(some)
        return read_bin(folder)

    together = read(tmp_path / "all", rows)
    alone = [read(tmp_path / row["lot"], [row]) for row in rows]
    assert [lot.yarn for lot in together.lots] == [one.lots[0].yarn for one in alone]
    remarks = [str(note).partition(": ")[2] for one in alone for note in one.notes]
    assert [str(note).partition(": ")[2] for note in together.notes] == remarks
    assert len(remarks) >= 2


def test_the_same_cells_are_not_read_twice_and_others_are(tmp_path: Path):
    path, catalogue = tmp_path / "bin.sqlite", load_catalogue()
    add("navy", {"grams": "120", "colour": "navy", "class": "3"}, bin=path)
    first = read_store(path, catalogue)
    assert read_store(path, catalogue).lots is first.lots
    weigh("navy", "100 g", bin=path)
    assert [lot.mass_g for lot in read_store(path, catalogue).lots] == [100]
    assert [lot.mass_g for lot in first.lots] == [120]
    begin("hat-plain", ["navy"], size="adult small", anyway=True, bin=path)
    assert read_store(path, catalogue).lots[0].claimed_m > 0
    abandon("hat-plain", bin=path)
    assert read_store(path, catalogue).lots[0].claimed_m == 0

"""Schema versions: every old store is kept and brought up to date; copies are made before; all or nothing."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from matcher.errors import BadInput
from matcher.store.database.backups import KEPT
from matcher.store.database.copies import copies_folder, copies_of
from matcher.store.database.schema import Migration, migrations, statements_of
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

OLD = Path(__file__).parent / "old_stores"
LATEST = len(migrations())
NEXT = Migration(LATEST + 1, "needles", ("ALTER TABLE lots ADD COLUMN needle TEXT NOT NULL DEFAULT ''",))
BROKEN = Migration(LATEST + 1, "broken", ("ALTER TABLE lots ADD COLUMN needle TEXT", "INSERT INTO nowhere VALUES (1)"))


def test_the_steps_are_numbered_from_one_without_a_gap():
    assert [step.version for step in migrations()] == list(range(1, len(migrations()) + 1))


def test_there_is_an_old_store_of_every_version():
    assert sorted(int(path.stem) for path in OLD.glob("*.sqlite")) == [step.version for step in migrations()]


@pytest.mark.parametrize("version", [step.version for step in migrations()])
def test_an_old_store_is_brought_up_to_date_and_keeps_all_it_held(version: int, tmp_path: Path):
    """Written by the program of that version: a garment, four lots, one piece finished, one on the needles, a swatch."""
    path = tmp_path / "bin.sqlite"
    shutil.copy(OLD / f"{version}.sqlite", path)
    with open_store(path) as store:
        assert faults_of(store) == ()
        assert [(row["lot"], row["grams"]) for row in store.lots()] == [
            ("cream", "70 g"),
            ("fog", "20"),
            ("navy", "59"),
            ("rust", "1.5 oz"),
        ]
        assert [(row["garment"], row["status"]) for row in store.garments()] == [("pullover", "given")]
        assert [(row["name"], row["state"]) for row in store.rows("works")] == [
            ("hat with a stranded band", "finished"),
            ("egg cosy", "begun"),
        ]
        assert [row["role"] for row in store.rows("used")] == ["main", "contrast 1"]
        assert [row["lot"] for row in store.rows("claims")] == ["fog"]
        assert len(store.rows("swatches")) == len(store.rows("decisions")) == 1
        assert store.garments()[0]["mending"] == ("" if version < 2 else "little")
        assert [row["stitches_10cm"] > 0 and row["rows_10cm"] > 0 for row in store.rows("works")] == 2 * [version > 2]
        assert [row["recipe"] != "" for row in store.rows("works")] == 2 * [version > 5]
        assert [row["stage"] for row in store.rows("works")] == [0, 9 if version > 6 else 0]
        assert [row["of_set"] for row in store.rows("works")] == [0, 2 if version > 7 else 0]
        assert [row["heading"] for row in store.rows("written")] == (
            ["Ounces left", "What is it"] if version > 3 else []
        )
        assert [row["of_column"] for row in store.rows("readings")] == (["yarn"] if version > 3 else [])
        assert [row["avoid_on_skin"] for row in store.people()] == (["wool"] if version > 4 else [])
        assert [row["wanted"] for row in store.rows("wishes")] == (["imperial"] if version > 4 else [])
        assert [row["opinion"] for row in store.rows("opinions")] == (["liked"] if version > 8 else [])
        done = len(store.rows("actions"))
        store.undo(done)
        assert store.lots() == store.garments() == store.people() == store.rows("wishes") == []
        assert store.rows("opinions") == []
        assert faults_of(store) == ()


def with_a_lot(path: Path) -> None:
    with open_store(path, create=True) as store, store.action("add") as act:
        act.insert("lots", {"lot": "navy", "grams": "120", "colour": "navy", "class": "3"})


def test_a_migration_is_recorded_copied_before_and_undo_reaches_beyond_it(tmp_path: Path):
    path, steps = tmp_path / "bin.sqlite", (*migrations(), NEXT)
    with_a_lot(path)
    with open_store(path) as store, store.action("weigh") as act:
        act.update("lots", "navy", {"grams": "100"})
    with open_store(path, steps=steps) as store:
        assert [row["name"] for row in store.rows("migrations")] == [step.name for step in steps]
        assert store.row("lots", "navy")["needle"] == ""
        assert faults_of(store) == ()
        with store.action("needle") as act:
            act.update("lots", "navy", {"needle": "4 mm"})
        assert [words for _, _, words in store.undo(2)] == ["needle", "weigh"]
        assert store.lots()[0]["grams"] == "120"
        store.undo()
        assert store.lots() == []
    (copy,) = copies_of(path)
    assert copy.name.endswith(f"before schema {LATEST + 1}.sqlite")
    with open_store(copy) as before:
        assert before.lots()[0]["grams"] == "100"
    with pytest.raises(BadInput, match="later version"):
        open_store(path)


def test_a_migration_that_fails_leaves_the_file_as_it_was(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    with_a_lot(path)
    with pytest.raises(BadInput, match="nowhere"):
        open_store(path, steps=(*migrations(), BROKEN))
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone()[0] == len(migrations())
        assert "needle" not in [row[1] for row in db.execute("PRAGMA table_info(lots)")]
    with open_store(path) as store:
        assert faults_of(store) == ()
        assert len(store.lots()) == 1


def test_a_new_store_goes_through_every_step_and_needs_no_copy(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True, steps=(*migrations(), NEXT)) as store:
        assert len(store.rows("migrations")) == len(migrations()) + 1
    assert not copies_folder(path).exists()


def test_the_last_ten_copies_are_kept(tmp_path: Path):
    from matcher.store.database.backups import back_up

    path = tmp_path / "bin.sqlite"
    with_a_lot(path)
    other = copies_folder(path) / "my own.sqlite"
    other.parent.mkdir()
    other.write_text("hers", encoding="utf-8")
    start, made = datetime(2026, 3, 1, 12), []
    with closing(sqlite3.connect(path)) as db:
        for number in range(KEPT + 3):
            # Two in one second are two files.
            made.append(back_up(db, path, "intake", start + timedelta(seconds=number // 2)))
    assert copies_of(path) == made[-KEPT:]
    assert len(set(made)) == KEPT + 3
    assert other.read_text(encoding="utf-8") == "hers"
    assert sorted(one.name for one in other.parent.iterdir()) == sorted(
        [one.name for one in made[-KEPT:]] + [other.name]
    )
    with open_store(made[-1]) as copy:
        assert copy.lots()[0]["lot"] == "navy"


def test_statements_are_taken_one_by_one():
    text = "-- a remark; with a semicolon\nCREATE TABLE a (b TEXT DEFAULT ';');\n\nINSERT INTO a VALUES (1);\n-- end\n"
    first, second = statements_of(text)
    assert first.endswith("(b TEXT DEFAULT ';');")
    assert second == "INSERT INTO a VALUES (1);"
    with pytest.raises(ValueError, match="without an end"):
        statements_of("CREATE TABLE a (b)")

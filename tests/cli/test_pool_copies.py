"""Files of a pool that hold the same count once, so that no wool is promised twice; and it is said which they are."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from made_pools import lots_of, write_bin

from matcher.actions.collection.pool import pool
from matcher.store.collection.lying import lying_in

HATS = ("--kind", "hat", "--size", "adult medium")  # what counts hangs on nothing that is made of it


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """One list three times, twice at a place; another beside them that is a letter longer."""
    made = tmp_path / "pool"
    (made / "south").mkdir(parents=True)
    for name in ("a.csv", "south/b.csv", "south/c.csv"):
        (made / name).write_text(lots_of(1, 6), encoding="utf-8")
    (made / "d.csv").write_text(lots_of(1, 6).replace("lot 1", "lot 1x", 1), encoding="utf-8")
    return made


def test_what_lies_there_three_times_is_one_member_and_is_named(folder: Path, run, run_json):
    found = run_json("pool", folder, "--who", *HATS)
    assert [one["file"] for one in found["who"]] == ["a.csv", "d.csv"]
    assert found["files"] == 2
    shown = run("pool", folder, *HATS)
    said = "Counted once, since what is in them is the same to the letter: a.csv, south/b.csv and south/c.csv."
    assert said in " ".join(shown.stderr.split())
    assert "c.csv" not in shown.stdout
    assert "c.csv" not in str(found["notes"])  # what is handed on names no file


def test_read_in_parts_it_counts_once_too(folder: Path):
    whole, parted = (pool(folder, kind="hat", lots_at_once=how, each_member=True) for how in (None, 1))
    assert whole.members == parted.members == ("member 1", "member 2")
    assert whole.copies == parted.copies == (("a.csv", "south/b.csv", "south/c.csv"),)


def test_the_one_that_counts_has_the_code_of_any(folder: Path, run_json):
    (folder / "codes.csv").write_text("file,code\nsouth/c.csv,A7\n", encoding="utf-8")
    assert run_json("pool", folder, *HATS)["members"] == ["A7", "member 2"]


def test_stores_and_folders_of_sheets_are_copies_too_whatever_they_are_called(tmp_path: Path, run):
    made = tmp_path / "pool"
    own = write_bin(made / "a", 3)
    assert run("intake", own, "--bin", made / "b.sqlite", "--yes").exit_code == 0
    shutil.copy(made / "b.sqlite", made / "copy of b.db")
    shutil.copytree(own, made / "e")
    (made / "e" / "photo.jpg").write_bytes(b"x")
    shutil.copytree(own, made / "f")
    (made / "f" / "garments.csv").write_text("garment,kind,status\n", encoding="utf-8")
    lying = {one.called: one.copies for one in lying_in(made)}
    assert lying == {"a": ("e",), "b.sqlite": ("copy of b.db",), "f": ()}


def test_what_is_empty_or_no_plain_file_is_no_copy(tmp_path: Path):
    for name in ("a.csv", "b.csv"):
        (tmp_path / name).write_bytes(b"")
    os.mkfifo(tmp_path / "c.csv")
    assert [one.called for one in lying_in(tmp_path)] == ["a.csv", "b.csv", "c.csv"]

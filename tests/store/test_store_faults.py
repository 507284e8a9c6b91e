"""A store that cannot be used says why, each fault in its own sentence, and stays as it was."""

from __future__ import annotations

import os
import resource
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from matcher.cli.words import COMMAND_LINE
from matcher.errors import BadInput, MatcherError
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

NAVY = {"lot": "navy", "grams": "120", "colour": "#1f2a4a", "class": "3"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("add") as act:
        act.insert("lots", NAVY)
    return path


def test_a_read_only_file_can_be_read_and_not_written(path: Path):
    path.chmod(0o444)
    data = path.read_bytes()
    with open_store(path) as store:
        assert store.lots()[0]["lot"] == "navy"
        with (
            pytest.raises(BadInput, match=r"the store is read-only .*bin\.sqlite.*work on a copy") as told,
            store.action("weigh") as act,
        ):
            act.update("lots", "navy", {"grams": "1"})
        assert "work on a copy (--bin)" in told.value.shown(COMMAND_LINE)
        with pytest.raises(BadInput, match="read-only"):
            store.undo()
    assert path.read_bytes() == data


def test_a_file_of_another_program_is_left_alone(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    with closing(sqlite3.connect(path)) as db, db:
        db.execute("CREATE TABLE songs (title TEXT)")
    data = path.read_bytes()
    for create in (False, True):
        with pytest.raises(BadInput, match="belongs to another program"):
            open_store(path, create=create)
    assert path.read_bytes() == data


@pytest.mark.parametrize(
    ("content", "words"), [(b"", "the file is empty"), (b"lot,grams\nnavy,41\n" * 20, "the file isn't a store")]
)
def test_a_file_that_is_no_store(tmp_path: Path, content: bytes, words: str):
    path = tmp_path / "bin.sqlite"
    path.write_bytes(content)
    with pytest.raises(BadInput, match=words):
        open_store(path, create=True)
    assert path.read_bytes() == content


def test_a_folder_is_a_bin_on_paper(tmp_path: Path):
    with pytest.raises(BadInput, match=r"bin on paper") as told:
        open_store(tmp_path)
    assert f"take it in with matcher intake {tmp_path}" in told.value.shown(COMMAND_LINE)


def test_a_newer_schema_is_left_alone(path: Path):
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 99")
    with pytest.raises(BadInput, match=r"later version of matcher \(its schema is 99.*up to date"):
        open_store(path)
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone()[0] == 99


def test_a_corrupt_page_says_so_and_names_the_last_copy(path: Path):
    with open_store(path) as store:
        with store.action("many") as act:
            for number in range(500):
                act.insert("lots", {**NAVY, "lot": f"lot {number}", "note": "wound in spring " * 4})
        copy = store.back_up("trial")
    data = bytearray(path.read_bytes())
    for start in range(4096, len(data), 4096):
        if b"wound in spring" in data[start : start + 4096]:
            data[start : start + 64] = b"\xa5" * 64
    path.write_bytes(data)
    with pytest.raises(BadInput, match="the store is damaged") as told, open_store(path) as store:
        store.lots()
    assert str(copy) in str(told.value)
    with open_store(copy) as whole:
        assert len(whole.lots()) == 501
        assert faults_of(whole) == ()
    with open_store(path) as store:
        assert faults_of(store)


def test_a_file_cut_short_says_so(path: Path):
    with open_store(path) as store, store.action("many") as act:
        for number in range(300):
            act.insert("lots", {**NAVY, "lot": f"lot {number}", "note": "wound in spring " * 4})
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size // 2 // 4096 * 4096)
    with pytest.raises(BadInput, match="the store is damaged"), open_store(path) as store:
        store.lots()


def test_a_store_in_use_is_waited_for_and_then_said(path: Path):
    with open_store(path) as first, first.action("long") as act:
        act.update("lots", "navy", {"grams": "100"})
        with (
            open_store(path, busy_s=0.05) as second,
            pytest.raises(BadInput, match="in use by another program"),
            second.action("weigh") as other,
        ):
            other.update("lots", "navy", {"grams": "1"})
    with open_store(path) as store:
        assert store.lots()[0]["grams"] == "100"


def test_a_full_disk_says_so_and_keeps_the_store(path: Path):
    """A limit on the size of files stands for the disk: writing beyond it fails as on a full one."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            limit = path.stat().st_size + 40_000
            resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
            with open_store(path) as store:
                try:
                    with store.action("intake") as act:
                        for number in range(5000):
                            act.insert("lots", {**NAVY, "lot": f"lot {number}", "note": "x" * 200})
                    os.write(write, b"it went in")
                except MatcherError as error:
                    os.write(write, str(error).encode())
        finally:
            os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    with os.fdopen(read) as said:
        words = said.read()
    assert "the disk is full or can't be written to" in words
    assert "nothing was changed" in words
    with open_store(path) as store:
        assert [row["lot"] for row in store.lots()] == ["navy"]
        assert faults_of(store) == ()
        with store.action("weigh") as act:
            act.update("lots", "navy", {"grams": "1"})


def test_a_copy_that_cannot_be_made_stops_what_it_was_for(path: Path, tmp_path: Path):
    (tmp_path / "bin copies").write_text("in the way", encoding="utf-8")
    with open_store(path) as store, pytest.raises(BadInput, match="no copy could be made"):
        store.back_up("intake")


def test_a_place_where_nothing_can_be_written(tmp_path: Path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(BadInput, match=r"a store can't be begun there") as told:
        open_store(tmp_path / "file" / "bin.sqlite", create=True)
    assert "(--bin)" in told.value.shown(COMMAND_LINE)


def test_what_is_no_letter_is_refused(path: Path):
    with open_store(path) as store, pytest.raises(BadInput, match="isn't text"), store.action("note") as act:
        act.update("lots", "navy", {"note": "\udc80"})


def test_a_store_with_its_folder_carried_away_is_whole(path: Path, tmp_path: Path):
    """Nothing lies beside a closed store but its copies: it can be copied as one file."""
    assert [one.name for one in tmp_path.iterdir()] == ["bin.sqlite"]
    shutil.copy(path, tmp_path / "elsewhere.sqlite")
    with open_store(tmp_path / "elsewhere.sqlite") as store:
        assert len(store.lots()) == 1

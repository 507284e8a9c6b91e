"""Dated copies and new files: kept by order of making, for their owner's eyes."""

from __future__ import annotations

import os
import resource
import stat
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from matcher.errors import BadInput
from matcher.store.database.backups import KEPT
from matcher.store.database.copies import copies_folder, copies_of
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.files import write_out

NAVY = {"lot": "navy", "grams": "120", "colour": "#1f2a4a", "class": "3"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("add") as act:
        act.insert("lots", NAVY)
    return path


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def copied(path: Path, now: datetime) -> Path:
    from matcher.store.database.backups import back_up

    with open_store(path) as store:
        return back_up(store._db, path, "intake", now)


def test_a_clock_that_was_ahead_costs_no_copy(path: Path):
    ahead, now = datetime(2099, 1, 1), datetime(2026, 3, 1)
    made = [copied(path, ahead + timedelta(days=day)) for day in range(KEPT)]
    made += [copied(path, now + timedelta(days=day)) for day in range(3)]
    assert made[-1].exists()
    assert copies_of(path) == made[-KEPT:]
    path.write_bytes(path.read_bytes()[:4096])
    with pytest.raises(BadInput) as told:
        open_store(path)
    assert str(made[-1]) in str(told.value)


def test_copies_of_an_earlier_version_come_first(path: Path):
    folder = copies_folder(path)
    folder.mkdir()
    old = [folder / f"20{year}-01-01 10.00.00{more} before intake.sqlite" for year in (26, 99) for more in ("", "-02")]
    for one in old:
        one.write_bytes(path.read_bytes())
    new = copied(path, datetime(2026, 3, 1))
    assert copies_of(path) == [*sorted(old), new]


@pytest.mark.parametrize("mask", [0o022, 0o000, 0o077])
def test_a_store_and_its_copies_are_their_owners(tmp_path: Path, mask: int):
    before = os.umask(mask)
    try:
        path = tmp_path / "new" / "bin.sqlite"
        with open_store(path, create=True) as store, store.action("add") as act:
            act.insert("lots", NAVY)
        copy = copied(path, datetime(2026, 3, 1))
        assert [mode(one) for one in (path.parent, path, copy.parent, copy)] == [0o700, 0o600, 0o700, 0o600]
    finally:
        os.umask(before)


def test_copies_of_a_store_that_is_shared_are_shared(path: Path):
    path.chmod(0o640)
    copy = copied(path, datetime(2026, 3, 1))
    assert (mode(copy), mode(copy.parent)) == (0o640, 0o750)


def test_a_file_that_is_replaced_keeps_its_rights(tmp_path: Path):
    for wanted in (0o600, 0o640, 0o444):
        place = tmp_path / f"{wanted:o}.csv"
        place.write_text("before", encoding="utf-8")
        place.chmod(wanted)
        write_out({place: b"after"}, replace=True)
        assert (mode(place), place.read_bytes()) == (wanted, b"after")


def test_what_a_killed_run_left_is_taken_away_and_what_is_under_way_is_not(path: Path):
    folder = copies_folder(path)
    folder.mkdir()
    stale, fresh, hers = (folder / name for name in (".under-way-7", ".under-way-8", ".hers"))
    for one in (stale, fresh, hers):
        one.write_text("", encoding="utf-8")
        os.utime(one, (0, 0))
    os.utime(fresh)
    copied(path, datetime(2026, 3, 1))
    assert [one.exists() for one in (stale, fresh, hers)] == [False, True, True]


def test_a_full_disk_does_not_stop_reading(path: Path):
    """Files that may not grow at all stand for the disk: even what readers share finds no room."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
            with open_store(path) as store:
                os.write(write, f"{store.lots()[0]['lot']} {faults_of(store)} ".encode())
                try:
                    with store.action("weigh") as act:
                        act.update("lots", "navy", {"grams": "1"})
                except BadInput as error:
                    os.write(write, str(error).encode())
                os.write(write, f" {store.lots()[0]['grams']}".encode())
        finally:
            os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    with os.fdopen(read) as said:
        words = said.read()
    assert words.startswith("navy () ")
    assert "the disk is full or can't be written to" in words
    assert words.endswith(" 120")

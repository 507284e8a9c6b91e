"""Killed between any two steps of putting a file in its place: the store is there whole, or is not there, and goes on.

Each step that changes what a folder holds is a moment: the process ends just before it, without a word.
"""

from __future__ import annotations

import fcntl
import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from matcher.actions.keeping.cells import add
from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.look import answer, look
from matcher.errors import NotFound
from matcher.store.database.copies import copies_folder, copies_of
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.files import write_out
from matcher.store.last_lists import keep_list, kept_list
from matcher.store.promised import keep_promises
from matcher.store.sheets.read import read_sheets

NAVY = {"grams": "120", "colour": "#1f2a4a", "class": "3"}
STEPS = ("link", "replace", "unlink", "mkdir", "chmod", "rename")


def killed_at(step: int, act: Callable[[], object]) -> bool:
    """Do something in a process of its own, killed just before its step of that number; whether it came so far."""
    child = os.fork()
    if child == 0:
        taken = 0

        def counting(real: Callable[..., Any]) -> Callable[..., Any]:
            def stepped(*given: Any, **named: Any) -> Any:
                nonlocal taken
                taken += 1
                if taken == step:
                    os._exit(9)
                return real(*given, **named)

            return stepped

        status = 1
        try:
            for name in STEPS:
                setattr(os, name, counting(getattr(os, name)))
            act()
            status = 0
        finally:
            os._exit(status)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert status in (0, 9)
    return status == 9


def every_kill(act: Callable[[], object], after: Callable[[], None], afresh: Callable[[], None]) -> int:
    """Kill it at its first step, its second, and so on until it comes through; look at what is there each time."""
    step = 1
    while True:
        afresh()
        struck = killed_at(step, act)
        after()
        if not struck:
            return step - 1
        step += 1


def old(folder: Path) -> None:
    """What lies under way counts as left long ago."""
    for one in folder.rglob(".*"):
        os.utime(one, (0, 0))


def test_a_store_that_is_begun(tmp_path: Path):
    folder = tmp_path / "new"
    path = folder / "bin.sqlite"

    def afresh() -> None:
        for one in folder.glob("*") if folder.exists() else ():
            if not one.name.startswith("."):
                one.unlink()

    def after() -> None:
        try:
            with open_store(path) as store:
                assert faults_of(store) == ()
        except NotFound:
            pass
        if folder.exists():
            old(folder)
        add(f"lot {len(list(tmp_path.rglob('*')))}", NAVY, bin=path)

    assert every_kill(lambda: add("navy", NAVY, bin=path), after, afresh) >= 3
    afresh()
    add("navy", NAVY, bin=path)
    assert [one.name for one in folder.iterdir()] == ["bin.sqlite"]


def test_a_copy_that_is_made_before_an_intake(tmp_path: Path):
    path, sheets = tmp_path / "bin.sqlite", tmp_path / "sheets"
    sheets.mkdir()
    add("navy", NAVY, bin=path)
    before = path.read_bytes()

    def afresh() -> None:
        path.write_bytes(before)
        (sheets / "lots.csv").write_text(
            "lot,grams,colour,class\nnavy,100,#1f2a4a,3\nfog,20,#c3c6c8,3\n", encoding="utf-8"
        )

    def after() -> None:
        with open_store(path) as store:
            assert faults_of(store) == ()
            assert [row["lot"] for row in store.lots()] in (["navy"], ["fog", "navy"])
        for copy in copies_of(path):
            with open_store(copy) as store:
                assert faults_of(store) == ()
                assert [row["lot"] for row in store.lots()] == ["navy"]
        old(tmp_path)

    assert every_kill(lambda: intake(sheets, bin=path, take="file"), after, afresh) >= 3
    afresh()
    intake(sheets, bin=path, take="file")
    assert [one.name for one in copies_folder(path).iterdir() if one.name.startswith(".")] == []


@pytest.mark.parametrize("there", [True, False])
def test_a_file_that_is_written(tmp_path: Path, there: bool):
    place = tmp_path / "page.html"

    def afresh() -> None:
        place.unlink(missing_ok=True)
        if there:
            place.write_text("before", encoding="utf-8")

    def after() -> None:
        if place.exists():
            assert place.read_text(encoding="utf-8") in ({"before", "after"} if there else {"after"})
        else:
            assert not there

    assert every_kill(lambda: write_out({place: b"after"}, replace=True), after, afresh) >= 2
    assert place.read_text(encoding="utf-8") == "after"


@pytest.mark.parametrize("there", [True, False])
def test_several_files_of_one_folder_are_all_new_or_all_old(tmp_path: Path, there: bool):
    """A kill between two renames leaves a list; whoever reads sheets or writes there next moves the rest."""
    places = [tmp_path / f"{name}.csv" for name in ("lots", "garments", "people")]
    was, new = "lot,garment\nold,\n", "lot,garment\nnew,\n"
    seen: list[set[str]] = []
    cut: list[set[str]] = []

    def afresh() -> None:
        for one in tmp_path.iterdir():
            one.unlink()
        for place in places if there else ():
            place.write_text(was, encoding="utf-8")

    def texts() -> set[str]:
        return {place.read_text(encoding="utf-8") if place.exists() else "" for place in places}

    def after() -> None:
        cut.append(texts())
        if len(seen) % 2 and places[0].exists():
            read_sheets(tmp_path)
        else:
            keep_promises(tmp_path)
        seen.append(texts())
        assert len(seen[-1]) == 1, seen[-1]
        write_out(dict.fromkeys(places, b"after"), replace=True)
        assert texts() == {"after"}
        old(tmp_path)
        write_out({places[0]: b"after"}, replace=True)
        assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []

    made = {place: new.encode() for place in places}
    assert every_kill(lambda: write_out(made, replace=True), after, afresh) >= 8
    assert {len(one) for one in cut} == {1, 2}  # some kills did strike between two renames
    assert {text for one in seen for text in one} == {was if there else "", new}


def test_a_list_that_is_held_or_comes_from_elsewhere_moves_nothing(tmp_path: Path):
    waits, place = tmp_path / ".matcher-out-1", tmp_path / "lots.csv"
    outside = tmp_path.parent / "outside.csv"
    plan = tmp_path / ".matcher-plan-1"
    for names in (
        [[".matcher-out-1", "../outside.csv"]],
        [["lots.csv", "garments.csv"]],
        [[".matcher-out-1", "/etc/hosts"]],
        [[".matcher-out-1"]],
        {"a": 1},
        [[".matcher-out-1", ".bashrc"]],
        "[[",
    ):
        waits.write_text("new", encoding="utf-8")
        place.write_text("old", encoding="utf-8")
        plan.write_text(names if isinstance(names, str) else json.dumps(names), encoding="utf-8")
        keep_promises(tmp_path)
        assert not plan.exists()
        assert place.read_text(encoding="utf-8") == "old"
        assert not outside.exists()
        assert waits.exists()
    link = tmp_path / "link.csv"
    link.symlink_to(outside)
    plan.write_text(json.dumps([[".matcher-out-1", "link.csv"]]), encoding="utf-8")
    keep_promises(tmp_path)
    assert link.is_symlink()
    plan.write_text(json.dumps([[".matcher-out-1", "lots.csv"]]), encoding="utf-8")
    with plan.open(encoding="utf-8") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        keep_promises(tmp_path)
        assert place.read_text(encoding="utf-8") == "old"
        assert plan.exists()
    keep_promises(tmp_path)
    assert place.read_text(encoding="utf-8") == "new"


def test_an_intake_of_sheets_that_were_asked_about(tmp_path: Path):
    """Her answers, what she wrote and the rows that are refused: each whole or not there, whenever it is killed."""
    path, sheets = tmp_path / "bin.sqlite", tmp_path / "sheets"
    sheets.mkdir()
    (sheets / "lots.csv").write_text(
        "lot,left of it,colour,class\nfog,most,#c3c6c8,3\nrust,20,#9c4a24,thick\noat,30,#d9d2b8,3\n", encoding="utf-8"
    )
    add("navy", NAVY, bin=path)
    before = path.read_bytes()
    refused = tmp_path / "sheets refused"

    def act() -> None:
        while questions := [one for one in look(sheets, bin=path).questions if one.column == "grams"]:
            answer(look(sheets, bin=path), questions[0], "41 g")
        intake(sheets, bin=path, yes=True)

    def afresh() -> None:
        path.write_bytes(before)
        shutil.rmtree(refused, ignore_errors=True)

    def after() -> None:
        with open_store(path) as store:
            assert faults_of(store) == ()
            names = [row["lot"] for row in store.lots()]
            assert names in (["navy"], ["fog", "navy", "oat"])
            written = {row["name"] for row in store.rows("written")}
            assert written == ({"fog", "oat"} if "fog" in names else set())
            if store.rows("readings"):
                store.undo()
            assert ([row["lot"] for row in store.lots()], store.rows("readings")) == (["navy"], [])
        if "fog" in names:  # what was left out is never lost
            assert (refused / "lots.csv").read_text(encoding="utf-8-sig").count("thick") >= 1
        old(tmp_path)

    assert every_kill(act, after, afresh) >= 3


def test_her_last_list_is_the_one_before_or_the_new_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    bin, step = tmp_path / "bin.sqlite", 0
    found = set()
    while True:
        step += 1
        keep_list(bin, "before")
        killed = killed_at(step, lambda: keep_list(bin, "after"))
        found.add(kept_list(bin))
        if not killed:
            break
    assert found == {"before", "after"}
    assert step > 2

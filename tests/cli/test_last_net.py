"""What nothing foresaw: said as the tool's own fault, with what was changed, and details that hold nothing of hers."""

from __future__ import annotations

import stat
from pathlib import Path
from typing import Any

import forked
import pytest

from matcher.actions.keeping import store
from matcher.actions.keeping.cells import add
from matcher.actions.progress import weigh
from matcher.store.database.store import open_store

SECRET = "my secret lot"
CELLS = {"grams": "50", "colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125"}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    add(SECRET, CELLS, bin=path)
    return path


def broken(tmp_path: Path, command: str, module: Any, name: str, after: bool, *arguments: str) -> forked.Ended:
    """A command whose action fails in a way that nothing foresaw, before or after it did its work."""
    right = getattr(module, name)

    def wrong(*given: Any, **options: Any) -> Any:
        if after:
            right(*given, **options)
        try:
            raise KeyError(SECRET)
        except KeyError as fault:
            raise ZeroDivisionError(f"{SECRET} weighs nothing") from fault

    return forked.run(
        command,
        *arguments,
        environment={"MATCHER_BIN": str(tmp_path / "bin.sqlite"), "XDG_DATA_HOME": str(tmp_path / "data")},
        before=lambda: setattr(module, name, wrong),
    )


def test_nothing_was_changed(place: Path, tmp_path: Path):
    ended = broken(tmp_path, "weigh", weigh, "weigh", False, SECRET, "4g")
    assert (ended.code, ended.out) == (3, b"")
    assert ended.words.startswith(
        "matcher: this is a fault of the tool, not yours (ZeroDivisionError); nothing was changed. "
    )
    with open_store(place) as opened:
        assert opened.row("lots", SECRET)["grams"] == "50"


def test_what_was_changed_is_named(place: Path, tmp_path: Path):
    ended = broken(tmp_path, "weigh", weigh, "weigh", True, SECRET, "4g")
    assert ended.code == 3
    assert "; changed and whole: " in ended.words
    assert f"changedandwhole:{place}." in ended.unbroken
    with open_store(place) as opened:
        assert opened.row("lots", SECRET)["grams"] == "4g"


def test_the_details_hold_nothing_of_hers(place: Path, tmp_path: Path):
    ended = broken(tmp_path, "weigh", weigh, "weigh", False, SECRET, "4g", f"--bin={place}")
    file = tmp_path / "data" / "matcher" / "fault.txt"
    assert "".join(ended.told.split()).endswith(f"withoutyourdata:{file}"), "a place longer than a line takes two"
    details = file.read_text("utf-8")
    assert not file.stat().st_mode & stat.S_IWOTH
    assert "weigh --bin\n" in details
    assert "KeyError" in details
    assert "ZeroDivisionError" in details
    assert 'raise ZeroDivisionError(f"{SECRET} weighs nothing")' in details
    for hers in (SECRET, "secret", "4g", str(place)):
        assert hers not in details


def test_the_details_need_no_place(place: Path, tmp_path: Path):
    (tmp_path / "data").write_text("no folder")
    ended = broken(tmp_path, "verify", store, "verify", False)
    assert ended.code == 3
    assert ended.words.endswith("The details could not be kept")

"""What takes long says what it is at, on a terminal and nowhere else."""

from __future__ import annotations

import io
import sys
import time

import pytest

from matcher.cli.screens import screen as show
from matcher.reasons.reason import reason


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(monkeypatch: pytest.MonkeyPatch, err: io.StringIO, late_s: float) -> str:
    """What stands on stderr after work that tells of one stage and then nothing for a while."""
    monkeypatch.setattr(sys, "stderr", err)
    monkeypatch.setattr(show, "_LATE_S", late_s)
    monkeypatch.setenv("TERM", "xterm")
    with show.LateProgress("reading") as progress:
        progress.stage(reason("adding up"))
        end = time.monotonic() + 20
        while progress.bar is None and late_s < 1 and err.isatty() and time.monotonic() < end:
            time.sleep(0.01)
        progress(1, 2)
    return err.getvalue()


def test_work_that_tells_nothing_for_a_while_is_shown_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "adding up" in shown(monkeypatch, Terminal(), late_s=0.01)


def test_what_is_soon_done_shows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shown(monkeypatch, Terminal(), late_s=3600.0) == ""


def test_nothing_is_shown_where_nobody_looks_on(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shown(monkeypatch, io.StringIO(), late_s=0.0) == ""

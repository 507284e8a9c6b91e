"""What all tests share: nobody's terminal settings or store reach them, and a build server draws the same examples."""

import gc
import os
import sys
import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import typer.testing
from hypothesis import settings
from memory_disk import quick_disk
from said import MET
from typer.testing import CliRunner, Result

from matcher.reasons.reason import Counted, Reason

pytest_plugins = ["dearest_first", "whole_instead"]

# While tests are collected nearly all that is made stays.
gc.disable()

# Each of these makes typer or rich print colour codes although no terminal is there; they are read when imported.
for name in ("FORCE_COLOR", "PY_COLORS", "GITHUB_ACTIONS", "COLUMNS", "TERMINAL_WIDTH"):
    os.environ.pop(name, None)

# Whoever wishes no compiled files would have every worker, and every command in a process of its own, compile it all anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False

# Every store writes what was done through to its disk, which in memory is no wait: where there is room, all lie there.
if "TMPDIR" not in os.environ and (in_memory := quick_disk(room_bytes=4 << 30)):
    os.environ["TMPDIR"] = in_memory
    tempfile.tempdir = None  # it is asked for anew

# Building all commands anew takes longer than what most of them do; they are the same for every test.
typer.testing._get_command = cache(typer.testing._get_command)

# What nothing foresaw is a fault of ours, and so a failure of whatever test meets it.
_invoke = CliRunner.invoke


def _invoke_strictly(*arguments: Any, **options: Any) -> Result:
    ended = _invoke(*arguments, **options)
    if ended.exception is not None and not isinstance(ended.exception, SystemExit):
        raise ended.exception
    return ended


CliRunner.invoke = _invoke_strictly

# By hand the examples are new every time, which finds more; a verdict on a change must not hang on luck.
settings.register_profile("repeatable", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("repeatable")


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop() -> None:
    """Modules and tests stay to the end: the collector of garbage need not go through them again and again."""
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
    gc.enable()


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish() -> None:
    """What tests made is young enough to have been looked through; all that stays goes with the process, and whoever ends
    it need not go through it once more, which takes seconds."""
    gc.collect(1)
    gc.freeze()


@pytest.fixture(autouse=True, scope="session")
def no_store_of_their_own(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where a store would lie: an empty place, so that no test reads or changes the store of whoever runs it."""
    folder = tmp_path_factory.mktemp("data")
    os.environ.pop("MATCHER_BIN", None)
    os.environ["XDG_DATA_HOME"] = str(folder)
    return folder / "matcher" / "bin.sqlite"


for kind in (Reason, Counted):
    MET.watch(kind)


@pytest.fixture(autouse=True, scope="session")
def every_sentence_is_kept_for_reading(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What the tests heard, a sentence a line, in sentences.txt among their own files; with -s it is printed too."""
    yield
    heard = "\n".join(sorted(set(MET.heard.values()), key=str.casefold))
    (tmp_path_factory.getbasetemp() / "sentences.txt").write_text(heard + "\n", encoding="utf-8", errors="replace")
    print(heard)


@pytest.fixture(autouse=True)
def every_reason_can_be_said() -> Iterator[None]:
    """Whatever reasons a test meets are put into words in metric, in imperial and with a decimal comma."""
    yield
    assert MET.faults() == []

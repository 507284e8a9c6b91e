"""The dearest files are begun first, so that at the end no worker waits for another's last; before all others those that
fork by the hundred, since a fork takes the longer the more its process holds already.

Where only long tests are asked for, files in which none stands are not even read; with the others they come file by file.

costs.csv holds processor seconds by file, by day and of the long tests, as measured with MATCHER_COSTS=FILE, into which
each test then writes its own; files that are not in it are cheap. Only the order hangs on it.
"""

from __future__ import annotations

import csv
import os
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

COSTS = Path(__file__).with_name("costs.csv")
# Late in a run of all tests they take three to five times as long as in a process that has just begun.
FORKING = ("tests/cli/test_terminals.py", "tests/store/test_kills_between.py", "tests/bad_input/test_fuzz.py")


def pytest_configure(config: pytest.Config) -> None:
    """The order is ours: xdist's own begins with the files that hold most tests, which are the quick ones."""
    config.option.loadscopereorder = False


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """All tests are read in several times what most long ones take."""
    if config.option.markexpr == "long" and collection_path.match("test_*.py"):
        return None if _has_long(collection_path) else True
    return None


def _has_long(file: Path) -> bool:
    return "pytest.mark.long" in file.read_text("utf-8")


def pytest_itemcollected(item: pytest.Item) -> None:
    """What is long is found by its own file's words; a mark from anywhere else would be passed over."""
    if item.get_closest_marker("long") and not _has_long(item.path):
        raise pytest.UsageError(f"{item.nodeid} is long, and its file doesn't say pytest.mark.long")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if not hasattr(config, "workerinput"):
        return
    asked = config.option.markexpr
    long = asked == "long"
    kinds = ["day"] * (not long) + ["long"] * (asked != "not long")
    with open(COSTS, encoding="utf-8", newline="") as table:
        cost = {row["file"]: sum(float(row[kind] or 0) for kind in kinds) for row in csv.DictReader(table)}
    files = Counter(map(_file, items))

    def place(one: pytest.Item) -> tuple[bool, float]:
        file = _file(one)
        return file not in FORKING, -cost.get(file, 0.0) / (files[file] if long else 1)

    items.sort(key=place)
    if long:  # tests, not files, go to the workers, in as many rows as there are workers
        number = config.workerinput["workercount"]
        items[:] = [one for first in range(number) for one in items[first::number]]


def _file(item: pytest.Item) -> str:
    return item.nodeid.partition("::")[0]


def _spent() -> float:
    """Processor seconds of this process and of those it waited for."""
    return sum(os.times()[:4])


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    before = _spent()
    try:
        return (yield)
    finally:
        if kept := os.environ.get("MATCHER_COSTS"):
            with open(kept, "a", encoding="utf-8") as file:
                file.write(f"{_spent() - before:.2f}\t{item.nodeid}\n")

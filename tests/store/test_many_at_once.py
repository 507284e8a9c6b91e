"""Six write a hundred actions each into one store while others read: no action is lost, no reader sees half of one."""

from __future__ import annotations

import os
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

from memory_disk import quick_disk

from matcher.actions.keeping.lots import join, move, split
from matcher.actions.keeping.store import done_lately
from matcher.actions.progress.weigh import weigh
from matcher.store.database.store import Store, open_store
from matcher.store.database.verify import faults_of

WRITERS, EACH, READERS = 6, 100, 2
LOT = {"colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125", "dye_lot": "8", "grams": "100"}


def in_its_own_process(act: Callable[[], None]) -> int:
    child = os.fork()
    if child == 0:
        status = 1
        try:
            act()
            status = 0
        finally:
            os._exit(status)
    return child


def writes(path: Path, writer: int) -> None:
    """Splits its lot and joins it again, moves it, and now and then weighs a lot that all of them weigh."""
    mine = f"lot {writer}"
    for number in range(EACH):
        kind = number % 4
        if kind == 0:
            split(mine, f"{1 + number / 7:.3f} g", name=f"{mine} part", bin=path)
        elif kind == 1:
            move(f"{mine} part", f"box {number}", bin=path)
        elif kind == 2:
            join([mine, f"{mine} part"], bin=path)
        else:
            weigh("shared", f"{100 * writer + number + 1} g", bin=path)


def masses(store: Store) -> dict[str, Decimal]:
    """What each writer's lots weigh together, at one moment."""
    found: defaultdict[str, Decimal] = defaultdict(Decimal)
    for row in store.rows("lots"):
        if row["lot"] != "shared":
            found[row["lot"].removesuffix(" part")] += Decimal(repr(row["mass_g"]))
    return found


def reads(path: Path, until: Path) -> None:
    """Looks again and again until it is told that all is written."""
    looked, wanted = 0, {f"lot {writer}": Decimal(100) for writer in range(WRITERS)}
    while not until.exists():
        with open_store(path) as store:
            assert masses(store) == wanted
            if looked % 10 == 0:
                assert faults_of(store) == ()
        looked += 1
        time.sleep(0.01)
    assert looked > 1


def test_six_writers_and_their_readers():
    with tempfile.TemporaryDirectory(dir=quick_disk()) as folder:
        path, done = Path(folder) / "bin.sqlite", Path(folder) / "done"
        with open_store(path, create=True) as store:
            with store.action("all") as act:
                for name in ("shared", *(f"lot {writer}" for writer in range(WRITERS))):
                    act.insert("lots", {**LOT, "lot": name})
            before = store.rows("lots")
        readers = [in_its_own_process(lambda: reads(path, done)) for _ in range(READERS)]
        writers = [in_its_own_process(lambda writer=writer: writes(path, writer)) for writer in range(WRITERS)]
        ends = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in writers]
        done.touch()
        ends += [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in readers]
        assert ends == [0] * (WRITERS + READERS)
        assert done_lately(bin=path).values["left"] == 1 + WRITERS * EACH
        with open_store(path) as store:
            assert faults_of(store) == ()
            store.undo(WRITERS * EACH)
            assert store.rows("lots") == before

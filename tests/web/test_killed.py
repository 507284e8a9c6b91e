"""The server is killed at any moment while changes come in: whatever was answered is there, and the store is whole."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import httpx
import pytest
from markup import read
from memory_disk import quick_disk
from server import free_port
from visitor import copied

from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

BORN = Path(__file__).with_name("born.py")
_LONGEST_S = 0.12  # how long one lives at most after its first change was begun
LOTS = ("petrol", "navy", "rust", "moss")


@pytest.fixture
def kept(taken_in: Path) -> Iterator[Path]:
    with tempfile.TemporaryDirectory(dir=quick_disk()) as folder:
        yield copied(taken_in, Path(folder))


class Midwife:
    """Servers of one store, one after another."""

    def __init__(self, store: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, str(BORN), str(store)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        assert self.said() == "ready"

    def said(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline().strip()

    def born(self) -> tuple[int, int]:
        """A server's port and its process."""
        assert self.process.stdin is not None
        port = free_port()
        self.process.stdin.write(f"{port}\n")
        self.process.stdin.flush()
        return port, int(self.said())


def changes_until_it_dies(port: int, first: int, begun: threading.Event) -> tuple[list[tuple[str, str]], str]:
    """Move lots one after another until nobody answers: what was answered, and what was under way, "" for nothing."""
    here = f"http://127.0.0.1:{port}"
    answered: list[tuple[str, str]] = []
    under_way = ""
    with (
        suppress(httpx.HTTPError),
        httpx.Client(base_url=here, headers={"origin": here}, timeout=10, verify=False) as to,
    ):
        fields = read(to.get("/lot/petrol").text).form("/move/petrol").fields
        begun.set()
        for number in range(first, first + 1000):
            lot, place = LOTS[number % len(LOTS)], f"shelf {number}"
            under_way = place
            answer = to.post(f"/move/{lot}", data={**fields, "place": place, "anyway": "yes"})
            assert answer.status_code == 303
            answered.append((lot, place))
            under_way = ""
    begun.set()
    return answered, under_way


def kills(store: Path, times: int) -> None:
    chance, midwife = random.Random(5), Midwife(store)
    with open_store(store) as opened:
        places = {row["lot"]: row["place"] for row in opened.rows("lots")}
    first = struck = 0
    try:
        for _ in range(times):
            port, process = midwife.born()
            begun = threading.Event()
            killer = threading.Thread(target=_kill, args=(process, begun, chance.uniform(0, _LONGEST_S)))
            killer.start()
            answered, under_way = changes_until_it_dies(port, first, begun)
            killer.join()
            first += len(answered) + 1
            for lot, place in answered:
                places[lot] = place
            with open_store(store) as opened:
                assert faults_of(opened) == ()
                now = {row["lot"]: row["place"] for row in opened.rows("lots")}
            other = {lot: place for lot, place in now.items() if place != places[lot]}
            # The one that was under way is there whole, or not at all.
            assert list(other.values()) in ([], [under_way])
            struck += bool(under_way)
            places = now
    finally:
        midwife.process.terminate()
        midwife.process.wait()
    assert struck >= times / 4  # most of them strike while something is under way


def _kill(process: int, begun: threading.Event, after_s: float) -> None:
    begun.wait()
    threading.Event().wait(after_s)
    os.kill(process, signal.SIGKILL)


def test_killed(kept: Path):
    kills(kept, 5)


@pytest.mark.long(whole_of="test_killed")  # forty servers are born and die
@pytest.mark.timeout(900)  # a busy machine takes ten times as long as a quiet one
def test_killed_40_times(kept: Path):
    kills(kept, 40)

"""A store that was damaged is right, or said and named: never a fault of the tool, never an exit code that means two things.

`verify` ends with 0 when all is right, 1 when it found what is wrong, 2 when the file cannot be read at all; everything
else with 0 or 2. Each sort of damage is tried by the hundred, in this process, where every command would meet it.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from memory_disk import quick_disk

from matcher.actions.desk import Desk
from matcher.actions.keeping.store import done_lately, undo, verify
from matcher.actions.learning.history import history_in
from matcher.actions.progress.weigh import weigh
from matcher.errors import MatcherError
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue
from matcher.store.database.rows import KEYS
from matcher.store.database.store import open_store

LOT = {"colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125", "garment": "vest", "dye_lot": "8"}
CLAIM = {"role": "main", "metres": 20.0, "tex": 400.0, "predicted_m": 18.0, "predicted_sd_m": 2.0}
USED = {
    "role": "main", "lot": "lot 2", "predicted_m": 50.0, "predicted_sd_m": 8.0, "used_m": 55.0, "used_g": 22.0,
    "tex": 400.0, "structure": "stocking", "accessory": "hat-plain", "ended_on": "2026-02-03",
}  # fmt: skip
SWATCH = {
    "made_on": "2026-01-05",
    "lot": "lot 1",
    "tex": 400.0,
    "structure": "stocking",
    "stitches": 30.0,
    "rows": 40.0,
    "grams": 9.0,
}


def begun(path: Path, lots: int) -> None:
    """A store in which every table holds something, and undo has something of each to put back."""
    with open_store(path, create=True) as store:
        with store.action("all") as act:
            act.insert("garments", {"garment": "vest", "status": "worn"})
            for number in range(lots):
                act.insert(
                    "lots", {**LOT, "lot": f"lot {number}", "grams": "60", "note": "wound in spring " * (number % 7)}
                )
            done = act.insert(
                "works",
                {
                    "accessory": "hat-plain",
                    "name": "hat",
                    "state": "finished",
                    "begun_on": "2026-01-02",
                    "ended_on": "2026-02-03",
                },
            )
            act.insert("used", {**USED, "work": done})
            work = act.insert(
                "works", {"accessory": "hat-plain", "name": "hat", "state": "begun", "begun_on": "2026-03-02"}
            )
            act.insert("claims", {**CLAIM, "work": work, "lot": "lot 3", "from_g": 60.0})
            act.insert("swatches", SWATCH)
            act.insert("decisions", {"lot": "lot 4", "advice": "keep with the garment", "made_on": "2026-03-03"})
        for number in range(12):
            with store.action(f"weigh {number}") as act:
                act.update("lots", f"lot {number % 8}", {"grams": str(50 - number), "place": f"box {number}"})


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture
def quick() -> Iterator[Path]:
    with TemporaryDirectory(dir=quick_disk()) as folder:
        yield Path(folder)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "bin.sqlite"
    begun(path, 40)
    return path.read_bytes()


def everything(path: Path) -> Any:
    """All that is held twice: only the words and times of actions stand in one place alone, where nothing tells."""
    with open_store(path) as store:
        return {table: store.rows(table) for table in (*KEYS, "journal")}


def ends(act: Callable[[], object]) -> int:
    """The exit code of an action: 0, or 2 with a sentence. What else is raised is a fault of ours, and fails the test."""
    said = "done"
    try:
        act()
    except MatcherError as error:
        said, code = str(error), error.exit_code
    else:
        code = 0
    assert said
    return code


def looked_over(data: bytes, path: Path, catalogue: Catalogue, right: Any) -> int:
    """What `verify` makes of these bytes, and that no command makes more of them; its exit code."""
    path.write_bytes(data)
    faults: list[Any] = []

    def look() -> None:
        faults.extend(verify(bin=path).faults)

    def read() -> None:
        _ = Desk(path, catalogue).shelf
        with open_store(path) as store:
            history_in(store, catalogue)

    code = ends(look) or (1 if faults else 0)
    for fault in faults:
        assert str(fault.where)
        assert str(fault.what)
    if code == 0:  # right then: all that the tables hold is as it was
        assert everything(path) == right
    reading = ends(read)
    assert code != 0 or reading == 0
    for act in (partial(done_lately, bin=path), partial(undo, 3, bin=path), partial(weigh, "lot 5", "7 g", bin=path)):
        done = ends(act)
        assert code != 0 or done == 0
    return code


def flipped(whole: bytes, chance: random.Random) -> bytes:
    """One bit is another; half of them where something stands, since much of a store is empty."""
    data = bytearray(whole)
    place = chance.randrange(len(data))
    while chance.random() < 0.9 and not data[place]:
        place = chance.randrange(len(data))
    data[place] ^= 1 << chance.randrange(8)
    return bytes(data)


def torn(whole: bytes, chance: random.Random) -> bytes:
    """One page is other bytes, in part: zeroes, noise, or what another page holds."""
    data, page = bytearray(whole), 4096
    start = chance.randrange(len(data) // page) * page
    size = chance.choice([16, 64, 512, page])
    offset = chance.randrange(0, page - size + 1)
    other = chance.randrange(len(data) // page) * page + offset
    new = chance.choice([bytes(size), chance.randbytes(size), bytes(whole[other : other + size])])
    data[start + offset : start + offset + size] = new
    return bytes(data)


def cuts(whole: bytes) -> Iterator[bytes]:
    """The file ends early, at each 512 bytes."""
    for end in range(0, len(whole), 512):
        yield whole[:end]


def told(path: Path, whole: bytes, damaged: Iterator[bytes], catalogue: Catalogue) -> Counter[int]:
    path.write_bytes(whole)
    right = everything(path)
    return Counter(looked_over(data, path, catalogue, right) for data in damaged)


@pytest.mark.parametrize("times", [150, pytest.param(500, marks=pytest.mark.long(whole_of="test_flips[150]"))])
def test_flips(times: int, whole: bytes, quick: Path, catalogue: Catalogue):
    chance = random.Random(20260101)
    codes = told(quick / "bin.sqlite", whole, (flipped(whole, chance) for _ in range(times)), catalogue)
    assert codes.keys() == {0, 1, 2}
    print(dict(codes))


def test_each_cut(whole: bytes, quick: Path, catalogue: Catalogue):
    codes = told(quick / "bin.sqlite", whole, cuts(whole), catalogue)
    assert codes.keys() <= {1, 2}
    print(dict(codes), len(whole) // 512)


@pytest.mark.parametrize("times", [100, pytest.param(170, marks=pytest.mark.long(whole_of="test_damaged_pages[100]"))])
def test_damaged_pages(times: int, whole: bytes, quick: Path, catalogue: Catalogue):
    chance = random.Random(20260102)
    codes = told(quick / "bin.sqlite", whole, (torn(whole, chance) for _ in range(times)), catalogue)
    assert codes.keys() == {0, 1, 2}
    print(dict(codes))

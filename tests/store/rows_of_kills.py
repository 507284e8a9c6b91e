"""Stores whose processes are killed again and again, in rows side by side, for `test_crash`."""

from __future__ import annotations

import os
import random
import select
import signal
import tempfile
import time
from multiprocessing import get_context
from pathlib import Path
from typing import Any

from memory_disk import quick_disk, slow_disk

from matcher.actions.keeping.cells import add, change, garment
from matcher.actions.keeping.lots import join, mended, move, split
from matcher.actions.keeping.store import undo
from matcher.actions.learning.swatch import swatch
from matcher.actions.progress.weigh import weigh
from matcher.actions.progress.works import abandon, finish
from matcher.store.database.rows import KEYS
from matcher.store.database.store import Store, open_store
from matcher.store.database.verify import faults_of

AT_ONCE = 5
LOT = {
    "colour": "#1f2a4a",
    "ball_grams": "50",
    "ball_metres": "125",
    "yarn": "plain",
    "dye_lot": "8",
    "garment": "pullover",
}


def begun(path: Path) -> None:
    with open_store(path, create=True) as store, store.action("all") as act:
        act.insert("garments", {"garment": "pullover", "status": "worn"})
        for number in range(12):
            act.insert("lots", {**LOT, "lot": f"lot {number}", "grams": "60", "reserve": "8 m"})


def one_action(path: Path, number: int) -> None:
    """The action of that number: always the same one for the same store. Most of them change several rows."""
    chance = random.Random(number)
    with open_store(path) as store:
        lots = store.select("SELECT lot, mass_g FROM lots WHERE lot NOT IN (SELECT lot FROM claims) ORDER BY lot")
        works = store.select("SELECT name FROM works WHERE state = 'begun' ORDER BY id")
        claims = store.select("SELECT DISTINCT lot, mass_g FROM claims JOIN lots USING (lot) ORDER BY lot")
        done = store.select("SELECT count(*) AS number FROM actions")[0]["number"]
    names = [row["lot"] for row in lots]
    heavy = [row["lot"] for row in lots if row["mass_g"] > 20]
    kinds = ["weigh", "move", "garment", "split", "join", "begin", "finish", "abandon", "undo"]
    kinds += ["add", "change", "mended", "decide", "swatch"]
    kind = chance.choices(kinds, weights=[2, 1, 1, 4, 4, 3, 2, 1, 2, 1, 2, 2, 2, 1])[0]
    if kind == "split" and heavy:
        split(chance.choice(heavy), f"{chance.randint(1, 9)} g", bin=path)
    elif kind == "join" and len(names) > 4:
        join(chance.sample(names, 3), bin=path)
    elif kind == "begin" and len(works) < 3 and len(heavy) > 3:
        # What `begin` writes, without the catalogue that a fork would have to load.
        with open_store(path) as store, store.action(f"begin {number}") as act:
            values = {"accessory": "hat-plain", "name": f"work {number}", "state": "begun", "begun_on": act.today}
            work = act.insert("works", values)
            for role, lot in zip(("main", "contrast 1"), chance.sample(heavy, 2), strict=True):
                claim = {"work": work, "role": role, "lot": lot, "metres": 20.0, "tex": 400.0}
                row = store.row("lots", lot)
                act.insert("claims", {**claim, "predicted_m": 20.0, "predicted_sd_m": 3.0, "from_g": row["mass_g"]})
    elif kind == "finish" and len(works) == 1:
        finish(works[0]["name"], {row["lot"]: f"{row['mass_g'] - 7:g} g" for row in claims}, bin=path)
    elif kind == "abandon" and works:
        abandon(works[0]["name"], bin=path)
    elif kind == "garment":
        garment("pullover", chance.choice(["worn", "given", "gone"]), bin=path)
    elif kind == "undo" and done > 20:
        undo(chance.randint(1, 5), bin=path)
    elif kind == "add":
        add(f"new {number}", {**LOT, "grams": f"{chance.randint(30, 90)} g"}, bin=path)
    elif kind == "change":
        change(chance.choice(names), {"note": f"seen {number}"}, name=f"named {number}", bin=path)
    elif kind == "mended" and heavy:
        mended("pullover", chance.choice(heavy), f"{chance.randint(1, 9)} m", bin=path)
    elif kind == "decide":
        decide(path, chance.sample(names, 2))
    elif kind == "swatch":
        swatch(tex=400.0, stitches=20, rows=number % 50 + 10, grams=5.0, bin=path)
    elif kind == "move":
        move(chance.choice(names), f"box {number}", bin=path)
    else:
        weigh(chance.choice(names), f"{chance.randint(30, 90)} g", bin=path)


def decide(path: Path, lots: list[str]) -> None:
    """What `triage` writes for a decision, without the advice on all lots that it works out beside."""
    with open_store(path) as store, store.action("decide") as act:
        for lot in lots:
            values = {"advice": "keep with the garment", "made_on": act.today}
            if store.row("decisions", lot) is None:
                act.insert("decisions", {"lot": lot, **values})
            else:
                act.delete("decisions", lot)


def everything(store: Store) -> dict[str, list[dict[str, Any]]]:
    """All rows of all tables, but for the time of day at which things were done."""
    held = {table: store.rows(table) for table in (*KEYS, "actions", "journal")}
    for row in held["actions"]:
        del row["done_at"]
    return held


def child_acts(path: Path, first: int, write: int) -> None:
    """In a process of its own: one action after the other, each told before and after, until it is killed."""
    status = 1
    try:
        for number in range(first, first + 1000):
            os.write(write, b"b")
            one_action(path, number)
            os.write(write, b"c")
        status = 0
    finally:
        os._exit(status)


def rows_of_kills(number: int, kills: int) -> tuple[int, int, int]:
    """So many rows of kills, several side by side: each waits for its disk and its children most of the time. How many
    actions were cut, done, and not done, in all rows together.

    The stores lie on a real disk, where committing takes its time and kills strike in the middle of it.
    """
    temporary = tempfile.TemporaryDirectory
    with (
        temporary(dir=slow_disk()) as slow,
        temporary(dir=quick_disk()) as quick,
        get_context("fork").Pool(AT_ONCE) as rows,
    ):
        places = [(Path(slow) / f"{row}.sqlite", Path(quick) / f"{row}.sqlite") for row in range(number)]
        stores = [(*both, 1000 * row, kills) for row, both in enumerate(places)]
        done = rows.starmap(row_of_kills, stores, chunksize=1)
    cut, done_all, done_nothing = (sum(one) for one in zip(*done, strict=True))
    return cut, done_all, done_nothing


def row_of_kills(path: Path, other: Path, first: int, kills: int) -> tuple[int, int, int]:
    """So many kills of actions on a store, the first of that number; how many actions were cut, done, and not done.

    The same actions are done in a second store that nobody kills; after each kill the two must be alike.
    """
    begun(path)
    begun(other)
    chance = random.Random(20260101 + first)
    start = time.perf_counter()
    for trial in range(first, first + 10):
        one_action(other, trial)
        one_action(path, trial)
    # How long an action takes in a process of its own is found on the way, so that kills strike its beginning and
    # its end alike, on a quick machine and on a slow one.
    reach = (time.perf_counter() - start) / 10
    number = first + 10
    in_the_middle = done_all = done_nothing = 0
    for _ in range(kills):
        read, write = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(read)
            child_acts(path, number, write)
        os.close(write)
        # Killed while it acts: a random moment after its first word, not while the fork still wakes up.
        select.select([read], [], [], 10.0)
        time.sleep(chance.uniform(0.0, reach))
        os.kill(child, signal.SIGKILL)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGKILL
        with os.fdopen(read, "rb") as said:
            told = said.read()
        assert told.count(b"b") - told.count(b"c") in (0, 1)
        # Later ones too, which strike an action that is not the first of its process: that one takes longest to begin.
        reach *= 0.95 if b"c" in told else 1.25
        for _ in range(told.count(b"c")):
            one_action(other, number)
            number += 1
        with open_store(path) as store, open_store(other) as whole:
            assert faults_of(store) == ()
            held, wanted = everything(store), everything(whole)
        if told.endswith(b"b"):
            in_the_middle += 1
            if held != wanted:  # then it must be all of the action that was begun
                one_action(other, number)
                number += 1
                done_all += 1
                with open_store(other) as whole:
                    wanted = everything(whole)
            else:
                done_nothing += 1
        assert held == wanted
    return in_the_middle, done_all, done_nothing

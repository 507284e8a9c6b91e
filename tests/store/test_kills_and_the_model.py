"""Killed at any moment of any writing action, a store holds what a plain model holds before it, or after it."""

from __future__ import annotations

import copy
import os
import random
import select
import signal
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from plain_model import Model, Refused, assert_alike
from small_process import in_a_small_process

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.cells import add, change, garment
from matcher.actions.keeping.lots import join, mended, move, split
from matcher.actions.keeping.store import undo
from matcher.actions.progress.weigh import weigh
from matcher.actions.progress.works import abandon, finish
from matcher.errors import MatcherError
from matcher.store.database.rows import KEYS
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

KILLS = 200
CELLS = {"colour": "#1f2a4a", "yarn": "plain", "ball_grams": "50", "ball_metres": "125"}
Action = tuple[str, Callable[[], object], Callable[[Model], object]]


def everything(path: Path) -> dict[str, list[dict[str, Any]]]:
    with open_store(path) as store:
        assert faults_of(store) == ()
        return {table: store.rows(table) for table in KEYS}


class Story:
    """A store, its model, and what comes next; always the same, but for where the kills strike."""

    def __init__(self, path: Path) -> None:
        self.path, self.model, self.chance = path, Model(), random.Random(11)
        self.past: list[Model] = []  # as it was before each action that can still be undone
        self.back = 0  # how many the last undo takes back
        for _, act, on_model in self.beginning():
            act()
            on_model(self.model)

    def beginning(self) -> Iterator[Action]:
        yield self.garment("worn")
        for number in range(6):
            yield self.adding(f"lot {number}", 60.0 + number, "vest" if number % 2 else "", "7", "")

    def garment(self, status: str) -> Action:
        return (
            "garment",
            lambda: garment("vest", status, bin=self.path),
            lambda model: model.garments.update({"vest": status}),
        )

    def adding(self, name: str, grams: float, owner: str, dye_lot: str, reserve: str) -> Action:
        cells = {**CELLS, "grams": f"{grams:g} g", "garment": owner, "dye_lot": dye_lot, "reserve": reserve}
        return (
            "add",
            lambda: add(name, cells, bin=self.path),
            lambda model: model.add(name, grams, owner, dye_lot, reserve),
        )

    def next(self) -> Action:
        """One action; those on works only where there are some. A begun work's metres are the store's own figures."""
        chance, path, number = self.chance, self.path, self.chance.randrange(10_000)
        name, other = (chance.choice(sorted(self.model.lots)) for _ in range(2))
        needles = [work for work in self.model.works if work["state"] == "begun"]
        kind = chance.choice(["add", "garment", "weigh", "move", "change", "split", "join", "mended", "undo", "works"])
        if kind == "works" and needles and number % 3:
            work = needles[number % len(needles)]["name"]
            if number % 2:
                return "abandon", lambda: abandon(work, bin=path), lambda model: self.abandoned(model, work)
            lot = needles[number % len(needles)]["claims"][0]
            left = round(0.8 * lot["from_g"], 1)
            weighed = {lot["lot"]: f"{left:g}"}
            return "finish", lambda: finish(work, weighed, bin=path), lambda model: self.finished(model, work, left)
        if kind == "works":
            return "begin", lambda: begin("egg-cosy", [name], anyway=True, bin=path), self.begun
        if kind == "undo" and len(self.past) > 3:
            self.back = back = 1 + number % 3
            return (
                "undo",
                lambda: undo(back, bin=path),
                lambda model: vars(model).update(copy.deepcopy(vars(self.past[-back]))),
            )
        if kind == "garment":
            return self.garment(chance.choice(["worn", "given", "gone"]))
        if kind == "move":
            box = f"box {number}"
            return "move", lambda: move(name, box, bin=path), lambda model: model.lot(name).update(place=box)
        if kind == "change":
            new = f"named {number}"
            return "change", lambda: change(name, {}, name=new, bin=path), lambda model: model.rename(name, new)
        if kind == "split":
            grams = float(1 + number % 20)
            return "split", lambda: split(name, f"{grams:g} g", bin=path), lambda model: model.split(name, grams)
        if kind == "join" and len(self.model.lots) > 4:
            names = list(dict.fromkeys((name, other)))
            return "join", lambda: join([name, other], bin=path), lambda model: model.join(names)
        if kind == "mended":
            metres = 1 + number % 20
            return (
                "mended",
                lambda: mended("vest", name, f"{metres} m", bin=path),
                lambda model: model.mended("vest", name, float(metres)),
            )
        if kind == "weigh":
            grams = round(20.0 + number / 170.0, 2)  # never what it weighs already: that is an action without a change
            return "weigh", lambda: weigh(name, f"{grams:g}", bin=path), lambda model: model.weigh(name, grams)
        return self.adding(f"new {number}", 20.0 + number % 60, "vest" if number % 2 else "", "7", "")

    def begun(self, model: Model) -> None:
        """What the store says that was begun: its name and its one claim, which stand in `needs`' own tests."""
        held = everything(self.path)
        if len(held["works"]) == len(model.works):
            raise Refused
        new = held["works"][-1]
        (claim,) = [one for one in held["claims"] if one["work"] == new["id"]]
        assert abs(model.lots[claim["lot"]]["g"] - claim["from_g"]) < 1e-9  # weights that were added up
        taken = {"lot": claim["lot"], "metres": claim["metres"], "from_g": claim["from_g"]}
        model.works.append({"name": new["name"], "state": "begun", "claims": [taken]})

    @staticmethod
    def on_needles(model: Model, name: str) -> dict[str, Any]:
        return next(work for work in model.works if work["name"] == name and work["state"] == "begun")

    @staticmethod
    def abandoned(model: Model, name: str) -> None:
        Story.on_needles(model, name).update(state="abandoned", claims=[])

    @staticmethod
    def finished(model: Model, name: str, left: float) -> None:
        model.finish(Story.on_needles(model, name), left)


def killed(act: Callable[[], object], after_s: float) -> bool:
    """Do something in a process of its own that is killed so long after it began; whether it was through by then."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        status = 1
        try:
            os.write(write, b"b")
            with suppress(MatcherError):  # what the model refuses too
                act()
            status = 0
        finally:
            os._exit(status)
    os.close(write)
    select.select([read], [], [], 10.0)
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    os.close(read)
    assert ended in (0, -signal.SIGKILL)
    return ended == 0


def alike(held: dict[str, list[dict[str, Any]]], model: Model) -> bool:
    try:
        assert_alike(held, model)
    except AssertionError:
        return False
    return True


@in_a_small_process
def test_200_kills_over_all_writing_actions_leave_what_the_model_holds(tmp_path: Path):
    story = Story(tmp_path / "bin.sqlite")
    begin("egg-cosy", ["lot 0"], anyway=True, bin=story.path)  # the catalogue is read once, before any fork
    undo(1, bin=story.path)
    count: Counter[tuple[str, str]] = Counter()
    reach: dict[str, float] = {}
    for _ in range(KILLS):
        kind, act, on_model = story.next()
        through = killed(act, story.chance.uniform(0.0, reach.get(kind, 0.03)))
        # Kills strike the beginning and the end alike, on a quick machine and on a slow one.
        reach[kind] = reach.get(kind, 0.03) * (0.8 if through else 1.25)
        held, after = everything(story.path), copy.deepcopy(story.model)
        try:
            on_model(after)
        except Refused:
            after = story.model
        if after is story.model or alike(held, story.model):
            assert_alike(held, story.model)
            count[kind, "nothing"] += 1
            continue
        assert_alike(held, after)
        count[kind, "all"] += 1
        story.past = story.past[: -story.back] if kind == "undo" else [*story.past, story.model]
        story.model = after
    kinds = {kind for kind, _ in count}
    assert len(kinds) == 12, kinds
    for what in ("all", "nothing"):
        assert sum(number for (_, one), number in count.items() if one == what) > KILLS // 10
    print(dict(count))

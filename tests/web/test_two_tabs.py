"""Two tabs, or two people, at once: of two changes to one thing the later is told of the earlier, and nothing is lost.

What is told follows from a plain model: the list of what was done, and how long it was when a page was looked at.
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import pytest
from httpx import Response
from markup import Form, read
from memory_disk import quick_disk
from visitor import Visitor

from matcher.actions.keeping.cells import add
from matcher.actions.keeping.store import done_lately
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

LOTS = ("petrol", "navy", "rust")
CELLS = {"colour": "#1f2a4a", "grams": "40", "class": "3"}
TOLD, DONE = 409, 303


@pytest.fixture
def store() -> Iterator[Path]:
    """Three lots, which are read quickly, where nothing waits for the disk."""
    with tempfile.TemporaryDirectory(dir=quick_disk()) as folder:
        path = Path(folder) / "bin.sqlite"
        for lot in LOTS:
            add(lot, CELLS, bin=path)
        yield path


@dataclass
class Tab:
    """One window: the form that it shows, of which lot, and what had been done when it was shown."""

    visitor: Visitor
    forms: dict[str, Form] = field(default_factory=dict)
    lot: str = ""
    seen: int = 0
    """The number of the last thing done, 0 for none."""


@dataclass
class Model:
    """What was done, and not taken back: number, lot and what its place is now."""

    done: list[tuple[int, str, str]] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    @property
    def last(self) -> int:
        return self.done[-1][0] if self.done else 0

    def told(self, tab: Tab) -> bool:
        """Whether something was done to its lot since, or what it saw last was taken back."""
        if tab.seen and tab.seen not in [number for number, _, _ in self.done]:
            return True
        return any(number > tab.seen and lot == tab.lot for number, lot, _ in self.done)


def look(tab: Tab, model: Model, lot: str) -> None:
    page = tab.visitor.read(f"/lot/{lot}")
    tab.forms = {one.action: one for one in page.forms if one.method == "post"}
    tab.lot, tab.seen = lot, model.last


def send(tab: Tab, action: str, **typed: str) -> Response:
    form = tab.forms[action]
    return tab.visitor.post(action, data={**form.fields, **typed}, follow_redirects=False)


def move(tab: Tab, model: Model, chance: random.Random) -> None:
    number = next(model.numbers)
    place = f"shelf {number}"
    told = model.told(tab)
    answer = send(tab, f"/move/{tab.lot}", place=place)
    assert answer.status_code == (TOLD if told else DONE)
    if told:
        page = read(answer.text)
        assert "Nothing of yours has been done yet" in page.words
        others = [where for at, lot, where in model.done if at > tab.seen and lot == tab.lot]
        if tab.seen in [0, *(at for at, _, _ in model.done)]:
            assert all(where in page.words for where in others)  # she sees both: theirs
        assert place in page.words  # and hers
        if chance.random() < 0.5:
            return
        form = page.form(f"/move/{tab.lot}")
        answer = tab.visitor.post(form.action, data=form.fields, follow_redirects=False)
        assert answer.status_code == DONE
    model.done.append((number, tab.lot, place))


def take_back(tab: Tab, model: Model) -> None:
    if "/undo" not in tab.forms:
        return
    kept = tab.seen == model.last
    send(tab, "/undo")
    said = read(tab.visitor.get("/done").text).words
    assert ("something else was done meanwhile" in said) != kept
    if kept:
        model.done.pop()


def interleaved(tabs: tuple[Tab, Tab], store: Path, chance: random.Random, model: Model, before: int) -> None:
    """Both do some things, in an order that is drawn."""
    for tab in tabs:
        look(tab, model, chance.choice(LOTS))
    for _ in range(chance.randint(3, 6)):
        tab = chance.choice(tabs)
        kind = chance.random()
        if kind < 0.45:
            look(tab, model, chance.choice(LOTS[:2]))
        elif kind < 0.9 or not model.done:
            move(tab, model, chance)
        else:
            take_back(tab, model)
    whole = done_lately(1000, bin=store).values["actions"]
    assert len(whole) == before + len(model.done)
    with open_store(store) as opened:
        places = {row["lot"]: row["place"] for row in opened.rows("lots")}
    for lot in LOTS:
        moved = [where for _, of, where in model.done if of == lot]
        if moved:
            assert places[lot] == moved[-1]


def interleavings(changing: Visitor, store: Path, times: int) -> None:
    model, before = Model(), len(done_lately(1000, bin=store).values["actions"])
    with Visitor(app=changing.app) as other:
        tabs = (Tab(changing), Tab(other))
        for number in range(times):
            interleaved(tabs, store, random.Random(number), model, before)
    with open_store(store) as opened:
        assert faults_of(opened) == ()


def test_interleaved(changing: Visitor, store: Path):
    interleavings(changing, store, 15)


@pytest.mark.long(whole_of="test_interleaved")  # a hundred stories of some pages each
@pytest.mark.timeout(900)  # a busy machine takes ten times as long as a quiet one
def test_interleaved_100(changing: Visitor, store: Path):
    interleavings(changing, store, 100)


def at_once(changing: Visitor, times: int) -> None:
    """Both press at the same moment, on threads of their own."""
    model = Model()
    with Visitor(app=changing.app) as other, ThreadPoolExecutor(2) as hands:
        tabs = (Tab(changing), Tab(other))
        for number in range(times):
            same = number % 3 != 0
            for tab, lot in zip(tabs, ("petrol", "petrol" if same else "navy"), strict=True):
                look(tab, model, lot)
            pressed = [
                hands.submit(send, tab, f"/move/{tab.lot}", place=f"shelf {number} {side}")
                for side, tab in enumerate(tabs)
            ]
            found = sorted(one.result().status_code for one in pressed)
            assert found == ([DONE, TOLD] if same else [DONE, DONE])


def test_at_once(changing: Visitor):
    at_once(changing, 8)


@pytest.mark.long(whole_of="test_at_once")  # forty times two pages are read and sent
@pytest.mark.timeout(900)  # a busy machine takes ten times as long as a quiet one
def test_at_once_40(changing: Visitor):
    at_once(changing, 40)

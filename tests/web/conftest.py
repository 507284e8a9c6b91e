"""The page as tests meet it: by a visitor in this process, and by a real browser before a real server.

`demo` and `weeks_on` (read only), `changing` (a copy of one's own) and `empty` (nothing yet) are visitors without
scripts. `served` is the real server on the demo some weeks on, for the whole run; `browsing` gives pages of a real browser, which must keep to this
machine and say nothing on its console. Playwright's own loop runs in the test's thread from the first use of `browsing`
on, so no test of this folder may run a loop of its own there (`asyncio.run`); in a thread of its own it may.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from browser import FLAGS, NoBrowser, found_or_installed
from read_once import read_once
from searched_once import searched_once
from server import Served, serving
from visitor import Visitor, copied
from windows import PATIENCE_MS, windows

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True, scope="module")  # so that it ends where tests of the search itself begin
def nothing_is_searched_or_read_twice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with searched_once(tmp_path_factory), read_once():
        yield


@pytest.fixture(scope="session")
def taken_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with all of the demo, to be copied and left as it is."""
    from matcher.actions.keeping.intake import intake

    path = tmp_path_factory.mktemp("demo") / "bin.sqlite"
    intake(ROOT / "demo", bin=path)
    return path


@pytest.fixture(scope="session")
def lived_in(taken_in: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo some weeks on: a hat on the needles, a cosy finished, a lot decided on, a swatch written down; to be
    copied and left as it is."""
    from matcher import begin, finish, row, swatch, triage, weigh, wishes

    path = copied(taken_in, tmp_path_factory.mktemp("lived in"))
    begin("egg-cosy", ["red"], anyway=True, bin=path)
    finish("1", {"red": "20 g"}, bin=path)
    begin("hat-stranded-band", ["main=oatmeal", "contrast 1=navy"], size="adult medium", anyway=True, bin=path)
    row("2", 5, bin=path)
    triage(path, lot="rust", decide="tag it now")
    swatch("moss", stitches=30, rows=30, grams=6.0, bin=path)
    wishes({"least_contrast": "readable"}, bin=path)
    weigh("petrol", "31 g", bin=path)
    return path


@pytest.fixture
def store(taken_in: Path, tmp_path: Path) -> Path:
    """A copy of the demo's store, to be changed."""
    return copied(taken_in, tmp_path / "mine")


@pytest.fixture(scope="session")
def demo(taken_in: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A visitor of the demo's store, who only looks; the store is `demo.bin`."""
    with Visitor(copied(taken_in, tmp_path_factory.mktemp("looked at"))) as visitor:
        yield visitor


@pytest.fixture
def changing(store: Path) -> Iterator[Visitor]:
    """A visitor of the copy `store`, who may change it."""
    with Visitor(store) as visitor:
        yield visitor


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Visitor]:
    """A visitor before anything is there; her store will be `nothing yet.sqlite`."""
    with Visitor(tmp_path / "nothing yet.sqlite") as visitor:
        yield visitor


@pytest.fixture(scope="session")
def weeks_on(lived_in: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A visitor of `lived_in`, who only looks."""
    with Visitor(copied(lived_in, tmp_path_factory.mktemp("weeks on"))) as visitor:
        yield visitor


@pytest.fixture(scope="session")
def served(lived_in: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The real server on a copy of `lived_in`, to be looked at."""
    with serving(copied(lived_in, tmp_path_factory.mktemp("served"))) as one:
        yield one


@pytest.fixture
def own_server(store: Path) -> Iterator[Served]:
    """The real server on the copy `store`, for a test that changes it."""
    with serving(store) as one:
        yield one


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests of this process. Where CI is set a missing one is a failure, elsewhere it is skipped."""
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=PATIENCE_MS)
    try:
        path = found_or_installed()
    except NoBrowser as none:
        # Whoever has no browser and no way to one may still try all the rest; CI is where nothing may be passed over.
        if os.environ.get("CI"):
            pytest.fail(str(none))
        pytest.skip(str(none))
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@pytest.fixture
def browsing(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Callable[..., Page]]:
    """Pages of the browser: `browsing(served.address)`, each in a context of its own; what they may be is said in `windows`."""
    with windows(browser, request.node.name) as opened:
        yield opened

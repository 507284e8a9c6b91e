"""Every view: for eyes, ears and hands that differ, narrow and wide, light and dark, with scripts and without.

The list of views is made from the routes, so that a new one can't be forgotten.
"""

from __future__ import annotations

import json
import re
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from addresses import ASKED, HEAVY, addresses, is_paper, leads, without_example
from markup import Markup, read
from playwright.sync_api import Browser, Page
from server import Served
from visitor import Visitor
from windows import WIDE, keep_look, windows

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
NARROW = {"width": 320, "height": 640}
HEADINGS = ("h1", "h2", "h3", "h4", "h5", "h6")
TOO_LARGE = 200_000  # bytes of a page; pictures do not count


# Every view once; what is asked of it otherwise, and what takes long to look for, is looked at with -m long.
EVERY = [
    *(one for one in addresses() if one not in ASKED),
    *(pytest.param(one, marks=pytest.mark.long) for one in (*ASKED, *HEAVY)),
]


def test_no_view_is_forgotten():
    assert without_example() == []


def faults(page: Page, rules: list[str] | None = None) -> list[str]:
    """What axe finds on the page as it looks now. It comes in over the browser's own wire, past what the page may load."""
    if not page.evaluate("() => 'axe' in window"):  # half a megabyte, which is sent and read once for a page
        page.evaluate(f"() => {{ {AXE} }}")
    options: dict[str, Any] = {"resultTypes": ["violations"]}
    if rules:
        options["runOnly"] = {"type": "rule", "values": rules}
    found = page.evaluate(f"() => axe.run(document, {json.dumps(options)})")
    return [
        f"{one['id']}: {node['html'][:160]} ({node['failureSummary'][:200]})"
        for one in found["violations"]
        for node in one["nodes"]
    ]


def is_page(headers: Mapping[str, str]) -> bool:
    """Not a picture, and not a file to keep."""
    return headers["content-type"].startswith("text/html") and "content-disposition" not in headers


@pytest.fixture(scope="module")
def window(browser: Browser, served: Served) -> Iterator[Page]:
    """One for all views: to open one for each takes longer than to look. What was heard on its console says where."""
    with windows(browser, "every view") as opened:
        yield opened(served.address + "/static/icon.svg")


@pytest.fixture
def ready(served: Served, window: Page) -> Callable[[str], bool]:
    """Look at an address, wide and by daylight, and wait until what it works out is there; whether it is a page at all."""
    page = window

    def look(address: str) -> bool:
        page.set_viewport_size(WIDE)
        page.emulate_media(color_scheme="light")
        answer = page.request.get(served.address + address)
        assert answer.status == 200
        if not is_page(answer.headers):
            return False
        if is_paper(address):  # its scripts may not be asked whether it is there, but the server may
            _until_worked_out(page, served.address + address)
        page.goto(served.address + address)
        if not is_paper(address):
            page.wait_for_function("() => !document.querySelector('[hx-get^=\"/working/\"]')", timeout=90_000)
        return True

    return look


def _until_worked_out(page: Page, address: str) -> None:
    for _ in range(300):
        if "/working/" not in page.request.get(address).text():
            return
        time.sleep(0.3)
    raise TimeoutError(address)


@pytest.mark.parametrize("address", EVERY)
def test_it_is_for_everybody(address: str, window: Page, ready: Callable[[str], bool]):
    page = window
    if not ready(address):
        return
    if is_paper(address):
        assert faults(page, ["document-title", "html-has-lang", "image-alt", "svg-img-alt", "bypass"]) == []
        return
    assert faults(page) == []
    page.emulate_media(color_scheme="dark")
    assert faults(page, ["color-contrast", "link-in-text-block"]) == [], "in the dark"
    page.emulate_media(color_scheme="light")
    page.set_viewport_size(NARROW)
    wide = page.evaluate("() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide[0] <= wide[1], f"at 320 pixels it must be scrolled sideways: {too_wide(page)}"
    assert faults(page, ["target-size"]) == [], "at 320 pixels"
    keep_look(page, address)


def too_wide(page: Page) -> str:
    return str(
        page.evaluate(
            "() => [...document.querySelectorAll('main *')]"
            ".filter((one) => one.getBoundingClientRect().right > innerWidth + 1)"
            ".slice(0, 5).map((one) => one.outerHTML.slice(0, 120))"
        )
    )


def headings(page: Markup) -> list[int]:
    return [HEADINGS.index(tag) + 1 for tag, _ in page.tags if tag in HEADINGS]


@pytest.mark.parametrize("address", EVERY)
def test_it_reads_without_a_script(address: str, weeks_on: Visitor):
    answer = weeks_on.look(address)
    if not is_page(answer.headers):
        return
    assert len(re.sub(r"<svg.*?</svg>", "", answer.text, flags=re.DOTALL)) < TOO_LARGE
    page = read(answer.text)
    tags = Counter(tag for tag, _ in page.tags)
    assert tags["h1"] == 1
    assert tags["main"] == 1
    assert tags["title"] >= 1  # pictures have theirs
    assert [pair for pair in zip(headings(page), headings(page)[1:], strict=False) if pair[1] > pair[0] + 1] == []
    assert [one for one, times in Counter(page.ids).items() if times > 1] == []
    assert [link for link in page.links if leads(link) is None] == []
    posts = {one.action for one in page.forms if one.method == "post"}
    assert [action for action in posts if leads(action, "POST") is None] == []
    assert [one.action for one in page.forms if one.method == "post" and "token" not in one.fields] == []
    gets = {one.action for one in page.forms if one.method == "get"}
    assert [action for action in gets if leads(action) is None] == []
    for tag, had in page.tags:
        # A sheet of paper has measures of its own, which are let in by their hashes alone.
        assert "style" not in had or is_paper(address), (tag, had)
        assert [name for name in had if name.startswith(("on", "hx-on"))] == [], (tag, had)
        if tag == "script":
            assert had["src"].startswith("/static/"), had


def test_every_link_leads_to_a_page(weeks_on: Visitor):
    """Two links of each kind from every view; what they lead to is there."""
    seen: dict[str, set[str]] = {}
    for address in addresses():
        answer = weeks_on.look(address)
        if is_page(answer.headers):
            for link in read(answer.text).links:
                kind = leads(link)
                if kind and kind != "/static" and len(seen.setdefault(kind, set())) < 2:
                    seen[kind].add(link.partition("#")[0])
    tried = sorted({link for links in seen.values() for link in links} - set(addresses()))
    tried = [link for link in tried if link.partition("?")[0] not in HEAVY]
    assert [(link, found) for link in tried if (found := weeks_on.visit(link).status_code) != 200] == []

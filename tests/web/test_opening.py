"""The page opens in a real browser: the server says where, the browser finds it, and nothing leaves this machine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import browser as browser_of_tests
import pytest
from playwright.sync_api import Page, expect
from server import Served
from visitor import Visitor


def test_it_opens(served: Served, browsing: Callable[..., Page]):
    page = browsing(served.address)
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    page.get_by_role("link", name="Yarn", exact=True).click()
    expect(page).to_have_url(f"{served.address}/bin")


def test_a_lot_is_weighed_and_taken_back(changing: Visitor):
    lot = changing.read("/bin").words
    assert "petrol" in lot
    assert "was" in changing.said(changing.submit("/lot/petrol", "/weigh/petrol", grams="20"))
    changing.submit("/lot/petrol", "/undo")
    assert "32 g" in changing.read("/lot/petrol").words


def test_where_there_is_no_browser_it_says_how(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    monkeypatch.setenv("MATCHER_BROWSER", str(tmp_path / "none"))
    monkeypatch.setattr(browser_of_tests.subprocess, "run", lambda *given, **named: None)
    with pytest.raises(browser_of_tests.NoBrowser, match="install chromium"):
        browser_of_tests.found_or_installed()

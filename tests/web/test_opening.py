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


@pytest.fixture
def installing(monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[str]]:
    """A machine with these browsers, whose installer brings what it is asked for: what it was asked for."""

    def asked_of(*browsers: str, root: bool = True) -> list[str]:
        there, asked = {"apt-get", *browsers}, list[str]()

        def run(command: tuple[str, ...], **_: object) -> None:
            if "install" in command:
                asked.append(command[-1])
                there.add(command[-1])

        monkeypatch.delenv("MATCHER_BROWSER", raising=False)
        monkeypatch.setattr(browser_of_tests.os, "geteuid", lambda: 0 if root else 1000)
        monkeypatch.setattr(browser_of_tests.shutil, "which", lambda one: f"/bin/{one}" if one in there else None)
        monkeypatch.setattr(browser_of_tests.subprocess, "run", run)
        return asked

    return asked_of


@pytest.mark.parametrize(
    ("there", "ci", "root", "wanted", "installed"),
    [
        ((), "", True, "chromium-headless-shell", ["chromium-headless-shell"]),
        (("chromium",), "", True, "chromium", []),
        (("chromium",), "true", False, "chromium", []),
        (("chromium",), "true", True, "chromium-headless-shell", ["chromium-headless-shell"]),
        (("chromium", "chromium-headless-shell"), "true", True, "chromium-headless-shell", []),
    ],
    ids=["nothing there", "at home", "build server that may not", "build server", "both there"],
)
def test_the_one_without_windows_is_best(
    there: tuple[str, ...], ci: str, root: bool, wanted: str, installed: list[str], installing, monkeypatch
):
    monkeypatch.setenv("CI", ci)
    asked = installing(*there, root=root)
    assert browser_of_tests.found_or_installed() == Path("/bin") / wanted
    assert asked == installed

"""Windows of a real browser, which must keep to this machine and say nothing on their console."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

WIDE, PHONE = {"width": 1200, "height": 900}, {"width": 360, "height": 760}
PATIENCE_MS = 20_000  # of a busy machine: a browser's five seconds are too short there


@contextmanager
def windows(browser: Browser, name: str) -> Iterator[Callable[..., Page]]:
    """Pages of the browser: `opened(address)`, `phone=True`, `script=False`, `dark=True`; each in a context of its own.
    What they ask of another machine never leaves this one, and is a failure, as is a word on the console.

    The last look of each page is kept, by that name, where `keep_look` says.
    """
    contexts: list[BrowserContext] = []
    abroad: list[str] = []
    console: list[str] = []

    def opened(address: str, *, phone: bool = False, script: bool = True, dark: bool = False, **more: Any) -> Page:
        home = re.match(r"https?://[^/]+", address)
        assert home, address
        kept = more.pop("service_workers", "block")
        context = browser.new_context(
            viewport=more.pop("viewport", PHONE if phone else WIDE),
            has_touch=phone,
            is_mobile=phone,
            java_script_enabled=script,
            color_scheme="dark" if dark else "light",
            reduced_motion="reduce",
            service_workers=kept,
            ignore_https_errors=True,
            **more,
        )
        context.set_default_timeout(PATIENCE_MS)
        contexts.append(context)

        def guard(route: Any) -> None:
            if route.request.url.startswith((home[0] + "/", "blob:", "data:")):
                route.continue_()
            else:
                abroad.append(route.request.url)
                route.abort()

        context.route("**/*", guard)
        page = context.new_page()
        page.on("console", lambda said: console.append(f"{said.type}: {said.text} ({said.location.get('url')})"))
        page.on("pageerror", lambda fault: console.append(f"fault: {fault}"))
        page.goto(address)
        return page

    yield opened
    for number, context in enumerate(contexts):
        for page in context.pages:
            keep_look(page, f"{name}-{number}")
        context.close()
    assert abroad == [], abroad
    # A refusal that is shown is a page like any other; the browser remarks on its status.
    heard = [said for said in console if "Failed to load resource" not in said]
    assert heard == [], heard


def keep_look(page: Page, name: str) -> None:
    """Keep how a page looks now in the folder MATCHER_SHOTS, if it is set."""
    if folder := os.environ.get("MATCHER_SHOTS"):
        Path(folder).mkdir(parents=True, exist_ok=True)
        name = re.sub(r"[^\w-]+", "-", name).strip("-")
        page.screenshot(path=Path(folder) / f"{name}.png", full_page=True)

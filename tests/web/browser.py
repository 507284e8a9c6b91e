"""A real browser for the tests: Debian's chromium or any of its kin, installed where there is none and it may be.

`python tests/web/browser.py` says which it found, installs one, or says in one sentence how to.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome")
PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
# As root and in containers a browser starts with these only: no sandbox for root, no graphics, little shared memory.
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage")
HOW = (
    "no browser was found for the tests of the page, and none could be installed: install chromium "
    "(Debian: apt-get install chromium; elsewhere: playwright install chromium), or name one in MATCHER_BROWSER"
)
_INSTALLING_S = 600


class NoBrowser(Exception):
    """There is none, and none could be installed; its words say how."""


def find() -> Path | None:
    """A browser that is here: the one named in MATCHER_BROWSER, one of the system's, one of playwright's own."""
    named = os.environ.get("MATCHER_BROWSER")
    for one in (named,) if named else (*NAMES, *PLACES):
        found = shutil.which(one)
        if found:
            return Path(found)
    return None if named else _of_playwright()


def found_or_installed() -> Path:
    """A browser; one process installs, the others wait for it. Raises NoBrowser."""
    there = find()
    if there is not None:
        return there
    with open(Path(tempfile.gettempdir()) / f"matcher-browser-{os.getuid()}.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        there = find() or _install()
    if there is None:
        raise NoBrowser(HOW)
    return there


def _install() -> Path | None:
    ways = []
    if hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get"):
        ways.append(("apt-get", "update"))
        ways.append(("apt-get", "install", "-y", "--no-install-recommends", "chromium"))
    ways.append((sys.executable, "-m", "playwright", "install", "chromium"))
    for way in ways:
        try:
            subprocess.run(
                way,
                check=False,
                timeout=_INSTALLING_S,
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
            )
        except (OSError, subprocess.TimeoutExpired):
            continue
        there = find()
        if there is not None:
            return there
    return None


def _of_playwright() -> Path | None:
    """Where playwright keeps the browsers that it installed."""
    homes = (
        os.environ.get("PLAYWRIGHT_BROWSERS_PATH") or "~/.cache/ms-playwright",
        "~/Library/Caches/ms-playwright",
    )
    for home in homes:
        for pattern in ("chromium-*/chrome-linux*/chrome", "chromium-*/chrome-mac*/*.app/Contents/MacOS/*"):
            found = sorted(Path(home).expanduser().glob(pattern))
            if found:
                return found[-1]
    return None


if __name__ == "__main__":
    try:
        print(found_or_installed())
    except NoBrowser as none:
        sys.exit(str(none))

"""A real browser for the tests: Debian's chromium or any of its kin, installed where there is none and it may be.

Best is the one without windows, playwright's own choice as well: the same engine, which opens a page in a fraction of the
time, since no window with its bars is laid out for it. A build server gets it where it has only another.

`python tests/web/browser.py` says which it found, installs one, or says in one sentence how to.
"""

from __future__ import annotations

import fcntl
import os
import shutil
import subprocess
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

WITHOUT_WINDOWS = "chromium-headless-shell"
NAMES = (WITHOUT_WINDOWS, "chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome")
PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
# Of playwright's own: the one without windows, then the other.
OF_PLAYWRIGHT = (
    *("chromium_headless_shell-*/chrome-*/headless_shell", "chromium_headless_shell-*/*/chrome-headless-shell"),
    *("chromium-*/chrome-linux*/chrome", "chromium-*/chrome-mac*/*.app/Contents/MacOS/*"),
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
    if there is not None and not _could_be_quicker():
        return there
    with open(Path(tempfile.gettempdir()) / f"matcher-browser-{os.getuid()}.lock", "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if _could_be_quicker():
            _by_apt(WITHOUT_WINDOWS)
        there = find() or _install()
    if there is None:
        raise NoBrowser(HOW)
    return there


def _could_be_quicker() -> bool:
    """Whether this is a build server that has another browser and may install the one without windows. What somebody
    works at gets no second one."""
    wanted = os.environ.get("CI") and not os.environ.get("MATCHER_BROWSER")
    return bool(wanted) and _may_by_apt() and not shutil.which(WITHOUT_WINDOWS)


def _may_by_apt() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def _by_apt(name: str) -> None:
    _quietly("apt-get", "update")
    _quietly("apt-get", "install", "-y", "--no-install-recommends", name)


def _install() -> Path | None:
    for name in (WITHOUT_WINDOWS, "chromium") if _may_by_apt() else ():
        _by_apt(name)
        if there := find():
            return there
    _quietly(sys.executable, "-m", "playwright", "install", "chromium")
    return find()


def _quietly(*command: str) -> None:
    with suppress(OSError, subprocess.TimeoutExpired):
        subprocess.run(
            command,
            check=False,
            timeout=_INSTALLING_S,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
        )


def _of_playwright() -> Path | None:
    """Where playwright keeps the browsers that it installed."""
    homes = (
        os.environ.get("PLAYWRIGHT_BROWSERS_PATH") or "~/.cache/ms-playwright",
        "~/Library/Caches/ms-playwright",
    )
    for home in homes:
        for pattern in OF_PLAYWRIGHT:
            found = sorted(Path(home).expanduser().glob(pattern))
            if found:
                return found[-1]
    return None


if __name__ == "__main__":
    try:
        print(found_or_installed())
    except NoBrowser as none:
        sys.exit(str(none))

"""Each folder says what lives in it: every module and room of it is named, in the order to read them, and nothing is loaded."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import matcher

PACKAGE = Path(matcher.__file__).parent
ROOMS = sorted(path.parent.relative_to(PACKAGE).as_posix() for path in PACKAGE.rglob("*/__init__.py"))


def told(docstring: str) -> set[str]:
    """Modules and rooms that a folder's words name: `desk`, `keeping/`."""
    return set(re.findall(r"`([a-z][a-z_0-9]*/?)`", docstring))


def inside(folder: Path) -> set[str]:
    """Modules of a folder by name, rooms in it with a stroke behind."""
    modules = {path.stem for path in folder.glob("*.py")} - {"__init__"}
    return modules | {f"{path.parent.name}/" for path in folder.glob("*/__init__.py")}


@pytest.mark.parametrize("room", ROOMS)
def test_a_folder_says_what_lives_in_it(room: str):
    words = ast.parse((PACKAGE / room / "__init__.py").read_text("utf-8"))
    docstring = ast.get_docstring(words) or ""
    missing = inside(PACKAGE / room) - told(docstring)
    assert not missing, f"matcher/{room}/__init__.py does not say what these are: {sorted(missing)}"
    order = next((one for one in docstring.split("\n\n") if one.startswith("Read in this order")), "")
    gone = told(order) - inside(PACKAGE / room)
    assert not gone, f"matcher/{room}/__init__.py names what is not there: {sorted(gone)}"


@pytest.mark.parametrize("room", ROOMS)
def test_a_folder_loads_nothing_by_itself(room: str):
    words = ast.parse((PACKAGE / room / "__init__.py").read_text("utf-8"))
    assert len(words.body) == 1


def test_every_room_has_its_words():
    folders = {path.parent for path in PACKAGE.rglob("*.py")} - {PACKAGE}
    assert {folder.relative_to(PACKAGE).as_posix() for folder in folders} == set(ROOMS)

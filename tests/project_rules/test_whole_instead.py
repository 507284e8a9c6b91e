"""What is left out beside its whole: nothing but that, and each whole names a case that is there."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from whole_instead import pytest_collection_modifyitems

TESTS = Path(__file__).parents[1]


def collected(name: str, whole_of: str | None = None, path: str = "test_one.py") -> Any:
    marks = [] if whole_of is None else [pytest.mark.long(whole_of=whole_of) if whole_of else pytest.mark.long]
    return SimpleNamespace(name=name, path=Path(path), iter_markers=lambda _: (one.mark for one in marks))


def left_of(*items: Any) -> tuple[list[str], list[str]]:
    """The names of what is run, and of what is said to be left out."""
    run, out = list(items), list[Any]()
    hook = SimpleNamespace(pytest_deselected=lambda items: out.extend(items))
    pytest_collection_modifyitems(SimpleNamespace(hook=hook), run)
    return [one.name for one in run], [one.name for one in out]


def test_a_case_is_left_out_beside_its_whole_alone():
    few, other = collected("test_few[3]"), collected("test_few[3]", path="test_other.py")
    assert left_of(few, collected("test_many", "test_few[3]"), other) == (["test_many", "test_few[3]"], ["test_few[3]"])
    assert left_of(few, other) == (["test_few[3]"] * 2, [])
    assert left_of(few, collected("test_few[30]", "")) == (["test_few[3]", "test_few[30]"], [])


def test_of_the_same_parameters_the_name_is_enough():
    few = [collected(f"test_few[{one}]") for one in (1, 2)]
    assert left_of(*few, collected("test_many[2]", "test_few")) == (["test_few[1]", "test_many[2]"], ["test_few[2]"])
    assert left_of(collected("test_few"), collected("test_many", "test_few")) == (["test_many"], ["test_few"])


def test_each_whole_names_a_case_of_its_file():
    named = 0
    for file in TESTS.rglob("test_*.py"):
        text = file.read_text("utf-8")
        if file != Path(__file__):
            for name in re.findall(r'long\(\s*whole_of="(\w+)(?:\[[^"]*\])?"\s*\)', text):
                assert f"\ndef {name}(" in text, f"{file.name} has no {name}"
                named += 1
    assert named >= 10

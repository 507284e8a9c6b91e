"""The page's figures are the commands': whatever `--json` has of the demo's lots, garments, contrasts and reserves stands
on the page, said in three manners; and every action is reachable from the page, or its reason stands here.
"""

from __future__ import annotations

import ast
import itertools
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from markup import read
from typer.testing import CliRunner
from visitor import Visitor

import matcher
import matcher.web
from matcher.reasons.quantities import Length, Mass
from matcher.web.session import SAID, HowSaid

MANNERS = (HowSaid(), HowSaid("imperial"), HowSaid("mixed", "comma", "british"))


@pytest.fixture(scope="session")
def told(taken_in: Path) -> Callable[..., Any]:
    """What a command says with --json of the same store."""
    from matcher.cli.commands import app

    def run(*words: str) -> Any:
        ended = CliRunner().invoke(app, [str(taken_in) if one == "BIN" else one for one in (*words, "--json")])
        assert ended.exit_code in (0, 1), ended.output
        return json.loads(ended.stdout)

    return run


def in_manner(demo: Visitor, manner: HowSaid, address: str) -> str:
    found = demo.visit(address, headers={"cookie": f"{SAID}={manner.cookie()}"})
    assert found.status_code == 200, address
    return read(found.text).words


def figures(told: Any, keys: dict[str, type]) -> Iterator[tuple[str, Any]]:
    """Every figure of those keys, wherever it stands."""
    if isinstance(told, dict):
        for key, value in told.items():
            if key in keys and isinstance(value, int | float):
                yield key, keys[key](float(value))
            yield from figures(value, keys)
    elif isinstance(told, list):
        for one in told:
            yield from figures(one, keys)


OF_A_LOT = {"mass_g": Mass, "grams": Mass, "length_m": Length, "metres": Length, "free_m": Length}


def test_every_lot(demo: Visitor, told: Callable[..., Any]):
    lots = told("list", "lots", "BIN")["lots"]
    assert len(lots) > 40
    looked = 0
    for number, one in enumerate(lots):
        manner = MANNERS[number % 3]
        words = in_manner(demo, manner, f"/lot/{quote(one['lot'], safe='')}")
        for key, figure in figures(one, OF_A_LOT):
            assert manner.style().say(figure) in words, (one["lot"], key)
            looked += 1
    assert looked > 100


OF_A_GARMENT = {"reserve_m": Length}


def test_every_garment(demo: Visitor, told: Callable[..., Any]):
    looked = 0
    for manner in MANNERS:
        for one in told("reserve", "BIN")["groups"]:
            if not one["garment"]:
                continue
            words = in_manner(demo, manner, f"/garment/{quote(one['garment'], safe='')}")
            for key, figure in figures(one, OF_A_GARMENT):
                assert manner.style().say(figure) in words, (one["garment"], one["colour"], key)
                looked += 1
    assert looked


def test_contrasts(demo: Visitor, told: Callable[..., Any]):
    for first, second in itertools.pairwise(["navy", "cream", "petrol", "rust", "fog", "moss", "berry mix"]):
        found = told("contrast", first, second, "--bin", "BIN")
        words = in_manner(demo, HowSaid(), f"/colours?{urlencode([('lot', first), ('lot', second)])}")
        verdict = found["verdict"] if "verdict" in found else found["pairs"][0]["verdict"]
        assert verdict in words, (first, second, verdict)


ELSEWHERE = {
    "read_bin": "reads a bin for a notebook; the page has read it already",
    "verify": "looks a store's file over; every page that reads the file says what is wrong with it",
    "needs": "metres of a thing that was not suggested; the pattern of each thing has them",
    "pool": "asks a folder of many people's bins, of which a page shows none but its own",
    "piece": "a shape of her own, measured piece by piece: in the command only",
    "reserve": "stands on each garment, by `kept_for`",
    "motif": "the page draws and counts a motif by the functions that this action calls",
    "whose": "which lot a scrap is of: asked in the command only",
    "tags": "the page draws the same tags by `tagged_lots`, and writes no file",
}
"""Actions that no view calls by their own name, and why."""


def called() -> set[tuple[str, str]]:
    """Everything that the page imports from the actions: module and name."""
    found = set()
    for file in Path(matcher.web.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("matcher.actions"):
                found |= {(node.module, one.name) for one in node.names}
    return found


def test_every_action_is_reachable():
    reached = called()
    there = {name for name in matcher.__all__ if (matcher._HOME[name], name) in reached}
    assert set(matcher.__all__) - there - ELSEWHERE.keys() == set()
    assert ELSEWHERE.keys() & there == set(), "reached after all: no reason is needed"

"""`matcher set`: what it hands on of what was asked, Ctrl-C, and its answer as screen, JSON and table."""

from __future__ import annotations

import csv
import io
import json
import signal
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from made_sets import made_sets
from typer.testing import Result

from matcher.actions.desk import Desk
from matcher.actions.sets.result import Sets
from matcher.reasons.reason import reason

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.fixture(scope="module")
def made() -> Sets:
    return made_sets(Desk(DEMO))


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch, made: Sets) -> dict[str, Any]:
    """What the command hands on; the answer is put together by hand, and no search takes its time."""
    found: dict[str, Any] = {}

    def planned(bin: Any, **given: Any) -> Sets:
        found.update(bin=bin, **given)
        return replace(made, notes=(reason("something to know"),), files=(Path("drawn/set.svg"),))

    monkeypatch.setattr("matcher.actions.sets.plan.plan_set", planned)
    return found


def test_everything_that_is_asked_is_handed_on(run: Callable[..., Result], asked: dict[str, Any], fits_80):
    shown = run(
        *("set", "demo", "--want", "2 hats for adults", "--want", "1 cowl", "--people", "--use-up", "--each-different"),
        *("--match", "navy yoke pullover"),
        *("--keep", "navy", "--keep", "fog", "--must", "red", "--sure", "0.9"),
        *("--time-limit", "3", "--alternatives", "2", "--for", "my father", "--eyes", "red", "--mending", "little"),
        *("--units", "imperial", "--out", "drawn", "--replace"),
    )
    assert shown.exit_code == 0, shown.output
    fits_80(shown.stdout)
    progress, style = asked.pop("progress"), asked.pop("style")
    assert callable(progress)
    assert style.units == "imperial"
    assert asked == {
        "bin": Path("demo"),
        "want": ["2 hats for adults", "1 cowl"],
        "people": True,
        "match": "navy yoke pullover",
        "aim": "use-up",
        "each_different": True,
        "keep": ["navy", "fog"],
        "must": ["red"],
        "sure": 0.9,
        "time_limit": 3.0,
        "alternatives": 2,
        "whom": ["my father"],
        "eyes": "red",
        "mending": "little",
        "catalog": None,
        "out": Path("drawn"),
        "replace_files": True,
    }
    assert "something to know" in shown.stderr
    assert "drawn/set.svg is written" in shown.stderr


@pytest.mark.parametrize(
    ("options", "aim"), [((), "best"), (("--use-up",), "use-up"), (("--few",), "few"), (("--most",), "most")]
)
def test_one_aim_is_handed_on(run: Callable[..., Result], asked: dict[str, Any], options: tuple[str, ...], aim: str):
    assert run("set", "demo", *options).exit_code == 0
    assert asked["aim"] == aim


def test_two_aims_are_refused(run: Callable[..., Result], asked: dict[str, Any]):
    shown = run("set", "demo", "--few", "--most")
    assert shown.exit_code == 2
    assert "a set has one aim (--few and --most)" in " ".join(shown.stderr.split())
    assert not asked


def test_json_has_the_keys_of_the_result(run_json: Callable[..., dict[str, Any]], asked: dict[str, Any], made: Sets):
    told = run_json("set", "demo", "--units", "mixed")
    assert told["units"] == "mixed"
    assert set(told) == {
        *("aim", "sure_at_least", "units", "accessories", "lots", "sure", "objective", "bound", "gap", "proved"),
        *("not_possible", "alternatives", "notes", "files"),
    }
    assert [one["person"] for one in told["accessories"]] == [", ".join(one.people) for one in made.best]
    assert told["aim"] == "use-up"


def test_the_table_has_a_row_for_each_lot_and_thing(run: Callable[..., Result], asked: dict[str, Any], made: Sets):
    shown = run("set", "demo", "--csv")
    rows = list(csv.DictReader(io.StringIO(shown.stdout)))
    assert len(rows) == sum(len(one.used) for one in made.best.lots)
    assert {one["lot"] for one in rows} == {one.lot.name for one in made.best.lots}


def test_a_set_of_her_own_bin_is_shown_and_written(
    run_json: Callable[..., dict[str, Any]], small: Path, tmp_path: Path
):
    asked = ("set", small, "--want", "egg cosy, 4 key fobs, 1 sock for 5 years", "--out", tmp_path / "out")
    told = run_json(*asked)
    assert [Path(path).name for path in told["files"]] == [
        *("set.svg", "set.png", "set-a4.html", "set-letter.html", "set.json"),
    ]
    assert told["proved"]
    assert told["bound"] == told["objective"]
    assert [one["want"] for one in told["not_possible"]]
    assert {one["accessory"] for one in told["accessories"]} == {"egg cosy", "key fob"}
    written = json.loads((tmp_path / "out" / "set.json").read_text(encoding="utf-8"))
    assert written == {key: value for key, value in told.items() if key != "files"}
    # The same bin gives the same set, and the same files.
    assert run_json(*asked)["files"] == told["files"]


class _Stopped(Exception):
    """What the program's own handler raises."""


@pytest.fixture
def handler() -> Iterator[None]:
    def stop(*_: object) -> None:
        raise _Stopped

    before = signal.signal(signal.SIGINT, stop)
    yield
    signal.signal(signal.SIGINT, before)


def test_ctrl_c_gives_what_was_found_so_far(
    run: Callable[..., Result], monkeypatch: pytest.MonkeyPatch, made: Sets, handler: None
):
    def planned(*_: object, **__: object) -> Sets:
        try:
            signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            return made
        raise AssertionError

    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr("matcher.actions.sets.plan.plan_set", planned)
    shown = run("set", "demo", "--json")
    assert shown.exit_code == 0
    assert len(json.loads(shown.stdout)["accessories"]) == len(made.best)
    assert signal.getsignal(signal.SIGINT) is before


def test_ctrl_c_where_nothing_was_found_stops_it_as_ever(
    run: Callable[..., Result], monkeypatch: pytest.MonkeyPatch, handler: None
):
    def planned(*_: object, **__: object) -> Sets:
        signal.raise_signal(signal.SIGINT)
        raise AssertionError

    monkeypatch.setattr("matcher.actions.sets.plan.plan_set", planned)
    with pytest.raises(_Stopped):
        run("set", "demo")


def test_a_fault_leaves_ctrl_c_as_it_was(run: Callable[..., Result], monkeypatch: pytest.MonkeyPatch, handler: None):
    def planned(*_: object, **__: object) -> Sets:
        raise ValueError

    before = signal.getsignal(signal.SIGINT)
    monkeypatch.setattr("matcher.actions.sets.plan.plan_set", planned)
    with pytest.raises(ValueError):
        run("set", "demo")
    assert signal.getsignal(signal.SIGINT) is before

"""A bare `matcher`: five lines of what is there, what is begun, what wants doing, and what to type next."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

import matcher
from matcher.actions.looking.overview import overview


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "bin.sqlite"
    monkeypatch.setenv("MATCHER_BIN", str(place))
    matcher.intake("demo", bin=place)
    return place


def test_without_a_store_it_says_what_to_do_first(run, fits_80, tmp_path: Path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    shown = run()
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    commands = [line.split("   ")[0].strip() for line in shown.stdout.splitlines() if line.startswith("  matcher ")]
    assert [shlex.split(one)[1] for one in commands] == ["check", "intake", "add"]
    assert run(*shlex.split(commands[2])[1:]).exit_code == 0  # as typed
    assert "matcher suggest demo" in shown.stdout


def test_a_store_is_told_in_five_lines(run, fits_80, store: Path):
    matcher.begin("egg-cosy", ["white cotton"])
    matcher.weigh("navy", "85 g")
    shown = run()
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    lines = [line for line in shown.stdout.splitlines() if not line.startswith("  ")]
    assert [line.split(":")[0].split()[0] for line in lines] == ["You", "On", "To", "Last", "Next"]
    read = matcher.read_bin(store)
    grams = sum(lot.mass_g for lot in read.lots)
    assert f"You have {len(read.lots)} lots, {grams:.0f}" in lines[0].replace("\u00a0", " ")
    assert "9 garments (4 worn)" in lines[0]
    assert "egg cosy (since " in lines[1]
    assert f"{len(read.lots) - 1} lots were not weighed" in " ".join(shown.stdout.split())
    assert "weigh navy: 88" in lines[3]


def test_units_are_those_she_wishes(run, store: Path, tmp_path: Path):
    matcher.wishes({"units": "imperial"}, bin=store)
    assert " oz in " in run().stdout.replace("\u00a0", " ")
    assert " oz, about " in run("list").stdout.replace("\u00a0", " ")
    assert " g, about " in run("list", "demo").stdout.replace("\u00a0", " ")  # which wishes nothing
    other = tmp_path / "other.sqlite"
    matcher.add("navy", {"grams": "41", "colour": "navy", "class": "3"}, bin=other)
    matcher.wishes({"units": "mixed"}, bin=other)
    assert " g, about 1" in run("list", other).stdout.replace("\u00a0", " ")
    assert " yd" in run("list", other).stdout.replace("\u00a0", " ")
    assert " m of it free" in run("list", other, "--units", "metric").stdout.replace("\u00a0", " ")


def test_unlabelled_lots_are_those_whose_band_is_gone_the_heaviest_first(store: Path):
    gone = [lot for lot in matcher.read_bin(store).lots if lot.label in ("no", "partly")]
    found = overview()
    assert found.unlabelled == tuple(lot.name for lot in sorted(gone, key=lambda one: (-one.mass_g, one.name)))
    for lot in found.unlabelled:
        matcher.change(lot, {"label": "yes"})
    assert overview().unlabelled == ()


def test_what_is_in_sheets_is_told_too(run, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", "demo")
    shown = run()
    assert shown.stdout.startswith("You have 46 lots, ")
    assert "Nothing is on the needles." in shown.stdout
    sheets = overview().as_dict()
    monkeypatch.undo()
    assert sheets["garments"] == {"worn": 4, "given": 2, "gone": 3}


def test_a_bin_that_is_not_there_is_told(run, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", "gone.sqlite")
    shown = run()
    assert shown.exit_code == 2
    assert "MATCHER_BIN" in shown.stderr


def test_it_loads_nothing_heavy(by_itself, store: Path):
    """A glance costs little more than an empty command."""
    import subprocess
    import sys

    code = """
import sys
from matcher.cli.main import main
sys.argv = ["matcher"]
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
heavy = {"numpy", "pandas", "scipy", "sklearn", "openpyxl", "PIL", "rich"} & set(sys.modules)
assert not heavy, heavy
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr

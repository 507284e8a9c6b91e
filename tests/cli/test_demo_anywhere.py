""" "demo" names the demo in any folder, unless something of hers is called so; then she is told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

OTHER = "lot,grams,colour,class\nonly one,20,navy,3\n"
TOLD = "demo is your own, in this folder"


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "arguments",
    [
        ("check", "demo"),
        ("reserve", "demo"),
        ("export", "mine", "--bin", "demo"),
        ("intake", "demo", "--bin", "try.db"),
        ("contrast", "navy", "cream", "--bin", "demo"),
        ("photo", "demo/scraps.jpg", "--bin", "demo"),
        ("motif", "crosses", "--lots", "navy", "--lots", "cream", "--bin", "demo"),
    ],
    ids=" ".join,
)
def test_demo_is_the_demo_from_any_folder(arguments: tuple[str, ...], run):
    shown = run(*arguments)
    assert shown.exit_code == 0, shown.output
    assert TOLD not in shown.stderr


def test_a_folder_of_hers_called_demo_wins_and_it_is_said(elsewhere: Path, run):
    (elsewhere / "demo").mkdir()
    (elsewhere / "demo" / "lots.csv").write_text(OTHER, encoding="utf-8")
    for arguments in (("check", "demo"), ("export", "mine", "--bin", "demo"), ("intake", "demo", "--bin", "try.db")):
        shown = run(*arguments)
        assert shown.exit_code == 0, shown.output
        assert shown.stderr.count(TOLD) == 1
        assert "1 lot" in shown.stdout


def test_a_copy_of_the_demo_is_the_demo(elsewhere: Path, demo: Path, run):
    shutil.copytree(demo, elsewhere / "demo")
    shown = run("check", "demo")
    assert shown.exit_code == 0
    assert TOLD not in shown.stderr


def test_the_demo_is_never_changed(run):
    shown = run("weigh", "navy", "41g", "--bin", "demo")
    assert shown.exit_code == 2
    assert "intake" in shown.stderr


@pytest.mark.parametrize("name", ["demo/nothing.jpg", "demonstration", "./demons"])
def test_what_is_not_of_the_demo_is_not_there(name: str, run):
    shown = run("photo", name)
    assert shown.exit_code == 2

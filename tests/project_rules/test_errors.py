"""One error family: every kind says what happened in words, has an exit code, and never shows a traceback."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

import matcher
from matcher.cli.commands import app
from matcher.cli.words import style_of
from matcher.errors import (
    BadCells,
    BadFiles,
    BadInput,
    BadRows,
    BadSheets,
    CatalogueError,
    Fault,
    MatcherError,
    NotFound,
)

FAULT = Fault("lots.csv", 12, "grams", "4O", "a weight such as 41 or 1.5 oz", "did you mean 40?")
# One of each kind, with the words that must be in its sentence.
SAMPLES: dict[type[MatcherError], tuple[MatcherError, list[str]]] = {
    MatcherError: (MatcherError("it broke", "here", "mend it"), ["it broke", "here", "mend it"]),
    BadInput: (BadInput("2 is no chance", "--sure", "give 0.95"), ["2 is no chance", "--sure", "give 0.95"]),
    NotFound: (NotFound('no lot "navi"', near=("navy", "navy cotton")), ["navi", "did you mean navy or navy cotton?"]),
    CatalogueError: (
        CatalogueError("hats.toml", "zones[1].motif", "unknown motif 'dot'"),
        ["hats.toml", "zones[1].motif", "unknown motif 'dot'"],
    ),
    BadFiles: (
        BadFiles([("north/a.xlsx", "row 3, grams: expected a weight")], "bins", "mend it"),
        ["1 file can't be read", "bins", "north/a.xlsx: row 3, grams: expected a weight", "mend it"],
    ),
    BadCells: (BadCells([FAULT]), ["a cell can't be read", "grams", '"4O"', "mean 40?", "nothing was changed"]),
    BadRows: (BadRows({1: BadInput("2 is no weight", "grams", "give 41 g")}), ["a row", "2: 2 is no weight", "41 g"]),
    BadSheets: (BadSheets([FAULT]), ["1 fault in", "lots.csv:12 grams", '"4O"', "a weight such as", "mean 40?"]),
}


def family(root: type[MatcherError] = MatcherError) -> Iterator[type[MatcherError]]:
    yield root
    for one in root.__subclasses__():
        yield from family(one)


def every_module() -> list[str]:
    return [one.name for one in pkgutil.walk_packages(matcher.__path__, "matcher.")]


def test_every_kind_of_error_is_in_this_file():
    """Also one that is defined in some corner of the package."""
    for name in every_module():
        importlib.import_module(name)
    assert {kind for kind in family() if kind.__module__.startswith("matcher")} == set(SAMPLES)


@pytest.mark.parametrize("kind", SAMPLES, ids=lambda kind: kind.__name__)
def test_every_kind_has_an_exit_code_and_a_sentence(kind: type[MatcherError]):
    error, words = SAMPLES[kind]
    assert error.exit_code == 2
    assert inspect.getdoc(kind)
    sentence = str(error)
    assert sentence.strip() == sentence
    for part in words:
        assert part in sentence
    for trace in ("None", "()", "('", "%s", "{", "<"):
        assert trace not in sentence


@pytest.mark.parametrize("kind", SAMPLES, ids=lambda kind: kind.__name__)
def test_the_command_line_shows_every_kind_as_its_sentence(kind: type[MatcherError], monkeypatch, tmp_path: Path):
    error = SAMPLES[kind][0]

    def fails(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr("matcher.actions.check.check", fails)
    shown = CliRunner().invoke(app, ["check", str(tmp_path)])
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert shown.stderr.split() == f"matcher: {error.shown(style_of())}".split()
    assert [line for line in shown.stderr.splitlines()[1:] if not line.startswith("  ")] == []


def test_words_left_out_leave_no_empty_brackets():
    assert str(MatcherError("it broke")) == "it broke"
    assert str(MatcherError("it broke", todo="mend it")) == "it broke: mend it"
    assert str(MatcherError("it broke", "here")) == "it broke (here)"
    assert str(NotFound("no such place")).endswith("check the name and the place")


@pytest.mark.parametrize(
    ("fault", "sentence"),
    [
        (FAULT, 'lots.csv:12 grams: found "4O", expected a weight such as 41 or 1.5 oz; did you mean 40?'),
        (Fault("lots.csv", None, None, "", "a header row"), "lots.csv: found nothing, expected a header row"),
        (Fault("lots", 3, None, "x", "a row"), 'lots:3: found "x", expected a row'),
    ],
)
def test_a_fault_says_sheet_row_column_found_expected_and_mend(fault: Fault, sentence: str):
    assert str(fault) == sentence


def test_all_faults_of_all_sheets_are_told_at_once():
    other = Fault("garments.csv", 2, "status", "lost", "worn, given or gone")
    error = BadSheets([FAULT, other])
    assert error.faults == (FAULT, other)
    assert str(error).splitlines()[1:] == [f"  {FAULT}", f"  {other}"]
    assert "2 faults in" in str(error)
    assert "lots.csv, garments.csv" in str(error)


# By what a person would really do -------------------------------------------------------------------------


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """A bin with two faults, a folder of entries with one, and an empty folder."""
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "lots.csv").write_text(
        "lot,garment,grams,colour,class\na,old,4O,#1f2a4a,3\nb,old,20,nave,3\n", encoding="utf-8"
    )
    (tmp_path / "bin" / "garments.csv").write_text("garment,kind,status\nold,pullover,worn\n", encoding="utf-8")
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "shawl.toml").write_text('name = "shawl"\n', encoding="utf-8")
    (tmp_path / "empty").mkdir()
    return tmp_path


@pytest.mark.parametrize(
    ("arguments", "kind", "words"),
    [
        (["suggest", "--sure", "2"], BadInput, "--sure"),
        (["suggest", "nowhere"], NotFound, "nowhere"),
        (["suggest", "--catalog", "own"], CatalogueError, "shawl.toml"),
        (["suggest", "bin"], BadSheets, "lots.csv:2 grams"),
        (["check", "bin"], BadSheets, "lots.csv:3 colour"),
        (["reserve", "bin"], BadSheets, "2 faults"),
        (["reserve", "--catalog", "nowhere"], NotFound, "nowhere"),
        (["contrast", "navy", "cream", "--bin", "bin"], BadSheets, "2 faults"),
        (["contrast", "navy", "creem"], BadInput, "cream"),
        (["needs", "hat-pxxin"], NotFound, "hat-plain"),
        (["needs", "hat-plain", "--catalog", "empty"], BadInput, "holds no entries"),
        (["piece", "--structure", "rib", "--stitches", "0", "--rows", "10", "--class", "3"], BadInput, "0 stitches"),
        (["check", "own/shawl.toml"], BadInput, "a .toml file isn't a bin"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else getattr(one, "__name__", None),
)
def test_exit_2_one_clear_message_and_no_traceback(
    arguments: list[str], kind: type[MatcherError], words: str, broken: Path, monkeypatch
):
    monkeypatch.chdir(broken)
    raised: list[MatcherError] = []
    remember = MatcherError.__init__

    def watched(self: MatcherError, *args: str, **kwargs: str) -> None:
        raised.append(self)
        remember(self, *args, **kwargs)

    monkeypatch.setattr(MatcherError, "__init__", watched)
    shown = CliRunner().invoke(app, arguments)
    assert shown.exit_code == 2
    assert [type(one) for one in raised] == [kind]
    assert shown.stdout == ""
    assert "matcher: " in " ".join(shown.stderr.split())
    assert words in " ".join(shown.stderr.split())
    assert "Traceback" not in shown.output
    assert isinstance(shown.exception, SystemExit)

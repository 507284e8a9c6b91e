"""Names, headings and cells that a terminal, a page or a spreadsheet might run, in messy sheets, people and wishes."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import openpyxl
import pytest
from at_terminal import at_terminal
from hers import written
from typer.testing import CliRunner, Result

from matcher.actions.keeping.cells import add
from matcher.cli.commands import app
from matcher.store.database.store import open_store

SHOWN_AS_WRITTEN = [
    *("[red]x[/]", "fog [/2]", ":warning: y", '=HYPERLINK("https://example.org";"x")', "{lot} %s {0}", "<script>x"),
    *("שלום wool", "🧶 best", "\\[bold]", "@sum"),
]
ESCAPES = ["na\x1b[31mvy", "na\u202evy", "a\x9b31mb", "x\x07y"]
HIDDEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
CELLS = {"grams": "90", "colour": "#9c4a24", "ball_grams": "50", "ball_metres": "125", "yarn": "wool", "dye_lot": "8"}
HEADINGS = ["Yarn name", "Colour", "Grams left", "Weight class"]


def run(place: Path, *arguments: str) -> Result:
    shown = CliRunner().invoke(app, list(arguments), env={"MATCHER_BIN": str(place), "COLUMNS": "80"})
    assert shown.exit_code in (0, 1, 2), (shown.output, shown.exception)
    assert not HIDDEN.search(shown.output), arguments
    return shown


def flat(text: str) -> str:
    return re.sub(r"\s", "", text)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    place = tmp_path / "bin.sqlite"
    add("navy", CELLS, bin=place)
    return place


@pytest.mark.parametrize("name", SHOWN_AS_WRITTEN)
def test_people_and_wishes_are_shown_as_written(name: str, store: Path):
    said = run(store, "person", name, "--size", "adult medium", "--note", name)
    assert said.exit_code == 0, said.output
    assert flat(name) in flat(said.output)
    assert flat(name)[:12] in flat(run(store, "list", "people").output)  # a long name stands in two lines of its cell
    for arguments in (("person", name), ("show", name, "--what", "person")):
        assert flat(name) in flat(run(store, *arguments).output), arguments
    wished = run(store, "wishes", "--apart", f"{name.replace(';', ',').replace(',', '')} + navy")
    assert wished.exit_code == 0 or "isn't" in wished.output
    for arguments in (("wishes",), ("suggest", "--for", name), ("undo", "--list"), ("list",), ()):
        run(store, *arguments)


@pytest.mark.parametrize("name", [*ESCAPES, "n" * 300])
def test_what_cannot_be_seen_is_refused_where_it_is_typed(name: str, store: Path):
    typed = (
        ("person", name, "--size", "adult medium"),
        ("person", "Ann", "--likes", name * 4),
        ("person", "Ann", "--size", name),
        ("wishes", "--never", name),
        ("wishes", "--apart", f"{name} + navy" if len(name) < 100 else name),
        ("wishes", "--eyes", name),
    )
    for arguments in typed:
        shown = run(store, *arguments)
        if len(name) < 100:
            assert shown.exit_code == 2, arguments
        assert len(shown.output) < 2500
    run(store, "show", name)
    run(store, "list", "--lot", name)
    with open_store(store) as opened:
        assert not any(HIDDEN.search(str(row)) for row in opened.rows("people") + opened.rows("wishes"))


def workbook(place: Path, title: str, rows: list[list[str]]) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = title
    for at, row in enumerate(rows, 1):
        for position, text in enumerate(row, 1):
            cell = sheet.cell(at, position)
            cell.value = text
            cell.data_type = "s"
    book.save(place)


@pytest.mark.parametrize("word", [*SHOWN_AS_WRITTEN, "h" * 5000, "h" * 20_000])
@pytest.mark.parametrize("kind", [".csv", ".xlsx"])
def test_headings_of_messy_sheets(word: str, kind: str, store: Path, tmp_path: Path):
    place = tmp_path / f"mine{kind}"
    rows = [[*HEADINGS, word], [word[:200], "navy", "41 g", "DK", word]]
    if kind == ".csv":
        with place.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    else:
        workbook(place, re.sub(r"[\\/*?:\[\]]", "", word)[:31] or "x", rows)
    for arguments in (("check", str(place)), ("intake", str(place), "--dry-run"), ("intake", str(place), "--yes")):
        shown = run(store, *arguments)
        assert len(shown.output) < 2500, arguments
        if len(word) > 1000:
            assert shown.exit_code != 0 or "--yes" in arguments
            assert "at most 1000 characters" in " ".join(shown.output.split())
    with open_store(store) as opened:
        names = [row["lot"] for row in opened.lots() if row["lot"] != "navy"]
    run(store, "list")
    for name in names:
        assert flat(name)[:20] in flat(run(store, "show", name, "--what", "lot").output)
        assert word in {one.heading for one in written(name, bin=store)}


@pytest.mark.parametrize("word", ESCAPES)
def test_signs_that_cannot_be_seen_in_headings_and_cells(word: str, store: Path, tmp_path: Path):
    place = tmp_path / "mine.csv"
    for rows in (
        [[*HEADINGS, word], ["soft", "navy", "41 g", "DK", "x"]],
        [[*HEADINGS, "Price"], ["soft", "navy", "41 g", "DK", word]],
        [[*HEADINGS, "Price"], [word, "navy", "41 g", "DK", "2"]],
        [[*HEADINGS, "Whose"], ["soft", word, "41 g", "DK", "2"]],
        [[word, "", "", ""], HEADINGS, ["soft", "navy", "41 g", "DK"]],
    ):
        with place.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
        for arguments in (("check", str(place)), ("intake", str(place), "--yes")):
            run(store, *arguments)
    with open_store(store) as opened:
        assert not any(HIDDEN.search(row["heading"] + row["cell"] + row["taken"]) for row in opened.rows("written"))
        names = [row["lot"] for row in opened.lots()]
    for name in names:
        run(store, "show", name, "--what", "lot")


def test_questions_at_a_terminal_read_nothing_into_a_name(tmp_path: Path):
    folder, store = tmp_path / "mine", tmp_path / "bin.sqlite"
    folder.mkdir()
    with (folder / "lots.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(
            [
                ["lot", "grams", "colour", "class", "[blue]whose[/]"],
                ["[red]a[/]", "[bold]some[/bold]", "#1f2a4a", "3", "[link=x]vest[/link]"],
                ["fog [/2]", "20", "#c3c6c8", "about {0} :x:", ""],
            ]
        )
    code, shown = at_terminal("intake", folder, answers=["none", "41", "-"], store=store)
    assert code in (0, 1, 2), shown
    assert "Traceback" not in shown
    for word in ("[red]a[/]", "[bold]some[/bold]", "about {0} :x:"):
        assert flat(word) in flat(shown), word


@pytest.mark.parametrize("name", ["[red]x[/]", "x\x1b[31m", "n" * 300])
def test_colours_of_a_photograph_go_by_names_as_written(name: str, store: Path):
    photograph = Path(__file__).resolve().parents[2] / "demo" / "scraps.jpg"
    there = run(store, "add", name, "--grams", "40", "--colour", "plum", "--class", "3").exit_code == 0
    assert there == name.startswith("[")
    shown = run(store, "photo", str(photograph), "--take", f"1={name}")
    assert (shown.exit_code == 0) == there
    assert not there or flat(name) in flat(shown.output)

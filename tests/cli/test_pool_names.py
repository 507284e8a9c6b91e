"""Names of people never leave their own file: not in any question, format or error, whatever cell they stand in."""

from __future__ import annotations

import csv
import io
import shutil
from pathlib import Path

import pytest

from matcher.actions.collection.withheld import faults_without_words
from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.actions.unnamed import Unnamed, people_in
from matcher.errors import BadSheets, Fault
from matcher.reasons.style import PLAIN

# Each in other cells, so that what comes out tells where it came from. "Rose" is also a colour.
NAMES = ("Wilhelmina", "Åsa", "Rose", "Ottoline", "Bartholomew", "王芳", "Perpetua", "Hyacinth", "Drusilla", "Jo")
LOTS = """lot,garment,role,yarn,colour,colour_name,grams,ball_grams,ball_metres,fibre,wash,dye_lot,place,note,for
Wilhelmina's blue,Wilhelmina's yoke,main,Ottoline's best,#1f2a4a,Wilhelminas blue,60,50,125,wool,hand,Wilhelmina 3,Åsa's drawer,for Bartholomew,Perpetua
cream for Rose,Wilhelmina's yoke,contrast 1,Ottoline's best,#efe6cf,the cream of Jo,50,50,125,wool,hand,4,Drusilla's,ask Hyacinth,Perpetua
red of asa,,,王芳 wool,#b01020,Asa red,70,50,125,wool,hand,,,,Drusilla
plain,,,soft wool,#405060,rose,80,50,125,wool,hand,,,,Hyacinth
teal,,,soft wool,#006060,TEAL OF PERPETUA,80,50,125,wool,hand,,,,
grey,,,soft wool,#808080,hyacinth grey,80,50,125,wool,hand,Drusilla,,,
"""
GARMENTS = """garment,kind,status,wearer,chest_cm,note
Wilhelmina's yoke,yoke pullover,given to Bartholomew,Wilhelmina,98,lent to Åsa
Ottoline's,pullover,worn,Jo,98,
"""
PEOPLE = """name,size,note
Åsa,adult small,sister of Rose
Rose,,
王芳,adult medium,Hyacinth
Bartholomew,,
Ottoline,,
"""
BROKEN = """lot,garment,grams,colour,class,fibre,pieces,reserve,label,wash,Wilhelmina's tin
Wilhelmina's blue,Åsa's,Rose,Ottoline,Bartholomew,Perpetua,Hyacinth,Drusilla,Jo,王芳,Rose
Wilhelmina's blue,Åsa's,Rose 4O,Jo blue,3,50% Perpetua 20% wool,1.5 Jo,Rose m,no,hand,Jo
,,,,,,,,,,Drusilla
"""
BROKEN_GARMENTS = """garment,kind,status,wearer,chest_cm,plans,mending,motif
Åsa's,Jo's thing,Rose knows,Ottoline,Drusilla,lengthen Hyacinth 5 cm,Perpetua,Wilhelmina.txt
"""
# Things in several colours and in one, of every size: names are read alike, whatever is made.
KINDS = ("--kind", "hat", "--kind", "cowl")
ASKED = (*KINDS, "--each-member", "--each-place", "--gap", "--set", "--time-limit", "0.2")


def write_book(path: Path, sheets: dict[str, str]) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for name, text in sheets.items():
        sheet = book.create_sheet(name)
        for row in csv.reader(io.StringIO(text)):
            sheet.append(row)
    book.save(path)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same bin as a folder, as a workbook, and as a store in which something for somebody is on the needles."""
    from typer.testing import CliRunner

    from matcher.cli.commands import app

    folder = tmp_path_factory.mktemp("pool")

    def run(*arguments: object) -> None:
        done = CliRunner().invoke(app, [str(one) for one in arguments])
        assert done.exit_code == 0, done.output

    own = folder / "north" / "one"
    own.mkdir(parents=True)
    for name, text in (("lots", LOTS), ("garments", GARMENTS), ("people", PEOPLE)):
        (own / f"{name}.csv").write_text(text, encoding="utf-8")
    write_book(folder / "south.xlsx", {"Wilhelmina": LOTS, "Åsa": GARMENTS, "people": PEOPLE})
    store = folder / "two.sqlite"
    run("intake", own, "--bin", store, "--yes")
    run(
        "begin",
        "headband",
        "--size",
        "adult small",
        "--lots",
        "plain",
        "--for",
        "Åsa",
        "--as",
        "Åsa's band",
        "--bin",
        store,
    )
    run("export", folder / "north" / "three.parquet", "--bin", own)
    return folder


def named(text: str) -> list[str]:
    folded = text.casefold()
    return [name for name in (*NAMES, "Asa") if name.casefold() in folded and name != "Jo"]


def test_the_bin_knows_everybody(good: Path):
    known = " ".join(people_in(Desk(good / "north" / "one")))
    assert all(name in known for name in NAMES)


@pytest.mark.parametrize(
    "how",
    [(), ("--json",), ("--csv",), ("--full",), ("--explain", "1")],
    ids=["screen", "json", "csv", "full", "explain"],
)
def test_no_name_comes_out_of_any_question(good: Path, run, how: tuple[str, ...]):
    shown = run("pool", good, *ASKED, *how)
    assert shown.exit_code == 0, shown.output
    assert named(shown.output) == []
    assert " Jo" not in shown.output
    assert "Jo'" not in shown.output


def test_no_name_goes_out_in_a_file(good: Path):
    import pyarrow.parquet

    rows = pyarrow.parquet.read_table(good / "north" / "three.parquet").to_pylist()
    assert named(str(rows)) == []
    assert "Jo" not in str(rows)
    assert [row["colour"] for row in rows][-3:] == ["#405060", "#006060", "#808080"]
    assert rows[-3]["yarn"] == "soft wool"


@pytest.mark.parametrize("how", [(), ("--good-files", "--json"), ("--good-files",)])
@pytest.mark.parametrize("broken", ["lots", "garments", "workbook"])
def test_no_name_comes_out_of_an_error(good: Path, tmp_path: Path, run, how: tuple[str, ...], broken: str):
    folder = tmp_path / "pool"
    shutil.copytree(good, folder)
    own = folder / "east" / "bad"
    own.mkdir(parents=True)
    (own / "lots.csv").write_text(BROKEN if broken != "garments" else LOTS, encoding="utf-8")
    (own / "garments.csv").write_text(BROKEN_GARMENTS, encoding="utf-8")
    if broken == "workbook":
        write_book(folder / "east" / "bad.xlsx", {"Wilhelmina": BROKEN})
        shutil.rmtree(own)
    shown = run("pool", folder, "--kind", "hat", *how)
    assert shown.exit_code == (0 if how else 2), shown.output
    assert "east/bad" in shown.stderr
    assert "expected" in shown.stderr
    assert named(shown.output) == []
    assert " Jo" not in shown.output
    assert "east/bad" not in shown.stdout


def test_a_folder_that_is_called_as_somebody_is_no_place(good: Path, tmp_path: Path, run):
    shutil.copytree(good / "north" / "one", tmp_path / "Wilhelmina" / "bin")
    shown = run("pool", tmp_path, "--json")
    assert shown.exit_code == 0
    assert named(shown.output) == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("navy", "navy"),
        ("soft  wool, DK", "soft wool, DK"),
        ("Ann", ""),
        ("ann's navy", ""),
        ("anns navy", ""),
        ("annual rye", "annual rye"),
        ("wilhelminasblue", ""),
        ("Ása", ""),
        ("baby alpaca, adult", "baby alpaca, adult"),
        ("my sister's red", ""),
        ("the red", "the red"),
        ("王芳的", ""),
        ("", ""),
    ],
)
def test_what_would_name_somebody_is_left_out_whole(text: str, told: str):
    assert Unnamed(["Ann", "Wilhelmina", "Åsa", "adult small", "my sister", "baby", "王芳"]).told(text) == told


def test_a_possessive_in_a_yarns_name_is_a_name_in_trade_unless_the_bin_knows_somebody_of_it(tmp_path: Path):
    head = "lot,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,note\n"
    rows = (
        "Miller's DK navy,Miller's DK,navy,50,50,125,wool,hand,some of my miller\u2019s dk\n"
        "Nettie's blue,Nettie's wool,#202040,50,50,125,wool,hand,\n"
        "red,Gisela's best,red,50,50,125,wool,hand,from Gisela's box\n"
    )
    (tmp_path / "lots.csv").write_text(head + rows.replace("\u2019", "'"), encoding="utf-8")
    rows_told = given(Desk(tmp_path))
    assert [rows_told.yarn.of(at) for at in range(3)] == ["Miller's DK", "", ""]


def test_a_place_that_would_name_somebody_is_left_out_and_that_is_said(good: Path, tmp_path: Path, run):
    file, own = tmp_path / "x.parquet", good / "north" / "one"
    said = 'The place "Perpetua\'s house" is left out, since it names somebody whom your bin knows: give another with'
    shown = run("export", file, "--bin", own, "--place", "Perpetua's house")
    assert f"{said} --place." in " ".join(shown.stderr.split())
    assert "Perpetua" not in str(file.read_bytes())
    assert "left out, since" not in run("export", file, "--bin", own, "--place", "north", "--replace").stderr


def test_a_fault_is_told_by_her_own_heading_and_a_figure_of_hers_and_by_no_word(tmp_path: Path, run):
    """Whoever runs the pool tells her which cell it is; a word that can't be read may be anybody's name."""
    (tmp_path / "pool").mkdir()
    write_book(
        tmp_path / "pool" / "one.xlsx",
        {"Wilhelmina": "Yarn,Shade,Amount (g),Weight\nmoss,Bertha,40,3\nfog,navy,4O g,3\nrose,navy,Rose 40,3\n"},
    )
    (tmp_path / "pool" / "two.csv").write_text(
        "Yarn,Colour,Grams,Weight\nmoss,navy,5x,3\nfog,navy,0176 1234567 g,3\n", encoding="utf-8"
    )
    told = " ".join(run("pool", tmp_path / "pool").stderr.split())
    assert "one.xlsx: row 2, Shade: expected a code" in told
    assert 'one.xlsx: row 3, Amount (g): found "4O g", expected a weight' in told
    assert "one.xlsx: row 4, Amount (g): expected a weight" in told
    assert 'two.csv: row 2, grams: found "5x", expected a weight' in told
    assert "two.csv: row 3, grams: expected a weight" in told
    assert not any(word in told for word in ("Bertha", "Rose", "1234567", "Wilhelmina"))
    fault = Fault("one.csv", 2, "grams", "Jo", "a weight", heading="Jo's grams")
    (words,) = faults_without_words(BadSheets([fault]), "one.csv")
    assert PLAIN.say(words) == "row 2, grams: expected ..."

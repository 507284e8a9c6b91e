"""What she said herself of headings and cells goes before what is worked out; what she wrote stays beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.headings import Meant
from matcher.store.sheets.read import Reading, read_sheets, reading_of
from matcher.store.sheets.said import Said

CATALOGUE = load_catalogue()


@pytest.fixture
def sheets(tmp_path: Path) -> Path:
    (tmp_path / "lots.csv").write_text(
        "lot,whose was it,grams,colour,class,paid\nnavy,vest,most of it,#1f2a4a,3,4.50\nfog,,20,#c3c6c8,aran or so,\n",
        encoding="utf-8",
    )
    (tmp_path / "garments.csv").write_text("garment,status\nvest,worn\n", encoding="utf-8")
    return tmp_path


def read(sheets: Path, headings: dict[tuple[str, str], Meant], cells: dict[tuple[str, str, str, str], str]) -> Reading:
    return reading_of(sheets, CATALOGUE, Said(headings, cells))


HEADINGS = {("lots", "whose_was_it"): Meant("garment")}
CELLS = {("lots", "grams", "navy", "most of it"): "40 g", ("lots", "class", "", "aran or so"): "4"}


def test_her_answers_are_read(sheets: Path):
    found = read(sheets, HEADINGS, CELLS)
    assert found.faults == ()
    navy, fog = found.bin.lots
    assert (navy.garment, navy.mass_g, fog.yarn.weight_class) == ("vest", 40.0, 4)
    (heading,) = [one for one in found.understood.headings if one.said]
    assert (heading.heading, heading.column) == ("whose was it", "garment")
    assert [(one.name, one.found, str(one.taken), one.said) for one in found.understood.cells] == [
        ("navy", "most of it", "40 g", True),
        ("fog", "aran or so", "4", True),
    ]


def test_what_she_wrote_stays_with_the_row(sheets: Path):
    lots = read_sheets(sheets, Said(HEADINGS, CELLS)).lots
    assert lots is not None
    assert [row.hers for row in lots.rows] == [{"grams": "most of it"}, {"class": "aran or so"}]
    assert [row.left for row in lots.rows] == [{"paid": "4.50"}, {}]


def test_an_answer_about_one_lot_is_about_no_other(sheets: Path):
    found = read(sheets, {}, {("lots", "grams", "fog", "most of it"): "40 g"})
    assert [(one.row, one.column) for one in found.faults if one.column == "grams"] == [(2, "grams")]


def test_a_cell_that_she_leaves_empty(sheets: Path):
    text = (sheets / "lots.csv").read_text(encoding="utf-8").replace("most of it", "40").replace("paid", "wash")
    (sheets / "lots.csv").write_text(text.replace("aran or so", "4"), encoding="utf-8")
    assert [one.column for one in read(sheets, {}, {}).faults] == ["wash"]
    found = read(sheets, {}, {("lots", "wash", "navy", "4.50"): ""})
    assert found.faults == ()
    assert [str(one.taken) for one in found.understood.cells] == ["left empty"]


def test_a_guess_that_she_confirmed_is_none_any_more():
    from matcher.store.sheets.understood import CellRead, Understood

    understood = Understood(said={("lots", 2, "class")})
    for row in (2, 3):
        understood.add(CellRead("lots", row, "fog", "class", "DK/worsted", "class 3 or 4", sure=False))
    assert [(one.sure, one.said) for one in understood.cells] == [(True, True), (False, False)]
    assert [one.row for one in understood.guesses()] == [3]


def test_answers_of_one_row_are_told_in_the_order_of_the_columns(sheets: Path):
    (sheets / "lots.csv").write_text("lot,grams,colour,class,pieces,dye_lot,wash\nnavy,a,b,c,d,e,f\n", encoding="utf-8")
    answers = {"wash": "f", "dye_lot": "e", "pieces": "d", "class": "c", "colour": "b", "grams": "a"}
    meant = {"wash": "hand", "dye_lot": "7", "pieces": "2", "class": "4", "colour": "#1f2a4a", "grams": "40"}
    understood = read_sheets(
        sheets, Said({}, {("lots", column, "navy", text): meant[column] for column, text in answers.items()})
    ).understood
    assert [one.column for one in understood.cells] == ["colour", "grams", "class", "wash", "pieces", "dye_lot"]


def test_headings_that_stand_there_again_are_no_lot_though_spaces_follow_them(tmp_path: Path):
    heads = "Name ,Colour,Grams left,Weight class\n"
    (tmp_path / "lots.csv").write_text(f"{heads}navy,#1f2a4a,40,3\n{heads}fog,#c3c6c8,20,4\n", encoding="utf-8")
    lots = read_sheets(tmp_path).lots
    assert lots is not None
    assert [row.cells["lot"] for row in lots.rows] == ["navy", "fog"]

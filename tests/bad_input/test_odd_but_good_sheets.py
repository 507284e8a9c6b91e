"""Sheets that look odd and are right: they are read, with a remark where something deserves one."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.sheets.read import bin_from_sheets, reading_of


def read(folder: Path, catalogue: Catalogue, lots: str | bytes, garments: str | None = None) -> Bin:
    (folder / "lots.csv").write_bytes(lots if isinstance(lots, bytes) else lots.encode())
    if garments is not None:
        (folder / "garments.csv").write_text(garments, encoding="utf-8")
    return bin_from_sheets(folder, catalogue)


SHEET = "lot,grams,colour,class\nmoss,41.5,navy,3\n"


@pytest.mark.parametrize(
    "sheet",
    [
        SHEET,
        SHEET.replace("\n", "\r\n"),
        SHEET.replace("\n", "\r"),
        "\n\n" + SHEET,
        "\ufeff" + SHEET,
        "sep=,\n" + SHEET,
        SHEET.encode("utf-16"),
        SHEET.encode("utf-16-le").join([b"\xff\xfe", b""]),
        SHEET.replace(",", ";").replace("41.5", "41,5"),
        SHEET.replace(",", "\t").replace("41.5", "41,5"),
        SHEET.replace("41.5", '"41,5 g"'),
        SHEET.replace("lot,grams,colour", " Lot ,GRAMS (g),Color"),
        SHEET.replace(",3", ",dk weight"),
        SHEET.replace("class", "class,,").replace(",3", ",3,,"),
    ],
    ids=range(14),
)
def test_the_same_lot_however_it_is_saved(tmp_path: Path, catalogue: Catalogue, sheet: str | bytes):
    lot = read(tmp_path, catalogue, sheet).lots[0]
    assert (lot.name, lot.mass_g, lot.yarn.weight_class) == ("moss", 41.5, 3)


def test_a_whole_bin(tmp_path: Path, catalogue: Catalogue):
    bin_ = read(
        tmp_path,
        catalogue,
        "lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,pieces,dye_lot,label,reserve,place\n"
        'A,blue  PULLOVER,Main,sock,"#6b7f4a 60%, #d9d2b8 40%",1.5 oz,50,220 yd,80% wool 20% nylon,'
        "Hand wash,2,0042,Yes,30 yd,left drawer\n",
        "garment,kind,status,chest_cm,stitches_10cm,rows_10cm,plans\n"
        "Blue pullover,Pullover,Worn,36 in,22,30,lengthen body 5 cm; lengthen both sleeves by 2 in\n",
    )
    lot, garment = bin_.lots[0], bin_.garments["Blue pullover"]
    assert (lot.garment, lot.role, lot.dye_lot, lot.label, lot.place) == (
        "Blue pullover", "main", "0042", "yes", "left drawer",
    )  # fmt: skip
    assert lot.mass_g == pytest.approx(42.52, abs=0.01)
    assert lot.yarn.tex.mean == pytest.approx(50 / 201.168 * 1000)
    assert (lot.yarn.tex_from, lot.yarn.wash, str(lot.yarn.blend.words())) == (
        "ball band",
        "hand",
        "80% wool, 20% nylon",
    )
    tails_m = 2 * catalogue.measuring.tail_m
    assert lot.length.mean == pytest.approx(42.5242846875 / lot.yarn.tex.mean * 1000 - tails_m)
    assert lot.reserve_m == pytest.approx(27.432)
    assert (garment.kind, garment.status, garment.chest_cm) == ("pullover", "worn", pytest.approx(91.44))
    assert [(plan.part, plan.cm) for plan in garment.alterations] == [
        ("body", 5.0),
        ("sleeves", pytest.approx(5.08)),
    ]
    assert bin_.notes == ()


def test_a_workbook_reads_like_the_folder(tmp_path: Path, catalogue: Catalogue):
    import datetime

    import openpyxl

    lots = "lot,garment,grams,colour,tex,note\n7,vest,41,navy,250,2024-04-03\n"
    folder = read(tmp_path, catalogue, lots, "garment,status\nvest,gone\n")
    book = openpyxl.Workbook()
    book.worksheets[0].title = "Lots"
    for row in (
        ["lot", "garment", "grams", "colour", "tex", "note"],
        [7.0, "vest", "41 g", "navy", 250, datetime.datetime(2024, 4, 3)],
        [],
    ):
        book.worksheets[0].append(row)
    sheet = book.create_sheet("garments")
    sheet.append(["garment", "status"])
    sheet.append(["vest", "gone"])
    book.save(tmp_path / "bin.xlsx")
    workbook = bin_from_sheets(tmp_path / "bin.xlsx", catalogue)
    assert (workbook.lots, workbook.garments) == (folder.lots, folder.garments)


@pytest.mark.parametrize(
    ("head", "row", "words"),
    [
        ("class,tex", "5,250", "class 1 is used"),
        ("class,tex,ball_grams,ball_metres", ",400,50,200", "the ball band is used"),
        ("class,reserve", "3,5000", "all of it is held"),
        ("class,ball_grams,pieces", "3,10,1", "are there more pieces?"),
    ],
)
def test_remarks(tmp_path: Path, catalogue: Catalogue, head: str, row: str, words: str):
    bin_ = read(tmp_path, catalogue, f"lot,grams,colour,{head}\na,41,navy,{row}\n")
    assert len(bin_.lots) == 1
    assert [note for note in bin_.notes if words in str(note)]


def test_letters_of_an_older_spreadsheet_are_read_and_said(tmp_path: Path, catalogue: Catalogue):
    found = read(tmp_path, catalogue, "lot,grams,colour,class\ncafé,½ oz,navy,3\n".encode("cp1252"))
    assert (found.lots[0].name, round(found.lots[0].mass_g, 1)) == ("café", 14.2)
    assert [note for note in found.notes if "read as Windows-1252" in str(note)]


def test_a_column_that_is_not_known_is_said(tmp_path: Path, catalogue: Catalogue):
    read(tmp_path, catalogue, "lot,grams,colour,class,my rating\na,41,navy,3,5\n")
    (left,) = reading_of(tmp_path, catalogue).understood.left_out
    assert (left.heading, left.filled) == ("my rating", 1)


@pytest.mark.parametrize(
    ("head", "cell", "column", "unit"),
    [
        ("fibr", "wool", "fibre", ""),
        ("ball_yards", "137", "ball_metres", "yd"),
        ("Yards per ball", "137", "ball_metres", "yd"),
        ("From which jumpr", "vest", "garment", ""),
    ],
)
def test_a_heading_is_known_by_what_it_means(
    tmp_path: Path, catalogue: Catalogue, head: str, cell: str, column: str, unit: str
):
    found = read(tmp_path, catalogue, f"lot,grams,colour,class,ball_grams,{head}\na,41,navy,3,50,{cell}\n")
    taken = next(one for one in reading_of(tmp_path, catalogue).understood.headings if one.heading == head)
    assert (taken.column, taken.unit, taken.filled) == (column, unit, 1)
    if unit:
        assert found.lots[0].yarn.tex.mean == pytest.approx(1000 * 50 / (137 * 0.9144))


@pytest.mark.parametrize("written", ["blu pullover", "Blue  pulover", "blue pullover"])
def test_a_garment_is_known_though_it_is_misspelt(tmp_path: Path, catalogue: Catalogue, written: str):
    garments = "garment,status\nblue pullover,gone\nblack pullover,worn\n"
    found = read(tmp_path, catalogue, f"lot,garment,grams,colour,class\na,{written},41,navy,3\n", garments)
    assert found.lots[0].garment == "blue pullover" or written == "blu pullover"
    assert found.garments[found.lots[0].garment].status == ("worn" if written == "blu pullover" else "gone")


@pytest.mark.parametrize("garments", [None, "garment,status\njumper,gone\n"])
def test_a_garment_that_no_sheet_lists_is_worn_and_said(tmp_path: Path, catalogue: Catalogue, garments: str | None):
    found = read(tmp_path, catalogue, "lot,garment,grams,colour,class\na,vest,41,navy,3\n", garments)
    assert (found.garments["vest"].status, found.garments["vest"].kind) == ("worn", "")
    guesses = reading_of(tmp_path, catalogue).understood.guesses()
    (guess,) = [one for one in guesses if one.column == "garment"]
    assert "a garment that no sheet lists" in str(guess.taken)


def test_short_rows_are_filled_up_with_one_remark(tmp_path: Path, catalogue: Catalogue):
    bin_ = read(tmp_path, catalogue, "lot,grams,colour,class,note\na,41,navy,3\nb,41,navy,3\n")
    assert len(bin_.lots) == 2
    assert [note for note in bin_.notes if "2 rows with fewer cells" in str(note)]


def test_without_pieces_a_lot_heavier_than_a_ball_is_several(tmp_path: Path, catalogue: Catalogue):
    head = "lot,grams,colour,ball_grams,ball_metres\n"
    lots = read(tmp_path, catalogue, head + "a,125,navy,50,125\nb,150,navy,50,125\nc,41,navy,50,125\n").lots
    assert [(lot.pieces, lot.full_balls) for lot in lots] == [(3, 2), (3, 3), (1, 0)]


def test_no_garments_file_is_needed_when_no_lot_names_one(tmp_path: Path, catalogue: Catalogue):
    assert read(tmp_path, catalogue, SHEET).garments == {}

"""What goes out as sheets comes back to the letter, whatever the cells hold and whichever kind of file it was."""

import csv
import io
import zipfile
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import BadInput
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.cells import NOTHING, all_cells, whole_sheets
from matcher.store.database.store import open_store
from matcher.store.intake import compare, take_in
from matcher.store.sheets.books import SheetRows
from matcher.store.sheets.columns import GARMENTS, LOTS
from matcher.store.sheets.grid import letters
from matcher.store.sheets.read import read_sheets
from matcher.store.sheets.write import write_sheets

CATALOGUE = load_catalogue()
KINDS = ("bin", "bin.xlsx", "bin.ods")

AWKWARD = st.sampled_from(
    [
        *("007", "0041", "41,5", "41.0", "-5", "+5", "1e5", "-0", "0.30", "12345678901234567890", "½", "1/2", "3-4"),
        *("=1+1", "=HYPERLINK(1)", "+49 30", "-cream", "@home", "'=1", "''=1", "'tis wool", "'", "''", "-", "="),
        *("#REF!", "#N/A", "'#REF!", "#6b7f4a", "TRUE", "yes", "2026-11-25", "12:30", "nan", "None", "_x000D_"),
        *('say "hi"', '"', '""', "a,b;c\td", "a\nb", "a\r\nb", "a\n\n  b", "two  spaces   three", "a\u00a0b", "a\\b"),
        *("mørk blå", "羊毛", "🧶 wool", "e\u0301", "ﬁ", "\u200d", "<b>&amp;</b>", "]]>", "sep=;", "\ufeffx"),
    ]
)
# Marks that turn the direction of writing, and control characters, are refused by reading and never come in.
FREE = st.text(
    st.characters(
        exclude_categories=("Cs", "Cc"),
        exclude_characters="\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufffe\uffff",
    )
    | st.sampled_from("\n\t'=+-@,;\""),
    max_size=20,
)
CELL = (AWKWARD | FREE).map(str.strip)


def rows(columns: tuple[str, ...]) -> st.SearchStrategy[list[dict[str, str]]]:
    first, *others = columns
    named = st.fixed_dictionaries({first: CELL.filter(bool)}, optional=dict.fromkeys(others, CELL))
    return st.lists(named, min_size=1, max_size=4)


def cells(row: dict[str, str]) -> dict[str, str]:
    return {column: cell for column, cell in row.items() if cell}


@pytest.mark.parametrize("kind", KINDS)
@given(lots=rows(LOTS.typed), garments=rows(GARMENTS.typed))
@settings(deadline=None, max_examples=40)
def test_every_cell_comes_back_as_it_was(tmp_path_factory, kind: str, lots, garments):
    place = tmp_path_factory.mktemp("out") / kind
    write_sheets(place, [SheetRows("lots", LOTS.typed, lots), SheetRows("garments", GARMENTS.typed, garments)])
    read = read_sheets(place)
    assert read.faults == []
    assert [row.cells for row in read.lots.rows] == [cells(row) for row in lots]
    # Garments that only lots name stand in no row.
    file_rows = [row for row in read.garments.rows if row.number]
    assert [{**row.cells, **row.hers} for row in file_rows] == [cells(row) for row in garments]


# Cells that a bin can hold: free text anywhere, figures and words as people write them.
GRAMS = st.sampled_from(["41", "41,5", "41.0", "007", "1.5 oz", "1 1/2 oz", "0041.50"])
VALID = st.lists(
    st.fixed_dictionaries(
        {
            "lot": CELL.filter(lambda text: bool(text.split()) and "#REF" not in text),
            "grams": GRAMS,
            "colour": st.sampled_from(["#6b7f4a", "moss green", "heather #6b7f4a 60%, #d9d2b8 40%"]),
            "class": st.sampled_from(["3", "DK", "03", "class 3"]),
            "yarn": CELL,
            "colour_name": CELL,
            "dye_lot": CELL,
            "place": CELL,
            "note": CELL,
            "weighed_on": st.sampled_from(["", "2026-11-25"]),
        }
    ),
    min_size=1,
    max_size=4,
    unique_by=lambda row: " ".join(row["lot"].casefold().split()),
)


@pytest.mark.parametrize("kind", KINDS)
@given(lots=VALID)
@settings(deadline=None, max_examples=12)
def test_a_store_taken_out_and_in_is_the_same_store(tmp_path_factory, kind: str, lots):
    folder = tmp_path_factory.mktemp("stores")
    with open_store(folder / "a.sqlite", create=True) as first, open_store(folder / "b.sqlite", create=True) as second:
        with first.action("begin") as act:
            act.insert("garments", {"garment": "=pullover", "status": "worn", "note": "a\nb"})
            for row in lots:
                act.insert("lots", {**row, "garment": "=pullover"})
        before = all_cells(first)
        write_sheets(folder / kind, whole_sheets(before))
        found = compare(folder / kind, NOTHING, CATALOGUE)
        assert found.refused == ()
        take_in(second, found, lambda _: True, "intake", lambda _: None)
        assert all_cells(second) == before
        # Taken in again, nothing differs.
        assert compare(folder / kind, before, CATALOGUE).changed == ()


def test_a_hundred_thousand_rows(tmp_path: Path):
    lots = [{"lot": f"{place:06d}", "grams": "41,5", "note": f'=row "{place}"\nof many'} for place in range(100_000)]
    write_sheets(tmp_path, [SheetRows("lots", LOTS.typed, lots)])
    read = read_sheets(tmp_path)
    assert read.faults == []
    assert [row.cells for row in read.lots.rows] == lots


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_bin_gives_the_same_bytes(tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch):
    sheets = [SheetRows("lots", LOTS.typed, [{"lot": "navy", "grams": "41"}])]
    first = write_sheets(tmp_path / "a" / kind, sheets)
    monkeypatch.setattr("time.time", lambda: datetime(2031, 5, 4, 3, 2, 1).timestamp())
    monkeypatch.setattr("time.localtime", lambda *_: datetime(2031, 5, 4, 3, 2, 1).timetuple())
    second = write_sheets(tmp_path / "b" / kind, sheets)
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]


@pytest.mark.parametrize("text", ["=1+1", "+1+1", "-1+cmd", "@SUM(A1)", "#REF!"])
def test_no_spreadsheet_runs_a_cell(tmp_path: Path, text: str):
    """The list of leading signs is that of OWASP, "CSV Injection"."""
    import openpyxl

    sheets = [SheetRows("lots", ("lot", "note"), [{"lot": "navy", "note": text}])]
    write_sheets(tmp_path, sheets)
    write_sheets(tmp_path / "bin.xlsx", sheets)
    written = list(csv.reader(io.StringIO((tmp_path / "lots.csv").read_text(encoding="utf-8-sig"), newline="")))
    assert written[1] == ["navy", f"'{text}"]
    cell = openpyxl.load_workbook(tmp_path / "bin.xlsx")["lots"]["B2"]
    assert (cell.value, cell.data_type) == (f"'{text}", "s")


def test_figures_are_figures_where_nothing_is_lost(tmp_path: Path):
    """So that a spreadsheet can add them up; a minus in such a column is a sign and no formula."""
    import openpyxl

    lots = [{"lot": "007", "grams": one} for one in ("41", "41.5", "-5", "41.0", "007", "41,5", "1.5 oz")]
    (path,) = write_sheets(tmp_path / "bin.xlsx", [SheetRows("lots", ("lot", "grams"), lots)])
    sheet = openpyxl.load_workbook(path)["lots"]
    assert [row[1].value for row in sheet.iter_rows(min_row=2)] == [41, 41.5, -5, "41.0", "007", "41,5", "1.5 oz"]
    assert {row[0].value for row in sheet.iter_rows(min_row=2)} == {"007"}


def test_another_library_reads_the_spreadsheet(tmp_path: Path):
    from odf import teletype
    from odf.opendocument import load
    from odf.table import Table, TableCell, TableRow

    lots = [{"lot": "navy", "grams": "41", "note": "two  spaces\tand a tab"}]
    (path,) = write_sheets(tmp_path / "bin.ods", [SheetRows("lots", ("lot", "grams", "note"), lots)])
    (table,) = load(str(path)).spreadsheet.getElementsByType(Table)
    assert table.getAttribute("name") == "lots"
    _, line = table.getElementsByType(TableRow)
    found = line.getElementsByType(TableCell)
    assert [teletype.extractText(cell) for cell in found] == ["navy", "41", "two  spaces\tand a tab"]
    assert [cell.getAttribute("valuetype") for cell in found] == ["string", "float", "string"]


def test_a_spreadsheet_of_another_program_is_read(tmp_path: Path):
    """Written by another library: figures, a line break inside a cell, a tab, empty cells told by their number."""
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import LineBreak, P, Tab

    book = OpenDocumentSpreadsheet()
    table = Table(name="Lots")
    header = TableRow()
    for column in ("lot", "grams", "tex", "class", "colour", "note"):
        cell = TableCell(valuetype="string")
        cell.addElement(P(text=column))
        header.addElement(cell)
    table.addElement(header)
    line = TableRow()
    name = TableCell(valuetype="string")
    name.addElement(P(text="navy"))
    line.addElement(name)
    line.addElement(TableCell(valuetype="float", value="41.5"))
    line.addElement(TableCell(numbercolumnsrepeated=2))
    colour = TableCell(valuetype="string")
    colour.addElement(P(text="#1f2a4a"))
    line.addElement(colour)
    note = TableCell(valuetype="string")
    words = P(text="first")
    words.addElement(LineBreak())
    words.addText("second")
    words.addElement(Tab())
    words.addText("third")
    note.addElement(words)
    note.addElement(P(text="fourth"))
    line.addElement(note)
    table.addElement(line)
    book.spreadsheet.addElement(table)
    book.save(str(tmp_path / "bin.ods"))
    read = read_sheets(tmp_path / "bin.ods")
    assert [row.cells for row in read.lots.rows] == [
        {"lot": "navy", "grams": "41.5", "colour": "#1f2a4a", "note": "first\nsecond\tthird\nfourth"}
    ]


def test_an_error_of_a_spreadsheet_is_no_empty_cell(tmp_path: Path):
    """As LibreOffice writes a formula that failed: with an empty text, and the error shown."""
    (path,) = write_sheets(
        tmp_path / "bin.ods", [SheetRows("lots", ("lot", "grams"), [{"lot": "navy", "grams": "41"}])]
    )
    failed = (
        '<table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" '
        'calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>'
    )
    figure = '<table:table-cell office:value-type="float" office:value="41"><text:p>41</text:p></table:table-cell>'
    with zipfile.ZipFile(path) as packed:
        parts = {name: packed.read(name).decode() for name in packed.namelist()}
    parts["content.xml"] = (
        parts["content.xml"]
        .replace(figure, failed)
        .replace(
            "<office:document-content ", '<office:document-content xmlns:calcext="urn:org:documentfoundation:calcext" '
        )
    )
    with zipfile.ZipFile(path, "w") as packed:
        for name, text in parts.items():
            packed.writestr(name, text)
    (fault,) = [one for one in read_sheets(path).faults if one.row == 2]
    assert (fault.column, fault.found) == ("grams", "#DIV/0!")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("cell", ["half \ud83d", "\x00", "\x0b", "\x1b[31m", "\x9b", "\u202e"])
def test_a_cell_that_cannot_be_written_leaves_the_old_file(tmp_path: Path, kind: str, cell: str):
    good = [SheetRows("lots", ("lot",), [{"lot": "navy"}])]
    paths = write_sheets(tmp_path / kind, good)
    before = [path.read_bytes() for path in paths]
    bad = [SheetRows("lots", ("lot",), [{"lot": cell}])]
    with pytest.raises(BadInput, match="a cell of lots"):
        write_sheets(tmp_path / kind, bad, replace=True)
    assert [path.read_bytes() for path in paths] == before
    assert list(tmp_path.rglob("*.part")) == []


def test_a_workbook_cell_too_long(tmp_path: Path):
    sheets = [SheetRows("lots", ("lot",), [{"lot": "x" * 32_768}])]
    with pytest.raises(BadInput, match="longer than the 32767"):
        write_sheets(tmp_path / "bin.xlsx", sheets)


def test_another_file_is_not_overwritten_unasked(tmp_path: Path):
    (tmp_path / "lots.csv").write_text("mine")
    sheets = [SheetRows("lots", ("lot",), [{"lot": "navy"}])]
    with pytest.raises(BadInput, match="give replace"):
        write_sheets(tmp_path, sheets)
    assert (tmp_path / "lots.csv").read_text() == "mine"
    write_sheets(tmp_path, sheets, replace=True)
    write_sheets(tmp_path, sheets)  # the same again changes nothing and needs no leave


@pytest.mark.parametrize("name", ["bin.csv", "bin.xls", "bin.json"])
def test_kinds_that_hold_no_bin(tmp_path: Path, name: str):
    with pytest.raises(BadInput, match="give a folder"):
        write_sheets(tmp_path / name, [SheetRows("lots", ("lot",), [])])


def test_column_names_of_a_spreadsheet():
    assert [letters(place) for place in (0, 25, 26, 51, 52, 701, 702)] == [*("A", "Z", "AA", "AZ", "BA", "ZZ", "AAA")]

"""Every broken bin tells all its faults, each at its place; nothing is read, and no traceback is shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from broken_sheets import BROKEN, HERE

from matcher.errors import BadInput, BadSheets, MatcherError, NotFound
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.sheets.read import bin_from_sheets


def write(broken, folder: Path) -> Path:
    """Lay the case out on disk and return the path to give to the program."""
    if broken.book_bytes is not None:
        (folder / "bin.xlsx").write_bytes(broken.book_bytes)
        return folder / "bin.xlsx"
    if broken.book is not None:
        import openpyxl

        book = openpyxl.Workbook()
        book.remove(book.worksheets[0])
        for title, rows in broken.book.items():
            sheet = book.create_sheet(title)
            for row in rows:
                sheet.append(row)
        book.save(folder / "bin.xlsx")
        return folder / "bin.xlsx"
    for name, content in broken.files.items():
        if content is None:
            (folder / name).mkdir()
        else:
            (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def test_there_are_enough_cases():
    assert len(BROKEN) >= 40
    assert len({broken.name for broken in BROKEN}) == len(BROKEN)


@pytest.mark.parametrize("broken", BROKEN, ids=lambda broken: broken.name)
def test_each_fault_is_told_at_its_place(broken, tmp_path: Path, catalogue: Catalogue):
    place = write(broken, tmp_path)
    with pytest.raises(BadSheets) as caught:
        bin_from_sheets(place, catalogue)
    faults = caught.value.faults
    told = "\n".join(map(str, faults))
    expected = [(place.name if where == HERE else where, row, column) for where, row, column, _ in broken.faults]
    assert [(fault.where, fault.row, fault.column) for fault in faults] == expected, told
    for fault, (*_, words) in zip(faults, broken.faults, strict=True):
        for word in words:
            assert word in str(fault)
        assert str(fault).isprintable()
        assert str(fault) in str(caught.value)


@pytest.mark.parametrize("broken", BROKEN, ids=lambda broken: broken.name)
def test_the_command_says_so_and_leaves_with_2(broken, tmp_path: Path):
    from typer.testing import CliRunner

    from matcher.cli.commands import app

    result = CliRunner().invoke(app, ["check", str(write(broken, tmp_path))])
    assert result.exit_code == 2, result.output
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
    shown = " ".join(result.output.split())
    for sheet, row, *_ in broken.faults:
        assert (f"{sheet}:{row}" if row else sheet.replace(HERE, tmp_path.name)) in shown


def test_many_faults_of_many_rows_are_all_told(tmp_path: Path, catalogue: Catalogue):
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\n" + "".join(f"l{n},x,navy,3\n" for n in range(300)))
    with pytest.raises(BadSheets) as caught:
        bin_from_sheets(tmp_path, catalogue)
    assert [fault.row for fault in caught.value.faults] == list(range(2, 302))


def test_limits_are_told_in_her_units(tmp_path: Path, catalogue: Catalogue):
    (tmp_path / "lots.csv").write_text("lot,garment,grams,colour,class,reserve\na,vest,21 kg,navy,3,300 km\n")
    (tmp_path / "garments.csv").write_text("garment,status,chest_cm\nvest,worn,900\n")
    with pytest.raises(BadSheets) as caught:
        bin_from_sheets(tmp_path, catalogue)
    told = caught.value.shown(Style("imperial"))
    for words in ("at most 44.1 lb", "at most 218723 yd", "a chest from 7.9 in to 98.4 in"):
        assert words in told


def test_merged_cells_are_named(tmp_path: Path, catalogue: Catalogue):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Lots "
    for row in (["lot", "grams", "colour", "class"], ["a", 41, "navy", 3], ["b", None, "navy", 3]):
        sheet.append(row)
    sheet.merge_cells("B2:B3")
    book.save(tmp_path / "bin.xlsx")
    with pytest.raises(BadSheets) as caught:
        bin_from_sheets(tmp_path / "bin.xlsx", catalogue)
    assert [(fault.row, fault.column) for fault in caught.value.faults] == [(3, "grams")]
    assert "unmerge the cells B2:B3" in str(caught.value)


def test_a_zip_that_is_no_workbook(tmp_path: Path, catalogue: Catalogue):
    import zipfile

    with zipfile.ZipFile(tmp_path / "bin.xlsx", "w") as packed:
        packed.writestr("readme.txt", "hello")
    with pytest.raises(BadSheets, match="a packed file that isn't a workbook"):
        bin_from_sheets(tmp_path / "bin.xlsx", catalogue)


def test_a_workbook_with_damaged_contents(tmp_path: Path, catalogue: Catalogue):
    import zipfile

    with zipfile.ZipFile(tmp_path / "bin.xlsx", "w") as packed:
        packed.writestr("xl/workbook.xml", "<not closed")
    with pytest.raises(BadSheets, match="a damaged workbook"):
        bin_from_sheets(tmp_path / "bin.xlsx", catalogue)


def test_a_file_that_may_not_be_read(tmp_path: Path, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\na,41,navy,3\n")

    def refuse(path: Path, most: int) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("matcher.store.sheets.grid.read_file", refuse)
    with pytest.raises(BadSheets, match=r"can't be opened \(permission denied\)"):
        bin_from_sheets(tmp_path, catalogue)


def test_a_file_too_large_is_not_read(tmp_path: Path, catalogue: Catalogue):
    with open(tmp_path / "lots.csv", "wb") as file:
        file.truncate(80 * 1024 * 1024)  # a hole: takes no room on the disk
    with pytest.raises(BadSheets, match="80 MB"):
        bin_from_sheets(tmp_path, catalogue)


@pytest.mark.parametrize(
    ("name", "kind", "words"),
    [
        ("bin.csv", BadSheets, "no list of yarn in bin.csv"),
        ("bin.numbers", BadInput, "a workbook saved as .xlsx"),
        ("bin.ods", BadSheets, "a workbook saved as .ods"),
        ("bin", BadInput, "a folder with lots.csv"),
    ],
)
def test_a_file_that_is_no_bin(tmp_path: Path, catalogue: Catalogue, name: str, kind: type[MatcherError], words: str):
    (tmp_path / name).write_text("x")
    with pytest.raises(kind, match=words):
        bin_from_sheets(tmp_path / name, catalogue)


@pytest.mark.parametrize("name", ["leftover", "x" * 5000, "a\0b", ""])
def test_no_such_place(tmp_path: Path, catalogue: Catalogue, name: str):
    (tmp_path / "leftovers").mkdir()
    with pytest.raises(NotFound if name else BadSheets) as caught:
        bin_from_sheets(f"{tmp_path}/{name}", catalogue)
    if name == "leftover":
        assert str(tmp_path / "leftovers") in str(caught.value)

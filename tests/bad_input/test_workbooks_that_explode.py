"""Workbooks of a few bytes that claim to hold, or unpack to, more than any machine has: refused in little room, and within the time that every test has."""

from __future__ import annotations

import io
import json
import os
import re
import resource
import signal
import traceback
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
import python_calamine  # noqa: F401  # before the forks, so that what it takes itself is not counted there

from matcher.store.sheets.read import read_sheets

MEGABYTES = 350
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
OFFICE = "urn:oasis:names:tc:opendocument:xmlns"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"


def read_apart(file: Path) -> tuple[float, list[str]]:
    """Read a workbook in a process of its own, with a limit on its room: the megabytes that it took more than it began
    with, and what is wrong with the workbook."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            own = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
            resource.setrlimit(resource.RLIMIT_AS, (own + (2 << 30), own + (2 << 30)))
            Path("/proc/self/clear_refs").write_text("5")  # the most that it held is what it holds now
            before = most_held()
            faults = [str(one) for one in read_sheets(file).faults]
            os.write(write, json.dumps([most_held() - before, faults]).encode())
        except BaseException:
            os.write(2, traceback.format_exc().encode())
        finally:
            os._exit(0)
    os.close(write)
    try:
        with os.fdopen(read, "rb") as told:
            megabytes, faults = json.loads(told.read())
    except BaseException:  # also where the test's time is up
        os.kill(child, signal.SIGKILL)
        raise
    finally:
        os.waitpid(child, 0)
    return megabytes, faults


def most_held() -> float:
    """Megabytes; not ru_maxrss, which nothing makes smaller."""
    found = re.search(r"VmHWM:\s+(\d+)", Path("/proc/self/status").read_text())
    assert found
    return int(found[1]) / 1024


def xlsx(cells: str, after: str = "", shared: str = "", sheet: str = "worksheets/sheet1.xml") -> bytes:
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType='
        '"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>',
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1" '
        f'Type="{RELATIONS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook {MAIN} xmlns:r="{RELATIONS}"><sheets><sheet name="lots" sheetId="1" r:id="r1"/>'
        "</sheets></workbook>",
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1" '
        f'Type="{RELATIONS}/worksheet" Target="{sheet}"/><Relationship Id="r2" '
        f'Type="{RELATIONS}/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
        f"xl/{sheet}": f"<worksheet {MAIN}><sheetData>{cells}</sheetData>{after}</worksheet>",
        "xl/sharedStrings.xml": f"<sst {MAIN}>{shared}</sst>",
    }
    return packed(parts)


def ods(rows: str) -> bytes:
    return packed(
        {
            "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
            "META-INF/manifest.xml": f'<manifest:manifest xmlns:manifest="{OFFICE}:manifest:1.0"/>',
            "content.xml": f'<office:document-content xmlns:office="{OFFICE}:office:1.0" xmlns:table="{OFFICE}:table:1.0" '
            f'xmlns:text="{OFFICE}:text:1.0"><office:body><office:spreadsheet><table:table table:name="lots">{rows}'
            "</table:table></office:spreadsheet></office:body></office:document-content>",
        }
    )


def packed(parts: dict[str, str], kind: int = zipfile.ZIP_DEFLATED) -> bytes:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", kind) as file:
        for name, text in parts.items():
            before, mark, after = text.partition(LONG)
            with file.open(name, "w", force_zip64=False) as part:
                part.write(before.encode())
                for _ in range(300 if mark else 0):
                    part.write(b"x" * 1_000_000)
                part.write(after.encode())
    return kept.getvalue()


def cell(ref: str, text: str = "x") -> str:
    return f'<c r="{ref}" t="inlineStr"><is><t>{text}</t></is></c>'


def lying() -> bytes:
    """A header that promises ten bytes for 300 MB."""
    data = bytearray(xlsx(f'<row r="1">{cell("A1", LONG)}</row>'))
    size = (300_000_000).to_bytes(4, "little")[2:]
    for head, place in ((b"PK\x03\x04", 22), (b"PK\x01\x02", 24)):
        at = 0
        while (at := data.find(head, at)) >= 0:
            if data[at + place + 2 : at + place + 4] == size:
                data[at + place : at + place + 4] = (10).to_bytes(4, "little")
            at += 4
    return bytes(data)


def words(text: str) -> str:
    return f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'


def formulas(number: int) -> str:
    return "".join(
        f'<row r="{row}">' + "".join(f'<c r="{letter}{row}"><f/></c>' for letter in "ABCDEFGHIJ") + "</row>"
        for row in range(1, number)
    )


FAR = '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'
HEAD = f'<row r="1">{cell("A1", "lot")}</row>'
TIMES = "table:number-columns-repeated"
LONG = "(300 MB)"  # stands for a text of that length
WIDE = f'<table:table-cell {TIMES}="900000000"'
SPACES = '<text:s text:c="100000000"/>' * 10
EXPLODE: dict[str, tuple[str, Callable[[], bytes]]] = {
    "a cell in the last corner": (".xlsx", lambda: xlsx(HEAD + FAR)),
    "a cell in the last corner, and a formula": (".xlsx", lambda: xlsx(HEAD.replace("<is>", "<f/><is>") + FAR)),
    "a sheet that is called otherwise": (".xlsx", lambda: xlsx(HEAD + FAR, sheet="other.xml")),
    "a sheet that is called a picture": (".xlsx", lambda: xlsx(HEAD + FAR, sheet="other.png")),
    "a row that does not exist": (".xlsx", lambda: xlsx(HEAD + FAR.replace("1048576", "9999999"))),
    "all cells merged": (".xlsx", lambda: xlsx(HEAD, '<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>')),
    "200 merges of the same": (
        ".xlsx",
        lambda: xlsx(HEAD, "<mergeCells>" + '<mergeCell ref="A1:Z5000"/>' * 200 + "</mergeCells>"),
    ),
    "a merge of nothing": (".xlsx", lambda: xlsx(HEAD, '<mergeCells><mergeCell ref="A0:?"/></mergeCells>')),
    "empty cells with formulas": (".xlsx", lambda: xlsx(formulas(200_000))),
    "a cell of 300 MB": (".xlsx", lambda: xlsx(f'<row r="1">{cell("A1", LONG)}</row>')),
    "a size that lies": (".xlsx", lying),
    "one long text shared by many": (
        ".xlsx",
        lambda: xlsx(
            "".join(f'<row r="{row}"><c r="A{row}" t="s"><v>0</v></c></row>' for row in range(1, 100_000)),
            shared=f"<si><t>{'x' * 30_000}</t></si>",
        ),
    ),
    "names of names of names": (
        ".xlsx",
        lambda: packed(
            {
                "xl/workbook.xml": '<!DOCTYPE a [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;">]><workbook>&b;'
                "</workbook>"
            }
        ),
    ),
    "two parts of one name": (".xlsx", lambda: twice()),
    "packed otherwise": (".xlsx", lambda: packed({"xl/workbook.xml": "<a/>" * 9}, zipfile.ZIP_BZIP2)),
    "a billion spaces": (".ods", lambda: ods(f"<table:table-row>{words(SPACES)}</table:table-row>")),
    "columns repeated": (
        ".ods",
        lambda: ods(f"<table:table-row>{words('x').replace('<table:table-cell', WIDE)}</table:table-row>"),
    ),
    "rows repeated": (
        ".ods",
        lambda: ods(f'<table:table-row table:number-rows-repeated="90000000">{words("x")}</table:table-row>'),
    ),
    "a cell far down": (
        ".ods",
        lambda: ods(
            '<table:table-row table:number-rows-repeated="90000000"><table:table-cell/></table:table-row>'
            f"<table:table-row>{words('x')}</table:table-row>"
        ),
    ),
    "a long text repeated": (
        ".ods",
        lambda: ods(f'<table:table-row table:number-rows-repeated="190000">{words("x" * 30_000)}</table:table-row>'),
    ),
    "a number of repetitions that is none": (
        ".ods",
        lambda: ods(f'<table:table-row table:number-rows-repeated="-1">{words("x")}</table:table-row>'),
    ),
}


def twice() -> bytes:
    """A workbook whose second part is then called as its first."""
    return packed({"xl/workbook.xml": "<workbook/>", "xl/workbook.xmm": "<workbook/>"}).replace(b"xmm", b"xml")


@pytest.mark.parametrize("name", EXPLODE)
def test_it_is_refused_in_little_room(name: str, tmp_path: Path):
    kind, made = EXPLODE[name]
    file = tmp_path / f"book{kind}"
    file.write_bytes(made())
    megabytes, faults = read_apart(file)
    assert faults
    assert megabytes < MEGABYTES


def test_rows_that_a_spreadsheet_repeats_to_its_foot_do_no_harm(tmp_path: Path):
    """Every sheet that a spreadsheet saves as .ods ends so."""
    rows = "".join(
        "<table:table-row>" + "".join(map(words, cells)) + f'<table:table-cell {TIMES}="16300"/></table:table-row>'
        for cells in (("lot", "grams", "colour", "class"), ("a", "41", "navy", "3"))
    )
    foot = (
        f'<table:table-row table:number-rows-repeated="1048000"><table:table-cell {TIMES}="16384"/></table:table-row>'
    )
    file = tmp_path / "book.ods"
    file.write_bytes(ods(rows + foot))
    megabytes, faults = read_apart(file)
    assert faults == []
    assert megabytes < MEGABYTES

"""Workbooks written cell by cell: .xlsx (ISO/IEC 29500) and .ods (ISO/IEC 26300).

No library is between: so the same rows give the same bytes (no clock in the file), a cell is a number only where
reading gives back the very text that she wrote, and 100,000 rows take seconds.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason
from matcher.reasons.visible import HIDDEN, visible
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.grid import hide_formula, letters, number_text

_NUMBERS = frozenset(rule.name for sheet in SHEETS.values() for rule in sheet.rules.values() if rule.number)
_SIGNED = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
_PLAIN = re.compile(r"-?\d{1,15}(?:\.\d{1,15})?")
_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")  # the start of what a workbook reads as one character (ST_Xstring)
_LONGEST_CELL = 32_767  # what a cell of an .xlsx workbook may hold
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest date that a packed file can carry


@dataclass(frozen=True)
class SheetRows:
    """One sheet to write: its name, its columns, and its rows as text cells by column; absent cells are empty."""

    name: str
    columns: Sequence[str]
    rows: Sequence[Mapping[str, str]]


class Told:
    """The rows of all sheets in turn, with progress, and a clear word where a cell cannot be written."""

    def __init__(
        self, sheets: Sequence[SheetRows], place: Path, progress: Callable[[int, int], None] | None = None
    ) -> None:
        self.place, self.progress = place, progress
        self.total, self.done = sum(len(sheet.rows) for sheet in sheets), 0

    def rows(self, sheet: SheetRows) -> Iterator[list[str]]:
        """Cells of each row as they are written."""
        for row in sheet.rows:
            cells = [row.get(column, "") for column in sheet.columns]
            for cell in filter(HIDDEN.search, cells):  # no sheet with it would be taken in again
                raise self.refuse(sheet, visible(cell), reason("holds a sign that can't be seen"))
            yield [hide(column, cell) for column, cell in zip(sheet.columns, cells, strict=True)]
            self.done += 1
            if self.progress and self.done % 500 == 0:
                self.progress(self.done, self.total)

    def refuse(self, sheet: SheetRows, cell: str, why: Words) -> BadInput:
        """The error for a cell that this kind of file cannot hold."""
        what = reason('a cell of {sheet}, "{cell}", {why}', sheet=sheet.name, cell=cell[:30], why=why)
        return BadInput(what, str(self.place), reason("change that cell first"))


def hide(column: str, text: str) -> str:
    """A cell as it is written: text that a spreadsheet would run as a formula gets an apostrophe before it."""
    return text if column in _NUMBERS and _SIGNED.fullmatch(text) else hide_formula(text)


def _as_number(column: str, cell: str) -> bool:
    """Whether a cell can be written as a number and still be read as the same text."""
    return column in _NUMBERS and _PLAIN.fullmatch(cell) is not None and number_text(float(cell)) == cell


def _zipped(parts: Iterable[tuple[str, str]]) -> bytes:
    """A packed file whose bytes depend on its parts alone; the first part is not compressed."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as file:
        for place, (name, text) in enumerate(parts):
            entry = zipfile.ZipInfo(name, _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED if place else zipfile.ZIP_STORED
            entry.create_system, entry.external_attr = 3, 0o644 << 16
            file.writestr(entry, text.encode("utf-8"))
    return packed.getvalue()


def _xml(text: str) -> str:
    return escape(text, quote=False).replace("\r", "&#13;")


_DECLARED = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_DOCUMENT = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
# Style 1 is text, so that what she types later is kept as she types it.
_STYLES = (
    f'<styleSheet xmlns="{_MAIN}"><fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill>'
    '</fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="2"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
)


def xlsx(sheets: Sequence[SheetRows], told: Told) -> bytes:
    """The sheets as a workbook. Raises BadInput for a cell that it cannot hold."""
    files = [f"worksheets/sheet{number}.xml" for number in range(1, len(sheets) + 1)]
    types = "".join(f'<Override PartName="/xl/{file}" ContentType="{_SHEET_TYPE}.worksheet+xml"/>' for file in files)
    listed = "".join(
        f'<sheet name="{sheet.name}" sheetId="{number}" r:id="rId{number}"/>' for number, sheet in enumerate(sheets, 1)
    )
    related = "".join(
        f'<Relationship Id="rId{number}" Type="{_DOCUMENT}/worksheet" Target="{file}"/>'
        for number, file in enumerate(files, 1)
    )
    parts = [
        (
            "[Content_Types].xml",
            f'<Types xmlns="{_PACKAGE}/content-types">'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{_SHEET_TYPE}.sheet.main+xml"/>'
            f'<Override PartName="/xl/styles.xml" ContentType="{_SHEET_TYPE}.styles+xml"/>{types}</Types>',
        ),
        (
            "_rels/.rels",
            f'<Relationships xmlns="{_PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{_DOCUMENT}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        ),
        ("xl/workbook.xml", f'<workbook xmlns="{_MAIN}" xmlns:r="{_DOCUMENT}"><sheets>{listed}</sheets></workbook>'),
        (
            "xl/_rels/workbook.xml.rels",
            f'<Relationships xmlns="{_PACKAGE}/relationships">{related}'
            f'<Relationship Id="rId{len(sheets) + 1}" Type="{_DOCUMENT}/styles" Target="styles.xml"/></Relationships>',
        ),
        ("xl/styles.xml", _STYLES),
        *((f"xl/{file}", _xlsx_sheet(sheet, told)) for file, sheet in zip(files, sheets, strict=True)),
    ]
    return _zipped((name, _DECLARED + text) for name, text in parts)


def _xlsx_sheet(sheet: SheetRows, told: Told) -> str:
    names = [letters(place) for place in range(len(sheet.columns))]

    def line(number: int, cells: Sequence[str], columns: Sequence[str]) -> str:
        made = []
        for letter, column, cell in zip(names, columns, cells, strict=True):
            if not cell:
                continue
            if _as_number(column, cell):
                made.append(f'<c r="{letter}{number}"><v>{cell}</v></c>')
                continue
            if len(cell) > _LONGEST_CELL:
                why = reason("is longer than the {n} characters that a workbook holds", n=Number(_LONGEST_CELL))
                raise told.refuse(sheet, cell, why)
            text = f'<t xml:space="preserve">{_xml(_ESCAPE.sub("_x005F_", cell))}</t>'
            made.append(f'<c r="{letter}{number}" s="1" t="inlineStr"><is>{text}</is></c>')
        return f'<row r="{number}">{"".join(made)}</row>'

    widths = "".join(
        f'<col min="{place}" max="{place}" width="14" customWidth="1" style="{int(column not in _NUMBERS)}"/>'
        for place, column in enumerate(sheet.columns, 1)
    )
    rows = [line(1, sheet.columns, [""] * len(names))]
    rows += [line(number, cells, sheet.columns) for number, cells in enumerate(told.rows(sheet), 2)]
    return (
        f'<worksheet xmlns="{_MAIN}"><sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" '
        f'activePane="bottomLeft" state="frozen"/></sheetView></sheetViews><cols>{widths}</cols>'
        f"<sheetData>{''.join(rows)}</sheetData></worksheet>"
    )


_OASIS = "urn:oasis:names:tc:opendocument:xmlns"
_ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def ods(sheets: Sequence[SheetRows], told: Told) -> bytes:
    """The sheets as an OpenDocument spreadsheet. Raises BadInput for a cell that it cannot hold."""
    tables = "".join(_ods_table(sheet, told) for sheet in sheets)
    content = (
        f'<office:document-content xmlns:office="{_OASIS}:office:1.0" xmlns:table="{_OASIS}:table:1.0" '
        f'xmlns:text="{_OASIS}:text:1.0" office:version="1.2"><office:body><office:spreadsheet>{tables}'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    manifest = (
        f'<manifest:manifest xmlns:manifest="{_OASIS}:manifest:1.0" manifest:version="1.2">'
        f'<manifest:file-entry manifest:full-path="/" manifest:version="1.2" manifest:media-type="{_ODS_TYPE}"/>'
        '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
    )
    return _zipped(
        (
            ("mimetype", _ODS_TYPE),
            ("META-INF/manifest.xml", _DECLARED + manifest),
            ("content.xml", _DECLARED + content),
        )
    )


def _ods_table(sheet: SheetRows, told: Told) -> str:
    def line(cells: Sequence[str], columns: Sequence[str]) -> str:
        made = []
        for column, cell in zip(columns, cells, strict=True):
            if not cell:
                made.append("<table:table-cell/>")
            elif _as_number(column, cell):
                typed = f'office:value-type="float" office:value="{cell}"'
                made.append(f"<table:table-cell {typed}><text:p>{cell}</text:p></table:table-cell>")
            else:
                text = _paragraphs(_xml(cell))
                made.append(f'<table:table-cell office:value-type="string">{text}</table:table-cell>')
        return f"<table:table-row>{''.join(made)}</table:table-row>"

    width = len(sheet.columns)
    rows = [line(sheet.columns, [""] * width), *(line(cells, sheet.columns) for cells in told.rows(sheet))]
    return (
        f'<table:table table:name="{sheet.name}"><table:table-column table:number-columns-repeated="{width}"/>'
        f"{''.join(rows)}</table:table>"
    )


_RUNS = re.compile(r"^ +| {2,}| +$", re.MULTILINE)


def _paragraphs(text: str) -> str:
    """One paragraph a line; runs of spaces, and tabs, as the format wants them, since it would run them together."""
    spaced = _RUNS.sub(lambda run: f'<text:s text:c="{len(run[0])}"/>', text)
    return "".join(f"<text:p>{line}</text:p>" for line in spaced.replace("\t", "<text:tab/>").split("\n"))

"""A workbook looked over before a reader unpacks it, since readers make room for whatever it claims to hold.

Every part is unpacked within bounds and its cells, repeats and merged ranges are counted; what was looked at is packed
anew, so that nothing else reaches a reader. All limits are choices, far above what the largest bin takes.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, field
from xml.parsers import expat

from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason
from matcher.store.sheets.grid import place_of

_MOST_PARTS = 1000
_MOST_BYTES = 256 * 1024 * 1024  # of all parts, unpacked
_MOST_ELEMENTS = 8_000_000
_MOST_BETWEEN = 1024 * 1024  # bytes without a new element: a cell's text is at most 32,767 characters
_MOST_CELLS = 5_000_000  # of the rectangle that holds all cells of a sheet
_MOST_TEXT = 200_000_000  # characters of all cells, those that share or repeat a text counted each
_MOST_WITH_FORMULAS = 300_000  # cells of a sheet with formulas or merged cells, whose reader is slow
_MOST_MERGED = 100_000  # cells of all merged ranges
_PIECE = 64 * 1024
_CELL = re.compile(r"\$?([A-Za-z]{1,3})\$?([1-9]\d{0,6})")


class TooMuch(Exception):
    """A workbook that would explode; `found` says what is wrong with it."""

    def __init__(self, found: Words) -> None:
        self.found = found
        super().__init__(found)


def looked_over(packed: zipfile.ZipFile) -> bytes:
    """The workbook packed anew. Raises TooMuch, and expat's or zipfile's own errors for damage."""
    parts = packed.infolist()
    if len(parts) > _MOST_PARTS or len({one.filename for one in parts}) < len(parts):
        raise TooMuch(reason("a workbook of too many parts, or of two with one name"))
    if any(one.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED) for one in parts):
        raise TooMuch(reason("a workbook packed in an unusual way"))
    again, counts, room = io.BytesIO(), _Counts(), _MOST_BYTES
    # Texts that cells share come first, so that their lengths are known.
    with zipfile.ZipFile(again, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as file:
        for part in sorted(parts, key=lambda one: not one.filename.endswith("sharedStrings.xml")):
            with packed.open(part) as source, file.open(part.filename, "w") as target:
                if not part.filename.endswith((".xml", ".rels", "mimetype")):
                    continue  # a picture, say: it stays empty
                feed = _Look(part.filename, counts).feed if part.filename != "mimetype" else None
                while piece := source.read(_PIECE):
                    room -= len(piece)
                    if room < 0:
                        raise TooMuch(reason("more than {n} MB when unpacked", n=Number(_MOST_BYTES >> 20)))
                    if feed:
                        feed(piece)
                    target.write(piece)
                if feed:
                    feed(b"", True)
    return again.getvalue()


@dataclass
class _Counts:
    """What all parts have together."""

    elements: int = 0
    text: int = 0
    shared: list[int] = field(default_factory=list)  # lengths of the texts that cells share

    def add_text(self, letters: int) -> None:
        self.text += letters
        if self.text > _MOST_TEXT:
            raise TooMuch(reason("more text than any list holds"))


class _Look:
    """One part, piece by piece."""

    def __init__(self, name: str, counts: _Counts) -> None:
        self.counts, self.fresh, self.idle = counts, False, 0
        self.rows = self.columns = self.merged = 0
        self.row = self.column = 0
        self.slow = False
        self.row_times = self.times = 0
        self.type = ""
        starts: dict[str, Callable[[dict[str, str]], None]] = {}
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartDoctypeDeclHandler = self._doctype
        if name.endswith("sharedStrings.xml"):
            starts = {"si": lambda _: counts.shared.append(0)}
            self.parser.CharacterDataHandler = self._shared_text
        elif name != "content.xml":  # any other may be a sheet, whatever it is called
            starts = {"row": self._row, "c": self._cell, "v": self._value, "f": self._slow, "mergeCell": self._merge}
        else:
            starts = {
                "table": self._table,
                "table-row": self._ods_row,
                "table-cell": self._ods_cell,
                "covered-table-cell": self._ods_cell,
                "p": self._fill,
                "s": self._spaces,
            }
            self.parser.CharacterDataHandler = self._ods_text
            self.parser.EndElementHandler = self._ods_end
        self.starts = starts
        self.parser.StartElementHandler = self._start

    def feed(self, piece: bytes, last: bool = False) -> None:
        self.fresh = False
        self.parser.Parse(piece, last)
        self.idle = 0 if self.fresh else self.idle + len(piece)
        if self.idle > _MOST_BETWEEN:
            raise TooMuch(reason("one cell of more than a million characters"))

    def _doctype(self, *_: object) -> None:
        raise TooMuch(reason("definitions that no spreadsheet writes"))

    def _start(self, name: str, values: dict[str, str]) -> None:
        self.fresh = True
        self.counts.elements += 1
        if self.counts.elements > _MOST_ELEMENTS:
            raise TooMuch(reason("more cells than any list holds"))
        known = self.starts.get(name.rpartition(" ")[2])
        if known:
            known(values)

    def _hold(self, row: int, column: int) -> None:
        """A cell that holds something: the rectangle of all of them is what a reader makes room for."""
        self.rows, self.columns = max(self.rows, row), max(self.columns, column)
        most = _MOST_WITH_FORMULAS if self.slow else _MOST_CELLS
        if self.rows * self.columns > most:
            said = "cells spread over {rows} rows and {columns} columns"
            raise TooMuch(reason(said, rows=Number(self.rows), columns=Number(self.columns)))

    # .xlsx

    def _row(self, values: dict[str, str]) -> None:
        self.row, self.column = int(values.get("r", self.row + 1)), 0

    def _cell(self, values: dict[str, str]) -> None:
        self.type = values.get("t", "")
        self.slow |= self.type == "e"
        if "r" in values:
            self.row, self.column = _place(values["r"])
        else:
            self.column += 1
        self._hold(self.row, self.column)

    def _slow(self, _: dict[str, str]) -> None:
        self.slow = True
        self._hold(0, 0)

    def _value(self, _: dict[str, str]) -> None:
        self.parser.CharacterDataHandler = self._index if self.type == "s" else None

    def _index(self, text: str) -> None:
        self.parser.CharacterDataHandler = None
        self.counts.add_text(self.counts.shared[int(text)])

    def _shared_text(self, text: str) -> None:
        if self.counts.shared:
            self.counts.shared[-1] += len(text)

    def _merge(self, values: dict[str, str]) -> None:
        first, _, last = values.get("ref", "").partition(":")
        (top, left), (foot, right) = _place(first), _place(last or first)
        self.merged += (abs(foot - top) + 1) * (abs(right - left) + 1)
        if self.merged > _MOST_MERGED:
            raise TooMuch(reason("more than {n} merged cells", n=Number(_MOST_MERGED)))
        self.slow = True
        self._hold(max(top, foot), max(left, right))

    # .ods

    def _table(self, _: dict[str, str]) -> None:
        self.rows = self.columns = self.row = self.column = 0

    def _ods_row(self, values: dict[str, str]) -> None:
        self.row_times, self.column = _repeated(values, "number-rows-repeated"), 0

    def _ods_cell(self, values: dict[str, str]) -> None:
        self.times = _repeated(values, "number-columns-repeated")
        self.column += self.times
        if any(name.rpartition(" ")[2] in ("value-type", "formula") for name in values):
            self._fill(values)

    def _fill(self, _: dict[str, str]) -> None:
        self._hold(self.row + self.row_times, self.column)

    def _spaces(self, values: dict[str, str]) -> None:
        self._count(_repeated(values, "c"))

    def _ods_text(self, text: str) -> None:
        self._count(len(text))

    def _count(self, letters: int) -> None:
        self.counts.add_text(letters * max(1, self.times) * max(1, self.row_times))

    def _ods_end(self, name: str) -> None:
        if name.endswith(" table-row"):
            self.row += self.row_times
            self.times = self.row_times = 0


def _place(ref: str) -> tuple[int, int]:
    """Row and column of a cell's name, from 1."""
    found = _CELL.fullmatch(ref)
    if not found:
        raise TooMuch(reason('a cell called "{name}"', name=ref[:20]))
    return int(found[2]), place_of(found[1]) + 1


def _repeated(values: dict[str, str], name: str) -> int:
    """How often something stands there, as far as it says so."""
    said = next((value for key, value in values.items() if key.rpartition(" ")[2] == name), "1")
    if not said.isascii() or not said.isdigit() or len(said) > 9:
        raise TooMuch(reason('"{n}" repetitions', n=said[:20]))
    return int(said)

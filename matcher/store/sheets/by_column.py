"""Rows of one table read column by column: each text that a column holds is understood once, however often it stands.

A row in which every cell says plainly what it says is put together from its columns; any other is read by itself, with
all that is to be said of it. So a sheet says the same either way, and a tidy one costs little.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from matcher.materials.reading.numerals import Unclear
from matcher.store.sheets.cells import EMPTY, CellReader
from matcher.store.sheets.columns import ColumnRule, Columns
from matcher.store.sheets.rows import Row

_ODD = object()
"""In place of a value, where its row is to be read by itself."""


class ByColumn:
    """The values of a table's rows, by their places."""

    def __init__(self, reader: CellReader, rows: Sequence[Row], columns: Columns) -> None:
        self._names = tuple(columns)
        self._columns: list[list[Any]] = []
        self._odd = {at for at, row in enumerate(rows) if row.bad}
        for name, rule in columns.rules.items():
            texts = [row.cells.get(name) for row in rows]
            meant = {text: _plain(reader, rule, text) for text in set(texts)}
            values = [meant[text] for text in texts]
            if _ODD in meant.values():
                self._odd.update(at for at, value in enumerate(values) if value is _ODD)
            self._columns.append(values)

    def __getitem__(self, at: int) -> dict[str, Any] | None:
        """The values of a row by column; None for one that is to be read by itself."""
        return None if at in self._odd else dict(zip(self._names, [one[at] for one in self._columns], strict=True))


def _plain(reader: CellReader, rule: ColumnRule, text: str | None) -> Any:
    if text is None:
        return _ODD if rule.needed else EMPTY.get(rule.kind, "")
    try:
        heard = reader.heard_alone(rule.kind, text)
    except Unclear:
        return _ODD
    return _ODD if heard is None or heard.taken or not heard.sure else heard.value

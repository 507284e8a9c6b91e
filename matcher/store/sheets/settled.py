"""Cells that the store keeps in one wording only: what she wrote is put into it, and stays beside it."""

from __future__ import annotations

from matcher.materials.garment_words import heard_status
from matcher.materials.reading.numerals import Unclear
from matcher.store.sheets.columns import Columns
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import CellRead, Understood


def settle(table: Table, columns: Columns, understood: Understood) -> None:
    """Put what became of a garment into one of its three words; what cannot be read is left, and told with its row."""
    for row in table.rows:
        text = row.cells.get("status", "") if "status" in columns else ""
        try:
            heard = heard_status(text) if text else None
        except Unclear:
            continue
        if heard is not None and heard.value != text:
            row.hers.setdefault("status", text)
            row.cells["status"] = heard.value
            if heard.taken:
                named = row.cells.get(columns.thing, "")
                understood.add(CellRead(table.where, row.number, named, "status", text, heard.taken, heard.sure))

"""A workbook as somebody keeps it: a title above, headings of her own, half a word for a weight."""

from __future__ import annotations

import io

from openpyxl import Workbook

MESSY = (
    ("Yarn left, spring",),
    ("Yarn", "Garment", "Left (g)", "Colour", "Thickness", "paid"),
    ("navy", "blue vest", "45", "#1f2a4a", "DK", "4.50"),
    ("fog", "", "most of it", "#c3c6c8", "DK", ""),
    ("<b>moss</b>", "blue vest", "20", "#5b6b3a", "aran or so", "1"),
    ("plum", "", "30", "#5d2a4a", "DK", ""),
)


def workbook(*rows: tuple[str, ...]) -> bytes:
    made = Workbook()
    sheet = made.active
    assert sheet is not None
    sheet.title = "stash"
    for row in rows:
        sheet.append(row)
    kept = io.BytesIO()
    made.save(kept)
    return kept.getvalue()

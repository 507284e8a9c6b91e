"""Rows of a workbook that are struck through: what that means is hers to say, so it is told and nothing is left out."""

from __future__ import annotations

import re
import zipfile
from collections import Counter

from matcher.reasons.reason import Words, counted, listed
from matcher.store.sheets.formats import CELL, STYLE, STYLES, attributes, sheet_parts

_FONTS = re.compile(r"<(?:\w+:)?fonts\b.*?</(?:\w+:)?fonts>", re.DOTALL)
_FONT = re.compile(r"<(?:\w+:)?font\b[^>]*?(?:/>|>(.*?)</(?:\w+:)?font>)", re.DOTALL)
_STRIKE = re.compile(r"<(?:\w+:)?strike\b(?![^>]*\bval=[\"'](?:0|false)[\"'])")
_LEAST = 2  # cells of a row; a choice, since one may be a word that was put right
_MOST_ROWS = 10  # that are told by number; a choice


def struck_rows(packed: zipfile.ZipFile) -> dict[str, list[int]]:
    """By sheet title the rows of an .xlsx file with several cells that are struck through."""
    names = set(packed.namelist())
    styles = packed.read("xl/styles.xml").decode("utf-8", "replace") if "xl/styles.xml" in names else ""
    if not _STRIKE.search(styles):
        return {}
    fonts, used = _FONTS.search(styles), STYLES.search(styles)
    struck = {str(at) for at, one in enumerate(_FONT.findall(fonts[0] if fonts else "")) if _STRIKE.search(one)}
    each = attributes(STYLE, used[0] if used else "")
    of_style = {str(at).encode() for at, one in enumerate(each) if one.get("fontId", "") in struck}
    rows: dict[str, list[int]] = {}
    for title, part in sheet_parts(packed, names).items() if of_style else ():
        cells = Counter(int(row) for _, row, style in CELL.findall(packed.read(part)) if style in of_style)
        rows[title] = sorted(row for row, number in cells.items() if number >= _LEAST)
    return rows


def told_struck(where: str, rows: list[int]) -> Words:
    """That such rows count as all others do, and what to do where they are not meant to."""
    numbers = listed([*map(str, rows[:_MOST_ROWS]), *(["..."] if len(rows) > _MOST_ROWS else [])])
    one = "{sheet}, row {rows}: struck through, and counted all the same; delete it if it is used up"
    many = "{sheet}, rows {rows}: struck through, and counted all the same; delete those that are used up"
    return counted(len(rows), one, many, sheet=where, rows=numbers)

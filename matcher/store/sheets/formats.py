"""Units that a spreadsheet shows and does not hold: 50 formatted as "50 g", 0.5 formatted as "50%"."""

from __future__ import annotations

import re
import zipfile
from html import unescape

from matcher.materials.reading.numerals import LENGTH_M, MASS_G, NUMBER
from matcher.store.sheets.grid import number_text, place_of

_Units = dict[tuple[int, int], str]
AllUnits = dict[str, _Units]
"""Units by sheet title, and by row and position in the sheet."""

_FORMAT = re.compile(r"<(?:\w+:)?numFmt\b([^>]*)>")
STYLES = re.compile(r"<(?:\w+:)?cellXfs\b.*?</(?:\w+:)?cellXfs>", re.DOTALL)
STYLE = re.compile(r"<(?:\w+:)?xf\b([^>]*)>")
_SHEET = re.compile(r"<(?:\w+:)?sheet\b([^>]*)>")
_RELATION = re.compile(r"<(?:\w+:)?Relationship\b([^>]*)>")
CELL = re.compile(rb'<(?:\w+:)?c\b(?=[^>]*\br="([A-Z]{1,3})(\d+)")(?=[^>]*\bs="(\d+)")')
_ATTRIBUTE = re.compile(r'([\w:]+)="([^"]*)"')
_WORDS = re.compile(r'"([^"]*)"|\\(.)')  # in a format's code: text in quotation marks, and a letter after a stroke
_SHOWN = re.compile(rf"(?:{NUMBER})\s*([^\W\d_]+\.?|[\"″])")
_ODS_CELL = re.compile(
    rb'<table:table-cell\b([^>]*\boffice:value-type="(float|percentage)"[^>]*)>\s*<text:p>([^<]{1,60})</text:p>'
)
_COUNTRY = re.compile(rb'<style:default-style\b[^>]*style:family="table-cell".*?fo:country="([A-Z]{2})"', re.DOTALL)


PERCENT = "%"
_BUILT_IN = {"9": PERCENT, "10": PERCENT}  # formats that every .xlsx file has without describing them: 0% and 0.00%


def with_shown(number: float, unit: str) -> str:
    """A number with the unit that is shown behind it; a share as it is shown: 0.5 is "50%"."""
    if unit == PERCENT:
        return number_text(round(100.0 * number, 9)) + unit
    text = number_text(number) if isinstance(number, float) else str(number)
    return f"{text} {unit}" if unit else text


def unit_of(text: str) -> str:
    """The unit that a text is, "" if none."""
    plain = text.strip().casefold().rstrip(".")
    return plain if plain in MASS_G or plain in LENGTH_M else ""


def unit_of_format(code: str) -> str:
    """The unit that a number format writes behind the number: '0.0" g"' is "g", '0%' is "%"."""
    first = code.split(";")[0]
    if PERCENT in _WORDS.sub("", first):
        return PERCENT
    return unit_of("".join(one[1] or one[2] or "" for one in _WORDS.finditer(first)))


def xlsx_units(packed: zipfile.ZipFile) -> AllUnits:
    """The units of an .xlsx file; empty where no format has one."""
    names = set(packed.namelist())
    if "xl/styles.xml" not in names:
        return {}
    styles = packed.read("xl/styles.xml").decode("utf-8", "replace")
    told = {one.get("numFmtId", ""): unit_of_format(one.get("formatCode", "")) for one in attributes(_FORMAT, styles)}
    formats = _BUILT_IN | told
    used = STYLES.search(styles)
    of_style = [formats.get(one.get("numFmtId", ""), "") for one in attributes(STYLE, used[0])] if used else []
    if not any(of_style):
        return {}
    found: AllUnits = {}
    for title, part in sheet_parts(packed, names).items():
        units = found.setdefault(title, {})
        for letters, row, style in CELL.findall(packed.read(part)):
            unit = of_style[int(style)] if int(style) < len(of_style) else ""
            if unit:
                units[int(row), place_of(letters.decode())] = unit
    return found


def attributes(pattern: re.Pattern[str], text: str) -> list[dict[str, str]]:
    """The attributes of each element of a kind."""
    return [{name: unescape(value) for name, value in _ATTRIBUTE.findall(one[1])} for one in pattern.finditer(text)]


def sheet_parts(packed: zipfile.ZipFile, names: set[str]) -> dict[str, str]:
    """Which part holds each sheet."""
    relations = "xl/_rels/workbook.xml.rels"
    if relations not in names:
        return {}
    targets = {
        one.get("Id", ""): one.get("Target", "")
        for one in attributes(_RELATION, packed.read(relations).decode("utf-8"))
    }
    parts: dict[str, str] = {}
    for one in attributes(_SHEET, packed.read("xl/workbook.xml").decode("utf-8")):
        related = next((value for name, value in one.items() if name.endswith(":id")), "")
        target = targets.get(related, "")
        part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        if part in names:
            parts[one.get("name", "")] = part
    return parts


def ods_with_units(content: bytes) -> bytes:
    """The cells of an OpenDocument sheet, those that show a unit as text with that unit."""
    return _ODS_CELL.sub(_as_text, content) if b"<number:text" in content or b'"percentage"' in content else content


def _as_text(cell: re.Match[bytes]) -> bytes:
    shown = _SHOWN.fullmatch(unescape(cell[3].decode("utf-8", "replace")).strip())
    unit = PERCENT if cell[2] == b"percentage" else unit_of(shown[1]) if shown else ""
    value = re.search(rb'\boffice:value="([^"]*)"', cell[1])
    if not unit or not value:
        return cell[0]
    try:
        text = with_shown(float(value[1]), unit).replace('"', "&quot;")
    except (ValueError, OverflowError):
        return cell[0]
    kind = b'office:value-type="%s"'
    kept = cell[1].replace(value[0], b"").replace(kind % cell[2], kind % b"string")
    return b"<table:table-cell" + kept + b"><text:p>" + text.encode() + b"</text:p>"


def ods_country(packed: zipfile.ZipFile) -> str:
    """The country whose habits an OpenDocument file follows, "" where it does not say."""
    found = _COUNTRY.search(packed.read("styles.xml")) if "styles.xml" in packed.namelist() else None
    return found[1].decode() if found else ""

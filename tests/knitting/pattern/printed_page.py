"""The printed page of a pattern, taken apart as a reader sees it: charts, pieces, sections, lines. Nothing of the builder is used."""

from __future__ import annotations

import re
from dataclasses import dataclass, field


class Stuck(Exception):
    """The knitter cannot go on, or what she sees isn't what the page says."""


@dataclass
class PrintedChart:
    """rows: number of a row -> its stitches in the order in which they are worked, each (operation, colour)."""

    name: str
    wide: int
    rows: dict[int, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    wrong: set[int] = field(default_factory=set)


@dataclass
class PrintedSection:
    heading: str
    lines: list[str] = field(default_factory=list)


@dataclass
class PrintedPiece:
    name: str
    times: int = 1
    sections: list[PrintedSection] = field(default_factory=list)


@dataclass
class PrintedPage:
    title: str
    facts: dict[str, str]
    colours: dict[str, str]
    key: dict[str, str]
    charts: dict[str, PrintedChart]
    pieces: list[PrintedPiece]
    notes: dict[str, list[str]]


NOTES = ("Mind", "Take care", "Before you begin", "Finishing")
_CHART = re.compile(r"Chart (\w+): (\d+) stitch(?:es)?, (\d+) rows?$")
_GRID = re.compile(r"^ *(\d*) ?\|(.*)\| ?(\d*)$")
_TIMES = re.compile(r"Make (\d+), all alike\.$")
_BEHIND = {"k": "p", "p": "k", "k2tog": "p2tog", "p2tog": "k2tog"}


def _blocks(text: str) -> list[tuple[str, str, list[str]]]:
    """Every heading with the sign that underlines it and the lines below, each joined from how it was wrapped."""
    lines = text.splitlines()
    found: list[tuple[str, str, list[str]]] = []
    for number, line in enumerate(lines):
        below = lines[number + 1] if number + 1 < len(lines) else ""
        if line and len(below) == len(line) and set(below) in ({"="}, {"-"}):
            found.append((line, below[0], []))
        elif set(line) in ({"="}, {"-"}) and number and len(lines[number - 1]) == len(line):
            continue
        elif line and found:
            goes_on = line.startswith("    ") and "|" not in line
            if goes_on and found[-1][2]:
                found[-1][2][-1] += " " + line.strip()
            else:
                found[-1][2].append(line)
        elif line:
            raise Stuck(f"a line stands under no heading: {line}")
    return found


def read_page(text: str) -> PrintedPage:
    blocks = _blocks(text)
    if not blocks:
        raise Stuck("there is nothing to knit")
    title, _, head = blocks[0]
    page = PrintedPage(title, {}, {}, {}, {}, [], {})
    for line in head:
        label, _, words = line.partition(": ")
        (page.colours if line.startswith("  ") else page.facts)[label.strip().rstrip(":")] = words
    signs: dict[str, tuple[str, str]] = {}
    for heading, under, lines in blocks[1:]:
        if under == "=":
            page.pieces.append(PrintedPiece(heading))
            for line in lines:
                said = _TIMES.match(line)
                if said is None:
                    raise Stuck(f"{heading}: {line}")
                page.pieces[-1].times = int(said[1])
        elif heading == "Abbreviations":
            for line in lines:
                short, colon, words = line.partition(": ")
                if not colon:
                    raise Stuck(f"{heading}: {line}")
                page.key[short] = words
        elif heading == "Signs of the charts":
            signs = _signs(lines)
        elif chart := _CHART.match(heading):
            page.charts[chart[1]] = _chart(chart[1], int(chart[2]), int(chart[3]), lines, signs)
        elif heading in NOTES:
            page.notes[heading] = lines
        else:
            if not page.pieces:
                page.pieces.append(PrintedPiece(title))
            page.pieces[-1].sections.append(PrintedSection(heading, lines))
    return page


def _signs(lines: list[str]) -> dict[str, tuple[str, str]]:
    """Sign -> what it is on the right side, and its colour."""
    found: dict[str, tuple[str, str]] = {}
    for line in lines:
        if not line.startswith("  "):
            continue
        sign, words = line[2], line[3:].strip()
        colour, _, work = words.rpartition(", ") if re.match(r"(MC|CC\d+)\b", words) else ("", "", words)
        if " on the right side, " in words:
            colour = words.split(", ")[0] if re.match(r"(MC|CC\d+),", words) else ""
            work = "knit" if words.split(", ")[1 if colour else 0].startswith("knit") else "purl"
        if sign in found:
            raise Stuck(f"the sign {sign} means two things")
        found[sign] = ({"knit": "k", "purl": "p"}.get(work, work), colour)
    return found


def _chart(name: str, wide: int, high: int, lines: list[str], signs: dict[str, tuple[str, str]]) -> PrintedChart:
    chart = PrintedChart(name, wide)
    widest = 0
    for place, line in enumerate(lines):
        grid = _GRID.match(line)
        if grid is None:
            raise Stuck(f"chart {name}: {line}")
        left, cells, right = grid.groups()
        if len(cells) == 2 * wide - 1 and wide > 1:
            cells = cells[::2]
        if len(cells) != wide:
            raise Stuck(f"chart {name}: a row is {len(cells)} stitches wide, not {wide}")
        number = high - place
        if (left or right) != str(number):
            raise Stuck(f"chart {name}: row {number} is numbered {left or right}")
        try:
            row = tuple(signs[sign] for sign in cells.strip(" "))
        except KeyError as sign:
            raise Stuck(f"chart {name}: no word about the sign {sign}") from None
        widest = max(widest, len(row))
        if left:
            chart.wrong.add(number)
            chart.rows[number] = tuple((_BEHIND.get(op, op), colour) for op, colour in row)
        else:
            chart.rows[number] = tuple(reversed(row))
    if len(chart.rows) != high or widest != wide:
        raise Stuck(f"chart {name} has {len(chart.rows)} rows of {widest} stitches, not {high} of {wide}")
    return chart

"""The cells of a table's rows by column, as the table means them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from matcher.errors import Fault
from matcher.materials.reading.chests import EITHER_BELOW, bare_chest
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, reason
from matcher.store.sheets.as_meant import (
    DITTO,
    FIGURE,
    UNKNOWN,
    as_tex,
    crosses_are_no,
    decimal_sign,
    in_balls,
    ungrouped,
    with_unit,
    yes_or_no,
)
from matcher.store.sheets.columns import LISTED, Columns
from matcher.store.sheets.find import Found
from matcher.store.sheets.grid import Odd
from matcher.store.sheets.placing import OF_ROW, Placed
from matcher.store.sheets.understood import CellRead, Understood

_OWN_WORDS = ("label", "reserve", "fibre", "wash", "plans")  # kinds of cells that read such signs themselves
_ABOUT = re.compile(r"\b(?:approx(?:imate(?:ly)?)?|about|roughly|rough|est(?:imated)?|guess(?:ed)?)\b|~", re.IGNORECASE)
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_ASIDE = reason("left aside, since another column of the row says it")


@dataclass(slots=True)
class Row:
    """One row. cells: column -> text, the empty ones left out; bad: columns whose fault is already told; hers: what she
    wrote, where `cells` has it otherwise; left: heading -> text, of columns that were left out."""

    number: int
    cells: dict[str, str]
    bad: set[str] = field(default_factory=set)
    hers: dict[str, str] = field(default_factory=dict)
    left: dict[str, str] = field(default_factory=dict)


class RowReader:
    """Rows of one table, from the top to the foot."""

    def __init__(
        self,
        found: Found,
        columns: Columns,
        placed: Mapping[str, Sequence[Placed]],
        faults: list[Fault],
        understood: Understood,
    ) -> None:
        self.found, self.columns, self.faults, self.understood = found, columns, faults, understood
        self.where, self.odd, self.merged = found.grid.where, found.grid.odd, found.grid.merged
        self.placed = tuple(one for many in placed.values() for one in many)
        # Most sheets: each column stands once and is read to the letter.
        self.straight = tuple((one.column, one.position) for one in self.placed)
        self.wide = 1 + max((one.position for one in self.placed), default=0)
        self.to_the_letter = found.plain and all(one.as_it_stands for one in self.placed) and not self.merged
        self.by_balls = [one for one in self.placed if one.unit == "length" or _of_grams(one) or one.fit.span == OF_ROW]
        self.about = {at for at, heading in enumerate(found.headings) if _ABOUT.search(heading)}
        answered = (one for one in self.placed if one.fit.yes)
        self.crossed = {one.position for one in answered if crosses_are_no(_cells(found, [one]))}
        self.above: dict[str, str] = {}
        self.lines = dict(found.rows) if self.merged else {}
        numbers = (one for one in self.placed if columns[one.column].number)
        self.sign = "" if found.plain else decimal_sign(_cells(found, numbers))

    def row(self, number: int, cells: Sequence[str]) -> Row:
        """The row by column."""
        if self.to_the_letter and not self.odd and len(cells) >= self.wide:
            return Row(number, {column: text for column, at in self.straight if (text := cells[at].strip())})
        row = Row(number, {})
        if self.to_the_letter:
            for column, position in self.straight:
                text = cells[position].strip() if position < len(cells) else ""
                if self.odd and (odd := self.odd.get((number, position))) and self._is_bad(row, column, odd):
                    continue
                if text:
                    row.cells[column] = text
            return row
        for one in self.placed:
            text = cells[one.position].strip() if one.position < len(cells) else ""
            if one.column in row.cells or one.column in row.bad:
                if text and one.column in row.cells and self.columns[one.column].kind in LISTED:
                    self._add(row, one, text)
                elif text and one.column not in row.bad:
                    self.understood.add(CellRead(self.where, number, "", one.column, text, _ASIDE, False))
                continue
            odd = self.odd.get((number, one.position))
            if not text and odd is None and (number, one.position) in self.merged:
                text, odd = self._of_merged(one, self.merged[number, one.position], number)
            if odd and one.fit.yes and _DAY.match(text):  # since when it is so
                row.cells[one.column], row.hers[one.column] = one.fit.yes, text
                self.understood.add(CellRead(self.where, number, "", one.column, text, Term(one.fit.yes), False))
                continue
            if odd and self._is_bad(row, one.column, odd):
                continue
            if text:
                self._put(row, one, text)
        self._by_balls(row, cells)
        self.above = {**self.above, **row.cells}
        return row

    def _add(self, row: Row, one: Placed, text: str) -> None:
        """What a second column lists beside the first, such as another fibre that does not suit the skin."""
        other = Row(row.number, {})
        self._put(other, one, text)
        more, before = other.cells.get(one.column, ""), row.cells[one.column]
        if more:
            row.hers[one.column] = f"{row.hers.get(one.column, before)}; {text}"
            row.cells[one.column] = "; ".join(filter(_lists_something, (before, more))) or before

    def _is_bad(self, row: Row, column: str, odd: Odd) -> bool:
        if odd.harmless and self.columns[column].free:
            return False
        self.faults.append(Fault(self.where, row.number, column, odd.found, odd.expected, odd.mend))
        row.bad.add(column)
        return True

    def _of_merged(self, one: Placed, first: tuple[int, int, str], number: int) -> tuple[str, Odd | None]:
        """What a cell says that is a part of merged ones: the same as the first, where several lots can share it."""
        rule = self.columns[one.column]
        line = self.lines.get(first[0], [])
        text = line[first[1]].strip() if first[1] < len(line) else ""
        if not text or rule.free:
            return "", None
        shared = rule.joined != "own" and one.column != self.columns.thing
        if shared and first[1] == one.position and first[0] != number:
            return text, None
        mend = reason("unmerge the cells {cells} and fill in each", cells=first[2])
        merged = Odd(reason("a part of merged cells"), reason("a cell of its own"), mend)
        return "", merged if rule.needed else None

    def _put(self, row: Row, one: Placed, text: str) -> None:
        meant = text
        rule = self.columns[one.column]
        if text.casefold() in UNKNOWN and not rule.needed and rule.kind not in _OWN_WORDS:
            if text.strip("-–—"):
                self.understood.add(CellRead(self.where, row.number, "", one.column, text, reason("not known"), True))
            row.hers[one.column] = text
            return
        if text.casefold() in DITTO and rule.joined != "own" and one.column in self.above:
            meant = self.above[one.column]
        else:
            if rule.number:
                meant = ungrouped(text, self.sign)
                if meant != text:
                    self.understood.add(CellRead(self.where, row.number, "", one.column, text, meant, True))
            if one.fit.yes:
                crossed = one.position in self.crossed and text.casefold() == "x"
                # A cross beside ticks may be of what does not suit a skin: it is barred, and told.
                meant = yes_or_no(meant, one.fit.yes, one.fit.no, crossed and rule.kind != "fibres")
                if meant != text and (crossed or one.fit.no == "gone" == meant):
                    self.understood.add(CellRead(self.where, row.number, "", one.column, text, meant, False))
            if one.unit == "balls":
                meant = in_balls(meant)
            elif one.unit and one.unit != "length" and not self._in_cm_after_all(row, one, meant):
                meant = with_unit(meant, one.unit)
            if rule.kind == "amount" and one.position in self.about and FIGURE.fullmatch(meant):
                meant = f"about {meant}"
        row.cells[one.column] = meant
        if meant != text:
            row.hers[one.column] = text

    def _in_cm_after_all(self, row: Row, one: Placed, text: str) -> bool:
        """Whether a chest under a heading in inches can be centimetres only, which is told as a guess."""
        number = bare_chest(text) if self.columns[one.column].kind == "chest" and one.unit == "in" else None
        if number is None or number < EITHER_BELOW:
            return False
        taken = reason("{chest}, since nobody measures so many inches", chest=Measure(number))
        self.understood.add(CellRead(self.where, row.number, "", one.column, text, taken, False))
        return True

    def _by_balls(self, row: Row, cells: Sequence[str]) -> None:
        """What needs a second cell: a length that is left, a length of 100 g rather than of a ball."""
        for one in self.by_balls:
            text = row.cells.get(one.column, "")
            if one.unit == "length" and text and text == cells[one.position].strip():
                row.cells[one.column] = with_unit(text, one.fit.span or "m")
                row.hers[one.column] = text
            elif one.fit.span == OF_ROW and text:
                row.hers.setdefault("tex", row.cells.pop("tex"))
                if tex := as_tex(text, row.cells.get("grams", "")):
                    row.cells["tex"] = tex
            elif _of_grams(one) and text and "tex" not in row.cells and (tex := as_tex(text, one.fit.span)):
                row.hers["tex"] = row.hers.pop(one.column, text)
                del row.cells[one.column]
                row.cells["tex"] = tex


def _lists_something(text: str) -> bool:
    return text.casefold().strip(" .") not in ("none", "no", "nothing", "-")


def _of_grams(one: Placed) -> bool:
    """Whether a length is that of so many grams rather than of a ball."""
    return one.column == "ball_metres" and bool(one.fit.span)


def _cells(found: Found, placed: Iterable[Placed]) -> list[str]:
    positions = [one.position for one in placed]
    return [cells[at].strip() for _, cells in found.rows for at in positions if at < len(cells)]

"""Rows that are no lot and no garment: totals, headings once more, remarks, what is used up, other tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from matcher.errors import Fault
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.store.sheets.as_meant import FIGURE, LONGEST, says_nothing_left
from matcher.store.sheets.columns import Columns
from matcher.store.sheets.fates import Fate, fate, tells_fate
from matcher.store.sheets.rows import Row

WORKED_OUT = ("lot", "status")
"""Needed columns whose cells are worked out where they are empty."""

_MOST_ROWS = 10  # that are told by number; a choice
_TOTAL = re.compile(
    r"(?:(?:grand|sub|yarn|stash|overall|in)[\s-]*)?(?:totals?|sum|average|mean|count|altogether|overall)"
    r"(?:\s+(?:of|all|yarn|wool|stash|lots?|grams?|g|weight|balls?|left|length|metres|meters|yards|here))*\s*[:=]?",
    re.IGNORECASE,
)


def is_total(row: Row, cells: Sequence[str], columns: Columns) -> bool:
    """Whether a row sums up those above: it says so, or holds numbers and no word."""
    texts = [text[:LONGEST] for cell in cells if (text := cell.strip())]
    words = [text for text in texts if not FIGURE.fullmatch(text)]
    if any(_TOTAL.fullmatch(text) for text in words[:1]):
        return True
    named = [column for column in row.cells if not columns[column].number]
    return not words and not named and bool(texts)


def is_heading_again(cells: Sequence[str], headings: Sequence[str]) -> bool:
    """Whether the headings stand there once more, as printed pages have them."""
    texts = [fold(cell) for cell in cells if cell.strip()]
    return len(texts) > 1 and texts == [fold(one) for one in headings if one]


def is_remark(row: Row, cells: Iterable[str], columns: Columns) -> bool:
    """Whether a row holds one piece of text and nothing else: a heading within the table, a note below it."""
    return sum(1 for cell in cells if cell.strip()) == 1 and not any(columns[column].number for column in row.cells)


def is_used_up(row: Row) -> bool:
    """Whether a lot's own row says that nothing of it is left."""
    return says_nothing_left(row.hers.get("grams", row.cells.get("grams", "")))


class PassedOver:
    """Rows that were passed over, and why; of totals and headings nothing is said."""

    def __init__(self, where: str, columns: Columns, plain: bool) -> None:
        self.where, self.columns, self.plain = where, columns, plain
        self.remarks: list[int] = []
        self.used_up: list[int] = []
        self.others: list[int] = []
        self.fates: list[tuple[int, str, str, Fate]] = []

    def is_gone(self, row: Row) -> bool:
        """Whether a column that none here is says that a lot is gone; what may say so is noted."""
        told = {heading: text for heading, text in row.left.items() if tells_fate(heading, (text,))}
        fates = [(row.number, heading, text, fate(heading, text)) for heading, text in told.items()]
        gone = [one for one in fates if one[3] == "gone"]
        self.fates += gone[:1] or [one for one in fates if one[3]]
        return bool(gone)

    def without_other_tables(self, rows: list[Row], faults: list[Fault]) -> list[Row]:
        """The rows without those that stand below a gap and tell of something else: none has what each of ours has."""
        if self.plain or not rows:
            return rows
        blocks: list[list[Row]] = [[rows[0]]]
        for before, row in pairwise(rows):
            if row.number > before.number + 1:
                blocks.append([])
            blocks[-1].append(row)
        kept = blocks[0]
        for block in blocks[1:]:
            if any(map(self._is_ours, block)):
                kept += block
            else:
                self.others += [row.number for row in block]
        if self.others:
            passed = frozenset(self.others)
            faults[:] = [one for one in faults if one.where != self.where or one.row not in passed]
        return kept

    def _is_ours(self, row: Row) -> bool:
        there = row.cells.keys() | row.bad
        return len(there) > 1 and there.issuperset(set(self.columns.needed).difference(WORKED_OUT))

    def told(self) -> Iterator[Words]:
        """A sentence for each reason."""
        said = (
            (
                self.remarks,
                "{sheet}, row {rows}: a remark and no {thing}, left alone",
                "{sheet}, rows {rows}: remarks and no {thing}s, left alone",
            ),
            (
                self.used_up,
                "{sheet}, row {rows}: nothing of it is left, so it was left alone",
                "{sheet}, rows {rows}: nothing of them is left, so they were left alone",
            ),
            (
                self.others,
                "{sheet}, row {rows}: below a gap and no {thing}, left alone",
                "{sheet}, rows {rows}: below a gap and no {thing}s, left alone",
            ),
        )
        for numbers, one, many in said:
            if numbers:
                rows = listed([*map(str, numbers[:_MOST_ROWS]), *(["..."] if len(numbers) > _MOST_ROWS else [])])
                thing = {"thing": self.columns.thing} if "{thing}" in one else {}
                yield counted(len(numbers), one, many, sheet=self.where, rows=rows, **thing)
        for number, heading, text, became in self.fates:
            said_so = '{sheet}, row {row}: "{heading}" says "{text}": nothing of it is left, so it was left alone'
            perhaps = '{sheet}, row {row}: "{heading}" says "{text}", but it is planned with: look before you cast on'
            template = said_so if became == "gone" else perhaps
            yield reason(template, sheet=self.where, row=number, heading=heading, text=shorten(text))

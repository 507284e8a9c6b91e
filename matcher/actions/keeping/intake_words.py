"""What sheets add to a store and change in it, in words."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.actions.keeping.intake import Intake
from matcher.materials.reading.numerals import shorten
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.reasons.style import PLAIN
from matcher.store.intake import Change, Incoming, Refused

MOST_NAMES = 20  # names listed before "and N more"; the JSON has all
# What is counted, one and many, by sheet.
_PEOPLE = ("{n} person", "{n} people")
_ROW, _ROWS = "{n} row", "{n} rows"
_THINGS = {"lots": ("{n} lot", "{n} lots"), "garments": ("{n} garment", "{n} garments"), "people": _PEOPLE}
_MOST_ROWS = 5
_THING = {"lots": "lot", "garments": "garment", "people": "person"}


def added_said(found: Intake) -> Iterator[tuple[Words, Words]]:
    """For each sheet that adds something: how many, and their names."""
    for sheet, (one_, many) in _THINGS.items():
        names = [one.name for one in found.compared.added if one.sheet == sheet]
        if names:
            number = counted(len(names), one_, many)
            added = reason("{things} added", things=number)
            yield (added if found.done else reason("{things} would be added", things=number)), _few(names)


def changed_said(found: Intake) -> Words:
    """How many rows differ, and what became of them; "" for none."""
    changed = found.compared.changed
    if not changed:
        return ""
    differ = counted(len(changed), "{n} row differs from the store", "{n} rows differ from the store")
    kept = sum((one.sheet, one.name) not in found.taken for one in changed)
    if not found.done:
        return differ
    taken = reason("{differ}: {taken} taken as in the file", differ=differ, taken=len(changed) - kept)
    return reason("{taken}, {kept} left as in the store", taken=taken, kept=kept) if kept else taken


def alike_said(found: Intake) -> Iterator[Words]:
    """Rows that are the same in both, and rows of the store that the file leaves alone."""
    same, left = len(found.compared.same), sum(map(len, found.compared.left.values()))
    if same:
        yield reason("{rows} the same as in the store", rows=counted(same, _ROW, _ROWS))
    if left:
        one = "{n} row of the store not in the file, left as it is"
        yield counted(left, one, "{n} rows of the store not in the file, left as they are")


def refused_said(found: Intake) -> Words:
    """How many rows cannot be taken in; "" for none."""
    refused = len(found.compared.refused)
    return reason("{rows} refused", rows=counted(refused, _ROW, _ROWS)) if refused else ""


def row_said(one: Incoming) -> Words:
    """What a row is of: "lot navy"."""
    return reason("{thing} {name}", thing=Term(_THING[one.sheet]), name=one.name)


def cell_said(cell: Change) -> Words:
    """A cell that differs: the store's, then the file's."""
    return reason("{column}: {old} -> {new}", column=cell.column, old=_quoted(cell.old), new=_quoted(cell.new))


def whys_said(found: Intake) -> list[Words]:
    """The rows that are refused, and why: those of one reason together, in the order of the first of each."""
    alike: dict[tuple[str, str], list[Refused]] = {}
    for row in found.compared.refused:
        alike.setdefault((row.sheet, PLAIN.say(row.why)), []).append(row)
    said = [(rows[0], [row.row for row in rows]) for rows in alike.values()]
    return [
        counted(
            len(rows),
            "{sheet}, row {row}: {why}",
            "{sheet}, rows {rows}: {why}",
            sheet=first.sheet,
            row=first.row,
            rows=_rows_said(rows),
            why=first.why,
        )
        for first, rows in said
    ]


def _rows_said(rows: list[int]) -> Words:
    """ "4 to 43", "4, 7 and 9"; of many the first."""
    if len(rows) > 2 and rows[-1] - rows[0] == len(rows) - 1:
        return reason("{first} to {last}", first=rows[0], last=rows[-1])
    if len(rows) <= _MOST_ROWS:
        return listed(map(str, rows), "and")
    return reason("{some} and {n} more", some=listed(map(str, rows[:_MOST_ROWS])), n=len(rows) - _MOST_ROWS)


def end_said(found: Intake) -> Words:
    """Where nothing was done: why; else ""."""
    if not found.done:
        return reason("Nothing was taken in: this was a dry run.")
    if whole := [_THING[sheet] for sheet in _THING if sheet in found.compared.refused_whole]:
        return reason("No {things} was taken in.", things=listed(map(Term, whole), "or"))
    if not found.compared.added and not found.taken:
        return reason("Nothing to do: the store is as it was.")
    return ""


def _quoted(cell: str) -> Words:
    return reason('"{cell}"', cell=shorten(cell)) if cell else reason("nothing")


def _few(names: list[str]) -> Words:
    shown = listed(names[:MOST_NAMES], between="; ")
    more = len(names) - MOST_NAMES
    return reason("{names}; and {n} more", names=shown, n=more) if more > 0 else shown

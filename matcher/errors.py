"""The error family: what happened, where, and what to do next.

Every error that a person can meet is one of these. A face shows `error.shown(style)` and leaves with `error.exit_code`;
nothing else is needed, and no traceback is shown. `where` names a field of hers (`Field("least contrast")`), which each
face turns into its own word, or a file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.reasons.reason import Column, Field, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style


class MatcherError(Exception):
    """Root of the family. `what` happened, `where`, and what `todo`; together one clear sentence."""

    exit_code = 2

    def __init__(self, what: Words, where: Words = "", todo: Words = "") -> None:
        self.what = what
        self.where = where
        self.todo = todo
        super().__init__(what, where, todo)

    @property
    def said(self) -> Words:
        """The sentence as a value, to be a part of another."""
        said = reason("{what} ({where})", what=self.what, where=self.where) if self.where else self.what
        return reason("{what}: {todo}", what=said, todo=self.todo) if self.todo else said

    def shown(self, style: Style) -> str:
        """The sentence, in a face's words."""
        return style.say(self.said)

    def __str__(self) -> str:
        return self.shown(PLAIN)


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a person's file.

    where: the file or sheet, such as "lots.csv"; row: the line as a spreadsheet shows it (header = 1), None
    when the fault is of the whole file; column: the heading as it should be written, None for a whole row; heading: as
    she has it, where that is otherwise.
    """

    where: str
    row: int | None
    column: str | None
    found: Words
    expected: Words
    mend: Words = ""
    heading: str = ""

    def shown(self, style: Style) -> str:
        """The sentence, in a face's words."""
        place = self.where if self.row is None else f"{self.where}:{self.row}"
        if self.column:
            place = f"{place} {self.heading or style.say(Column(self.column))}".strip()
        return f"{place}: {style.say(found_expected(self.found, self.expected, self.mend))}"

    def __str__(self) -> str:
        return self.shown(PLAIN)


def found_expected(found: Words, expected: Words, mend: Words = "") -> Words:
    """What was found where something else was expected, and how to mend it."""
    if found:
        said = reason('found "{found}", expected {expected}', found=found, expected=expected)
    else:
        said = reason("found nothing, expected {expected}", expected=expected)
    return listed((said, mend), between="; ") if mend else said


MOST_TOLD = 50
"""Faults that are shown, and of which the nearest known name is sought: a choice, more than anybody mends at once."""


class BadSheets(MatcherError):
    """The bin's sheets hold faults; all of them are in `faults`, and nothing was taken from the sheets."""

    def __init__(self, faults: Iterable[Fault], where: str = "") -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        number = len(self.faults)
        super().__init__(
            counted(
                number,
                "{n} fault in the sheets; nothing was read from them",
                "{n} faults in the sheets; nothing was read from them",
            ),
            where or ", ".join(dict.fromkeys(fault.where for fault in self.faults)),
            counted(number, "mend it and run the command again", "mend them and run the command again"),
        )

    def shown(self, style: Style) -> str:
        """The sentence, a line for each of the first faults, and how many more there are."""
        told = [f"  {fault.shown(style)}" for fault in self.faults[:MOST_TOLD]]
        more = len(self.faults) - len(told)
        if more:
            told.append(f"  {style.say(counted(more, 'and {n} more fault', 'and {n} more faults'))}")
        return "\n".join([super().shown(style), *told])


class BadFiles(MatcherError):
    """Files of several can't be read; each fault of each is in `files`, with the file's name, and nothing was done."""

    def __init__(self, files: Iterable[tuple[str, Words]], where: str, todo: Words) -> None:
        self.files = tuple(files)
        number = len({file for file, _ in self.files})
        super().__init__(counted(number, "{n} file can't be read", "{n} files can't be read"), where, todo)

    def shown(self, style: Style) -> str:
        """The sentence, a line for each of the first faults with all files that have it, and how many more there are:
        lists of one form have one fault each, and would hide all others behind it."""
        alike: dict[str, list[str]] = {}
        for file, fault in self.files:
            alike.setdefault(style.say(fault), []).append(file)
        told = [f"  {style.say(_several(files))}: {said}" for said, files in list(alike.items())[:MOST_TOLD]]
        if more := len(self.files) - sum(map(len, list(alike.values())[:MOST_TOLD])):
            told.append(f"  {style.say(counted(more, 'and {n} more fault', 'and {n} more faults'))}")
        return "\n".join([super().shown(style), *told])


def _several(files: Sequence[str]) -> Words:
    """Names in a row, the first of very many."""
    more = len(files) - MOST_TOLD
    some = listed(files[:MOST_TOLD])
    return reason("{files} and {n} more", files=some, n=more) if more > 0 else some


class BadCells(MatcherError):
    """Cells that were typed into fields hold faults; all of them are in `faults`, and nothing was changed."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults: tuple[Fault, ...] = tuple(replace(fault, where="", row=None) for fault in faults)
        number = len(self.faults)
        if any(fault.found for fault in self.faults):
            what = counted(number, "a cell can't be read", "{n} cells can't be read")
        else:
            what = counted(number, "a cell is missing", "{n} cells are missing")
        super().__init__(what, "", reason("nothing was changed"))

    def shown(self, style: Style) -> str:
        """The sentence and a line for each fault; a column is called what its field is called."""
        typed = replace(style, column=lambda name: style.field(field_of(name)))
        return "\n".join([super().shown(style), *(f"  {fault.shown(typed)}" for fault in self.faults)])


class BadRows(MatcherError):
    """Several things were typed at once and some can't be taken; `rows` has each fault by its row, from 0."""

    def __init__(self, rows: Mapping[int, MatcherError]) -> None:
        self.rows = dict(rows)
        what = counted(len(self.rows), "a row can't be taken", "{n} rows can't be taken")
        super().__init__(what, "", reason("nothing was changed"))

    def shown(self, style: Style) -> str:
        """The sentence and what is wrong with each row, numbered from 1."""
        rows = (f"  {place + 1}: {error.shown(style)}" for place, error in self.rows.items())
        return "\n".join([super().shown(style), *rows])


def field_of(column: str) -> str:
    """The field that a column of a sheet is typed into: "ball_grams" is "ball grams"."""
    return column.replace("_", " ")


class CatalogueError(MatcherError):
    """A catalogue file breaks a rule: the `file`, the `key` in it, and the `reason`."""

    def __init__(self, file: str, key: str, reason_why: Words) -> None:
        self.file = file
        self.key = key
        self.reason = reason_why
        super().__init__(
            reason("the catalogue can't be used: {why}", why=reason_why),
            f"{file}, {key}" if key else file,
            reason("mend that entry, or leave its folder out with no {field}", field=Field("own catalogue")),
        )


class BadInput(MatcherError):
    """A field that was filled in with what makes no sense."""


class NotFound(MatcherError):
    """No such file, accessory, lot or garment; `near` holds the names most like the one asked for."""

    def __init__(self, what: Words, where: Words = "", near: Iterable[str] = (), todo: Words = "") -> None:
        self.near: tuple[str, ...] = tuple(near)
        if not todo and self.near:
            todo = reason("did you mean {names}?", names=listed(self.near, "or", " or "))
        super().__init__(what, where, todo or reason("check the name and the place"))

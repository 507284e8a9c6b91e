"""The error family: what happened, where, and what to do next.

Every error that a person can meet is one of these. A face (the command line, later the web) prints
`str(error)` and leaves with `error.exit_code`; nothing else is needed, and no traceback is shown.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class MatcherError(Exception):
    """Root of the family. `what` happened, `where`, and what `todo`; `str()` is one clear sentence."""

    exit_code = 2

    def __init__(self, what: str, where: str = "", todo: str = "") -> None:
        self.what = what
        self.where = where
        self.todo = todo
        super().__init__(what, where, todo)

    def __str__(self) -> str:
        sentence = self.what
        if self.where:
            sentence += f" ({self.where})"
        if self.todo:
            sentence += f": {self.todo}"
        return sentence


@dataclass(frozen=True)
class Fault:
    """One thing wrong in a person's file.

    where: the file or sheet, such as "lots.csv"; row: the line as a spreadsheet shows it (header = 1), None
    when the fault is of the whole file; column: the heading as it should be written, None for a whole row.
    """

    where: str
    row: int | None
    column: str | None
    found: str
    expected: str
    mend: str = ""

    def __str__(self) -> str:
        place = self.where if self.row is None else f"{self.where}:{self.row}"
        if self.column:
            place += f" {self.column}"
        found = f'found "{self.found}"' if self.found else "found nothing"
        sentence = f"{place}: {found}, expected {self.expected}"
        return f"{sentence}; {self.mend}" if self.mend else sentence


class BadSheets(MatcherError):
    """The bin's sheets hold faults; all of them are in `faults`, and nothing was taken from the sheets."""

    def __init__(self, faults: Iterable[Fault], where: str = "") -> None:
        self.faults: tuple[Fault, ...] = tuple(faults)
        number = len(self.faults)
        super().__init__(
            f"{number} fault{'' if number == 1 else 's'} in the sheets; nothing was read from them",
            where or ", ".join(dict.fromkeys(fault.where for fault in self.faults)),
            f"mend {'it' if number == 1 else 'them'} and run the command again",
        )

    def __str__(self) -> str:
        return "\n".join([super().__str__(), *(f"  {fault}" for fault in self.faults)])


class CatalogueError(MatcherError):
    """A catalogue file breaks a rule: the `file`, the `key` in it, and the `reason`."""

    def __init__(self, file: str, key: str, reason: str) -> None:
        self.file = file
        self.key = key
        self.reason = reason
        super().__init__(
            f"the catalogue cannot be used: {reason}",
            f"{file}, {key}" if key else file,
            "mend that entry, or leave its folder out with no --catalog",
        )


class BadInput(MatcherError):
    """An option or an argument that makes no sense."""


class NotFound(MatcherError):
    """No such file, accessory, lot or garment; `near` holds the names most like the one asked for."""

    def __init__(self, what: str, where: str = "", near: Iterable[str] = (), todo: str = "") -> None:
        self.near: tuple[str, ...] = tuple(near)
        if not todo:
            todo = f"did you mean {' or '.join(self.near)}?" if self.near else "check the name and the place"
        super().__init__(what, where, todo)

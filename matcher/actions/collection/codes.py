"""Who is told by which code: what codes.csv says, else the file itself; else a number, which nobody else has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import count

from matcher.errors import BadInput
from matcher.reasons.reason import listed, reason
from matcher.store.collection.lying import Lying


@dataclass(frozen=True)
class Part:
    """One file of a pool, by its number from 0. code : of those in it who gave none; "" until all files are known.

    groups : only these groups of its rows, None for all.
    """

    lying: Lying
    number: int
    code: str = ""
    groups: tuple[int, ...] | None = None


def with_codes(
    parts: Sequence[Part], read: Sequence[tuple[Part, Sequence[str]]], left_out: Sequence[str]
) -> tuple[Part, ...]:
    """All parts with a code for those who have none, by their number.

    read : the codes in each file that was read, "" for none. left_out : those of the others. Raises BadInput where two
    files have one code: nobody could tell whose a lot is, and a file that lies there twice would double the yarn.
    """
    files: dict[str, list[str]] = {}
    written: dict[str, str] = {}
    for part, codes in read:
        for code in filter(None, codes):
            folded = written.setdefault(code.casefold(), code).casefold()
            if part.lying.called not in files.setdefault(folded, []):
                files[folded].append(part.lying.called)
    _check_apart({written[folded]: several for folded, several in files.items()})
    taken = files.keys() | {code.casefold() for code in left_out}
    beyond = (number for number in count(len(parts)) if _automatic(number) not in taken)
    return tuple(
        replace(part, code=_automatic(next(beyond) if _automatic(part.number) in taken else part.number))
        for part in parts
    )


def _automatic(number: int) -> str:
    """The code of a file's number."""
    return f"member {number + 1}"


def _check_apart(files: Mapping[str, Sequence[str]]) -> None:
    said = [
        reason('"{code}" is the code of {files}', code=code, files=listed(several, "and"))
        for code, several in files.items()
        if len(several) > 1
    ]
    if said:
        todo = reason("leave out what is there twice, or give one of them another code in codes.csv")
        raise BadInput(listed(said, between="; "), "", todo)

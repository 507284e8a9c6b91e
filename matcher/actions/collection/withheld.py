"""What is said of a file of somebody's, without anything that stands in it: her words may name somebody."""

from __future__ import annotations

import re
from collections.abc import Iterator, Set
from dataclasses import replace

from matcher.errors import BadSheets, Fault, MatcherError
from matcher.reasons.reason import Column, Counted, Listed, Reason, Words, listed, reason
from matcher.reasons.style import Sayable
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.own_names import TEXTS

_LEFT = reason("...")
_ENDING = re.compile(r"\.(?:csv|xlsx?|xlsb|ods|fods|numbers|gnumeric|sqlite|parquet)")
_OWN_NAMES = frozenset(f"{sheet}{ending}" for sheet in SHEETS for ending in TEXTS)


def faults_without_words(error: MatcherError, file: str) -> Iterator[Words]:
    """Each fault of an error that a file, or a folder of sheets, gave; file : its name, which is told beside them."""
    if isinstance(error, BadSheets):
        yield from (_fault(fault, _OWN_NAMES - {file}) for fault in error.faults)
    elif isinstance(error.what, str):
        yield reason("it can't be read")
    else:
        yield _mended(_without(error.what), error.todo)


def _fault(fault: Fault, sheets: Set[str]) -> Words:
    """Where it is, what was found there, if that is said in words of ours, what was expected, and how to mend it."""
    where: list[Words] = [fault.where] if fault.where in sheets else []
    if fault.row is not None:
        where.append(reason("row {row}", row=fault.row))
    if fault.column:
        where.append(Column(fault.column))
    told = reason("expected {what}", what=_without(fault.expected))
    if fault.found and _without(fault.found) == fault.found:
        told = reason("found {found}, {expected}", found=fault.found, expected=told)
    expected = _mended(told, fault.mend)
    return listed((listed(where), expected), between=": ") if where else expected


def _mended(said: Words, mend: Words) -> Words:
    """With how to mend it, where that names nothing of hers."""
    return listed((said, mend), between="; ") if mend and _without(mend) == mend else said


def _without(said: Sayable | str) -> Words:
    """The same with a gap for each text of hers."""
    if isinstance(said, str):
        return said if _ENDING.fullmatch(said) else _LEFT
    if isinstance(said, Reason | Counted):
        values = tuple((name, value if isinstance(value, int) else _without(value)) for name, value in said.values)
        return replace(said, values=values)
    if isinstance(said, Listed):
        return replace(said, items=tuple(map(_without, said.items)))
    return said  # type: ignore[return-value]  # quantities, terms, names of fields and columns: all ours

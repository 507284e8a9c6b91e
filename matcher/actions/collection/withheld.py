"""What is said of a file of somebody's, without what stands in it: her words may name somebody.

Figures name nobody, nor do words that are known in headings: these are told, so that the cell that is meant is found.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Set
from dataclasses import replace
from functools import lru_cache

from matcher.errors import BadSheets, Fault, MatcherError
from matcher.materials.reading.numerals import LENGTH_M, MASS_G
from matcher.reasons.reason import Column, Counted, Listed, Reason, Words, listed, reason
from matcher.reasons.style import Sayable
from matcher.store.catalogue.headings import load_headings
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.own_names import TEXTS

_LEFT = reason("...")
_ENDING = re.compile(r"\.(?:csv|xlsx?|xlsb|ods|fods|numbers|gnumeric|sqlite|parquet)")
_MOST_DIGITS = 6  # in a cell that is told: of more it may be somebody's number; a choice
_OF_FIGURES = frozenset((*MASS_G, *LENGTH_M, "about", "approx", "ball", "balls", "skein", "skeins", "half", "of", "x"))
_WORD = re.compile(r"[^\W\d_]+")
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
        where.append(fault.heading if fault.heading and _names_nobody(fault.heading) else Column(fault.column))
    told = reason("expected {what}", what=_without(fault.expected))
    if isinstance(fault.found, str):
        if fault.row is not None and _is_figure(fault.found):
            told = reason('found "{found}", {expected}', found=fault.found, expected=told)
    elif _without(fault.found) == fault.found:
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


def _is_figure(text: str) -> bool:
    """Whether a cell of hers is a figure, maybe mistyped, such as "4O" or "about 2 balls"; of no more than a few."""
    digits = sum(sign.isdigit() for sign in text)
    words = [word.casefold() for word in _WORD.findall(text)]
    plain = all((len(word) == 1 and word.isascii()) or word in _OF_FIGURES for word in words)
    return plain and 0 < digits <= _MOST_DIGITS


def _names_nobody(heading: str) -> bool:
    """Whether every word above a column is one that the catalogue knows in headings."""
    return all(word in _heading_words() for word in _WORD.findall(heading.casefold()))


@lru_cache(maxsize=1)
def _heading_words() -> frozenset[str]:
    known = load_headings()
    phrases = (words for phrase in known.phrases for words in phrase.words)
    texts = (*phrases, *known.same, *known.units)
    return _OF_FIGURES | {word for text in texts for word in _WORD.findall(text.casefold())}

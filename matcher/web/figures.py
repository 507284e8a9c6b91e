"""Figures that she typed, read as the sheets read them; an empty field asks for nothing."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from matcher.actions.names import unreadable
from matcher.materials.reading.numerals import Unreadable, parse_number
from matcher.materials.reading.units import parse_cm, parse_count, parse_mass_g, parse_percent
from matcher.reasons.reason import Field

_T = TypeVar("_T")


def number(text: str, field: str) -> float | None:
    """A plain figure. Raises BadInput, as all here."""
    return _read(parse_number, text, field)


def whole(text: str, field: str) -> int | None:
    """A whole number."""
    return _read(parse_count, text, field)


def grams(text: str, field: str) -> float | None:
    """A weight in any unit [g]."""
    return _read(parse_mass_g, text, field)


def chance(text: str, field: str) -> float | None:
    """So many times in a hundred, as a share of one."""
    times = _read(parse_percent, text, field)
    return None if times is None else times / 100.0


def cm(text: str, field: str) -> float | None:
    """A measure in any unit [cm]."""
    return _read(parse_cm, text, field)


def _read(read: Callable[[str], _T], text: str, field: str) -> _T | None:
    if not text.strip():
        return None
    try:
        return read(text)
    except Unreadable as fault:
        raise unreadable(fault, Field(field)) from None

"""Plain values out of a TOML entry, each checked for its type, with the place of a fault."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Any, NoReturn

from matcher.errors import CatalogueError
from matcher.materials.reading.names import did_you_mean, readable, readable_name
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.quantities import Number
from matcher.reasons.reason import listed, reason
from matcher.reasons.style import Sayable

# A key that would hold an amount of yarn. Needs are computed, never typed in.
YARN_AMOUNT = re.compile(
    r"met(re|er)s?|yards?|yardage|grams?|ounces?|skeins?|balls?|length_m|mass|(^|_)(m|g|yds?|oz|kg)$", re.I
)


class EntryValues:
    """Takes values out of the tables of one file."""

    def __init__(self, file: str) -> None:
        self.file = file

    def fail(self, key: str, template: str, **values: Sayable | str | int) -> NoReturn:
        """Raise CatalogueError with a reason made of the template and its values."""
        raise CatalogueError(self.file, key, reason(template, **values))

    def unknown(self, key: str, template: str, word: str, known: Iterable[str]) -> NoReturn:
        """Fail for a {word} that is none of the known ones, and name the nearest."""
        why, near = reason(template, word=word), did_you_mean(word, known)
        raise CatalogueError(self.file, key, listed((why, near), between="; ") if near else why)

    def wrong(self, key: str, value: object, expected: str, **values: Sayable | str | int) -> NoReturn:
        """Fail for a value of the file that is not what is expected."""
        self.fail(key, "found {found}, expected {expected}", found=repr(value), expected=reason(expected, **values))

    def known(self, where: str, entry: dict[str, Any], known: tuple[str, ...]) -> None:
        for key in entry:
            if key in known:
                continue
            place = f"{where}.{key}" if where else key
            if YARN_AMOUNT.search(key):
                self.fail(place, "amounts of yarn are never typed in; they follow from the zones")
            self.unknown(place, 'unknown key "{word}"', key, known)

    def value(self, key: str, entry: dict[str, Any], where: str) -> tuple[str, Any]:
        place = f"{where}.{key}" if where else key
        if key not in entry:
            self.fail(place, "this key is missing")
        return place, entry[key]

    def text(self, key: str, entry: dict[str, Any], where: str = "") -> str:
        place, value = self.value(key, entry, where)
        if not isinstance(value, str) or not value.strip():
            self.wrong(place, value, "words")
        return self._readable(place, value)

    def name(self, key: str, entry: dict[str, Any], where: str = "") -> str:
        """Words that serve as a name, and are not too long for one."""
        place = f"{where}.{key}" if where else key
        try:
            return readable_name(self.text(key, entry, where))
        except Unreadable as fault:
            raise CatalogueError(self.file, place, fault.said) from None

    def _readable(self, place: str, text: str) -> str:
        try:
            return readable(text)
        except Unreadable as fault:
            raise CatalogueError(self.file, place, fault.said) from None

    def one_of(self, key: str, entry: dict[str, Any], known: tuple[str, ...], where: str = "") -> str:
        value = self.text(key, entry, where)
        if value not in known:
            place = f"{where}.{key}" if where else key
            self.fail(place, 'found "{found}", expected one of {known}', found=value, known=listed(known))
        return value

    def optional_text(self, key: str, entry: dict[str, Any]) -> str | None:
        return self.text(key, entry) if key in entry else None

    def optional_one_of(self, key: str, entry: dict[str, Any], known: tuple[str, ...]) -> str | None:
        return self.one_of(key, entry, known) if key in entry else None

    def yes(self, key: str, entry: dict[str, Any], default: bool, where: str = "") -> bool:
        value = entry.get(key, default)
        if not isinstance(value, bool):
            self.wrong(f"{where}.{key}" if where else key, value, "true or false")
        return value

    def number(
        self,
        key: str,
        entry: dict[str, Any],
        low: float,
        high: float,
        where: str,
        default: float | None = None,
    ) -> float:
        """A finite number from low to high."""
        if default is not None and key not in entry:
            return default
        place, value = self.value(key, entry, where)
        good = isinstance(value, int | float) and not isinstance(value, bool)
        if not good or not math.isfinite(value) or not low <= value <= high:
            self.wrong(place, value, "a number from {low} to {high}", low=Number(low, 2), high=Number(high, 2))
        return float(value)

    def whole(self, key: str, entry: dict[str, Any], low: int, high: int, where: str) -> int:
        value = self.number(key, entry, low, high, where)
        if value != int(value):
            self.wrong(f"{where}.{key}", value, "a whole number")
        return int(value)

    def list_of(self, key: str, entry: dict[str, Any], kind: type) -> list[Any]:
        place, value = self.value(key, entry, "")
        if not isinstance(value, list) or not value:
            self.wrong(place, value, "a list")
        for one in value:
            if not isinstance(one, kind) or isinstance(one, bool):
                self.wrong(place, one, "words in the list" if kind is str else "a number in the list")
            if isinstance(one, str):
                self._readable(place, one)
        if len(set(value)) != len(value):
            self.fail(place, "an entry of the list stands twice")
        return value

    def tables(self, key: str, entry: dict[str, Any]) -> list[dict[str, Any]]:
        value = entry.get(key)
        if not isinstance(value, list) or not value or not all(isinstance(one, dict) for one in value):
            self.fail(key, "at least one [[{table}]] is needed", table=key)
        return value

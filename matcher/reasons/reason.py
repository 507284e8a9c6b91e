"""Sentences as values: a template and what fills it. One of one, many of many; lists; fields and actions by name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from matcher.reasons.style import Said, Sayable, Style


@dataclass(frozen=True)
class Reason(Said):
    """A template such as "{lot} is too thin" and its values: quantities, whole numbers, other reasons, her own words.

    Text among the values is hers and goes in as she wrote it; a word of ours is a `Term`. Make one with `reason`.
    """

    template: str
    values: tuple[tuple[str, Sayable | str | int], ...] = ()

    def shown(self, style: Style) -> str:
        return style.language.gettext(self.template).format(**_filled(self.values, style))


@dataclass(frozen=True)
class Counted(Said):
    """A template for one and one for many, of which `n` decides; both may hold {n}. Make one with `counted`."""

    one: str
    many: str
    n: int
    values: tuple[tuple[str, Sayable | str | int], ...] = ()

    def shown(self, style: Style) -> str:
        template = style.language.ngettext(self.one, self.many, self.n)
        return template.format(n=self.n, **_filled(self.values, style))


@dataclass(frozen=True)
class Term(Said):
    """A word of ours, such as a role, a verdict or a structure: another language has its own."""

    word: str

    def shown(self, style: Style) -> str:
        return style.language.gettext(self.word)


@dataclass(frozen=True)
class Trade(Said):
    """Something that American and British knitters call by two names, such as "bind off" and "cast off"."""

    american: str
    british: str

    def shown(self, style: Style) -> str:
        return style.language.gettext(self.british if style.british else self.american)


@dataclass(frozen=True)
class Field(Said):
    """A field that she fills in, such as "least contrast"; the face says what it calls it. `example`: what to write."""

    name: str
    example: str = ""

    def shown(self, style: Style) -> str:
        return f"{style.field(self.name)} {self.example}".rstrip()


@dataclass(frozen=True)
class Column(Said):
    """A column of a sheet, such as "ball_grams"."""

    name: str

    def shown(self, style: Style) -> str:
        return style.column(self.name)


@dataclass(frozen=True)
class Action(Said):
    """Something that she can do, such as "undo", with the fields that it needs."""

    name: str
    fields: tuple[Field, ...] = ()

    def shown(self, style: Style) -> str:
        return " ".join([style.action(self.name), *(one.shown(style) for one in self.fields)])


@dataclass(frozen=True)
class Listed(Said):
    """Several things in a row: "a, b and c", "a, b or c", or with the same sign between all. Make one with `listed`."""

    items: tuple[Sayable | str, ...]
    last: Literal["and", "or", ""] = ""
    between: str = ", "

    def shown(self, style: Style) -> str:
        said = [style.say(one) for one in self.items]
        if not self.last or len(said) < 2:
            return self.between.join(said)
        ending = style.language.gettext("{most} and {last}" if self.last == "and" else "{most} or {last}")
        return ending.format(most=self.between.join(said[:-1]), last=said[-1])


Words = Reason | Counted | Term | Trade | Field | Column | Action | Listed | str
"""Anything to be said; plain text is somebody's own, or too plain to translate."""


def reason(template: str, **values: Sayable | str | int) -> Reason:
    """A sentence with its values. Raises TypeError for a bare float: a figure says what it is."""
    return Reason(template, _checked(values))


def counted(n: int, one: str, many: str, **values: Sayable | str | int) -> Counted:
    """A sentence about `n` things: counted(3, "{n} round", "{n} rounds")."""
    return Counted(one, many, n, _checked(values))


def listed(items: Iterable[Sayable | str], last: Literal["and", "or", ""] = "", between: str = ", ") -> Listed:
    """Several things in a row."""
    return Listed(tuple(items), last, between)


def _checked(values: dict[str, Sayable | str | int]) -> tuple[tuple[str, Sayable | str | int], ...]:
    for name, value in values.items():
        if isinstance(value, bool) or not isinstance(value, str | int | Said):
            raise TypeError(f"{name} is a bare {type(value).__name__}: say what it is, as a quantity")
    return tuple(values.items())


def _filled(values: tuple[tuple[str, Sayable | str | int], ...], style: Style) -> dict[str, str]:
    return {name: str(value) if isinstance(value, int) else style.say(value) for name, value in values}

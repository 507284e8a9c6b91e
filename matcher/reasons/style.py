"""How a face puts things into words: units, decimal sign, language, and its own words for fields and actions."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass, field
from gettext import NullTranslations
from typing import Literal, Protocol, get_args

Units = Literal["metric", "imperial", "mixed"]
"""Mixed: grams with yards and inches, as many American knitters weigh in grams."""


class Sayable(Protocol):
    """Whatever can be put into words."""

    def shown(self, style: Style) -> str:
        """The words."""
        ...


def _as_it_is(name: str) -> str:
    return name


@dataclass(frozen=True)
class Style:
    """One way of saying things. Templates are English and go through `language` before they are filled.

    units: of yarn lengths, weights and measures. decimal: the sign before decimals. field, column, action: what the
    face calls a field of a form, a column of a sheet, an action; left out, their plain names. british: whether she
    casts off to a tension in stocking stitch, where others bind off to a gauge in stockinette.
    """

    units: Units = "metric"
    decimal: Literal[".", ","] = "."
    language: NullTranslations = field(default_factory=NullTranslations, compare=False)
    field: Callable[[str], str] = _as_it_is
    column: Callable[[str], str] = _as_it_is
    action: Callable[[str], str] = _as_it_is
    british: bool = False

    def __post_init__(self) -> None:
        if self.units not in get_args(Units):
            raise ValueError(f'units are "metric", "imperial" or "mixed", not "{self.units}"')

    @property
    def inches(self) -> bool:
        """Whether she reads yards and inches."""
        return self.units != "metric"

    @property
    def ounces(self) -> bool:
        """Whether she reads ounces."""
        return self.units == "imperial"

    def say(self, what: Sayable | str) -> str:
        """The words of a reason or a quantity; text is somebody's own and stays as it is."""
        return what if isinstance(what, str) else what.shown(self)

    def sentence(self, what: Sayable | str) -> str:
        """The words as a sentence of its own, with a capital and a full stop."""
        said = self.say(what).rstrip(".")
        return f"{said[:1].upper()}{said[1:]}."

    def number(self, value: float, decimals: int = 0, exact: bool = False) -> str:
        """A figure with at most so many decimals; with `exact` its zeros stay: 1.90."""
        text = f"{value:.{decimals}f}"
        if "." in text and not exact:
            text = text.rstrip("0").rstrip(".")
        return ("0" if text == "-0" else text).replace(".", self.decimal)


PLAIN = Style()
"""Metric, a decimal point, English: what `str()` of a reason gives, in a notebook."""


class Said(ABC):
    """A value that can be put into words; `str()` gives the plain ones, so that a notebook shows them."""

    @abstractmethod
    def shown(self, style: Style) -> str:
        """The words in a style."""

    def __str__(self) -> str:
        return self.shown(PLAIN)

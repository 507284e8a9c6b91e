"""Quantities that a reason may hold; each knows its units and how many figures make sense."""

from __future__ import annotations

import math
from dataclasses import dataclass

from matcher.reasons.style import Said, Style

IN_CM = 2.54
YD_M = 0.9144
LB_G = 453.59237


class Quantity(Said):
    """Something with a figure: it is shown with its unit, in the style's units."""


SHOWN_M = 0.05
"""A length below it is shown as none, at least in metres."""


@dataclass(frozen=True)
class Length(Quantity):
    """Yarn [m]: "41 m" or "45 yd"; one decimal below 10."""

    m: float

    def shown(self, style: Style) -> str:
        value, unit = (self.m / YD_M, "yd") if style.inches else (self.m, "m")
        return f"{style.number(value, 1 if abs(value) < 9.95 else 0)} {unit}"


@dataclass(frozen=True)
class Amount(Quantity):
    """Yarn of a lot by length [m] and, since she weighs it, by weight too (tex: grams in 1000 m): "41 m (16 g)"."""

    m: float
    tex: float

    def shown(self, style: Style) -> str:
        return _weighed(Length(self.m).shown(style), self.m * self.tex, style)


def _weighed(length: str, milligrams: float, style: Style) -> str:
    mass = Mass(milligrams / 1000.0).shown(style)
    return length if mass.startswith("0 ") else f"{length} ({mass})"


@dataclass(frozen=True)
class PartOf(Quantity):
    """One of several lengths that are shown beside their sum [m]: rounded so that what is shown adds up.

    parts_m: all of them; place: which one this is; tex: of the yarn, to say its weight too. The sum is shown as
    `Length(sum(parts_m))`. Each is rounded down and those that lost most get one more, until they come to the sum.
    """

    parts_m: tuple[float, ...]
    place: int
    tex: float = 0.0

    def shown(self, style: Style) -> str:
        scale, unit = (YD_M, "yd") if style.inches else (1.0, "m")
        whole = sum(self.parts_m) / scale
        decimals = 1 if abs(whole) < 9.95 else 0
        steps = [part / scale * 10**decimals for part in self.parts_m]
        down = [math.floor(step) for step in steps]
        missing = round(float(f"{whole:.{decimals}f}") * 10**decimals) - sum(down)
        lost = sorted(range(len(steps)), key=lambda place: down[place] - steps[place])
        more = self.place in lost[:missing]
        length = f"{style.number((down[self.place] + more) / 10**decimals, decimals)} {unit}"
        return _weighed(length, self.parts_m[self.place] * self.tex, style)


@dataclass(frozen=True)
class Mass(Quantity):
    """A weight [g]: "41 g" or "1.45 oz"; two decimals below 10 oz, since a gram is 0.035 oz."""

    g: float

    def shown(self, style: Style) -> str:
        if style.ounces:
            ounces = 16 * self.g / LB_G
            return f"{style.number(ounces, 2 if abs(ounces) < 9.995 else 1)} oz"
        return f"{style.number(self.g, 1 if abs(self.g) < 9.95 else 0)} g"


@dataclass(frozen=True)
class Band(Quantity):
    """What a ball weighs by its band [g]. A band that says grams says whole ones, and she finds it by them in a shop:
    "50 g", or "50 g (1.76 oz)".
    """

    g: float

    @property
    def whole(self) -> bool:
        """Whether the band says grams."""
        return abs(self.g - round(self.g)) < 1e-6

    def shown(self, style: Style) -> str:
        if not self.whole:
            return Mass(self.g).shown(style)
        grams = f"{style.number(self.g)} g"
        return f"{grams} ({Mass(self.g).shown(style)})" if style.ounces else grams


@dataclass(frozen=True)
class Kilograms(Quantity):
    """More than anybody weighs in grams [kg]: "20 kg" or "44.1 lb"."""

    kg: float

    def shown(self, style: Style) -> str:
        value, unit = (1000 * self.kg / LB_G, "lb") if style.ounces else (self.kg, "kg")
        return f"{style.number(value, 1)} {unit}"


@dataclass(frozen=True)
class Memory(Quantity):
    """Memory of a computer [bytes]: "640 MB" or "2.5 GB"."""

    bytes: int

    def shown(self, style: Style) -> str:
        if self.bytes >= 1e9:
            return f"{style.number(self.bytes / 1e9, 1)} GB"
        return f"{style.number(self.bytes / 1e6, 0)} MB"


@dataclass(frozen=True)
class Measure(Quantity):
    """A measure of a piece or a body [cm]: "12.5 cm" or "4.9 in"."""

    cm: float

    def shown(self, style: Style) -> str:
        return f"{style.number(self.cm / IN_CM, 1)} in" if style.inches else f"{style.number(self.cm, 1)} cm"


@dataclass(frozen=True)
class NeedleSize(Quantity):
    """The diameter of a knitting needle [mm], in millimetres in every country: "3.75 mm"."""

    mm: float

    def shown(self, style: Style) -> str:
        return f"{style.number(self.mm, 2)} mm"


@dataclass(frozen=True)
class NeedleLength(Quantity):
    """The length of a circular needle [cm], as they are sold: "40 cm" or "16 in"."""

    cm: float

    def shown(self, style: Style) -> str:
        return f"{2 * round(self.cm / IN_CM / 2)} in" if style.inches else f"{style.number(self.cm)} cm"


@dataclass(frozen=True)
class StitchLength(Quantity):
    """Yarn in one stitch [cm], to a tenth of a millimetre: "1.90 cm" or "0.75 in"."""

    cm: float

    def shown(self, style: Style) -> str:
        value, unit = (self.cm / IN_CM, "in") if style.inches else (self.cm, "cm")
        return f"{style.number(value, 2, exact=True)} {unit}"


@dataclass(frozen=True)
class GaugeFigures(Quantity):
    """Stitches and rows in 10 cm: "22 stitches and 29 rows in 10 cm", or in 4 in."""

    stitches_10cm: float
    rows_10cm: float

    def shown(self, style: Style) -> str:
        span, scale = _span(style)
        template = style.language.gettext("{stitches} stitches and {rows} rows in {span}")
        stitches, rows = (style.number(one * scale, 1) for one in (self.stitches_10cm, self.rows_10cm))
        return template.format(stitches=stitches, rows=rows, span=span)


@dataclass(frozen=True)
class StitchGauge(Quantity):
    """Stitches alone in 10 cm: "22 stitches in 10 cm", or in 4 in."""

    stitches_10cm: float

    def shown(self, style: Style) -> str:
        span, scale = _span(style)
        template = style.language.gettext("{stitches} stitches in {span}")
        return template.format(stitches=style.number(self.stitches_10cm * scale, 1), span=span)


def _span(style: Style) -> tuple[str, float]:
    """What a gauge is counted over, and how many times 10 cm that is."""
    return ("4 in", 4 * IN_CM / 10) if style.inches else ("10 cm", 1.0)


@dataclass(frozen=True)
class Tex(Quantity):
    """Linear density [g per 1000 m]: "353 tex"."""

    tex: float

    def shown(self, style: Style) -> str:
        return f"{style.number(self.tex)} tex"


@dataclass(frozen=True)
class Number(Quantity):
    """A plain figure with at most so many decimals; with `exact` its zeros stay."""

    value: float
    decimals: int = 0
    exact: bool = False

    def shown(self, style: Style) -> str:
        return style.number(self.value, self.decimals, self.exact)


@dataclass(frozen=True)
class Share(Quantity):
    """A part of a whole, 0 to 1, in percent: "18%"; `signed` for a change: "+18%"."""

    part: float
    decimals: int = 0
    signed: bool = False

    def shown(self, style: Style) -> str:
        figure = style.number(100.0 * self.part, self.decimals)
        return f"{'+' if self.signed and self.part > 0 and figure != '0' else ''}{figure}%"


@dataclass(frozen=True)
class Chance(Quantity):
    """A probability, 0 to 1, as times in a hundred: "98 in 100". Never more sure than it is, and never 100."""

    chance: float
    decimals: int = 0

    def shown(self, style: Style) -> str:
        steps = 10**self.decimals
        times = min(100 * steps - 1, int(100.0 * steps * self.chance + 1e-9)) / steps
        template = style.language.gettext("{times} in 100")
        return template.format(times=style.number(times, self.decimals))

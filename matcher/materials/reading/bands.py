"""What a ball band says in one cell: "50 g", "137 yd", "50g/125m", "137yds/125m", "125 m per 50 g"."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from matcher.materials.reading.counts import parse_tex
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import (
    ABOUT,
    LENGTH_M,
    MASS_G,
    Unreadable,
    any_of,
    parse_units,
    same_figure,
    tidy,
)
from matcher.materials.reading.units import parse_length_m, parse_mass_g
from matcher.reasons.quantities import Band, Length
from matcher.reasons.reason import Words, reason

MASS, LENGTH = "ball_grams", "ball_metres"
"""The columns of a ball band; either may hold all of it."""

_BETWEEN = re.compile(r"\s*(?:/|=|\||;|:|,(?=\s)|\(|\)|\bper\b|\bto\b|\bin\b|\bis\b|\bor\b|\+/-|~|-)\s*")
_ABOUT = re.compile(rf"{ABOUT}\s*|\s*(?:approx\.?|ish)$", re.IGNORECASE)
_BALL = re.compile(r"(?:^|(?<=\s))(?:(?:a|1|one)\s+)?(?:ball|skein|hank)$", re.IGNORECASE)  # "50 g ball": what it is of
_WEIGHT = reason("the weight of a full ball, alone or with its length, such as 50 or 50g/125m")
_LONG = reason("the length of a full ball, alone or with its weight, such as 125 or 50g/125m")
# "50 g 110 m": two figures, each with its unit.
_SIDE_BY_SIDE = re.compile(
    rf"\d\s*(?:{any_of(MASS_G)})\b\.?(?=\s+\d[\d.,]*\s*(?:{any_of(LENGTH_M)})\b)"
    rf"|\d\s*(?:{any_of(LENGTH_M)})\b\.?(?=\s+\d[\d.,]*\s*(?:{any_of(MASS_G)})\b)",
    re.IGNORECASE,
)
# "400 m/100" and "220 yds per 100": grams, since yarn is measured so.
_OF_BARE = re.compile(
    rf"^(\d[\d.,]*\s*(?:{any_of(LENGTH_M)}))\s*(?:/|\bper\b|\bto\b|\bin\b)\s*(50|100)$", re.IGNORECASE
)
SOLD_G = (20, 25, 40, 50, 75, 100, 150, 200, 250, 500)
"""What balls and skeins weigh; common practice."""


def whole_band(cells: Mapping[str, str]) -> Mapping[str, str]:
    """The cells of a lot; where one column holds the whole ball band, and the other nothing, it stands in both."""
    for here, there in ((MASS, LENGTH), (LENGTH, MASS)):
        if cells.get(here) and not cells.get(there):
            mass, length = _figures(cells[here])
            if mass is not None and length is not None:
                return {**cells, there: cells[here]}
    return cells


def heard_ball_mass(text: str) -> Heard[float]:
    """Grams of a full ball. Raises Unreadable."""
    bare = _bare(text)
    if bare is not None:
        return Heard(bare[0], _taken(Band(bare[0])), sure=False)
    try:
        return Heard(parse_mass_g(text))
    except Unreadable:
        mass, length = _figures(text)
        if length is not None and mass is None:
            raise Unreadable(text, _WEIGHT, reason("that is its length alone: add what it weighs")) from None
        if mass is None:
            raise
        return Heard(mass, _taken(Band(mass)))


def heard_ball_length(text: str) -> Heard[float]:
    """Metres of a full ball. Raises Unreadable."""
    bare = _bare(text)
    if bare is not None:
        return Heard(bare[1], _taken(Length(bare[1])), sure=False)
    try:
        return Heard(parse_length_m(text))
    except Unreadable:
        mass, length = _figures(text)
        if mass is not None and length is None:
            raise Unreadable(text, _LONG, reason("that is its weight alone: add how long it is")) from None
        if length is None:
            raise
        return Heard(length, _taken(Length(length)))


def ball_mass_g(cells: Mapping[str, str]) -> float | None:
    """Grams of a full ball by a lot's cells; None without a band. Raises Unreadable."""
    text = whole_band(cells).get(MASS)
    return heard_ball_mass(text).value if text else None


def ball_length_m(cells: Mapping[str, str]) -> float | None:
    """Metres of a full ball by a lot's cells; None without a band. Raises Unreadable."""
    text = whole_band(cells).get(LENGTH)
    return heard_ball_length(text).value if text else None


def tex_of(cells: Mapping[str, str]) -> float | None:
    """Grams in 1000 m by a lot's ball band, else by its cell of tex; None where neither tells. Raises Unreadable."""
    mass, length = ball_mass_g(cells), ball_length_m(cells)
    if mass and length:
        return 1000.0 * mass / length
    return parse_tex(cells["tex"]) if cells.get("tex") else None


def _taken(figure: Band | Length) -> Words:
    return reason("{figure} a ball", figure=figure)


def _bare(text: str) -> tuple[float, float] | None:
    """Grams and metres of "50/125": with no unit, the one that balls are sold by is the weight."""
    found = re.fullmatch(r"(\d+)\s*/\s*(\d+)", text.strip())
    if not found or min(int(found[1]), int(found[2])) < min(SOLD_G):
        return None
    one, other = int(found[1]), int(found[2])
    if one in SOLD_G:
        return float(one), float(other)
    return (float(other), float(one)) if other in SOLD_G else None


@lru_cache(maxsize=4096)
def _figures(text: str) -> tuple[float | None, float | None]:
    """Grams and metres of a cell in which each figure has its unit; None where there is none, or two that differ."""
    if bare := _bare(text):
        return bare
    masses: list[tuple[bool, float]] = []
    lengths: list[tuple[bool, float]] = []
    plain = _SIDE_BY_SIDE.sub(r"\g<0>,", _ABOUT.sub("", tidy(text)))
    for part in _BETWEEN.split(_OF_BARE.sub(r"\1/\2 g", plain)):
        plain = _BALL.sub("", part.strip(" .")).strip(" .")
        if not plain:
            continue
        if re.fullmatch(r"[a-z]+", plain, re.IGNORECASE):  # "137 yd per ounce": of one
            plain = f"1 {plain}"
        mass, length = _read(plain, MASS_G), _read(plain, LENGTH_M)
        if mass is None and length is None:
            return None, None
        if mass is not None:
            masses.append((not re.search(r"oz|ounce|lb|pound", plain, re.IGNORECASE), mass))
        if length is not None:
            lengths.append((not re.search(r"y(?:ar)?ds?|ft|feet|foot", plain, re.IGNORECASE), length))
    return _one(masses), _one(lengths)


def _read(text: str, factors: dict[str, float]) -> float | None:
    try:
        return parse_units(text, factors, None, "")
    except Unreadable:
        return None


def _one(figures: list[tuple[bool, float]]) -> float | None:
    """The metric one of figures that agree."""
    if not figures:
        return None
    best = max(figures)[1]
    return best if best > 0 and all(same_figure(value, best) for _, value in figures) else None

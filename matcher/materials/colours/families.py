"""What a colour is called when one looks for it: blue, dark brown, pale pink. Choices, in the catalogue."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.colours.words import ColourWords
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Term

DARK, PALE = 35.0, 70.0
"""Lightness below which a colour is called dark, and from which it is called pale (choices)."""

SEEN = 0.2
"""The least share that one of several colours needs for the lot to be looked for under it (a choice)."""

_SHADES = {"dark": "dark", "deep": "dark", "pale": "pale", "light": "pale"}
_FAMILIES = {"gray": "grey", "violet": "purple", "natural": "cream", "beige": "brown", "turquoise": "teal"}

PLAIN = ("white", "black", "cream")
"""Families that are never called dark or pale."""


@dataclass(frozen=True)
class FamilyRule:
    """Hues [degrees], lightnesses and chromas of a family, all from (with it) and to; hues may pass 360."""

    family: str
    hue_from: float
    hue_to: float
    lightness_from: float
    lightness_to: float
    chroma_from: float
    chroma_to: float

    def fits(self, lab: Lab) -> bool:
        """Whether a colour lies within."""
        lightness, chroma = lab[0], math.hypot(lab[1], lab[2])
        hue = math.degrees(math.atan2(lab[2], lab[1])) % 360.0
        round_it = self.hue_from <= hue < self.hue_to or (
            self.hue_from > self.hue_to and (hue >= self.hue_from or hue < self.hue_to)
        )
        return (
            round_it
            and self.lightness_from <= lightness <= self.lightness_to
            and self.chroma_from <= chroma < self.chroma_to
        )


def family_of(lab: Lab, rules: Iterable[FamilyRule]) -> str:
    """The family of a colour: the first rule that it fits; grey where none does."""
    return next((one.family for one in rules if one.fits(lab)), "grey")


def called(lab: Lab, rules: Iterable[FamilyRule]) -> str:
    """The same with how light it is: "dark blue", "blue", "pale blue"."""
    family = family_of(lab, rules)
    shade = "" if family in PLAIN else "dark" if lab[0] < DARK else "pale" if lab[0] >= PALE else ""
    return f"{shade} {family}".strip()


@dataclass(frozen=True)
class Sought:
    """A colour that is looked for: a family, "dark" or "pale" where that counts."""

    family: str
    shade: str = ""

    def fits(self, colours: Iterable[str]) -> bool:
        """Whether one of the colours, as they are called, is it."""
        return any(name.split()[-1] == self.family and name.startswith(self.shade) for name in colours)


def sought(text: str, rules: Sequence[FamilyRule], words: ColourWords) -> Heard[Sought]:
    """A family ("blue", "pale greens"); any other colour stands for what it is called. Raises Unreadable."""
    families = {one.family for one in rules}
    *before, last = fold(text).split() or [""]
    family = next((name for one in (last, last.removesuffix("s")) if (name := _FAMILIES.get(one, one)) in families), "")
    shade = _SHADES.get(" ".join(before), "") if before else ""
    if family and (shade or not before):
        return Heard(Sought(family, shade))
    asked = called(parse_colour(text, words).mean(), rules)
    *before, family = asked.split()
    return Heard(Sought(family, " ".join(before)), Term(asked))


def colours_called(colour: Colour, rules: Sequence[FamilyRule]) -> tuple[str, ...]:
    """What a lot's colours are called: of each that makes up enough of it, most of it first; of a heather, its mean."""
    parts = sorted(colour.stitches(), key=lambda part: -part[1])
    seen = [lab for lab, share in parts if share >= SEEN] or [parts[0][0]]
    return tuple(dict.fromkeys(called(lab, rules) for lab in seen))

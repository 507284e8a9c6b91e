"""The letters of a picture in pixels: one free font that has the letters of Europe, the same wherever it is drawn."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.reasons.visible import nearest_letters, visible

if TYPE_CHECKING:
    from PIL import ImageFont

_FONT = Path(__file__).parent / "font" / "DejaVuSansCondensed.ttf"
_NO_LETTER = "\uffff"  # in no font: drawn as that font draws what it lacks
_LOOKED_AT = 16  # pixels; any size tells one form from another


@lru_cache(maxsize=32)
def font_of(pixels: float) -> ImageFont.FreeTypeFont:
    """The font in which an em is so many pixels high."""
    from PIL import ImageFont

    return ImageFont.truetype(_FONT, pixels)


def written(text: str) -> str:
    """Her words in letters that the font has: others by their nearest, and a box for what has none."""
    return nearest_letters(visible(text), _has)


@lru_cache(maxsize=4096)
def _has(letter: str) -> bool:
    # Whatever ends a line or makes room is drawn as a space: one label is one line.
    alone = letter.isprintable() and not unicodedata.combining(letter)
    return letter == " " or (alone and _form(letter) != _form(_NO_LETTER))


def _form(letter: str) -> tuple[tuple[int, int], bytes]:
    mask = font_of(_LOOKED_AT).getmask(letter)
    return mask.size, bytes(mask)

"""Her words as they can be seen: signs that no eye sees are written out, and letters that cannot be shown replaced."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

HIDDEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")
"""Control characters, escapes, what turns the direction of reading, and half characters. No name may hold one."""

LOST = "□"
"""Stands for a letter that can't be shown: no "?", which marks what was guessed."""

_CHANGES_ANOTHER = {"Mn", "Me", "Cf"}  # accents by themselves, joiners, which form of a sign is meant
_PAINTS = re.compile(rf"\r|{HIDDEN.pattern}")
# The nearest plain letters, where taking accents and ornaments off does not lead to them.
_INSTEAD = str.maketrans(
    {"×": "x", "–": "-", "—": "-", "−": "-", "’": "'", "‘": "'", "“": '"', "”": '"', "ß": "ss", "æ": "ae", "Æ": "AE"}
    | {"±": "+/-", "•": "*", "·": "*", "…": "...", "\u2044": "/", "→": "->", "≤": "<=", "≥": ">=", "≈": "~"}
    | {"°": " deg", "█": "#", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "þ": "th", "Þ": "Th"}
    | {"œ": "oe", "Œ": "OE", "Δ": "d"}
)


def visible(text: str) -> str:
    """The text with its hidden signs written out, so that a terminal, page or picture obeys none of them.

    Line ends and tabs stay. Text that has been made visible is so for good.
    """
    return _PAINTS.sub(_written_out, text)


def _written_out(sign: re.Match[str]) -> str:
    byte = ord(sign[0]) - 0xDC00  # how a byte that is no letter comes in with the name of a file
    return f"\\x{byte:02x}" if 0x80 <= byte <= 0xFF else sign[0].encode("unicode_escape").decode("ascii")


def nearest_letters(text: str, holds: Callable[[str], bool]) -> str:
    """The text in letters that can be shown, which `holds` tells: others by their nearest plain ones, else as LOST.

    Where even that can't be shown it is a "?". Signs that only change the one before them are left out with it.
    """
    whole = unicodedata.normalize("NFC", text)
    return "".join(one if holds(one) else _nearest(one, holds) for one in whole)


def _nearest(letter: str, holds: Callable[[str], bool]) -> str:
    if unicodedata.category(letter) in _CHANGES_ANOTHER:
        return ""
    parts = unicodedata.normalize("NFKD", letter)
    plain = "".join(
        one if holds(one) else " " if one.isspace() else one.translate(_INSTEAD)
        for one in parts
        if not unicodedata.combining(one)
    )
    if plain and all(map(holds, plain)):
        return plain
    return LOST if holds(LOST) else "?"

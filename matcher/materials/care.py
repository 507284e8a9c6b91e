"""Wash words: what a label allows, and what that means for several yarns in one piece."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.materials.reading.numerals import Unreadable

WASHES = ("hand", "machine", "unknown")

_WORDS: dict[str, str] = {
    **dict.fromkeys(("hand", "hand wash", "handwash", "hand washing", "hand wash only", "by hand"), "hand"),
    **dict.fromkeys(("wash by hand", "hand only", "cool hand wash"), "hand"),
    **dict.fromkeys(("machine", "machine wash", "machine washable", "in the machine", "superwash"), "machine"),
    **dict.fromkeys(("machine wash cool", "machine wash warm", "washing machine"), "machine"),
    **dict.fromkeys(("unknown", "not known", "?", "no label", ""), "unknown"),
}


def parse_wash(text: str) -> str:
    """ "hand", "machine" or "unknown" from the words of a label. Raises Unreadable for anything else."""
    folded = " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
    if folded in _WORDS:
        return _WORDS[folded]
    mend = "write unknown, and what the label says in note" if "clean" in folded or "not" in folded else ""
    raise Unreadable(text, "hand, machine or unknown", mend)


def gentlest(washes: Iterable[str]) -> str:
    """The wash that a piece of all these yarns can stand: the gentlest rules, an unknown is not trusted."""
    given = set(washes)
    if "hand" in given:
        return "hand"
    return "machine" if given == {"machine"} else "unknown"


def wash_words(wash: str) -> str:
    """How to say it to a knitter."""
    return {
        "hand": "wash by hand",
        "machine": "machine wash, as the labels say",
    }.get(wash, "a label is missing: wash by hand until a swatch has been tried")

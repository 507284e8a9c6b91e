"""Wash words: what a label allows, and what that means for several yarns in one piece."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Words, reason

_READ: dict[str, str] = {
    **dict.fromkeys(("hand", "hand wash", "handwash", "hand washing", "hand wash only", "by hand"), "hand"),
    **dict.fromkeys(("wash by hand", "hand only", "cool hand wash"), "hand"),
    **dict.fromkeys(("machine", "machine wash", "machine washable", "in the machine", "superwash"), "machine"),
    **dict.fromkeys(("machine wash cool", "machine wash warm", "washing machine"), "machine"),
    **dict.fromkeys(("unknown", "not known", "?", "no label", ""), "unknown"),
}


def parse_wash(text: str) -> str:
    """ "hand", "machine" or "unknown" from the words of a label. Raises Unreadable for anything else."""
    folded = " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
    if folded in _READ:
        return _READ[folded]
    odd = "clean" in folded or "not" in folded
    mend = reason("write unknown, and what the label says in note") if odd else ""
    raise Unreadable(text, reason("hand, machine or unknown"), mend)


def gentlest(washes: Iterable[str]) -> str:
    """The wash that a piece of all these yarns can stand: the gentlest rules, an unknown is not trusted."""
    given = set(washes)
    if "hand" in given:
        return "hand"
    return "machine" if given == {"machine"} else "unknown"


# What the label of one lot says, and how to wash a piece of several.
_WORDS_OF: dict[str, tuple[Words, Words]] = {
    "hand": (reason("wash by hand"), reason("wash by hand, cool: follow the gentlest label")),
    "machine": (reason("machine wash"), reason("machine wash, as the labels say")),
    "unknown": (
        reason("label not recorded: wash by hand"),
        reason("wash by hand, cool: a label is missing"),
    ),
}


def label_words(wash: str) -> Words:
    """What one lot's label says, to a knitter."""
    return _WORDS_OF[wash][0]


def care_words(washes: Iterable[str]) -> Words:
    """How to wash a piece of all these yarns."""
    return _WORDS_OF[gentlest(washes)][1]

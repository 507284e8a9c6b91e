"""Wash words: what a label allows, and what that means for several yarns in one piece."""

from __future__ import annotations

import re
from collections.abc import Iterable

from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Words, reason

_READ: dict[str, str] = {
    **dict.fromkeys(("hand", "hand wash", "handwash", "hand washing", "hand wash only", "by hand"), "hand"),
    **dict.fromkeys(("wash by hand", "hand only", "cool hand wash"), "hand"),
    **dict.fromkeys(("machine", "machine wash", "machine washable", "in the machine", "superwash"), "machine"),
    **dict.fromkeys(("machine wash cool", "machine wash warm", "washing machine"), "machine"),
    **dict.fromkeys(("unknown", "not known", "?", "no label", ""), "unknown"),
}
# Words inside others that tell it; those that forbid are looked for first.
_FORBIDS = re.compile(
    r"\b(?:(?:do ?n[o']?t|not|no|never) (?:to be )?(?:(?:put )?(?:it )?in (?:a |the )?)?"
    r"(?:machine|mach|superwash|tumble)|non superwash|untreated|felts)\b"
)
_BY_HAND = re.compile(r"\b(?:hand ?wash\w*|by hand|hand only|hands?|hw)\b")
_MACHINE = re.compile(
    r"\b(?:machine|mach|superwash|super wash|washing machine|mw"
    r"|(?:wool|delicate|gentle|hand ?wash) (?:cycle|programme|program)"
    r"|(?:30|40|60) ?(?:°|º|deg(?:rees?)?|c\b) ?c?|tumble dry)"
)
_NOT_KNOWN = re.compile(
    r"(?:label |band )?(?:lost|missing|gone|none|no idea|not sure|unsure|don'?t know|dunno|n/?a|tbc|-+|\?+)"
)


def heard_wash(text: str) -> Heard[str]:
    """ "hand", "machine" or "unknown" from the words of a label; where it says both, the gentler. Raises Unreadable."""
    folded = " ".join(text.casefold().replace("-", " ").replace("_", " ").replace("\u2019", "'").split()).strip(" .!")
    if folded in _READ:
        return Heard(_READ[folded])
    if _NOT_KNOWN.fullmatch(text.casefold().strip()) or _NOT_KNOWN.fullmatch(folded):
        return Heard("unknown")
    doubt = folded.endswith("?")
    forbids, machine = bool(_FORBIDS.search(folded)), bool(_MACHINE.search(folded))
    by_hand = bool(_BY_HAND.search(re.sub(r"hand ?wash (?:cycle|program\w*)", "", folded)))
    if forbids or by_hand:
        plain = by_hand and (forbids or not machine)
        return Heard("hand", _WORDS_OF["hand"][0], sure=not doubt and (plain or ("machine" in folded and forbids)))
    if machine:
        return Heard("machine", _WORDS_OF["machine"][0], sure=not doubt)
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
        reason("how to wash is not known: wash by hand"),
        reason("wash by hand, cool: a label is missing"),
    ),
}


def label_words(wash: str) -> Words:
    """What one lot's label says, to a knitter."""
    return _WORDS_OF[wash][0]


def care_words(washes: Iterable[str]) -> Words:
    """How to wash a piece of all these yarns."""
    return _WORDS_OF[gentlest(washes)][1]

"""Dye lots as people write them: which of them say that the dye lot is not known."""

from __future__ import annotations

import re

# Two such lots are not of one bath for that.
_NOT_KNOWN = frozenset(
    (
        *("no", "none", "no lot", "no dye lot", "no number", "no label", "not known", "unknown", "unclear", "unsure"),
        *("not sure", "not written down", "not given", "not legible", "illegible", "missing", "lost", "n a", "na"),
        *("dont know", "do not know"),
    )
)


def known_dye_lot(text: str) -> str:
    """The dye lot as it is written; "" where nothing is, or only that it is not known: "?", "n/a", "unknown"."""
    plain = text.strip()
    if plain.isdecimal():  # most are
        return plain
    words = re.sub(r"['’]", "", plain.casefold())
    folded = " ".join(re.sub(r"[\W_]+", " ", words).split())
    return "" if not folded or folded in _NOT_KNOWN else plain

"""What became of a lot, where a column of hers says it: used up, sold or given away, it is no yarn to plan with.

No column of ours holds it, since such a lot is none any more; what only might say so is told, to be looked at.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Literal

from matcher.store.sheets.as_meant import LONGEST, says_nothing_left, yes_or_no
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.headings import heading_readers

Fate = Literal["", "gone", "asked"]

_STATUS = ("status", "state", "fate", "happened", "became of")
_STILL = ("still have", "still got", "still own", "still there", "still here")
_GONE = ("gone", "all gone", "used up", "all used", "sold", "given away")
_PERHAPS = ("used", "given")  # a yes may be of some of it
_PLAIN = re.compile(
    r"(?:yes\W+)?(?:it(?:'s| is)\s+)?(?:"
    r"(?:all |completely |totally )?(?:used up|gone|knitted up)|all used|(?:gave|given) (?:it )?(?:away|to)"
    r"|gifted(?: to)?|sold(?! out)|donated|thrown (?:away|out)|binned|destashed)\b.*",
    re.IGNORECASE,
)
_IN_PART = re.compile(
    r"\?|\b(?:half|part(?:ly|s)?|some|most(?:ly)?|nearly|almost|rest|left|except|but|not|to me|to be|will|soon|if|of"
    r"|\d+ ?(?:g|oz|balls?|skeins?))\b",
    re.IGNORECASE,
)
_MAY_BE = re.compile(r"\b(?:used|gone|gave|given|gifted|sold|donated|thrown|binned|destashed|swapped)\b", re.IGNORECASE)


def tells_fate(heading: str, cells: Sequence[str]) -> bool:
    """Whether a column of lots says what became of them: by its heading, and cells such as no, sold or all gone."""
    kind = _kind(heading)
    if kind is None:
        return False
    said = [cell for cell in cells if yes_or_no(cell, "", "") == "" or _MAY_BE.search(cell[:LONGEST])]
    return kind is _STATUS or 2 * len(said) > (len(cells) if kind is _PERHAPS else 0)


def fate(heading: str, text: str) -> Fate:
    """What a cell of such a column says: "gone" where nothing is left, "asked" where she should look; "" otherwise."""
    kind, cell = _kind(heading), text[:LONGEST]
    said = yes_or_no(cell, "yes", "no").casefold()
    if said == "no" if kind is _STILL else said == "yes" and kind is _GONE:
        return "gone"
    if said == "yes" and kind is _PERHAPS:
        return "asked"
    if (_PLAIN.fullmatch(cell) and not _IN_PART.search(cell)) or (cell and kind is _GONE and says_nothing_left(cell)):
        return "gone"
    return "asked" if _MAY_BE.search(cell) else ""


def _kind(heading: str) -> tuple[str, ...] | None:
    words = _words(heading)
    return _kinds().get(words) or (_STATUS if words >= _words("status") else None)  # "stash status" is one


@lru_cache(maxsize=1)
def _kinds() -> Mapping[frozenset[str], tuple[str, ...]]:
    return {_words(heading): kind for kind in (_STATUS, _STILL, _GONE, _PERHAPS) for heading in kind}


@lru_cache(maxsize=1024)  # asked of every row of a sheet
def _words(heading: str) -> frozenset[str]:
    return heading_readers()[LOTS.sheet].words(heading, mended=False)

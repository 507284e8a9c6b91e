"""What she wishes of every command that asks for the like, until she wishes otherwise."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, get_args

from matcher.materials.lots import MENDING
from matcher.materials.people import parse_eyes, parse_list
from matcher.materials.reading.names import did_you_mean, fold
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.materials.rules import CONTRASTS
from matcher.reasons.reason import Term, listed, reason
from matcher.reasons.style import Units

Pairs = tuple[tuple[str, str], ...]
_CHOOSE = reason("choose one of them")
_WITH = re.compile(r"\s*(?:\+|&|\bwith\b|\band\b)\s*")


@dataclass(frozen=True)
class StandingWishes:
    """Her wishes; what is empty she leaves open.

    units : one of `Units`. never : kinds and accessories, in her words. apart : pairs of yarns that must not meet in
    one piece, each a lot, a yarn, a fibre or several. least_contrast : a verdict. eyes : one of `WHOSE`.
    mending : one of `MENDING`.
    """

    units: str = ""
    never: tuple[str, ...] = ()
    apart: Pairs = ()
    least_contrast: str = ""
    eyes: str = ""
    mending: str = ""


def _one_of(*words: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if fold(text) not in words:
            raise Unreadable(text, listed(map(Term, words), "or"), lambda: did_you_mean(text, words) or _CHOOSE)
        return fold(text)

    return read


def parse_pairs(text: str) -> Pairs:
    """Yarns that must not meet: "mohair + cotton; fog + navy". Raises Unreadable."""
    found = []
    for piece in filter(None, map(str.strip, re.split(r"[;,\n]", text))):
        pair = [word for word in _WITH.split(piece) if word]
        if len(pair) != 2:
            raise Unreadable(piece, reason("two yarns, such as mohair + cotton"))
        found.append((pair[0], pair[1]))
    return tuple(found)


_READERS: Mapping[str, Callable[[str], Any]] = {
    "units": _one_of(*get_args(Units)),
    "never": parse_list,
    "apart": parse_pairs,
    "least_contrast": _one_of(*CONTRASTS),
    "eyes": lambda text: parse_eyes(text).value,
    "mending": _one_of(*MENDING),
}
WISHES = tuple(_READERS)


def parse_wish(wish: str, text: str) -> Any:
    """What the words of a wish say; raises Unclear."""
    if wish not in _READERS:
        raise Unreadable(wish, reason("one of {wishes}", wishes=listed(WISHES)))
    return _READERS[wish](text)


def wishes_of(written: Mapping[str, str]) -> StandingWishes:
    """The wishes as she wrote them; one that cannot be read counts as none."""
    found = {}
    for wish, text in written.items():
        try:
            found[wish] = parse_wish(wish, text)
        except Unclear:
            continue
    return StandingWishes(**found)

"""Names as people write them: what one may hold, when two are the same, which known one is nearest to a slip."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import lru_cache

from matcher.materials.reading.numerals import Unreadable
from matcher.reasons.reason import Words, reason
from matcher.reasons.visible import HIDDEN

_COMPARED = 8  # a choice; of more names that share pairs of letters with one, none is nearer
LONGEST_NAME = 200
"""Letters of a name outside the sheets, whose limit stands in the catalogue (the same, a choice)."""


def fold(name: str) -> str:
    """Names are the same when only case and spaces differ."""
    return " ".join(name.casefold().split())


def readable(text: str) -> str:
    """Text as it is kept, without space around it.

    Raises Unreadable for signs that cannot be seen: control characters, escapes, what turns the direction of reading.
    """
    if HIDDEN.search(text):
        raise Unreadable(text, reason("letters and signs that can be seen"), reason("type it again"))
    return text.strip()


def readable_name(text: str, longest: int = LONGEST_NAME) -> str:
    """A name as it is kept: readable, and on one line. Raises Unreadable, also for one that is too long."""
    name = " ".join(readable(text).split())
    if len(name) > longest:
        mend = reason("shorten it, and put the rest in the note")
        raise Unreadable(text, reason("at most {n} characters", n=longest), mend)
    return name


def nearest(name: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """The known name that is spelled most like this one, at least `likeness` (0 to 1); "" when none is."""
    from difflib import get_close_matches

    if len(name) <= 2:
        return ""
    folded, pairs = _index(tuple(known))
    asked = fold(name)
    shared = Counter(one for pair in _pairs(asked) for one in pairs.get(pair, ()))
    near = get_close_matches(asked, [one for one, _ in shared.most_common(_COMPARED)], n=1, cutoff=likeness)
    return folded[near[0]] if near else ""


SLIP, SHORTEST = 0.8, 4
"""How like a known name (0 to 1), and how many letters long, a slip of the pen must be to be taken for it: choices."""


def slip_of(name: str, known: Iterable[str], likeness: float = SLIP) -> str:
    """The known name that a word is so near to that it is hardly anything else; "" when none is.

    Asked of every odd cell: most words are turned away by their letters alone.
    """
    from difflib import SequenceMatcher

    asked = fold(name)
    if len(asked) < SHORTEST:
        return ""
    folded, pairs = _index(tuple(known))
    own = _pairs(asked)
    shared = Counter(one for pair in own for one in pairs.get(pair, ()))
    near = [one for one, number in shared.most_common(_COMPARED) if 2 * number >= len(own) - 1]
    rated = [(SequenceMatcher(None, asked, one).ratio(), one) for one in near if abs(len(one) - len(asked)) <= 2]
    best = max(rated, default=(0.0, ""))
    return folded[best[1]] if best[0] >= likeness else ""


@lru_cache(maxsize=8)
def _index(known: tuple[str, ...]) -> tuple[dict[str, str], dict[str, list[str]]]:
    """Known names by their folded form, and folded forms by the pairs of letters in them."""
    folded = {fold(one): one for one in known}
    pairs: dict[str, list[str]] = {}
    for one in folded:
        for pair in _pairs(one):
            pairs.setdefault(pair, []).append(one)
    return folded, pairs


def _pairs(name: str) -> set[str]:
    """Every two letters that follow each other, and the first and the last with the edge."""
    edged = f"^{name}$"
    return {edged[at : at + 2] for at in range(len(edged) - 1)}


def did_you_mean(name: str, known: Iterable[str], likeness: float = 0.6) -> Words:
    """The question after the nearest known name; "" when none is near."""
    near = nearest(name, known, likeness)
    return reason("did you mean {name}?", name=near) if near else ""

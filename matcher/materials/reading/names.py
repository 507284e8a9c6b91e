"""Names as people write them: when two are the same, and which known one is nearest to a slip of the pen."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.reasons.reason import Words, reason


def fold(name: str) -> str:
    """Names are the same when only case and spaces differ."""
    return " ".join(name.casefold().split())


def nearest(name: str, known: Iterable[str], likeness: float = 0.6) -> str:
    """The known name that is spelled most like this one, at least `likeness` (0 to 1); "" when none is."""
    from difflib import get_close_matches

    folded = {fold(one): one for one in known}
    near = get_close_matches(fold(name), folded, n=1, cutoff=likeness) if len(name) > 2 else []
    return folded[near[0]] if near else ""


def did_you_mean(name: str, known: Iterable[str], likeness: float = 0.6) -> Words:
    """The question after the nearest known name; "" when none is near."""
    near = nearest(name, known, likeness)
    return reason("did you mean {name}?", name=near) if near else ""

"""Names as she types them: found whatever their case, and the nearest ones told when there is none."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.errors import NotFound
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Term, Words, reason


def near_names(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """Names most like the one asked for: spelled alike, or with it inside."""
    import difflib  # names are seldom mistyped

    known, folded = list(dict.fromkeys(names)), fold(name)
    inside = [one for one in known if folded and folded in fold(one)]
    alike = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
    return tuple(dict.fromkeys([*inside, *alike]))[:3]


def find(name: str, names: Iterable[str], what: Words) -> str:
    """The name as it is written in `names`, whatever its case and spaces; raises NotFound with the nearest ones."""
    known = list(names)
    folded = {fold(one): one for one in known}
    if fold(name) in folded:
        return folded[fold(name)]
    raise NotFound(
        reason('there is no {what} "{name}"', what=Term(what) if isinstance(what, str) else what, name=name),
        near=near_names(name, known),
    )

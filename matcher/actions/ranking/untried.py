"""What is said of a list for which not all was tried."""

from __future__ import annotations

from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, Words, reason


def untried(missing: float) -> Words:
    """That better ones may be missing, and how good they could be. missing : the most that one could score."""
    return reason(
        "There are so many ways to hold strands together that not all were tried: a better one may be missing, with a "
        "score of {most} at most. With {single} the list is exact; if you ask for one {kind} or {size}, more of its "
        "ways are tried.",
        most=Number(missing, 4),
        single=Field("single"),
        kind=Field("kind"),
        size=Field("size"),
    )

"""What is said of a list that is empty, and of one for which not all was tried."""

from __future__ import annotations

from matcher.reasons.quantities import Chance, Number
from matcher.reasons.reason import Field, Words, reason


def none_found(small: bool, cut_short: bool, sure: float) -> Words:
    """That the list is empty. small : there are small things apart from it. cut_short : not all was tried, so that
    nobody knows. sure : the least chance."""
    chance = Chance(sure, 1)
    if small and cut_short:
        return reason(
            "Not all was tried, and only small things were found that can be made from what is free and be {sure} "
            "sure.",
            sure=chance,
        )
    if small:
        return reason("Only small things can be made from what is free and be {sure} sure.", sure=chance)
    if cut_short:
        return reason(
            "Not all was tried, and nothing was found that can be made from what is free and be {sure} sure.",
            sure=chance,
        )
    return reason("Nothing in the catalogue can be made from what is free and be {sure} sure.", sure=chance)


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

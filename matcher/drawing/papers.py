"""The papers that pages are printed on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from matcher.errors import BadInput
from matcher.reasons.reason import Field, listed, reason


@dataclass(frozen=True)
class Paper:
    """What a style sheet calls it, and its width and height [mm]."""

    name: str
    size: tuple[float, float]


PAPERS: Mapping[str, Paper] = {"a4": Paper("A4", (210.0, 297.0)), "letter": Paper("letter", (215.9, 279.4))}


def paper_of(key: str) -> Paper:
    """The paper "a4" or "letter". Raises BadInput for another."""
    if key not in PAPERS:
        what = reason('"{paper}" isn\'t a paper this tool prints on', paper=key)
        raise BadInput(what, Field("paper"), reason("take {papers}", papers=listed(PAPERS, "or")))
    return PAPERS[key]

"""Yarns that are not usual at a gauge."""

from __future__ import annotations

from collections.abc import Iterable

from matcher.knitting.fabric import FabricConstants, Gauge, tex_range
from matcher.reasons.quantities import Number, Tex
from matcher.reasons.reason import Words, reason


def thickness_warnings(threads: Iterable[tuple[Words, float]], gauge: Gauge, fabric: FabricConstants) -> list[Words]:
    """What is said of those that are too thin or too thick. threads: what each is called, and its density [tex]."""
    low, high = tex_range(gauge, fabric)
    words: list[Words] = []
    for called, tex in threads:
        if not low <= tex <= high:
            thin = "{lot} is too thin for this gauge ({tex}; {low} to {high} suit): swatch first"
            thick = "{lot} is too thick for this gauge ({tex}; {low} to {high} suit): swatch first"
            suit = {"low": Number(low), "high": Tex(high)}
            words.append(reason(thin if tex < low else thick, lot=called, tex=Tex(tex), **suit))
    return words

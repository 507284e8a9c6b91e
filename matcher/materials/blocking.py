"""How a finished piece is washed and brought to its measures, by what it is made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from matcher.materials.care import care_words
from matcher.materials.fibre import Blend
from matcher.reasons.reason import Words

LEAST_SHARE = 0.2  # of a yarn, from which on a fibre rules the whole piece (a choice)


@dataclass(frozen=True)
class BlockingRule:
    """A row of `catalog/standards/blocking.csv`, the most delicate first; the last, without fibres, is for what isn't
    known. words: what to do, a sentence."""

    group: str
    fibres: frozenset[str]
    words: Words


def care_of(blends: Iterable[Blend], washes: Iterable[str], rules: Sequence[BlockingRule]) -> tuple[Words, ...]:
    """How to block a piece of all these yarns, and how to wash it from then on: the most delicate rules the whole.

    washes: what the labels say, "hand", "machine" or "unknown".
    """
    return blocking_rule(tuple(blends), rules).words, care_words(washes)


def blocking_rule(blends: Sequence[Blend], rules: Sequence[BlockingRule]) -> BlockingRule:
    """The row that a piece of these yarns follows."""
    *known, unknown = rules
    if not blends or any(not blend.known or blend.unknown_share >= LEAST_SHARE for blend in blends):
        return unknown
    for rule in known:
        for blend in blends:
            if blend.share(lambda fibre: fibre.name in rule.fibres).mean >= LEAST_SHARE:  # noqa: B023
                return rule
    return unknown

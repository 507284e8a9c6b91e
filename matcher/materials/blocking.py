"""How a finished piece is washed and brought to its measures, by what it is made of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from matcher.materials.care import care_words, gentlest
from matcher.materials.fibre import Blend
from matcher.reasons.reason import Words, reason


@dataclass(frozen=True)
class BlockingRule:
    """A row of `catalog/standards/blocking.csv`, the most delicate first; the last, without fibres, is for what isn't
    known. least_share: of a yarn, from which on these fibres rule the whole piece. words: what to do, a sentence.
    by_machine: the group that they follow where every label lets the piece into the machine, "" for their own."""

    group: str
    fibres: frozenset[str]
    least_share: float
    words: Words
    by_machine: str = ""


def care_of(blends: Iterable[Blend], washes: Iterable[str], rules: Sequence[BlockingRule]) -> tuple[Words, ...]:
    """How to block a piece of all these yarns, and how to wash it from then on: the most delicate rules the whole.

    washes: what the labels say, "hand", "machine" or "unknown".
    """
    labels, rule = tuple(washes), blocking_rule(tuple(blends), rules)
    if rule.by_machine and gentlest(labels) == "machine":
        rule = next(one for one in rules if one.group == rule.by_machine)
    return rule.words, reason("from then on {care}", care=care_words(labels))


def blocking_rule(blends: Sequence[Blend], rules: Sequence[BlockingRule]) -> BlockingRule:
    """The row that a piece of these yarns follows."""
    *known, unknown = rules
    if not blends or any(not blend.known or blend.unknown_share >= unknown.least_share for blend in blends):
        return unknown
    return next((rule for rule in known if any(_share(blend, rule) >= rule.least_share for blend in blends)), unknown)


def _share(blend: Blend, rule: BlockingRule) -> float:
    return blend.share(lambda fibre: fibre.name in rule.fibres).mean

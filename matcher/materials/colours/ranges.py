"""What a range of colours is called, for somebody who looks at yarn in a shop: how light, and of which hues."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.families import DARK, PALE, FamilyRule, family_of
from matcher.materials.colours.words import ColourWords
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Term, Words, listed, reason

# What is called dark, neither and pale in two or three steps each, from black to white; choices.
_STEPS = (0.0, 20.0, DARK, 47.0, 58.0, PALE, 85.0, 100.0)
_SHADES = ("very dark", "dark", "mid dark", "mid", "mid light", "pale", "very pale")
# A range that holds all colours up to this chroma is of any hue. Else a family is named of which most words lie within,
# and with "partly" where fewer do. Choices.
_ANY_HUE, _MOST, _SOME = 40.0, 0.8, 0.25


def range_called(low: Lab, high: Lab, words: ColourWords, rules: Sequence[FamilyRule]) -> Words:
    """Of all colours between two in L*, a* and b*: "mid light to very pale, of any hue but the most vivid"."""
    shades, hues = _shades(low[0], high[0]), _hues(low, high, words, rules)
    return shades if hues is None else reason("{shades}, {hues}", shades=shades, hues=hues)


def range_figures(low: Lab, high: Lab) -> Words:
    """The same in figures, with what they mean."""
    return reason(
        "in figures: lightness (L*) {l} to {most_l}, from black 0 to white 100; green to red (a*) {a} to {most_a}; "
        "blue to yellow (b*) {b} to {most_b}",
        **{name: Number(value) for name, value in zip(("l", "a", "b"), low, strict=True)},
        **{name: Number(value) for name, value in zip(("most_l", "most_a", "most_b"), high, strict=True)},
    )


def _shades(low: float, high: float) -> Words:
    """Each step whose middle lies within; of a range that holds none, the step that it lies in."""
    steps = list(zip(_SHADES, pairwise(_STEPS), strict=True))
    held = [name for name, (least, most) in steps if low <= (least + most) / 2 <= high]
    if not held:
        held = [next(name for name, (_, most) in steps if (low + high) / 2 <= most)]
    if len(held) == len(steps):
        return reason("from very dark to very pale")
    if len(held) <= 2:
        return listed(map(Term, held), "or")
    return reason("{darkest} to {lightest}", darkest=Term(held[0]), lightest=Term(held[-1]))


def _hues(low: Lab, high: Lab, words: ColourWords, rules: Sequence[FamilyRule]) -> Words | None:
    """Any hue, or the families of what is as light; None where too little of any is within."""
    as_light = [tuple(lab) for lab in words.means.tolist() if low[0] <= lab[0] <= high[0]]
    within = [lab for lab in as_light if all(least <= x <= most for least, x, most in zip(low, lab, high, strict=True))]
    if min(-low[1], high[1], -low[2], high[2]) >= _ANY_HUE:
        return reason("of any hue" if len(within) == len(as_light) else "of any hue but the most vivid")
    there, held = (Counter(family_of(lab, rules) for lab in labs) for labs in (as_light, within))
    names = dict.fromkeys(rule.family for rule in rules)
    most = [Term(name) for name in names if there[name] and held[name] >= _MOST * there[name]]
    some = [Term(name) for name in names if there[name] and _SOME <= held[name] / there[name] < _MOST]
    if most and some:
        return reason("in {most}, and partly in {some}", most=listed(most, "or"), some=listed(some, "or"))
    if some:
        return reason("partly in {some}", some=listed(some, "or"))
    return reason("in {most}", most=listed(most, "or")) if most else None

"""Can these yarns live in one fabric? Each rule gives a verdict with its reason: blocks, warns or fits."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.materials.fibre import felts as felts_alone
from matcher.materials.fibre import hairy, inelastic
from matcher.materials.rules import TogetherRules
from matcher.materials.yarn import Yarn
from matcher.reasons.quantities import Number, Tex
from matcher.reasons.reason import Words, reason

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Thread = Sequence[tuple[Yarn, int]]  # what one role is knitted with: so many strands of each yarn


@dataclass(frozen=True)
class RuleVerdict:
    """What one rule says of one yarn or of two."""

    rule: str
    verdict: str  # "fits", "warns" or "blocks"
    reason: Words


@dataclass(frozen=True)
class Handling:
    """How a yarn behaves beside another, apart from its thickness. None: the label does not say.

    known: whether its fibre is. A label that allows the machine tells that a yarn does not felt, fibre or no fibre.
    """

    felts: bool | None
    known: bool
    inelastic: bool | None
    halo: bool | None


def handling_of(yarn: Yarn, rules: TogetherRules) -> Handling:
    """What the rules look at, from the blend and the wash label."""
    blend = yarn.blend
    if not blend.known:
        return Handling(felts(yarn, rules), False, None, None)
    return Handling(
        felts(yarn, rules),
        True,
        _told(blend.chance(inelastic, rules.inelastic_share), rules),
        _told(blend.chance(hairy, rules.halo_share), rules),
    )


def _told(chance: float, rules: TogetherRules) -> bool | None:
    """What a chance says: yes or no where it is likely enough, None where shares that are not told leave it open."""
    return True if chance >= rules.shares_likely else False if chance <= 1.0 - rules.shares_likely else None


def felts(yarn: Yarn, rules: TogetherRules) -> bool | None:
    """Whether a yarn felts when it is washed and rubbed; None where neither its label nor its fibre tells.

    A yarn that may go into the machine does not, whatever its wool: it was treated so that it stays open.
    """
    if yarn.wash == "machine":
        return False
    return _told(yarn.blend.chance(felts_alone, rules.felting_share), rules) if yarn.blend.known else None


def thickness(tex_a: float, tex_b: float, rules: TogetherRules) -> RuleVerdict:
    """Linear densities in one fabric must agree."""
    ratio, warns, blocks = _apart(tex_a, tex_b, rules)
    verdict, template = _THICKNESS[int(warns) + int(blocks)]
    a, b, times = Number(float(tex_a)), Tex(float(tex_b)), Number(float(ratio), 2, exact=True)
    return RuleVerdict("thickness", verdict, reason(template, a=a, b=b, ratio=times))


_THICKNESS = (
    ("fits", "near enough in thickness ({a} and {b}, {ratio} to 1)"),
    ("warns", "one yarn is clearly thicker ({a} and {b}, {ratio} to 1): swatch first"),
    ("blocks", "too different in thickness ({a} and {b}, {ratio} to 1)"),
)


def thickness_factor(tex_a: Floats | float, tex_b: Floats | float, rules: TogetherRules) -> Floats:
    """The factor of what `thickness` says of many pairs: an array of the shape that both broadcast to."""
    _, warns, blocks = _apart(tex_a, tex_b, rules)
    return np.where(blocks, 0.0, np.where(warns, rules.warn_factor, 1.0))


def _apart(tex_a: Floats | float, tex_b: Floats | float, rules: TogetherRules) -> tuple[Floats, Flags, Flags]:
    """How many times as thick one is as the other, and whether that warns, and whether it blocks."""
    ratio = np.maximum(tex_a, tex_b) / np.minimum(tex_a, tex_b)
    return ratio, ratio > rules.tex_ratio_fits, ratio > rules.tex_ratio_blocks


def _shrinking(a: Handling, b: Handling) -> RuleVerdict:
    if a.felts is None or b.felts is None:
        if (a.felts is False and b.felts is None) or (b.felts is False and a.felts is None):
            return RuleVerdict("shrinking", "warns", reason("one fibre is unknown and may felt: wash by hand, cool"))
        return RuleVerdict("shrinking", "fits", reason("fibre unknown: wash by hand, cool"))
    if a.felts != b.felts:
        return RuleVerdict(
            "shrinking",
            "warns",
            reason("one yarn felts and the other doesn't: wash by hand, cool, or the fabric puckers"),
        )
    return RuleVerdict("shrinking", "fits", reason("both felt alike" if a.felts else "neither felts"))


def _stretch(a: Handling, b: Handling) -> RuleVerdict:
    if a.inelastic is None or b.inelastic is None or a.inelastic == b.inelastic:
        return RuleVerdict("stretch", "fits", reason("no known difference in stretch"))
    return RuleVerdict("stretch", "warns", reason("one yarn springs back and the other doesn't: edges may ripple"))


def _halo(a: Handling, b: Handling) -> RuleVerdict:
    if a.halo is None or b.halo is None or a.halo == b.halo:
        return RuleVerdict("halo", "fits", reason("no known difference in halo"))
    return RuleVerdict("halo", "warns", reason("one yarn is hairy: its halo softens the edges of the motif"))


def beside(a: Handling, b: Handling) -> tuple[RuleVerdict, ...]:
    """Every rule on two yarns but thickness, which is judged on all strands of a role together."""
    return _shrinking(a, b), _stretch(a, b), _halo(a, b)


def on_skin(handling: Handling, next_to_skin: bool) -> RuleVerdict:
    """Whether a yarn may lie on the skin, as far as its label tells."""
    if next_to_skin and not handling.known:
        return RuleVerdict("skin", "warns", reason("fibre unknown: try it against the skin for an hour first"))
    return RuleVerdict("skin", "fits", reason("nothing known against it"))


def worst_together(threads: Sequence[Thread], next_to_skin: bool, rules: TogetherRules) -> tuple[RuleVerdict, ...]:
    """The worst verdict of each rule on the yarns of one fabric, the worst rule first."""
    tex = [sum(yarn.tex.mean * count for yarn, count in thread) for thread in threads]
    verdicts = [thickness(a, b, rules) for place, a in enumerate(tex) for b in tex[:place]]
    handlings = [handling_of(yarn, rules) for thread in threads for yarn, _ in thread]
    for place, one in enumerate(handlings):
        verdicts.append(on_skin(one, next_to_skin))
        for other in handlings[:place]:
            verdicts += beside(one, other)
    worst = {"blocks": 0, "warns": 1, "fits": 2}
    by_rule: dict[str, RuleVerdict] = {}
    for verdict in sorted(verdicts, key=lambda one: worst[one.verdict]):
        by_rule.setdefault(verdict.rule, verdict)
    return tuple(by_rule.values())


def factor(verdicts: Iterable[RuleVerdict], rules: TogetherRules) -> float:
    """The verdicts as one part of the score: 1 when all fit, less for each warning, 0 when one blocks."""
    told = [verdict.verdict for verdict in verdicts]
    return 0.0 if "blocks" in told else float(rules.warn_factor ** told.count("warns"))

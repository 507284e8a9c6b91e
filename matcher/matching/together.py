"""Can these yarns live in one fabric? Each rule gives a verdict with its reason: blocks, warns or fits."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.materials.rules import TogetherRules
from matcher.materials.yarn import Yarn


@dataclass(frozen=True)
class RuleVerdict:
    """What one rule says of one yarn or of two."""

    rule: str
    verdict: str  # "fits", "warns" or "blocks"
    reason: str


@dataclass(frozen=True)
class Handling:
    """How a yarn behaves beside another, apart from its thickness. None: the label does not say."""

    felts: bool | None
    wash: str
    inelastic: bool | None
    halo: bool | None


def handling_of(yarn: Yarn, rules: TogetherRules) -> Handling:
    """What the rules look at, from the blend and the wash label."""
    blend = yarn.blend
    if not blend.known:
        return Handling(None, yarn.wash, None, None)
    return Handling(
        blend.felting_share >= rules.felting_share,
        yarn.wash,
        blend.inelastic_share >= rules.inelastic_share,
        blend.halo_share >= rules.halo_share,
    )


def thickness(tex_a: float, tex_b: float, rules: TogetherRules) -> RuleVerdict:
    """Linear densities in one fabric must agree."""
    ratio = max(tex_a, tex_b) / min(tex_a, tex_b)
    say = f"{tex_a:.0f} and {tex_b:.0f} tex, {ratio:.2f} to 1"
    if ratio <= rules.tex_ratio_fits:
        return RuleVerdict("thickness", "fits", f"near enough in thickness ({say})")
    if ratio <= rules.tex_ratio_blocks:
        return RuleVerdict("thickness", "warns", f"one yarn is clearly thicker ({say}): swatch first")
    return RuleVerdict("thickness", "blocks", f"too different in thickness ({say})")


def _shrinking(a: Handling, b: Handling) -> RuleVerdict:
    if a.felts is None or b.felts is None:
        if (a.felts is False and b.felts is None) or (b.felts is False and a.felts is None):
            return RuleVerdict("shrinking", "warns", "one fibre is unknown and may felt: wash by hand, cool")
        return RuleVerdict("shrinking", "fits", "fibre unknown: wash by hand, cool")
    if a.felts != b.felts:
        return RuleVerdict(
            "shrinking",
            "warns",
            "one yarn felts and the other does not: wash by hand, cool, or the fabric puckers",
        )
    return RuleVerdict("shrinking", "fits", "both felt alike" if a.felts else "neither felts")


def _stretch(a: Handling, b: Handling) -> RuleVerdict:
    if a.inelastic is None or b.inelastic is None or a.inelastic == b.inelastic:
        return RuleVerdict("stretch", "fits", "no known difference in stretch")
    return RuleVerdict("stretch", "warns", "one yarn springs back and the other does not: edges may ripple")


def _halo(a: Handling, b: Handling) -> RuleVerdict:
    if a.halo is None or b.halo is None or a.halo == b.halo:
        return RuleVerdict("halo", "fits", "no known difference in halo")
    return RuleVerdict("halo", "warns", "one yarn is hairy: its halo softens the edges of the motif")


def beside(a: Handling, b: Handling) -> tuple[RuleVerdict, ...]:
    """Every rule on two yarns but thickness, which is judged on all strands of a role together."""
    return _shrinking(a, b), _stretch(a, b), _halo(a, b)


def on_skin(handling: Handling, next_to_skin: bool) -> RuleVerdict:
    """Whether a yarn may lie on the skin, as far as its label tells."""
    if next_to_skin and handling.felts is None:
        return RuleVerdict("skin", "warns", "fibre unknown: try it against the skin for an hour first")
    return RuleVerdict("skin", "fits", "nothing known against it")


def factor(verdicts: tuple[RuleVerdict, ...], rules: TogetherRules) -> float:
    """The verdicts as one part of the score: 1 when all fit, less for each warning, 0 when one blocks."""
    if any(verdict.verdict == "blocks" for verdict in verdicts):
        return 0.0
    return float(rules.warn_factor ** sum(verdict.verdict == "warns" for verdict in verdicts))


def care_of(yarns: list[Yarn]) -> str:
    """The gentlest care of all yarns in a fabric rules the whole."""
    if all(yarn.wash == "machine" for yarn in yarns):
        return "machine wash as the gentlest label says"
    unknown = [yarn for yarn in yarns if yarn.wash not in ("hand", "machine")]
    if unknown and not any(yarn.wash == "hand" for yarn in yarns):
        return "wash by hand, cool: not every label says how"
    return "wash by hand, cool: the gentlest label rules the whole"

"""Do two colours read against each other? CIEDE2000 and lightness, in daylight and with three deficiencies.

A reading is a number from 0 to 1 that grows with the contrast and stands at 1 for *clear*: past that, more
contrast earns nothing. The verdicts are its steps: merges < 0.25 <= quiet < 0.5 <= readable < 1 = clear.
No published threshold exists for knitted motifs; the limits stand in the catalogue with their sources.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000_row
from matcher.materials.colours.vision import SIGHTS, as_seen
from matcher.materials.rules import ContrastRules

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

LEVELS = {"merges": 0.0, "quiet": 0.25, "readable": 0.5, "clear": 1.0}
# Up to here a reading may rest on hue, which only CIEDE2000 tells; above, lightness alone decides.
DECIDED = 0.5
# Rounded matrices leave a difference that should stand at a limit a few 1e-6 below it.
_AT_LIMIT = 1e-5


def reading(delta_e: Floats, delta_l: Floats, rules: ContrastRules) -> Floats:
    """How well two colours read in one sight, 0 to 1.

    Parameters
    ----------
    delta_e, delta_l : arrays of one shape: CIEDE2000, and the absolute difference in L*.
    """
    merges = 0.25 * delta_e / rules.quiet_delta_e
    quiet_or_less = np.where(delta_e + _AT_LIMIT >= rules.quiet_delta_e, _quiet(delta_l, rules), merges)
    by_hue = delta_e + _AT_LIMIT >= rules.readable_delta_e
    by_hue &= delta_l + _AT_LIMIT >= rules.readable_delta_e_min_delta_l
    by_lightness = by_lightness_alone(delta_l, rules)
    return np.where(by_lightness >= 0.5, by_lightness, np.where(by_hue, 0.5, quiet_or_less))


def by_lightness_alone(delta_l: Floats, rules: ContrastRules) -> Floats:
    """The reading that a difference in L* gives by itself: half at *readable*, whole at *clear*."""
    steps = [0.0, rules.readable_delta_l, rules.clear_delta_l]
    return np.interp(delta_l + _AT_LIMIT, steps, [0.0, 0.5, 1.0])


def _quiet(delta_l: Floats, rules: ContrastRules) -> Floats:
    """The reading of two colours that differ in the hand, so far apart in lightness; below *readable*."""
    return 0.25 + 0.25 * np.minimum(delta_l / rules.readable_delta_l, 1.0)


def verdict_of(value: float) -> str:
    """The verdict that a reading stands for."""
    return next(name for name in ("clear", "readable", "quiet", "merges") if value >= LEVELS[name])


def all_but_vanishing(readings: Floats, weights: Floats, vanish_share: float) -> Floats:
    """The reading that all stitch neighbours reach, but for the share that is allowed to vanish.

    Parameters
    ----------
    readings, weights : arrays (n, k): each neighbour pair's reading and share; weights sum to 1 along k.

    Returns
    -------
    array (n,)
    """
    if readings.shape[1] == 1:
        return readings[:, 0]
    order = np.argsort(readings, axis=1, kind="stable")
    passed = np.cumsum(np.take_along_axis(weights, order, axis=1), axis=1) > vanish_share + 1e-9
    at = np.take_along_axis(order, passed.argmax(axis=1)[:, None], axis=1)
    return np.take_along_axis(readings, at, axis=1)[:, 0]


@dataclass(frozen=True)
class Judgement:
    """Two colours judged: the figures of the stitches that decide, and what they come to."""

    delta_e: float
    delta_l: float
    sights: Mapping[str, tuple[float, float]]  # CIEDE2000 and L* difference in each sight
    reading: float
    least_seen: str  # the sight in which the pair reads least
    vanishing: float  # share of stitch neighbours that fall below the least contrast asked
    verdict: str
    reason: str


def judge(
    a: Colour, b: Colour, matrices: Mapping[str, Floats], rules: ContrastRules, least: str = "readable"
) -> Judgement:
    """Judge two colours on the whole distribution of their stitches, from the worst of the four sights.

    least: the verdict below which a stitch vanishes beside its neighbour; it changes no other figure.
    """
    left, right = a.stitches(), b.stitches()
    labs = np.array([lab for lab, _ in left + right])
    seen = as_seen(labs, matrices)
    cut = len(left)
    delta_e = np.stack([[ciede2000_row(seen[s, i], seen[s, cut:]) for i in range(cut)] for s in range(len(SIGHTS))])
    delta_l = np.abs(seen[:, :cut, None, 0] - seen[:, None, cut:, 0])
    each = reading(delta_e, delta_l, rules)
    pairs = each.min(axis=0).reshape(1, -1)
    weights = np.outer([share for _, share in left], [share for _, share in right]).reshape(1, -1)
    value = float(all_but_vanishing(pairs, weights, rules.vanish_share)[0])
    deciding = int(np.flatnonzero(pairs[0] == value)[0])
    i, j = divmod(deciding, len(right))
    worst = SIGHTS[int(each[:, i, j].argmin())]
    if np.allclose(each[:, i, j], each[0, i, j], atol=0.02):
        worst = "daylight"
    verdict = verdict_of(value)
    vanishing = float(weights[0][pairs[0] < LEVELS[least]].sum())
    sights = {name: (float(delta_e[s, i, j]), float(delta_l[s, i, j])) for s, name in enumerate(SIGHTS)}
    return Judgement(
        *sights["daylight"],
        sights,
        value,
        worst,
        vanishing,
        verdict,
        _reason(verdict, sights, worst, vanishing, len(pairs[0]) > 1, rules),
    )


def _reason(
    verdict: str,
    sights: Mapping[str, tuple[float, float]],
    worst: str,
    vanishing: float,
    several: bool,
    rules: ContrastRules,
) -> str:
    delta_e, delta_l = sights[worst]
    where = "in daylight" if worst == "daylight" else f"with {worst} sight"
    figures = f"lightness {delta_l:.0f} apart, CIEDE2000 {delta_e:.0f} {where}"
    if verdict == "clear":
        text = f"{figures}: reads across a room (clear from lightness {rules.clear_delta_l:g})"
    elif verdict == "readable":
        text = f"{figures}: reads in the hand and at table distance, clear would be {rules.clear_delta_l:g}"
    elif verdict == "quiet":
        text = f"{figures}: two colours in the hand, but the motif blurs"
    else:
        text = f"{figures}: the two run into one"
    if several:
        text += f"; {vanishing_words(vanishing)}"
    return text


def vanishing_words(share: float) -> str:
    """The share of stitches that cannot be told from those of the other colour: "3 of 10 stitches vanish"."""
    if share < 0.005:
        return "no stitches vanish"
    if share > 0.995:
        return "all stitches vanish"
    if share < 0.095:
        return "fewer than 1 of 10 stitches vanish"
    return f"{min(9, max(1, round(share * 10)))} of 10 stitches vanish"


class Palette:
    """Many single colours, and how each reads against the others.

    `hope` is quick and never below the true reading; it is the true one wherever it is above `DECIDED`. Readings
    below `floor` may be given as 0: whoever asks has no use for them.
    """

    def __init__(self, labs: Floats, matrices: Mapping[str, Floats], rules: ContrastRules, floor: float) -> None:
        self.rules, self.floor = rules, floor
        self.seen = as_seen(labs, matrices)
        self.lightness = np.ascontiguousarray(self.seen[:, :, 0])

    def hope(self, part: int | Indexes, others: Indexes) -> Floats:
        """The most that colours `part` could read against those at `others`, by lightness alone where that decides.

        The two are numbers or arrays of any shapes that go together; so is the result.
        """
        apart = np.abs(self.lightness[0, others] - self.lightness[0, part])
        for sight in range(1, len(SIGHTS)):
            np.minimum(apart, np.abs(self.lightness[sight, others] - self.lightness[sight, part]), out=apart)
        hope = by_lightness_alone(apart, self.rules)
        low = hope < 0.5
        if low.any():
            hope[low] = _quiet(apart[low], self.rules) if self.floor < 0.5 else 0.0
            low &= apart + _AT_LIMIT >= self.rules.readable_delta_e_min_delta_l
            if low.any():
                daylight = np.abs(self.seen[0, others] - self.seen[0, part])[low]
                hope[low] = np.where(self._hue_could(daylight), DECIDED, hope[low])
        return hope

    def _hue_could(self, apart: Floats) -> npt.NDArray[np.bool_]:
        """Whether colours so far apart in L*, a*, b* (n, 3) could reach the CIEDE2000 of *readable*.

        CIEDE2000 is never above sqrt(dL^2 + 1.87 ((1.5 da)^2 + db^2)): its weights divide by at least 1, a* is
        stretched at most 1.5 times, and the blue term adds at most half of 1.74 times chroma and hue.
        """
        most = apart[:, 0] ** 2 + 1.87 * ((1.5 * apart[:, 1]) ** 2 + apart[:, 2] ** 2)
        return np.asarray(np.sqrt(most) + _AT_LIMIT >= self.rules.readable_delta_e)

    def readings(self, part: int, others: Indexes) -> Floats:
        """True readings of colour `part` against the colours at `others`, array (len(others),)."""
        rules = self.rules
        delta_l = np.abs(self.lightness[:, others] - self.lightness[:, part, None])
        each = by_lightness_alone(delta_l, rules)
        undecided = each < 0.5
        worth = (self.hope(part, others) >= self.floor) & undecided.any(axis=0)
        each[:, undecided.any(axis=0) & ~worth] = 0.0
        for sight in range(len(SIGHTS)):
            at = np.flatnonzero(worth & undecided[sight])
            if len(at):
                delta_e = ciede2000_row(self.seen[sight, part], self.seen[sight, others[at]])
                each[sight, at] = reading(delta_e, delta_l[sight, at], rules)
                worth[at[each[sight, at] < self.floor]] = False
        least: Floats = each.min(axis=0)
        least[least < self.floor] = 0.0
        return least

    def most(self, colours: int) -> float:
        """The most that the least reading of so many different lightnesses could be, in this palette."""
        if self.lightness.shape[1] == 0:
            return 0.0
        spread = np.ptp(self.seen[0], axis=0)
        apart = float(spread[0]) / max(1, colours - 1)
        most = float(by_lightness_alone(np.array(apart), self.rules))
        if most >= 0.5:
            return most
        hue = apart + _AT_LIMIT >= self.rules.readable_delta_e_min_delta_l
        # Hue helps the pair that is nearest in lightness, which is at most so far apart.
        hue &= bool(self._hue_could(np.array([[apart, spread[1], spread[2]]]))[0])
        return DECIDED if hue else float(_quiet(np.array(apart), self.rules))

    def potential(self) -> Floats:
        """The most that each colour could read against any of the palette, by its lightest and darkest: array (p,)."""
        if not self.lightness.shape[1]:
            return np.zeros(0)
        light, dark = self.lightness.max(axis=1, keepdims=True), self.lightness.min(axis=1, keepdims=True)
        apart = np.maximum(light - self.lightness, self.lightness - dark).min(axis=0)
        return self.most_by_lightness(apart)

    def most_by_lightness(self, apart: Floats) -> Floats:
        """The most that colours so far apart in L* could read, whatever their hues."""
        most = by_lightness_alone(apart, self.rules)
        hue = apart + _AT_LIMIT >= self.rules.readable_delta_e_min_delta_l
        return np.where(most >= 0.5, most, np.where(hue, DECIDED, _quiet(apart, self.rules)))

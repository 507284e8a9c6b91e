"""Do two colours read against each other? CIEDE2000 and lightness, for ordinary eyes and, if asked, for others.

A reading is a number from 0 to 1 that grows with the contrast and stands at 1 for *clear*: past that, more
contrast earns nothing. The verdicts are its steps: merges < 0.25 <= quiet < 0.5 <= readable < 1 = clear.
No published threshold exists for knitted motifs; the limits stand in the catalogue with their sources.
`judge` says all there is to say of two yarns; of many yarns `colour_table` gives the same readings, quickly. Where a
colour was given by a word, the verdict is a chance (`guessed`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.guessed import chance_apart, chances, spreads_seen, surely_apart
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.vision import DEFICIENCIES, SIGHTS, as_seen
from matcher.materials.rules import ContrastRules
from matcher.reasons.quantities import Chance, Number
from matcher.reasons.reason import Term, Words, listed, reason

Floats = npt.NDArray[np.float64]

LEVELS = {"merges": 0.0, "quiet": 0.25, "readable": 0.5, "clear": 1.0}
# Rounded matrices leave a difference that should stand at a limit a few 1e-6 below it.
AT_LIMIT = 1e-5
# How each sight is called; two of them are kinds of one.
EYES = {
    "daylight": "in daylight",
    "protan": "to red-blind eyes",
    "deutan": "to green-blind eyes",
    "tritan": "to blue-blind eyes",
}
_RED_GREEN, _BOTH = {"protan", "deutan"}, "to red-green blind eyes"


def reading(delta_e: Floats, delta_l: Floats, rules: ContrastRules) -> Floats:
    """How well two colours read in one sight, 0 to 1.

    Parameters
    ----------
    delta_e, delta_l : arrays of one shape: CIEDE2000, and the absolute difference in L*.
    """
    merges = 0.25 * delta_e / rules.quiet_delta_e
    quiet_or_less = np.where(delta_e + AT_LIMIT >= rules.quiet_delta_e, quiet(delta_l, rules), merges)
    by_hue = delta_e + AT_LIMIT >= hue_needed(delta_l, rules)
    by_lightness = by_lightness_alone(delta_l, rules)
    return np.where(by_lightness >= 0.5, by_lightness, np.where(by_hue, 0.5, quiet_or_less))


def hue_needed(delta_l: Floats, rules: ContrastRules) -> Floats:
    """The CIEDE2000 that makes two colours *readable* that are so far apart in lightness: less apart, more colour."""
    helped = delta_l + AT_LIMIT >= rules.readable_delta_e_min_delta_l
    return np.where(helped, rules.readable_delta_e, rules.hue_alone_delta_e)


def by_lightness_alone(delta_l: Floats, rules: ContrastRules) -> Floats:
    """The reading that a difference in L* gives by itself: half at *readable*, whole at *clear*."""
    steps = [0.0, rules.readable_delta_l, rules.clear_delta_l]
    return np.interp(delta_l + AT_LIMIT, steps, [0.0, 0.5, 1.0])


def quiet(delta_l: Floats, rules: ContrastRules) -> Floats:
    """The reading of two colours that differ in the hand, so far apart in lightness; below *readable*."""
    return 0.25 + 0.25 * np.minimum(delta_l / rules.readable_delta_l, 1.0)


def guessed_reading(
    known: Floats, apart: Floats, sd: Floats, chance: tuple[Floats, Floats], rules: ContrastRules
) -> Floats:
    """The reading that counts, in one sight: arrays of one shape.

    Parameters
    ----------
    known : the reading at the means. apart, sd : the difference in L*, without its sign, and its standard deviation.
    chance : as `chances` gives it.
    """
    sure = surely_apart(apart, sd, rules)
    by_lightness = by_lightness_alone(sure, rules)
    differs, reads = chance
    merges = np.where(known < 0.25, known, 0.25 * differs / rules.guess_chance)
    low = np.where(differs >= rules.guess_chance, quiet(sure, rules), merges)
    low = np.where(reads >= rules.guess_chance, 0.5, low)
    found = np.where(by_lightness >= 0.5, by_lightness, np.minimum(low, known))
    return np.asarray(np.minimum(found, rules.guess_most))


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
    """Two colours judged: the figures of the stitches that decide, and what they come to.

    delta_e, delta_l: in daylight; sights: CIEDE2000 and difference in L* in each sight; verdicts: in each sight by
    itself. least_seen: of the sights that decide the one in which the pair reads least; `plainly` says what it looks
    like there, for whose eyes, and who would see less; `reason` gives the working. vanishing: share of stitch
    neighbours that fall below the least contrast asked. chances: where a colour was given by a word, of *quiet*,
    *readable* and *clear* or better; else empty. What a guess is called is reached with the chance that the catalogue
    asks.
    """

    delta_e: float
    delta_l: float
    sights: Mapping[str, tuple[float, float]]
    verdicts: Mapping[str, str]
    reading: float
    least_seen: str
    vanishing: float
    verdict: str
    plainly: Words
    reason: Words
    chances: Mapping[str, float]

    @property
    def guessed(self) -> bool:
        """Whether a colour was given by a word."""
        return bool(self.chances)

    @property
    def rounded_chances(self) -> dict[str, float] | None:
        """For a program: of *quiet*, *readable* and *clear* or better; None where nothing is guessed."""
        return {level: round(chance, 3) for level, chance in self.chances.items()} or None

    @property
    def said(self) -> Words:
        """The verdict; of a guess with its chance: "readable, 88 in 100, guessed from the words"."""
        verdict = Term(self.verdict)
        if not self.guessed:
            return verdict
        return reason("{verdict}, {how}", verdict=verdict, how=_by_words(self.verdict, self.chances))


@dataclass(frozen=True)
class _Stitches:
    """Every stitch of one yarn beside every one of the other: arrays (sights, n, m); their shares (n, m).

    chances: where a colour is guessed, of *quiet*, *readable* and *clear* or better; else empty.
    """

    delta_e: Floats
    delta_l: Floats
    doubt: Floats
    reads: Floats
    chances: Mapping[str, Floats]
    shares: Floats

    def reach(self, figures: Floats, rules: ContrastRules) -> float:
        """Of figures (n, m) the one that all reach, but for the share that is allowed to vanish."""
        return float(all_but_vanishing(figures.reshape(1, -1), self.shares.reshape(1, -1), rules.vanish_share)[0])


def _stitches(a: Colour, b: Colour, matrices: Mapping[str, Floats], rules: ContrastRules) -> _Stitches:
    left, right = a.stitches(), b.stitches()
    labs, split = np.array([lab for lab, _ in left + right]), len(left)
    seen = as_seen(labs, matrices)
    mine, theirs = seen[:, :split, None], seen[:, None, split:]
    delta_e, delta_l = ciede2000(mine, theirs), np.abs(mine[..., 0] - theirs[..., 0])
    reads = reading(delta_e, delta_l, rules)
    likely: dict[str, Floats] = {}
    doubt = np.zeros_like(reads)
    if a.guessed or b.guessed:
        sds = spreads_seen(labs, np.array([*a.stitch_sds(), *b.stitch_sds()]), matrices, DEFICIENCIES)
        mine_sd, theirs_sd = sds[:, :split, None], sds[:, None, split:]
        doubt = np.hypot(mine_sd[..., 0], theirs_sd[..., 0])
        two = chances(mine, theirs, mine_sd, theirs_sd, rules)
        unsure = (mine_sd + theirs_sd).any(axis=-1)
        of_guess = (*two, chance_apart(rules.clear_delta_l, delta_l, doubt))
        for level, one in zip(("quiet", "readable", "clear"), of_guess, strict=True):
            likely[level] = np.where(unsure, one, reads >= LEVELS[level])
        reads = np.where(unsure, guessed_reading(reads, delta_l, doubt, two, rules), reads)
    shares = np.outer([share for _, share in left], [share for _, share in right])
    return _Stitches(delta_e, delta_l, doubt, reads, likely, shares)


def judge(a: Colour, b: Colour, matrices: Mapping[str, Floats], rules: ContrastRules, least: str) -> Judgement:
    """Judge two colours on the whole distribution of their stitches, for ordinary eyes and those of `rules.eyes`.

    What the other deficiencies would lose is said beside it. least: the contrast that is asked of them; a stitch that
    reads less vanishes beside its neighbour. It changes no other figure.
    """
    stitches, eyes = _stitches(a, b, matrices, rules), ("daylight", *rules.eyes)
    deciding = [SIGHTS.index(sight) for sight in eyes]
    reads = stitches.reads[deciding].min(axis=0)
    value = stitches.reach(reads, rules)
    verdict, vanishing = verdict_of(value), float(stitches.shares[reads < LEVELS[least]].sum())
    verdicts = {
        sight: verdict_of(stitches.reach(one, rules)) for sight, one in zip(SIGHTS, stitches.reads, strict=True)
    }
    # Where only what may vanish is a guess, nothing is left to chance.
    likely = {
        level: stitches.reach(one[deciding].min(axis=0), rules)
        for level, one in stitches.chances.items()
        if verdict != "clear"
    }
    # The stitches that decide stand for all.
    i, j = np.argwhere(reads == value)[0]
    worst = _least_seen(eyes, stitches.reads[deciding, i, j], verdict)
    sights = {
        name: (float(stitches.delta_e[s, i, j]), float(stitches.delta_l[s, i, j])) for s, name in enumerate(SIGHTS)
    }
    doubt = float(stitches.doubt[SIGHTS.index(worst), i, j])
    less = _less(verdict, verdicts)
    less += [vanishing_words(vanishing)] if reads.size > 1 else []
    figures = _figures(*sights[worst], doubt, worst, verdict, rules)
    first = _guess(verdict, figures, likely) if likely else _reason(verdict, figures, rules)
    looks = _by_words(verdict, likely) if likely else _plainly(verdict, sights[worst][1], worst, rules)
    words, plainly = (listed((one, *less), between="; ") for one in (first, looks))
    return Judgement(*sights["daylight"], sights, verdicts, value, worst, vanishing, verdict, plainly, words, likely)


def _least_seen(eyes: Sequence[str], reads: Floats, verdict: str) -> str:
    """In which sight two stitches read least; in daylight where all that decide see as much."""
    alike = np.allclose(reads, reads[0], atol=0.02) and verdict_of(float(reads[0])) == verdict
    return "daylight" if alike else eyes[int(reads.argmin())]


def _less(verdict: str, verdicts: Mapping[str, str]) -> list[Words]:
    """Who would see less than the verdict says."""
    by_verdict: dict[str, list[str]] = {}
    for sight, one in verdicts.items():
        if LEVELS[one] < LEVELS[verdict]:
            by_verdict.setdefault(one, []).append(sight)
    return [reason("{verdict} {eyes}", verdict=Term(one), eyes=_eyes(sights)) for one, sights in by_verdict.items()]


def _eyes(sights: Sequence[str]) -> Words:
    both = set(sights) >= _RED_GREEN
    alone = [Term(EYES[one]) for one in sights if not (both and one in _RED_GREEN)]
    return listed([Term(_BOTH), *alone] if both else alone, "and")


def _plainly(verdict: str, apart: float, sight: str, rules: ContrastRules) -> Words:
    """What a verdict looks like, without its figures."""
    if verdict == "clear":
        said = reason("one is clearly lighter")
    elif verdict == "readable" and apart + AT_LIMIT >= rules.readable_delta_l:
        said = reason("one is somewhat lighter")
    elif verdict == "readable":
        said = reason("hue alone tells them apart")
    elif verdict == "quiet":
        said = reason("two colours in the hand, but the motif blurs")
    else:
        said = reason("too alike to tell apart")
    return said if sight == "daylight" else reason("{what} {eyes}", what=said, eyes=Term(EYES[sight]))


def _figures(delta_e: float, apart: float, doubt: float, sight: str, verdict: str, rules: ContrastRules) -> Words:
    """The working of a verdict: what two stitches differ by in one sight."""
    lightness: Words | Number = _lightness(apart, verdict, rules)
    if doubt > 0:
        lightness = reason("{apart} (give or take {doubt})", apart=Number(apart), doubt=Number(doubt))
    return reason(
        "lightness {apart} apart, CIEDE2000 {delta_e} {eyes}",
        apart=lightness,
        delta_e=Number(delta_e),
        eyes=Term(EYES[sight]),
    )


def _lightness(apart: float, verdict: str, rules: ContrastRules) -> Number:
    """A difference in L*; cut to a tenth where rounding would lift it to a limit that it does not reach."""
    limit = {"readable": rules.clear_delta_l, "quiet": rules.readable_delta_l}.get(verdict, math.inf)
    return Number(math.floor(10.0 * apart) / 10.0, 1) if apart < limit <= round(apart) else Number(apart)


def _reason(verdict: str, figures: Words, rules: ContrastRules) -> Words:
    clear = Number(rules.clear_delta_l, 1)
    if verdict == "clear":
        return reason("{figures}: stands out (clear from lightness {clear})", figures=figures, clear=clear)
    if verdict == "readable":
        return reason("{figures}: can be told apart (clear needs lightness {clear})", figures=figures, clear=clear)
    if verdict == "quiet":
        return reason("{figures}: two colours in the hand, but the motif blurs", figures=figures)
    return reason("{figures}: the two run into one", figures=figures)


def _guess(verdict: str, figures: Words, likely: Mapping[str, float]) -> Words:
    said = {
        "readable": "{figures}: most likely told apart ({readable}; clear {clear}); guessed from the words",
        "quiet": "{figures}: two colours, but the motif may blur (readable {readable}); guessed from the words",
        "merges": "{figures}: the two may run into one (two colours in the hand {quiet}); guessed from the words",
    }[verdict]
    return reason(said, figures=figures, **_chances(likely))


def _by_words(verdict: str, likely: Mapping[str, float]) -> Words:
    """How sure a verdict is that rests on words; beside it stands the verdict."""
    said = {
        "readable": "{readable}, guessed from the words",
        "quiet": "readable {readable}, guessed from the words",
        "merges": "two colours {quiet}, guessed from the words",
    }[verdict]
    return reason(said, **_chances(likely))


def _chances(likely: Mapping[str, float]) -> dict[str, Chance]:
    return {level: Chance(chance) for level, chance in likely.items()}


def vanishing_words(share: float) -> Words:
    """The share of stitches that cannot be told from those of the other colour: "3 of 10 stitches vanish"."""
    if share < 0.005:
        return reason("no stitches vanish")
    if share > 0.995:
        return reason("all stitches vanish")
    if share < 0.095:
        return reason("fewer than 1 of 10 stitches vanish")
    return reason("{n} of 10 stitches vanish", n=min(9, max(1, round(share * 10))))

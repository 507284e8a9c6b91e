"""Colours that were given by words: how two of them read is a chance, not a fact.

A word stands for a mean and a spread (`materials/colours/words`). What two yarns differ by is then a normal quantity
in L*, and another in a* and b*. CIEDE2000 parts neatly: its square is a part of L* alone and a part of a* and b* alone
(their weights aside, which are taken at the means). So for each way that the hues may turn out there is one lightness
apart from which the pair reads, and the chance of that is the normal distribution's. Few such ways are enough.

The reading that counts in ranking is what the pair reaches with the chance `guess_chance`, never more than it would be
at the means, and never more than `guess_most`, which is below *clear*: among pairs that read alike the one that is
known goes first, and she can make a guess sure with a photograph. So a verdict holds for eight in ten such pairs, words
that are far apart rank above those that may not be, and what bounds the reading of known colours bounds that of guessed
ones as it stands. (The mean of the reading would call a pair readable that is clear or nothing by the toss of a coin.)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.difference import lightness_and_tint
from matcher.materials.colours.vision import as_seen
from matcher.materials.rules import ContrastRules
from matcher.materials.uncertain import normal_chance, normal_z
from matcher.reasons.reason import Action, Words, counted, listed

Floats = npt.NDArray[np.float64]

# So many ways that a* and b* may turn out, each as likely. With the lightness worked out whole, eight give chances
# that are off by 0.02 (root mean square over random pairs of words), sixteen by 0.015 for twice the time.
_WAYS = 8
_LEAST_SD = 1e-6


def _spiral(number: int) -> Floats:
    """Points of two independent standard normal quantities, evenly likely: array (number, 2), each with its opposite.

    So the mean is 0, and the order of two colours does not matter; the variances are brought to 1.
    """
    place = np.arange(number // 2)
    radius = np.sqrt(-2.0 * np.log1p(-(place + 0.5) / len(place)))
    turn = place * np.pi * (np.sqrt(5.0) - 1.0) / 2.0
    points = np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)
    points = np.concatenate([points, -points])
    return np.asarray(points @ np.linalg.inv(np.linalg.cholesky(points.T @ points / number)).T)


_NODES = _spiral(_WAYS)


def tell_for_sure(names: Iterable[str]) -> Words:
    """Whose colour is guessed, and what to do about it; "" for nothing."""
    each = list(dict.fromkeys(names))
    if not each:
        return ""
    return counted(
        len(each),
        "the colour of {names} is guessed from the word: photograph it ({photo}), or compare it in daylight",
        "the colours of {names} are guessed from the words: photograph them ({photo}), or compare them in daylight",
        names=listed(each, "and"),
        photo=Action("photo"),
    )


def spreads_seen(labs: Floats, sds: Floats, matrices: Mapping[str, Floats], who: Sequence[str]) -> Floats:
    """Standard deviations of colours in each sight: as `as_seen` has the colours, array (1 + len(who), n, 3).

    Each axis errs by itself; what a step of one standard deviation both ways changes, on the root of the squares.
    """
    squared = np.zeros((1 + len(who), *labs.shape))
    for axis in range(3):
        step = np.zeros_like(labs)
        step[:, axis] = sds[:, axis]
        squared += ((as_seen(labs + step, matrices, who) - as_seen(labs - step, matrices, who)) / 2.0) ** 2
    return np.asarray(np.sqrt(squared))


def chances(
    ones: Floats, others: Floats, sds: Floats, other_sds: Floats, rules: ContrastRules
) -> tuple[Floats, Floats]:
    """The chance that two colours are *quiet* or better, and that they are *readable* or better, in one sight.

    Parameters
    ----------
    ones, others, sds, other_sds : arrays (..., 3) that go together: means and standard deviations in CIELAB.
    """
    ones, others, sds, other_sds = np.broadcast_arrays(ones, others, sds, other_sds)
    squared = sds**2 + other_sds**2
    doubt = np.sqrt(squared)
    # Of what the two differ by, each has moved by its part of the doubt.
    part = np.divide(sds**2, squared, out=np.zeros_like(squared), where=squared > 0)
    nodes = _NODES.reshape(-1, *(1,) * (ones.ndim - 1), 2)
    step = np.zeros((len(_NODES), *ones.shape))
    step[..., 1:] = nodes * doubt[..., 1:]
    _, tint, weight = lightness_and_tint(ones - part * step, others + (1.0 - part) * step)

    def from_lightness(delta_e: float) -> Floats:
        """The lightness apart from which the pair, with its hues, has this CIEDE2000."""
        return np.asarray(weight * np.sqrt(np.maximum(delta_e**2 - tint, 0.0)))

    helped = np.maximum(rules.readable_delta_e_min_delta_l, from_lightness(rules.readable_delta_e))
    reads = np.minimum(np.minimum(rules.readable_delta_l, helped), from_lightness(rules.hue_alone_delta_e))
    differs = np.minimum(reads, from_lightness(rules.quiet_delta_e))

    def over_all(limit: Floats) -> Floats:
        each = chance_apart(limit, ones[..., 0] - others[..., 0], doubt[..., 0])
        return np.asarray(np.minimum(each.mean(axis=0), 1.0))

    return over_all(differs), over_all(reads)


def chance_apart(limit: float | Floats, apart: Floats, sd: Floats) -> Floats:
    """The chance that the lightness of two colours differs by at least `limit`; arrays that go together."""
    sd = np.maximum(sd, _LEAST_SD)
    return np.asarray(normal_chance((apart - limit) / sd) + normal_chance((-apart - limit) / sd))


def surely_apart(apart: Floats, sd: Floats, rules: ContrastRules) -> Floats:
    """The difference in L* that a pair reaches with the chance that is asked, the way round it is expected."""
    return np.asarray(np.maximum(apart - normal_z(rules.guess_chance) * sd, 0.0))

"""The colours of one region: how many, which, with what shares, and how sure.

How many: a mixture of normal distributions in CIELAB, its number by the Bayesian information criterion (Schwarz 1978,
Annals of Statistics 6(2):461-464). Distributions that are one colour in more or less light are put together: the
brighter one, dimmed to the other's luminance, comes within `least_apart` CIEDE2000. What is left as one hue is parted
again only where its lightness has two peaks with a valley between them, which shadow alone does not make.

Which: a yarn is lighter than the mean of its ball, since every strand throws shadow on the next. Its colour is taken
as the `texture_quantile` of luminance, at the median chromaticity of its lighter half: shadow dims without changing
the tint, and the lighter half holds few gaps. A smooth patch (spread below `flat_spread`) has no shadow, there it is
the median.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from matcher.materials.colours.cielab import Lab, hex_from_lab, lab_from_linear, linear_from_lab
from matcher.materials.colours.colour import Colour, whole_percents
from matcher.materials.colours.difference import ciede2000, ciede2000_of_two
from matcher.photographs.mixture import best_mixture
from matcher.photographs.pixels import LUMINANCE, Flags, Floats, PhotoRules
from matcher.photographs.sheen import beneath, is_highlight

_MOST_SAMPLES = 1500  # for the mixture; shares and quantiles use all
_LEAST_VARIANCE = 0.5  # of a distribution along each axis of CIELAB: what the camera's rounding gives
_BINS = 32


@dataclass(frozen=True)
class Seen:
    """One colour of a region: CIELAB in daylight, share (0 to 1), standard error [CIEDE2000], and whether it shines."""

    lab: Lab
    share: float
    se: float
    shines: bool = False

    @property
    def code(self) -> str:
        """The nearest code such as "#6b7f4a"."""
        return hex_from_lab(self.lab)


def colours_of(
    grid: Floats, inside: Flags, sure_of_light: tuple[float, float], rules: PhotoRules, shaded: bool = False
) -> tuple[str, list[Seen]]:
    """Kind ("solid", "heather" or "variegated") and colours of a region, the largest share first.

    grid: corrected linear sRGB, (h, w, 3); inside: which of it is yarn, (h, w). sure_of_light: standard deviations of
    the reference's lightness L* and of its tint a*, b*. shaded: a shadow lies across, which is no sheen.
    """
    samples = np.clip(grid[inside], 1e-5, None)
    groups = _without_highlights(_groups(samples, rules), samples, inside, rules)
    shares = [float((groups == one).mean()) for one in range(int(groups.max()) + 1)]
    order = sorted(range(len(shares)), key=lambda one: -shares[one])
    seen = [_seen(samples[groups == one], shares[one], sure_of_light, rules, shaded) for one in order]
    if len(seen) == 1:
        return "solid", seen
    return ("heather" if _grain(_laid(groups, inside), shares) < rules.heather_grain else "variegated"), seen


def proposed(kind: str, seen: list[Seen]) -> Colour:
    """The colour of a lot as her sheet would hold it: shares in whole hundredths, which make 100 together."""
    whole = whole_percents([one.share for one in seen])
    return Colour(kind, tuple((one.lab, share / 100) for one, share in zip(seen, whole, strict=True)))


def _groups(samples: Floats, rules: PhotoRules) -> np.ndarray:
    """The colour that each sample (n, 3), linear sRGB, belongs to: array (n,) of 0, 1, ..."""
    labs = lab_from_linear(samples)
    if _one_colour(samples, labs, rules):
        return np.zeros(len(labs), dtype=int)
    part = labs[:: max(1, len(labs) // _MOST_SAMPLES)]
    mixture = best_mixture(part, int(rules.most_colours), _LEAST_VARIANCE)
    label = mixture.predict(labs)
    means = np.array(
        [
            samples[label == one].mean(axis=0) if (label == one).any() else [-1.0] * 3
            for one in range(mixture.n_components)
        ]
    )
    present = [one for one in range(len(means)) if means[one, 0] >= 0]
    hue = _same_in_shadow(means, present, np.bincount(label, minlength=len(means)), rules)
    group = hue[label]
    # A hue that has two peaks of lightness is two colours.
    for one in list(dict.fromkeys(group.tolist())):
        level = _valley(lab_from_linear(samples[group == one])[:, 0], rules)
        if level is not None:
            group[(group == one) & (labs[:, 0] < level)] = group.max() + 1
    group = _without_small(group, labs, rules)
    return np.unique(group, return_inverse=True)[1]


def _one_colour(samples: Floats, labs: Floats, rules: PhotoRules) -> bool:
    """Whether nearly all samples are one tint in more or less light, with one peak of lightness: no mixture then."""
    step = max(1, len(labs) // 500)
    part, light = labs[::step], samples[::step] @ LUMINANCE
    lighter = samples[::step][light >= np.median(light)]
    tint = np.median(lighter / (lighter @ LUMINANCE)[:, None], axis=0)
    shaded = lab_from_linear(tint * light[:, None])
    # Each sample has a partner of its own here; lightness is the same, so the difference is of tint alone.
    apart = np.hypot(*(part - shaded)[:, 1:].T) / (1 + 0.045 * np.hypot(*shaded[:, 1:].T))
    return (
        float(np.quantile(apart, 1 - rules.least_share / 2)) < rules.least_apart / 2
        and _valley(labs[:, 0], rules) is None
    )


def _same_in_shadow(means: Floats, present: list[int], counts: np.ndarray, rules: PhotoRules) -> np.ndarray:
    """For each distribution the one it belongs to: itself, or a brighter one of which it is the shaded part."""
    light = means @ LUMINANCE
    owner = np.arange(len(means))
    bright = sorted(present, key=lambda one: -light[one])
    for place, dark in enumerate(bright):
        gaps = []
        for other in bright[:place]:
            dimmed = means[other] * light[dark] / max(light[other], 1e-9)
            pair = [_lab(one) for one in lab_from_linear(np.stack([means[dark], dimmed]))]
            gaps.append((ciede2000_of_two(*pair), -int(counts[other]), other))
        if gaps and min(gaps)[0] < rules.least_apart:
            owner[dark] = owner[min(gaps)[2]]
    return owner


def _valley(lightness: Floats, rules: PhotoRules) -> float | None:
    """The L* that parts two peaks of lightness, or None where there is one peak."""
    if len(lightness) < 200:
        return None
    low, high = np.quantile(lightness, [0.005, 0.995])
    if high - low < 10:
        return None
    counts, edges = np.histogram(lightness, bins=_BINS, range=(low, high))
    kernel = np.exp(-0.5 * (np.arange(-4, 5) / 1.6) ** 2)
    smooth = np.convolve(counts, kernel / kernel.sum(), mode="same")
    best: tuple[float, int] | None = None
    for cut in range(3, _BINS - 3):
        left, right = float(smooth[:cut].max()), float(smooth[cut:].max())
        depth = float(smooth[cut]) / max(min(left, right), 1e-9)
        share = min(counts[:cut].sum(), counts[cut:].sum()) / counts.sum()
        if depth < rules.valley and share > rules.valley_share and (best is None or depth < best[0]):
            best = (depth, cut)
    return None if best is None else float(edges[best[1]] + edges[best[1] + 1]) / 2


def _without_small(group: np.ndarray, labs: Floats, rules: PhotoRules) -> np.ndarray:
    """Groups of too small a share, of too little difference, or too many, go to their nearest neighbour."""
    while True:
        names, counts = np.unique(group, return_counts=True)
        if len(names) == 1:
            return group
        means = np.array([np.median(labs[group == one], axis=0) for one in names])
        apart = ciede2000(means[:, None], means) + np.diag([math.inf] * len(names))
        small = int(counts.argmin())
        if counts[small] / len(group) >= rules.least_share:
            small = int(np.unravel_index(int(apart.argmin()), apart.shape)[0])
            if apart[small].min() >= rules.least_apart and len(names) <= rules.most_colours:
                return group
        group = np.where(group == names[small], names[int(apart[small].argmin())], group)


def _without_highlights(groups: np.ndarray, samples: Floats, inside: Flags, rules: PhotoRules) -> np.ndarray:
    """Groups that are highlights of another go to it: a little white on top, of a smaller share, fine as strands."""
    for bright in np.unique(groups):
        mine = groups == bright
        for other in np.unique(groups[~mine]):
            theirs = groups == other
            shares = [float(one.sum()) / float((mine | theirs).sum()) for one in (mine, theirs)]
            if shares[0] > rules.sheen_share or not is_highlight(
                np.median(samples[mine], axis=0), np.median(samples[theirs], axis=0), rules
            ):
                continue
            pair = np.where(mine, 0, np.where(theirs, 1, -1))
            if _grain(_laid(pair, inside), shares) < rules.sheen_grain:
                groups = np.where(mine, other, groups)
                break
    return np.unique(groups, return_inverse=True)[1]


def _laid(groups: np.ndarray, inside: Flags) -> np.ndarray:
    """The group of each cell (h, w), -1 outside."""
    where = np.full(inside.shape, -1)
    where[inside] = groups
    return where


def _seen(samples: Floats, share: float, sure_of_light: tuple[float, float], rules: PhotoRules, shaded: bool) -> Seen:
    light = samples @ LUMINANCE
    middle, level = np.quantile(light, [0.5, rules.texture_quantile])
    near, far = np.quantile(light, [0.16, 0.84])
    spread = (far - near) / (2 * max(middle, 1e-6))
    rough = min(max((spread - rules.flat_spread) / (rules.rough_spread - rules.flat_spread), 0.0), 1.0)
    wanted = middle + rough * (level - middle)
    lighter = samples[light >= middle]
    tint = np.median(lighter / (lighter @ LUMINANCE)[:, None], axis=0)
    linear = tint * wanted / float(tint @ LUMINANCE)
    own = beneath(samples, rules) if rough > 0 and not shaded else None
    veil = 0.0
    if own is not None:
        veil = float(ciede2000(lab_from_linear(own), lab_from_linear(linear))) / 2
        linear = own
    error = _standard_error(linear, rough, spread / math.sqrt(len(samples)), sure_of_light, rules)
    return Seen(_lab(lab_from_linear(linear)), share, math.hypot(error, veil), own is not None)


def _standard_error(
    linear: Floats, rough: float, sampling: float, sure_of_light: tuple[float, float], rules: PhotoRules
) -> float:
    """Root of the mean square error to be expected [CIEDE2000]: each source of error is worked through by itself.

    In luminance: lightness of the reference, light that falls unevenly, shadow, sampling. In tint: tint of the
    reference, and that cameras and lamps differ from the eye in daylight, the more the more colourful the yarn. The
    camera's own rounding.
    """
    lab = lab_from_linear(linear)
    reference_l, reference_tint = sure_of_light
    of_reference = 3 * reference_l / (rules.paper_l + 16)  # luminance goes with the third power of L* + 16
    relative = math.sqrt(of_reference**2 + rules.uneven_light_sd**2 + (rough * rules.texture_sd) ** 2 + sampling**2)
    lightness = [lab_from_linear(linear * math.exp(sign * relative)) for sign in (1, -1)]
    tints = []
    for axis in (1, 2):
        for sign in (1, -1):
            paper = np.array([rules.paper_l, 0.0, 0.0])
            paper[axis] += sign * reference_tint
            tints.append(
                lab_from_linear(linear * linear_from_lab(paper) / linear_from_lab(np.array([rules.paper_l, 0.0, 0.0])))
            )
    chroma = math.hypot(float(lab[1]), float(lab[2]))
    metamer = rules.metamer_sd * chroma / (1 + 0.045 * chroma)  # 0.045: the weight of chroma in CIEDE2000's S_C
    square = float((ciede2000(lab, np.array(lightness)) ** 2).mean())
    square += 2 * float((ciede2000(lab, np.array(tints)) ** 2).mean())
    return math.sqrt(square + metamer**2 + rules.camera_sd**2)


def _grain(where: np.ndarray, shares: list[float]) -> float:
    """How far a colour runs before another begins, as part of the region's width: small in a heather."""
    changes, pairs = 0.0, 0
    for a, b in ((where[:, 1:], where[:, :-1]), (where[1:], where[:-1])):
        both = (a >= 0) & (b >= 0)
        changes += float((a[both] != b[both]).sum())
        pairs += int(both.sum())
    expected = 1 - sum(share * share for share in shares)  # of cells that know nothing of each other
    run = expected * pairs / max(changes, 1.0)
    return run / math.sqrt(where.size)


def _lab(values: Floats) -> Lab:
    return float(values[0]), float(values[1]), float(values[2])

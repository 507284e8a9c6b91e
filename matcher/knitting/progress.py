"""In the middle of a piece: what each colour still has to give, and the chance that it lasts.

What a role takes is the predicted metres times exp(x). For metres of several structures

    x = tension + sum over structures of (share * bias of the structure) + own

with every term normal around 0, as a need has them before anything is knitted (`FabricConstants.scatter_sd`, `bias`,
`RoleNeed.own_sd`): the tension is the piece's, a structure's bias is the same in all its roles, and what is left is
the role's own, with its yarn's label. Weighing tells log(used / predicted) of what is knitted so far, by each role's
own mix of structures, so the brim says of the plain crown nearly all, and of the stranded band only the tension. The
posterior of the terms is normal and in closed form (Bishop 2006, equations 3.50 and 3.51, as in `calibration`).

The rest of a piece may differ from what is knitted by `rest_sd` more, and a scale errs: both are noise. All figures
are by the label's tex, in which its error falls out: grams on the scale are compared with grams.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from matcher.materials.estimate import Estimate
from matcher.materials.uncertain import log_sd

Floats = npt.NDArray[np.float64]

# As many draws leave a standard error of 0.0014 at most; always the same ones, so that a chance is a fixed number.
_DRAWS, _SEED = 1 << 17, 1
_LEAST_USED = 0.1  # of what was reckoned, which stands for nothing: that has no logarithm


@dataclass(frozen=True)
class Midway:
    """One colour in the middle of a piece.

    done, since, rest: predicted metres by structure, of what was knitted when it was last weighed, what was knitted
    since, and what is not knitted. own_sd: what is this role's alone, with its label's, on the logarithm. have: metres
    on hand when it was begun. left: metres that the weighing found; None where there was none, and all is since.
    """

    role: str
    done: Mapping[str, float]
    rest: Mapping[str, float]
    own_sd: float
    have: Estimate
    left: Estimate | None = None
    since: Mapping[str, float] = field(default_factory=dict)

    @property
    def ahead(self) -> dict[str, float]:
        """What was to be knitted from what is known to be on hand."""
        known = {} if self.left is not None else self.done
        names = dict.fromkeys((*known, *self.since, *self.rest))
        return {name: sum(one.get(name, 0.0) for one in (known, self.since, self.rest)) for name in names}

    @property
    def gone(self) -> dict[str, float]:
        """The part of it that is knitted."""
        return {name: metres - self.rest.get(name, 0.0) for name, metres in self.ahead.items()}

    @property
    def on_hand(self) -> Estimate:
        """What that is [m]."""
        return self.have if self.left is None else self.left


@dataclass(frozen=True)
class Lasting:
    """What one colour still needs [m], the median with its deviation on the logarithm; what is left [m]; the chance
    that it lasts, 0 to 1. far: what was used is so far from what was reckoned that a slip is likelier than a knitter;
    then nothing is learnt from it. ahead_m: what is to come out of what was on hand when that was last known [m];
    narrowed: the part that is left of the doubt of it, 1 where nothing is learnt."""

    role: str
    needs_m: float
    log_sd: float
    left_m: float
    sure: float
    far: bool = False
    ahead_m: float = 0.0
    narrowed: float = 1.0


@dataclass(frozen=True)
class Outlook:
    """Every colour, and the chance that all of them last."""

    roles: tuple[Lasting, ...]
    sure: float


@dataclass(frozen=True)
class Spread:
    """Standard deviations on the logarithm: of the tension, of each structure's bias, and of the rest of a piece.

    far: so many of them off, a weighing is taken for a slip.
    """

    tension: float
    bias: Mapping[str, float]
    rest: float
    far: float = math.inf


def outlook(colours: Sequence[Midway], spread: Spread) -> Outlook:
    """How it stands: terms are learnt from the colours that were weighed, and tell what all of them still need.

    A colour that was not weighed is judged by all that it takes against all that it had.
    """
    structures = sorted({name for one in colours for name in (*one.done, *one.ahead)})
    # The terms: tension, a bias for each structure, a role's own.
    prior = np.array([spread.tension, *(spread.bias[name] for name in structures), *(one.own_sd for one in colours)])
    mean, covariance = np.zeros(len(prior)), np.diag(prior**2)
    told = [at for at, one in enumerate(colours) if one.left is not None and sum(one.done.values()) > 0]
    far = {at for at in told if _is_far(at, colours[at], structures, prior, spread)}
    told = [at for at in told if at not in far]
    if told:
        design = np.array([_design(at, colours[at].done, structures, len(prior)) for at in told])
        seen = np.array([_log_ratio(colours[at]) for at in told])
        noise = np.diag([_noise(colours[at]) ** 2 + spread.rest**2 for at in told])
        gain = covariance @ design.T @ np.linalg.inv(design @ covariance @ design.T + noise)
        mean = gain @ seen
        covariance = covariance - gain @ design @ covariance
    wanted, spare, own, needs, left, to_come = [], [], [], [], [], []
    for at, one in enumerate(colours):
        ahead, have = one.ahead, one.on_hand
        wanted.append(_design(at, ahead or one.done, structures, len(prior)))
        spare.append(_margin(have.mean, sum(ahead.values())))
        errs = float(log_sd(np.array(have.mean), np.array(have.sd)))
        own.append(math.hypot(errs, 0.0 if one.left is None else spread.rest))
        needs.append(_likely(at, one.rest, structures, mean))
        to_come.append(_likely(at, ahead, structures, mean))
        left.append(max(0.0, have.mean - _likely(at, one.gone, structures, mean)))
    rows = np.array(wanted)
    shift, doubt = rows @ mean, rows @ covariance @ rows.T
    narrowed = np.sqrt(np.diag(doubt) / np.square(rows * prior).sum(axis=1))
    joint = doubt + np.diag(np.square(own))
    # Not by @, which would start threads for it.
    lasts = np.einsum("rt,td->rd", _root(joint), _draws(len(colours))) < (np.array(spare) - shift)[:, None]
    each = np.count_nonzero(lasts, axis=1) / _DRAWS
    return Outlook(
        tuple(
            Lasting(
                one.role,
                needs[at],
                math.sqrt(joint[at, at]),
                left[at],
                float(each[at]),
                at in far,
                to_come[at],
                float(narrowed[at]),
            )
            for at, one in enumerate(colours)
        ),
        float(np.count_nonzero(np.logical_and.reduce(lasts)) / _DRAWS),
    )


def _design(at: int, metres: Mapping[str, float], structures: Sequence[str], size: int) -> Floats:
    """What each term weighs in the logarithm of these metres of role number `at`: shares of the structures."""
    row, whole = np.zeros(size), sum(metres.values())
    row[0] = 1.0
    for place, name in enumerate(structures, start=1):
        row[place] = metres.get(name, 0.0) / whole if whole > 0 else 0.0
    row[1 + len(structures) + at] = 1.0
    return row


def _used(one: Midway) -> Estimate:
    assert one.left is not None
    return Estimate(one.have.mean - one.left.mean, math.hypot(one.have.sd, one.left.sd))


def _told_m(one: Midway) -> float:
    """Metres used, as a logarithm takes them: a scale that finds more than there was says that hardly any are."""
    used = _used(one)
    return max(used.mean, _LEAST_USED * sum(one.done.values()), used.sd)


def _log_ratio(one: Midway) -> float:
    """log(used / predicted)."""
    return math.log(_told_m(one) / sum(one.done.values()))


def _is_far(at: int, one: Midway, structures: Sequence[str], prior: Floats, spread: Spread) -> bool:
    design = _design(at, one.done, structures, len(prior))
    terms = float(np.square(design * prior).sum()) + spread.rest**2
    if abs(_log_ratio(one)) > spread.far * math.sqrt(terms + _noise(one) ** 2):
        return True
    # Of hardly anything used the scale tells no ratio: so little is judged in metres.
    used, predicted = _used(one), sum(one.done.values())
    return predicted - used.mean > spread.far * math.hypot(predicted * math.sqrt(terms), used.sd)


def _noise(one: Midway) -> float:
    return _used(one).sd / _told_m(one)


def _likely(at: int, metres: Mapping[str, float], structures: Sequence[str], mean: Floats) -> float:
    """What these predicted metres come to, by what is learnt; the median."""
    whole = sum(metres.values())
    return whole * math.exp(float(_design(at, metres, structures, len(mean)) @ mean)) if whole > 0 else 0.0


def _margin(have: float, need: float) -> float:
    """log(have / need); nothing to knit is always enough, and nothing on hand never."""
    if need <= 0:
        return math.inf
    return math.log(have / need) if have > 0 else -math.inf


def _root(covariance: Floats) -> Floats:
    """A matrix whose square is the covariance, also where a term has no spread at all."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.clip(values, 0.0, None)))


@lru_cache(maxsize=4)
def _draws(size: int) -> Floats:
    """So many standard normals in each draw, one below the other."""
    half = np.random.default_rng(_SEED).standard_normal((_DRAWS // 2, size)).T
    draws = np.ascontiguousarray(np.concatenate((half, -half), axis=1))
    draws.flags.writeable = False
    return draws

"""How this knitter knits: what finished pieces and swatches say of the figures, and needs that follow them.

The logarithm of used over predicted is, for one role of one finished piece,

    y = knitter + structure + entry + piece + error

with every term normal around 0: the knitter's own tension in all she does, what a structure does in her hands
and what the model of it gets wrong for everybody (her pieces cannot tell the two apart, so the model's bias widens
the structure's term and is learnt away with it), what the entry of the catalogue gets wrong, the yarn and the day of
this one piece (the same for all its roles, so that four roles of one hat are not four independent witnesses), and
what is this role's alone: its share of the fabric, the scale, the yarn's label. A swatch is a piece of one role and
no entry.

All variances are given, so the posterior is normal and in closed form: Bishop (2006), Pattern Recognition and
Machine Learning, section 3.3.1, equations 3.50 and 3.51, with the noise covariance of each piece in place of
1/beta; the hierarchical normal model is that of Gelman et al. (2013), Bayesian Data Analysis, third edition,
section 5.4. Both from memory; the tests work the updates out another way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import PLAIN, FabricConstants
from matcher.knitting.needs import RoleNeed, main_structure
from matcher.materials.uncertain import Estimate

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class CalibrationRules:
    """How the spread of a need is divided (catalog/standards/calibration.csv).

    knitter_share: of the variance that a swatch takes away, the part that is the knitter's in everything she
    knits; the rest is the single piece's. structure_share: of the variance that stays with a swatch, the
    structure's part; the rest is the entry's. far_sds: so many standard deviations off, a weighing is taken for
    a slip and left out. rest_sd: what the rest of a piece may differ from what is knitted, on the logarithm.
    """

    knitter_share: float
    structure_share: float
    far_sds: float
    rest_sd: float


@dataclass(frozen=True)
class Prior:
    """Standard deviations of the terms, on the logarithm (0.1 is about 10 %), before anything is finished.

    structure_sd: what a structure does in her hands; `bias` gives the model's own error in a structure, by its name.
    """

    knitter_sd: float
    structure_sd: float
    entry_sd: float
    piece_sd: float
    role_sd: float
    far_sds: float = math.inf
    bias: Callable[[str], float] = field(default=lambda _: 0.0, compare=False)

    def of_structure(self, structure: str) -> float:
        """Standard deviation of a structure's whole term: her hands and the model."""
        return math.hypot(self.structure_sd, self.bias(structure))

    def learnt_variance(self, structure: str) -> float:
        """Variance of all that history can narrow."""
        return self.knitter_sd**2 + self.of_structure(structure) ** 2 + self.entry_sd**2

    def shared_sd(self, structure: str = PLAIN) -> float:
        """What all roles of a new piece share: the spread of a need without a swatch and without a history."""
        return math.sqrt(self.learnt_variance(structure) + self.piece_sd**2)


def prior_of(rules: CalibrationRules, constants: FabricConstants) -> Prior:
    """The prior whose terms add up to the catalogue's spread of a need, without a swatch and with one.

    A swatch tells the knitter's tension in that yarn, so knitter and piece make up what it takes away:
    gauge_sd_no_swatch**2 - gauge_sd_swatch**2; structure and entry make up gauge_sd_swatch**2, the model's bias apart.
    """
    stays = constants.gauge_sd_swatch**2
    told = constants.gauge_sd_no_swatch**2 - stays
    return Prior(
        knitter_sd=math.sqrt(rules.knitter_share * told),
        structure_sd=math.sqrt(rules.structure_share * stays),
        entry_sd=math.sqrt((1.0 - rules.structure_share) * stays),
        piece_sd=math.sqrt((1.0 - rules.knitter_share) * told),
        role_sd=constants.share_sd,
        far_sds=rules.far_sds,
        bias=constants.bias,
    )


@dataclass(frozen=True)
class Observation:
    """One role of one finished piece, or one swatch (entry "").

    piece: what the roles of one piece have in common; log_ratio: log(used / predicted), predicted without any
    history; sd: of what is this role's alone, on the logarithm.
    """

    piece: str
    structure: str
    entry: str
    log_ratio: float
    sd: float


def is_far(one: Observation, prior: Prior) -> bool:
    """Whether it is so far from the figures that a slip is likelier than a knitter."""
    return abs(one.log_ratio) > prior.far_sds * math.hypot(prior.shared_sd(one.structure), one.sd)


@dataclass(frozen=True)
class Calibration:
    """What is known after `seen` observations: mean and covariance of knitter, structures and entries, on the log.

    The order of mean and covariance is the knitter, then `structures`, then `entries`. What was never seen has
    its prior.
    """

    prior: Prior
    structures: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()
    mean: tuple[float, ...] = (0.0,)
    covariance: tuple[tuple[float, ...], ...] = ()
    seen: int = 0

    @cached_property
    def _mean(self) -> Floats:
        return np.array(self.mean)

    @cached_property
    def _covariance(self) -> Floats:
        return np.array(self.covariance or ((self.prior.knitter_sd**2,),))

    @cached_property
    def _effects(self) -> dict[tuple[str, str, bool], Estimate]:
        return {}

    @property
    def knitter(self) -> Estimate:
        """Her tension in all she knits, as the logarithm of used over predicted."""
        return Estimate(float(self._mean[0]), math.sqrt(float(self._covariance[0, 0])))

    @property
    def terms(self) -> tuple[tuple[str, Estimate], ...]:
        """Each structure, then each entry, with what it adds to the knitter's own, on the logarithm."""
        spread = np.sqrt(np.diag(self._covariance))
        names = (*self.structures, *self.entries)
        return tuple((name, Estimate(self.mean[1 + at], float(spread[1 + at]))) for at, name in enumerate(names))

    def effect(self, structure: str, entry: str, *, knitter: bool = True) -> Estimate:
        """Logarithm of used over predicted to expect in a structure of an entry, less the single piece's own.

        knitter=False leaves her tension out, as where a swatch has told it.
        """
        asked = (structure, entry, knitter)
        if asked not in self._effects:
            self._effects[asked] = self._effect(*asked)
        return self._effects[asked]

    def _effect(self, structure: str, entry: str, knitter: bool) -> Estimate:
        row = np.zeros(len(self.mean))
        row[0] = 1.0 if knitter else 0.0
        unseen = 0.0
        if structure in self.structures:
            row[1 + self.structures.index(structure)] = 1.0
        else:
            unseen += self.prior.of_structure(structure) ** 2
        if entry in self.entries:
            row[1 + len(self.structures) + self.entries.index(entry)] = 1.0
        else:
            unseen += self.prior.entry_sd**2
        return Estimate(float(row @ self._mean), math.sqrt(float(row @ self._covariance @ row) + unseen))

    def shared(self, structure: str, entry: str) -> Estimate:
        """The same for a new piece: with the spread that all its roles will share."""
        effect = self.effect(structure, entry)
        return Estimate(effect.mean, math.hypot(effect.sd, self.prior.piece_sd))


def calibrate(finishes: Sequence[Observation], prior: Prior) -> Calibration:
    """Posterior of knitter, structures and entries after these observations; far ones are left out.

    Bishop (2006), 3.50 and 3.51: S = (S0^-1 + X' R^-1 X)^-1 and m = S X' R^-1 y. R is the covariance of what
    is not learnt: each role's own error, and the piece's, shared by its roles.
    """
    kept = [one for one in finishes if not is_far(one, prior)]
    if not kept:
        return Calibration(prior)
    structures = tuple(sorted({one.structure for one in kept}))
    entries = tuple(sorted({one.entry for one in kept if one.entry}))
    size = 1 + len(structures) + len(entries)
    own_sd = np.array(
        [prior.knitter_sd, *map(prior.of_structure, structures), *[prior.entry_sd] * len(entries)], dtype=float
    )
    # In units of the prior's standard deviations the prior is the identity, also for a term that is always 0.
    precision, pull = np.eye(size), np.zeros(size)
    pieces: dict[str, list[Observation]] = {}
    for one in kept:
        pieces.setdefault(one.piece, []).append(one)
    for together in pieces.values():
        design = np.zeros((len(together), size))
        design[:, 0] = 1.0
        for place, one in enumerate(together):
            design[place, 1 + structures.index(one.structure)] = 1.0
            if one.entry:
                design[place, 1 + len(structures) + entries.index(one.entry)] = 1.0
        design *= own_sd
        ratios = np.array([one.log_ratio for one in together])
        noise = np.diag([one.sd**2 for one in together]) + prior.piece_sd**2
        weighed = np.linalg.solve(noise, np.column_stack((design, ratios)))
        precision += design.T @ weighed[:, :-1]
        pull += design.T @ weighed[:, -1]
    covariance = np.linalg.inv(precision)
    mean = own_sd * (covariance @ pull)
    covariance = own_sd[:, None] * covariance * own_sd
    rows = tuple(tuple(float(cell) for cell in row) for row in covariance)
    return Calibration(prior, structures, entries, tuple(float(one) for one in mean), rows, len(kept))


def calibrated(
    needs: tuple[RoleNeed, ...],
    accessory: Accessory | str,
    calibration: Calibration | None,
    *,
    from_swatch: bool = False,
) -> tuple[RoleNeed, ...]:
    """Needs as this knitter's history has them; without a history the very same needs.

    The mean is multiplied by exp(m), and the working with it, since it is her loop that is longer or shorter.
    The part of the shared spread that history narrows is replaced by the posterior's; what is shared stays
    shared. accessory: the entry or its key. from_swatch: the gauge is from a swatch with rows, which has told
    her tension already.
    """
    if calibration is None or not calibration.seen:
        return needs
    key = accessory if isinstance(accessory, str) else accessory.key
    found = []
    for need in needs:
        structure = main_structure(need.working)
        factor = factor_of(structure, key, need.shared_sd, calibration, from_swatch=from_swatch)
        found.append(_multiplied(need, factor.mean, factor.sd / factor.mean))
    return tuple(found)


def factor_of(structure: str, entry: str, before_sd: float, calibration: Calibration, *, from_swatch: bool) -> Estimate:
    """What a need is to be multiplied by, and its standard deviation, which takes the place of the one before.

    before_sd: relative standard deviation of the need, of which history narrows its part. entry: "" for a piece that
    is in no catalogue.
    """
    prior = calibration.prior
    learnt = prior.learnt_variance(structure) - (prior.knitter_sd**2 if from_swatch else 0.0)
    effect = calibration.effect(structure, entry, knitter=not from_swatch)
    factor = math.exp(effect.mean)
    return Estimate(factor, factor * math.sqrt(max(before_sd**2 - learnt, 0.0) + effect.sd**2))


def _multiplied(need: RoleNeed, factor: float, shared_sd: float) -> RoleNeed:
    working = tuple(
        line._replace(loop_cm=line.loop_cm * factor, float_cm=line.float_cm * factor, length_m=line.length_m * factor)
        for line in need.working
    )
    length_m = need.length_m * factor
    return replace(
        need,
        length_m=length_m,
        shared_sd_m=shared_sd * length_m,
        own_sd_m=need.own_sd_m * factor,
        float_m=need.float_m * factor,
        edge_m=need.edge_m * factor,
        tail_m=need.tail_m * factor,
        working=working,
    )

"""One pool beside the yarn that it is to stand in for: what is seen, what it is made of, how it washes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from matcher.matching.instead.rules import Rules
from matcher.matching.pools import Pool, likeness
from matcher.matching.recolour.colouring import lightness_of
from matcher.matching.together import Handling, beside, factor, handling_of, on_skin
from matcher.materials.colours.apart import Shades
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.materials.yarn import Yarn
from matcher.reasons.reason import Words


@dataclass(frozen=True)
class Asked:
    """The yarn that something is to stand in for.

    called: what to call it. colour: None where none is told; any_colour: whether it counts for nothing. need_m: metres
    of it that are asked for [m]; all_free: whether those are all that is free of it. lot: None for a yarn that is only
    described.
    """

    called: Words
    yarn: Yarn
    colour: Colour | None
    need_m: float
    lot: Lot | None = None
    any_colour: bool = False
    all_free: bool = False


@dataclass(frozen=True)
class Beside:
    """A pool beside the asked yarn.

    delta_e, delta_l: of the stitches that differ most [CIEDE2000], and how much lighter it is [L*]; 0 where no
    colour is told. look, fibre, care, kin: parts of the score, 0 to 1. one_yarn: whether both are of one yarn.
    """

    pool: Pool
    delta_e: float
    delta_l: float
    look: float
    fibre: float
    care: float
    kin: float
    one_yarn: bool

    @property
    def name(self) -> str:
        return self.pool.name

    @property
    def tex(self) -> float:
        return self.pool.yarn.tex.mean


def besides(asked: Asked, pools: Sequence[Pool], rules: Rules) -> tuple[Beside, ...]:
    """Each pool beside the asked yarn, in the order given."""
    limit, own = rules.instead.most_delta_e, handling_of(asked.yarn, rules.together)
    found = []
    for pool, apart in zip(pools, _apart(asked.colour, pools), strict=True):
        lighter = 0.0 if asked.colour is None else lightness_of(pool.colour) - lightness_of(asked.colour)
        kin = _kin(asked, pool, rules)
        found.append(
            Beside(
                pool,
                apart,
                lighter,
                1.0 if asked.any_colour else max(0.0, 1.0 - apart / limit),
                _fibre(own, handling_of(pool.yarn, rules.together), rules),
                _care(asked.yarn.wash, pool.yarn.wash, rules),
                kin,
                kin > 0,
            )
        )
    return tuple(found)


def stitches_apart(colours: Sequence[Colour]) -> Shades:
    """Colours as single stitches show them, where a heather is its mean."""
    return Shades([Colour(one.kind, one.stitches()) for one in colours])


def _apart(colour: Colour | None, pools: Sequence[Pool]) -> list[float]:
    """CIEDE2000 of the stitches that differ most, since a fleck shows."""
    if colour is None or not pools:
        return [0.0] * len(pools)
    others = np.arange(1, len(pools) + 1)
    shades = stitches_apart([colour, *(pool.colour for pool in pools)])
    found: list[float] = shades.apart(np.zeros_like(others), others, "farthest").tolist()
    return found


def _fibre(asked: Handling, other: Handling, rules: Rules) -> float:
    """The factor of all that differs in how they felt, give, are hairy, or may lie on the skin."""
    verdicts = beside(asked, other)
    if asked.known:
        verdicts += (on_skin(other, True),)
    return factor(verdicts, rules.together)


def _care(asked: str, other: str, rules: Rules) -> float:
    """Whether what could be washed before still can be."""
    if asked != "machine" or other == "machine":
        return 1.0
    return rules.instead.care_unknown if other == "unknown" else 0.0


def _kin(asked: Asked, pool: Pool, rules: Rules) -> float:
    if asked.lot is not None and likeness(asked.lot) == likeness(pool.lots[0]):
        return 1.0
    one = fold(asked.yarn.name)
    return rules.together.one_yarn_kindred if one and one == fold(pool.yarn.name) else 0.0

"""Small questions for recolour and the exchanges: roles that touch, and pools that make trouble."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from random import Random

from hypothesis import strategies as st

from matcher.knitting.fabric import Gauge, tex_range
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked
from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import Blend
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import load_catalogue

WHOLE = load_catalogue()
GAUGE = Gauge.from_stitches(22, WHOLE.fabric)
ROLES = ("main", "contrast 1", "contrast 2", "contrast 3", "contrast 4")
Question = tuple[Asked, list[Pool], tuple[str, ...] | None]

_LOW, _HIGH = tex_range(GAUGE, WHOLE.fabric)
_FIBRES = {fibre.name: fibre for fibre in WHOLE.fibres}
_BLENDS = (Blend(), *(Blend(((_FIBRES[name], 1.0),)) for name in ("wool", "superwash wool", "cotton", "mohair")))
_COLOURS = (
    *(
        Colour("solid", (((light, a, b), 1.0),))
        for light, a, b in ((12, 3, -9), (40, 40, 20), (43, -30, 8), (93, 0, 9))
    ),
    *(Colour("solid", (((light, 0.4, -1.0), 1.0),)) for light in (21.0, 36.3, 36.3, 57.1, 71.7)),
    Colour("variegated", (((25.0, 20.0, 5.0), 0.5), ((60.2, 5.0, 5.0), 0.45), ((88.0, 0.0, 3.0), 0.05))),
    Colour("variegated", (((30.0, 0.0, 0.0), 0.5), ((80.0, 0.0, 0.0), 0.5))),
    Colour("heather", (((30.0, 0.0, 0.0), 0.6), ((80.0, 0.0, 0.0), 0.4))),
)


def grey(light: float) -> Colour:
    """One colour of this L*."""
    return Colour("solid", (((float(light), 0.0, 0.0), 1.0),))


def pool(
    name: str,
    colour: Colour,
    metres: float,
    tex: float | None = None,
    blend: Blend = _BLENDS[1],
    ball_g: float | None = None,
) -> Pool:
    """A pool of one lot with so many metres free, in a yarn that suits the gauge if none is given."""
    thick = (_LOW + _HIGH) / 2 if tex is None else tex
    yarn = Yarn("", Estimate(thick, 0.03 * thick), "ball band", 4, blend, "hand")
    length = Estimate(metres, 0.04 * metres)
    mass_g = metres * thick / 1000
    lot = Lot(name, "", yarn, colour, "", mass_g, 1, ball_g, name, "yes", None, "", "", "", length)
    return Pool((lot,), length, length, 0.0)


def need(role: str, metres: float) -> RoleNeed:
    """A need with a tenth of it as shared spread."""
    return RoleNeed(role, metres, 0.1 * metres, 0.05 * metres, int(50 * metres), 0.0, 0.0, 0.0, False, ())


def asked(roles: int, metres: float, sides: Mapping[tuple[int, int], int]) -> Asked:
    """Roles that all take the same, and the sides that they share by their places."""
    edges = {frozenset((ROLES[a], ROLES[b])): shared for (a, b), shared in sides.items()}
    return Asked(tuple(need(role, metres) for role in ROLES[:roles]), edges, GAUGE)


@st.composite
def questions(draw: st.DrawFn, most_pools: int, most_roles: int) -> Question:
    """An accessory of a few roles, pools of like colours and of all lengths, and a wanted order or none."""
    roles = draw(st.integers(1, most_roles))
    sides = {pair: draw(st.sampled_from([0, 0, 7, 40, 400])) for pair in combinations(range(roles), 2)}
    edges = {frozenset((ROLES[a], ROLES[b])): shared for (a, b), shared in sides.items() if shared}
    needs = tuple(need(role, draw(st.sampled_from([15.0, 40.0, 62.5, 110.0]))) for role in ROLES[:roles])
    names = draw(st.permutations([f"lot {place}" for place in range(most_pools)]))
    pools = [
        pool(
            name,
            draw(st.sampled_from(_COLOURS)),
            draw(st.sampled_from([0.0, 14.0, 41.0, 50.0, 70.0, 90.0, 130.0, 900.0])),
            draw(st.sampled_from([0.97, 1.0, 1.0, 1.1, 1.27, 1.4, 1.5])) * _LOW,
            draw(st.sampled_from(_BLENDS)),
            draw(st.sampled_from([None, 25.0, 50.0])),
        )
        for name in names[: draw(st.integers(0, most_pools))]
    ]
    wanted = draw(st.one_of(st.none(), st.permutations(ROLES[:roles])))
    return Asked(needs, edges, GAUGE), pools, None if wanted is None else tuple(wanted)


def drawn(seed: int, pools: int, roles: int) -> Question:
    """One question of the largest size, all roles touching."""
    random = Random(seed)
    sides = {pair: random.choice([5, 40, 90, 300]) for pair in combinations(range(roles), 2)}
    many = [
        pool(
            f"lot {place}",
            random.choice(_COLOURS),
            random.choice([70.0, 90.0, 130.0, 900.0]),
            random.uniform(1.0, 1.4) * _LOW,
            random.choice(_BLENDS[1:3]),
        )
        for place in range(pools)
    ]
    return asked(roles, 55.0, sides), many, tuple(random.sample(ROLES[:roles], roles))

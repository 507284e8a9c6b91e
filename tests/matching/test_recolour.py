"""Recolour finds what trying all permutations finds; neighbours count by the sides that they share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import combinations, permutations

import numpy as np
import pytest
import roled
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.knitting.fabric import tex_range
from matcher.knitting.needs import RoleNeed
from matcher.matching.contrast import judge
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, lightness_order
from matcher.matching.recolour.recolouring import Recolouring, recolour
from matcher.matching.together import beside, handling_of, thickness
from matcher.materials.colours.colour import Colour
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn

WHOLE, GAUGE, ROLES = roled.WHOLE, roled.GAUGE, roled.ROLES


def found(asked: Asked, pools: Sequence[Pool], wanted: tuple[str, ...] | None, top: int) -> tuple[Recolouring, ...]:
    return recolour(asked, pools, wanted, WHOLE, top)


# What follows is written apart from the program, from the definitions alone.


def mean_lightness(colour: Colour) -> float:
    return math.fsum(share * lab[0] for lab, share in colour.stitches())


_Z = np.arange(-6.6, 6.63, 0.06)
_WEIGHT = np.exp(-_Z * _Z / 2)


@lru_cache(maxsize=4096)
def plain_chance(length_m: float, shared: float, own_m: float, free: Estimate) -> np.ndarray:
    """Chance that one pool suffices for each value of the shared tension."""
    on_hand = -math.log(max(1 - 1.645 * free.sd / free.mean, 0.01)) / 1.645
    own = max(math.hypot(on_hand, own_m / length_m), 0.04 * shared / length_m, 1e-9)
    spare = math.log(free.mean / length_m)
    return np.array([0.5 * math.erfc(-(spare - z * shared / length_m) / own / math.sqrt(2)) for z in _Z.tolist()])


def plain_sure(asked: Asked, pools: Sequence[Pool]) -> float:
    """The integral over the shared tension of the product of the pools' chances."""
    together = _WEIGHT
    for need, pool in zip(asked.needs, pools, strict=True):
        together = together * plain_chance(need.length_m, need.shared_sd_m, need.own_sd_m, pool.free)
    return float(together.sum() / _WEIGHT.sum())


@lru_cache(maxsize=4096)
def plain_reading(a: Colour, b: Colour) -> float:
    return judge(a, b, WHOLE.vision, WHOLE.contrast, "quiet").reading


@lru_cache(maxsize=4096)
def plain_together(a: Yarn, b: Yarn) -> float:
    """What warnings leave, 0 when a rule blocks."""
    rules = (
        thickness(a.tex.mean, b.tex.mean, WHOLE.together),
        *beside(handling_of(a, WHOLE.together), handling_of(b, WHOLE.together)),
    )
    if any(rule.verdict == "blocks" for rule in rules):
        return 0.0
    return WHOLE.together.warn_factor ** sum(rule.verdict == "warns" for rule in rules)


def plain_score(asked: Asked, pools: Sequence[Pool], wanted: tuple[str, ...] | None) -> float | None:
    """Score of one permutation; None where it is not allowed."""
    low, high = tex_range(asked.gauge, WHOLE.fabric)
    for need, pool in zip(asked.needs, pools, strict=True):
        if pool.free.mean < need.length_m or not low <= pool.yarn.tex.mean <= high:
            return None
    together = min((plain_together(a.yarn, b.yarn) for a, b in combinations(pools, 2)), default=1.0)
    if together == 0.0:
        return None
    at = dict(zip((need.role for need in asked.needs), pools, strict=True))
    readings, sides, in_order, ordered = [], [], 0, 0
    for pair, shared in asked.edges.items():
        a, b = sorted(pair)
        readings.append(plain_reading(at[a].colour, at[b].colour))
        sides.append(shared)
        if wanted is not None and {a, b} <= set(wanted):
            dark, light = sorted((a, b), key=wanted.index)
            ordered += shared
            in_order += shared * (mean_lightness(at[light].colour) > mean_lightness(at[dark].colour) + 1e-9)
    order = in_order / ordered if ordered else 1.0
    contrast = 1.0
    if sides:
        mean = sum(r * s for r, s in zip(readings, sides, strict=True)) / sum(sides)
        contrast = (min(readings) + mean) / 2
    return together * (order + contrast + plain_sure(asked, pools)) / 3


def plainly(asked: Asked, pools: Sequence[Pool], wanted: tuple[str, ...] | None) -> list[tuple[float, tuple[str, ...]]]:
    """Every permutation that is allowed with its score, best first, equals by name."""
    scored = []
    for chosen in permutations(sorted(pools, key=lambda pool: pool.name), len(asked.needs)):
        score = plain_score(asked, chosen, wanted)
        if score is not None:
            scored.append((-round(score, 9), tuple(pool.name for pool in chosen)))
    return [(-score, names) for score, names in sorted(scored)]


# The program reads the normal distribution from a table, within 4e-8 (see `normal_chance`).
NEAR = 1e-6


def agree(asked: Asked, pools: Sequence[Pool], wanted: tuple[str, ...] | None, top: int) -> int:
    """Check the search against all permutations; returns how many were compared."""
    got, all_of_them = found(asked, pools, wanted, top), plainly(asked, pools, wanted)
    assert len(got) == min(top, len(all_of_them))
    assert [one.score for one in got] == pytest.approx([score for score, _ in all_of_them[:top]], abs=NEAR)
    exact = {names: score for score, names in all_of_them}
    names = [tuple(pool.name for pool in one.pools) for one in got]
    assert len(set(names)) == len(names)
    for one, its in zip(got, names, strict=True):
        assert exact[its] == pytest.approx(one.score, abs=NEAR)
        assert one.score == pytest.approx(one.together * sum(one.parts.values()) / 3, abs=1e-12)
        assert list(one.parts) == ["lightness order", "contrast", "sure"]
    order = [(-round(one.score, 9), its) for one, its in zip(got, names, strict=True)]
    assert order == sorted(order)
    return len(got)


@settings(max_examples=60, deadline=None)
@given(roled.questions(most_pools=6, most_roles=4), st.integers(1, 12))
def test_recolour_is_exact_against_all_permutations(question: roled.Question, top: int) -> None:
    agree(*question, top)


@pytest.mark.parametrize("seed", range(2))
def test_recolour_is_exact_for_eight_pools_and_five_roles(seed: int) -> None:
    asked, pools, wanted = roled.drawn(seed, pools=8, roles=5)
    assert agree(asked, pools, wanted, 10) > 0


def test_equals_come_in_the_order_of_their_names() -> None:
    pools = [roled.pool(name, roled.grey(50), 500.0) for name in ("d", "b", "c", "a")]
    asked = roled.asked(2, metres=20.0, sides={(0, 1): 5})
    names = [tuple(pool.name for pool in one.pools) for one in found(asked, pools, None, 5)]
    assert names == [("a", "b"), ("a", "c"), ("a", "d"), ("b", "a"), ("b", "c")]


def test_of_many_equals_the_first_by_name_are_found() -> None:
    """Sixteen pools that read alike and suffice for certain: 524,160 equal ways to fill five roles."""
    pools = [roled.pool(f"{place:02d}", roled.grey(50), 5000.0) for place in range(16)]
    asked = roled.asked(5, metres=20.0, sides=dict.fromkeys(combinations(range(5), 2), 5))
    names = [tuple(pool.name for pool in one.pools) for one in found(asked, pools, None, 3)]
    assert names == [("00", "01", "02", "03", last) for last in ("04", "05", "06")]


def test_a_pool_that_is_too_short_fills_no_role() -> None:
    pools = [roled.pool("long", roled.grey(20), 100.0), roled.pool("short", roled.grey(90), 19.0)]
    assert found(roled.asked(2, metres=20.0, sides={(0, 1): 5}), pools, None, 5) == ()


def test_blocked_yarns_never_come_together_and_warnings_lower() -> None:
    low, high = tex_range(GAUGE, WHOLE.fabric)
    dark, light = roled.grey(20), roled.grey(90)
    thin, near, thick = low * 1.001, low * 1.1, high * 0.999
    asked = roled.asked(2, metres=20.0, sides={(0, 1): 5})
    assert thick / thin < WHOLE.together.tex_ratio_blocks  # the gauge's window is narrower than that
    (alike, *_) = found(asked, [roled.pool("a", dark, 900.0, thin), roled.pool("b", light, 900.0, near)], None, 1)
    apart = found(asked, [roled.pool("a", dark, 900.0, thin), roled.pool("b", light, 900.0, thick)], None, 1)
    assert alike.score == pytest.approx(1.0, abs=1e-6)
    assert apart[0].score == pytest.approx(WHOLE.together.warn_factor * alike.score, abs=1e-6)
    strict = replace(WHOLE.together, tex_ratio_blocks=1.3)
    pools = apart[0].pools
    assert recolour(asked, pools, None, replace(WHOLE, together=strict)) == ()


def test_near_colours_that_never_touch_cost_nothing() -> None:
    """main touches both contrasts; these, almost of one colour, touch each other or do not."""
    pools = [roled.pool("cream", roled.grey(92), 900.0)]
    pools += [roled.pool(name, roled.grey(light), 900.0) for name, light in (("ink", 20), ("soot", 22))]
    apart = roled.asked(3, metres=20.0, sides={(0, 1): 300, (0, 2): 300})
    touch = roled.asked(3, metres=20.0, sides={(0, 1): 300, (0, 2): 300, (1, 2): 60})
    best = found(apart, pools, None, 1)[0]
    assert best.parts["contrast"] == pytest.approx(1.0)
    assert best.pools[0].name == "cream"
    worse = next(one for one in found(touch, pools, None, 6) if one.pools[0].name == "cream")
    assert worse.parts["contrast"] < 0.6
    assert worse.least == (ROLES[1], ROLES[2])


def test_few_shared_sides_weigh_less_than_many() -> None:
    pools = [roled.pool("a", roled.grey(20), 900.0), roled.pool("b", roled.grey(33), 900.0)]
    pools.append(roled.pool("c", roled.grey(90), 900.0))
    asked = roled.asked(3, metres=20.0, sides={(0, 1): 10, (1, 2): 90, (0, 2): 40})
    best = found(asked, pools, None, 1)[0]
    weak = {pool.name for pool, role in zip(best.pools, asked.roles, strict=True) if role in (ROLES[0], ROLES[1])}
    assert weak == {"a", "b"}  # the two dark ones where they meet least


def test_wanted_order_runs_from_dark_to_light() -> None:
    colours = {"main": roled.grey(70), "contrast 1": roled.grey(20), "contrast 2": roled.grey(95)}
    assert lightness_order(colours) == ("contrast 1", "main", "contrast 2")
    pools = [roled.pool(name, roled.grey(light), 900.0) for name, light in (("x", 15), ("y", 55), ("z", 95))]
    asked = roled.asked(3, metres=20.0, sides={(0, 1): 50, (0, 2): 50, (1, 2): 50})
    best = found(asked, pools, lightness_order(colours), 1)[0]
    assert [pool.name for pool in best.pools] == ["y", "x", "z"]
    assert best.parts["lightness order"] == 1.0


def test_one_role_and_no_role() -> None:
    pools = [roled.pool("a", roled.grey(20), 30.0), roled.pool("b", roled.grey(33), 90.0)]
    one = found(roled.asked(1, metres=20.0, sides={}), pools, None, 5)
    assert [recolouring.pools[0].name for recolouring in one] == ["b", "a"]
    assert one[0].least == ("", "")
    assert found(Asked((), {}, GAUGE), pools, None, 5) == ()


def test_an_unsuitable_thickness_is_left_out() -> None:
    low, high = tex_range(GAUGE, WHOLE.fabric)
    pools = [
        roled.pool("thin", roled.grey(20), 900.0, low * 0.99),
        roled.pool("thick", roled.grey(20), 900.0, high * 1.01),
    ]
    assert found(roled.asked(1, metres=20.0, sides={}), pools, None, 5) == ()


def test_spread_of_a_need_tells_in_the_chance() -> None:
    need = RoleNeed("main", 100.0, 15.0, 2.0, 4000, 0.0, 0.0, 0.0, False, ())
    pool = roled.pool("a", roled.grey(20), 100.0)
    got = found(Asked((need,), {}, GAUGE), [replace(pool, free=Estimate(100.0, 3.0))], None, 1)[0]
    assert got.sure == pytest.approx(0.5, abs=1e-6)

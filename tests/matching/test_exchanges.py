"""What can be done when a colour is short: every exchange does what it says."""

from __future__ import annotations

from dataclasses import replace

import pytest
import roled
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, merged, order_kept, sure_of
from matcher.matching.recolour.exchanges import KINDS, Exchange, exchanges, short_roles
from matcher.matching.recolour.otherwise import Alternative

WHOLE = roled.WHOLE
Chosen = dict[str, Pool | None]


def offered(
    asked: Asked,
    chosen: Chosen,
    pools: list[Pool],
    others: tuple[Alternative, ...] = (),
    wanted: tuple[str, ...] | None = None,
    sure: float = 0.95,
) -> tuple[Exchange, ...]:
    return exchanges(asked, chosen, pools, others, wanted, WHOLE, sure)


@settings(max_examples=50, deadline=None)
@given(
    roled.questions(most_pools=6, most_roles=4), st.sampled_from([0.5, 0.9, 0.99]), st.randoms(use_true_random=False)
)
def test_every_exchange_keeps_its_word(question: roled.Question, sure: float, random: object) -> None:
    asked, pools, wanted = question
    some = [*random.sample(pools, len(pools)), *[None] * len(asked.needs)]
    chosen = dict(zip(asked.roles, some, strict=False))
    found = offered(asked, chosen, pools, (), wanted, sure)
    assert bool(short_roles(asked, chosen, sure)) or not found
    assert list(found) == sorted(found, key=lambda one: (-round(one.reading, 9), -round(one.sure, 9)))
    by_name = {pool.name: pool for pool in pools}
    for one in found:
        assert one.kind in KINDS
        assert one.sure >= sure
        assert 0.0 <= one.reading <= 1.0
        assert (one.buy_g > 0) == (one.kind == "buy")
        at = {role: by_name[name] for role, name in one.roles.items() if name}
        if one.kind == "other yarn":
            assert len(set(one.roles.values())) == len(asked.roles)
            assert sure_of(asked.needs, [at[role] for role in asked.roles]) == pytest.approx(one.sure, abs=1e-9)
            for role, pool in chosen.items():
                assert (role in short_roles(asked, chosen, sure)) == (at[role] is not pool)
        if one.order_kept and one.kind != "roles merged":
            colours = {role: pool.colour for role, pool in at.items()}
            assert wanted is None or order_kept(asked, colours, wanted) == pytest.approx(1.0)


def _short_hat() -> tuple[Asked, Chosen]:
    """Three roles that all touch; contrast 2 is a metre or so short of sure."""
    asked = roled.asked(3, metres=50.0, sides={(0, 1): 300, (0, 2): 200, (1, 2): 40})
    return asked, {
        "main": roled.pool("cream", roled.grey(92), 900.0),
        "contrast 1": roled.pool("ink", roled.grey(18), 900.0),
        "contrast 2": roled.pool("moss", roled.grey(50), 52.0, ball_g=50.0),
    }


def test_nothing_is_offered_where_nothing_is_short() -> None:
    asked, chosen = _short_hat()
    chosen["contrast 2"] = roled.pool("moss", roled.grey(50), 900.0)
    assert offered(asked, chosen, [roled.pool("fern", roled.grey(48), 900.0)]) == ()


def test_another_yarn_keeps_the_order_of_lightness() -> None:
    asked, chosen = _short_hat()
    pools = [roled.pool(name, roled.grey(light), 300.0) for name, light in (("fern", 53), ("soot", 12), ("snow", 97))]
    pools.append(roled.pool("scrap", roled.grey(55), 51.0))
    others = [one for one in offered(asked, chosen, pools) if one.kind == "other yarn"]
    assert [one.roles["contrast 2"] for one in others] == ["fern"]  # lighter than ink, darker than cream, and enough
    assert str(others[0].words) == "knit contrast 2 in fern instead"
    assert others[0].order_kept


def test_whole_balls_are_bought_where_the_ball_is_known() -> None:
    asked, chosen = _short_hat()
    (bought,) = (one for one in offered(asked, chosen, []) if one.kind == "buy")
    assert bought.buy_g == 50.0
    assert str(bought.words).startswith("buy 1 ball of 50 g more for contrast 2")
    chosen["contrast 2"] = roled.pool("moss", roled.grey(50), 52.0)
    (bought,) = (one for one in offered(asked, chosen, []) if one.kind == "buy")
    assert bought.buy_g == int(bought.buy_g) < 10
    chosen["contrast 2"] = None
    (bought,) = (one for one in offered(asked, chosen, []) if one.kind == "buy")
    assert "in a colour that shows" in str(bought.words)
    assert bought.roles["contrast 2"] == ""


def test_merging_adds_needs_and_edges_and_loses_the_sides_between() -> None:
    asked, chosen = _short_hat()
    joined = merged(asked, {"contrast 2": "contrast 1"})
    assert {need.role: need.length_m for need in joined.needs} == {"main": 50.0, "contrast 1": 100.0}
    assert joined.edges == {frozenset(("main", "contrast 1")): 500}
    (one,) = (one for one in offered(asked, chosen, []) if one.kind == "roles merged")
    # Into ink 500 of 540 sides are left and read clearly; into cream only 340 would be.
    assert one.roles == {"main": "cream", "contrast 1": "ink", "contrast 2": "ink"}
    assert one.reading == pytest.approx(500 / 540)


def test_an_alternative_is_offered_only_where_it_suffices() -> None:
    asked, chosen = _short_hat()
    smaller = Alternative("smaller size", "knit the child size", roled.asked(3, 38.0, {(0, 1): 300}))
    useless = Alternative("smaller size", "knit it hardly smaller", roled.asked(3, 49.9, {(0, 1): 300}))
    fewer = Alternative("rows dropped", "leave out the top rows", roled.asked(3, 40.0, {(0, 1): 300}), 0.6)
    found = {str(one.words): one for one in offered(asked, chosen, [], (smaller, useless, fewer))}
    assert "knit it hardly smaller" not in found
    assert found["knit the child size"].reading == pytest.approx(1.0)
    assert found["leave out the top rows"].reading == pytest.approx(0.6)


def test_a_role_besides_is_given_a_yarn_of_the_bin() -> None:
    """A rib of its own: what the pools chosen lack is looked for in the bin, and none of them is given twice."""
    asked, chosen = _short_hat()
    whole = roled.asked(4, 40.0, {(0, 1): 300, (0, 2): 200, (1, 2): 40, (0, 3): 60})
    needs = tuple(replace(need, role="rib" if need.role == "contrast 3" else need.role) for need in whole.needs)
    edges = {frozenset("rib" if role == "contrast 3" else role for role in pair): n for pair, n in whole.edges.items()}
    ribbed = Alternative("rib in another yarn", "knit the rib in another yarn", Asked(needs, edges, whole.gauge))
    pools = [pool for pool in chosen.values() if pool is not None]
    assert "rib in another yarn" not in [one.kind for one in offered(asked, chosen, pools, (ribbed,))]
    pools += [roled.pool("soot", roled.grey(12), 300.0), roled.pool("fog", roled.grey(85), 300.0)]
    (one,) = (one for one in offered(asked, chosen, pools, (ribbed,)) if one.kind == "rib in another yarn")
    # Against cream the dark one reads, the pale one does not.
    assert str(one.words) == "knit the rib in another yarn (soot)"
    assert one.roles == {"main": "cream", "contrast 1": "ink", "contrast 2": "moss", "rib": "soot"}
    chosen["contrast 1"] = None
    assert "rib in another yarn" not in [one.kind for one in offered(asked, chosen, pools, (ribbed,))]


def test_one_colour_alone_is_no_motif() -> None:
    asked = roled.asked(2, 50.0, {(0, 1): 300})
    chosen: Chosen = {"main": roled.pool("cream", roled.grey(92), 900.0), "contrast 1": None}
    assert [one.kind for one in offered(asked, chosen, [])] == ["buy"]


def test_short_only_together_is_short() -> None:
    asked, chosen = _short_hat()
    for role in asked.roles:
        chosen[role] = roled.pool(role, roled.grey(20), 61.5)
    alone = min(sure_of((need,), (chosen[need.role],)) for need in asked.needs)
    assert short_roles(asked, chosen, alone - 1e-6) == ("main",)
    found = offered(asked, chosen, [], sure=alone - 1e-6)
    assert [one.kind for one in found] == ["buy"]
    assert found[0].sure >= alone - 1e-6

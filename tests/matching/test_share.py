"""A sweater's lots given to the roles of its motif, and what else could be knitted when one is short."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import pytest

from matcher.actions.desk import Desk, read_bin
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.needs import RoleNeed
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import lightness_of
from matcher.matching.recolour.otherwise import alternatives_of, asked_of
from matcher.matching.recolour.share import share_out
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
HEAD = "lot,garment,role,colour,grams,ball_grams,ball_metres,yarn,dye_lot\n"


def pools_of_sheet(tmp_path, rows: str) -> tuple[Pool, ...]:
    (tmp_path / "lots.csv").write_text(HEAD + rows, encoding="utf-8")
    (tmp_path / "garments.csv").write_text("garment,status\npullover,gone\n", encoding="utf-8")
    return Desk(read_bin(tmp_path), CATALOGUE).shelf.pools


def named(roles: Sequence[str], pools: Sequence[Pool]) -> dict[str, str | None]:
    shared = share_out(roles, pools, "pullover")
    return {role: pool.name if pool else None for role, pool in shared.pools.items()}


def needs(fitted: Fitted) -> tuple[RoleNeed, ...]:
    return needs_of_fitted(fitted, FABRIC)


def test_a_lot_keeps_the_role_it_had(tmp_path):
    pools = pools_of_sheet(
        tmp_path,
        "navy,pullover,contrast 1,#1f2a4a,50,50,125,wool,1\n"
        "cream,pullover,main,#efe6d0,20,50,125,wool,2\n"
        "rust,,contrast 2,#9c4a24,50,50,125,wool,3\n",
    )
    assert named(["main", "contrast 1", "contrast 2"], pools) == {
        "main": "cream", "contrast 1": "navy", "contrast 2": None
    }  # fmt: skip


def test_of_two_dye_lots_the_longer_one_and_never_both(tmp_path):
    pools = pools_of_sheet(
        tmp_path,
        "first,pullover,main,#1f2a4a,30,50,125,wool,1\nsecond,pullover,main,#1f2a4a,80,50,125,wool,2\n",
    )
    assert named(["main", "contrast 1"], pools) == {"main": "second", "contrast 1": None}


def test_lots_of_one_dye_lot_are_one_yarn_and_given_once(tmp_path):
    """Two balls alike that had different roles count together, and cannot be both."""
    pools = pools_of_sheet(
        tmp_path,
        "one,pullover,main,#1f2a4a,30,50,125,wool,1\nother,pullover,contrast 1,#1f2a4a,80,50,125,wool,1\n",
    )
    assert len(pools) == 1
    shared = share_out(["main", "contrast 1"], pools, "pullover")
    assert shared.pools == {"main": pools[0], "contrast 1": None}


def test_without_roles_main_is_the_longest_and_contrasts_go_by_lightness(tmp_path):
    pools = pools_of_sheet(
        tmp_path,
        "navy,pullover,,#1f2a4a,90,50,125,wool,1\n"
        "slate,pullover,,#5f666c,40,50,125,wool,2\n"
        "cream,pullover,,#efe6d0,40,50,125,wool,3\n",
    )
    shared = share_out(["main", "contrast 1", "contrast 2"], pools, "pullover")
    assert named(["main", "contrast 1", "contrast 2"], pools) == {
        "main": "navy", "contrast 1": "cream", "contrast 2": "slate"
    }  # fmt: skip
    assert shared.by_lightness == ("main", "contrast 1", "contrast 2")
    given = [lightness_of(pool.colour) for pool in shared.pools.values() if pool]
    assert abs(given[1] - given[0]) > abs(given[2] - given[0])


@pytest.fixture(scope="module")
def hat() -> tuple[Wearing, Fitted]:
    gauge = Gauge.from_swatch(22, 29, FABRIC)
    entry = CATALOGUE.accessories["hat-stranded-band"]
    wearing = Wearing(entry, "adult medium", CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting["hat"])
    return wearing, fits(wearing, CATALOGUE.motifs["yoke-three"])[0]


def test_alternatives_of_each_kind(hat: tuple[Wearing, Fitted]):
    wearing, fitted = hat
    found = alternatives_of(wearing, CATALOGUE.motifs["yoke-three"], fitted, needs, CATALOGUE.recolour)
    whole = {need.role: need.length_m for need in asked_of(fitted, needs).needs}
    kinds = [one.kind for one in found]
    assert set(kinds) == {"rows dropped", "smaller size", "rib in another role", "rib in another yarn"}
    for one in found:
        metres = {need.role: need.length_m for need in one.asked.needs}
        assert set(metres) - set(whole) == ({"rib"} if one.kind == "rib in another yarn" else set())
        if one.kind == "rows dropped":
            assert 0 < one.reading_factor < 1
            assert metres.get("contrast 1", 0) + metres.get("contrast 2", 0) < whole["contrast 1"] + whole["contrast 2"]
        if one.kind == "smaller size":
            assert sum(metres.values()) < sum(whole.values())
        if one.kind.startswith("rib in another"):
            assert sum(metres.values()) == pytest.approx(sum(whole.values()), rel=0.01)
            assert metres["main"] < whole["main"]


def test_each_rows_dropped_has_fewer_rows_than_the_one_before(hat: tuple[Wearing, Fitted]):
    wearing, fitted = hat
    found = alternatives_of(wearing, CATALOGUE.motifs["yoke-three"], fitted, needs, CATALOGUE.recolour)
    factors = [one.reading_factor for one in found if one.kind == "rows dropped"]
    assert factors == sorted(set(factors), reverse=True)


def test_edges_are_those_of_the_fabric(hat: tuple[Wearing, Fitted]):
    """Only neighbours in the knitted rounds count: in this motif the two contrasts never touch."""
    _, fitted = hat
    asked = asked_of(fitted, needs)
    assert frozenset(("contrast 1", "contrast 2")) not in asked.edges
    rows = [row for _, row in fitted.rounds()]
    beside = sum(
        row[place] != row[(place + 1) % len(row)] for row in rows for place in range(len(row)) if len(set(row)) > 1
    )
    above = sum(
        one != other
        for lower, upper in pairwise(rows)
        if len(lower) == len(upper)
        for one, other in zip(lower, upper, strict=True)
    )
    assert sum(asked.edges.values()) == beside + above

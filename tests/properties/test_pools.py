"""Lots that count together: one yarn, one colour, one dye lot, and nothing else.

The rule comes from how yarn is dyed: a dye lot is one bath, and two baths of one colour show in the fabric.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import matcher
from matcher.matching.pools import Pool, pools_of, stock_of
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import bin_from_sheets

CATALOGUE = load_catalogue()
TAIL_M = CATALOGUE.measuring.tail_m
HEAD = "lot,garment,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot\n"
GARMENTS = "garment,status\ngrey pullover,gone\nred cardigan,gone\n"


def lots_of(folder: Path, rows: str) -> tuple[Lot, ...]:
    (folder / "lots.csv").write_text(HEAD + rows, encoding="utf-8")
    (folder / "garments.csv").write_text(GARMENTS, encoding="utf-8")
    return bin_from_sheets(folder, CATALOGUE).lots


def pools(lots: tuple[Lot, ...], held: dict[str, float] | None = None) -> tuple[Pool, ...]:
    free = {lot.name: Estimate(lot.length.mean - (held or {}).get(lot.name, 0.0), lot.length.sd) for lot in lots}
    return pools_of(lots, free, TAIL_M)


def names(found: tuple[Pool, ...]) -> list[set[str]]:
    return [{lot.name for lot in pool.lots} for pool in found]


def test_like_lots_count_together_wherever_they_come_from(tmp_path: Path):
    lots = lots_of(
        tmp_path,
        """a,grey pullover,soft wool,#7f8285,30,50,125,wool,hand,14
b,red cardigan,Soft Wool ,#7f8285,20,50,125,wool,hand,14
c,,soft wool,#7f8285,10,50,125,wool,hand,14
""",
    )
    (pool,) = pools(lots)
    assert {lot.name for lot in pool.lots} == {"a", "b", "c"}
    # 75, 50 and 25 m; two of the three are joined on, with a tail at each end of both joins.
    assert pool.on_hand.mean == pytest.approx(150.0)
    assert pool.free.mean == pytest.approx(150.0 - 2 * 2 * TAIL_M)
    # One label's error is one error: it does not shrink by being spread over three pieces. What is lost to tails
    # takes its part of a lot's error with it, so that a scrap barely longer than its tails adds no doubt.
    joined = [0.0, 2 * TAIL_M, 2 * TAIL_M]
    left = [(lot.length.mean - tails) / lot.length.mean for lot, tails in zip(lots, joined, strict=True)]
    assert [lot.mass_g for lot in lots] == [30, 20, 10], "the largest is not joined on"
    assert pool.free.sd == pytest.approx(sum(part * lot.length.sd for part, lot in zip(left, lots, strict=True)))


@pytest.mark.parametrize(
    ("what", "other"),
    [
        ("dye lot", "b,grey pullover,soft wool,#7f8285,20,50,125,wool,hand,15"),
        ("dye lot left blank", "b,grey pullover,soft wool,#7f8285,20,50,125,wool,hand,"),
        ("colour", "b,grey pullover,soft wool,#7f8286,20,50,125,wool,hand,14"),
        ("yarn", "b,grey pullover,other wool,#7f8285,20,50,125,wool,hand,14"),
        ("thickness", "b,grey pullover,soft wool,#7f8285,20,50,120,wool,hand,14"),
        ("fibre", "b,grey pullover,soft wool,#7f8285,20,50,125,wool 80% nylon 20%,hand,14"),
        ("wash", "b,grey pullover,soft wool,#7f8285,20,50,125,wool,machine,14"),
    ],
)
def test_whatever_differs_stays_apart(tmp_path: Path, what: str, other: str):
    lots = lots_of(tmp_path, f"a,grey pullover,soft wool,#7f8285,30,50,125,wool,hand,14\n{other}\n")
    assert names(pools(lots)) == [{"a"}, {"b"}], what


def test_without_a_dye_lot_only_leftovers_of_one_garment_count_together(tmp_path: Path):
    lots = lots_of(
        tmp_path,
        """a,grey pullover,soft wool,#7f8285,30,50,125,wool,hand,
b,grey pullover,soft wool,#7f8285,20,50,125,wool,hand,
c,red cardigan,soft wool,#7f8285,20,50,125,wool,hand,
d,,soft wool,#7f8285,10,50,125,wool,hand,
e,,soft wool,#7f8285,10,50,125,wool,hand,
""",
    )
    assert names(pools(lots)) == [{"a", "b"}, {"c"}, {"d"}, {"e"}]


def test_without_a_yarn_name_a_dye_lot_alone_says_nothing(tmp_path: Path):
    """Numbers of dye lots are short; two makers both have a 14."""
    lots = lots_of(
        tmp_path,
        """a,,,#7f8285,30,50,125,wool,hand,14
b,,,#7f8285,20,50,125,wool,hand,14
c,grey pullover,,#7f8285,20,50,125,wool,hand,14
d,grey pullover,,#7f8285,20,50,125,wool,hand,14
""",
    )
    assert names(pools(lots)) == [{"a"}, {"b"}, {"c", "d"}]


@pytest.mark.parametrize("words", ["no lot", "unknown", "?", "none", "-"])
def test_a_dye_lot_that_says_it_is_not_known_is_none(tmp_path: Path, words: str):
    """Two skeins marked "unknown" are not thereby of one bath."""
    lots = lots_of(
        tmp_path,
        f"""a,grey pullover,soft wool,#7f8285,30,50,125,wool,hand,{words}
b,red cardigan,soft wool,#7f8285,20,50,125,wool,hand,{words}
""",
    )
    assert names(pools(lots)) == [{"a"}, {"b"}]


def test_the_two_dye_lots_of_the_demo_stay_apart():
    lots = matcher.read_bin().lots
    found = names(pools(lots))
    assert {"charcoal, first dye lot"} in found
    assert {"charcoal, second dye lot"} in found
    assert {"mid grey", "mid grey, full ball"} in found


def test_no_role_of_a_suggestion_takes_two_dye_lots():
    """However much is asked for: what counts as one thread of one pool has one dye lot."""
    found = matcher.suggest(top=60)
    for one in found:
        for role, thread in zip([r for r in one.roles if not r.brought], one.found.threads, strict=True):
            assert len({(lot.yarn.name, lot.colour, lot.dye_lot) for lot in role.lots}) == len(thread)


def test_a_lot_that_is_held_whole_adds_nothing_and_is_named_last(tmp_path: Path):
    lots = lots_of(
        tmp_path,
        """a,grey pullover,soft wool,#7f8285,20,50,125,wool,hand,14
b,grey pullover,soft wool,#7f8285,30,50,125,wool,hand,14
""",
    )
    (pool,) = pools(lots, held={"a": 50.0})
    assert pool.free.mean == pytest.approx(75.0), "no tail is lost to a lot that is not joined on"
    assert pool.reserve_m == pytest.approx(50.0)
    assert pool.on_hand.mean == pytest.approx(125.0)
    assert [lot.name for lot in pool.lots] == ["b", "a"]
    assert pool.name == "b"
    assert pool.free.sd == pytest.approx(next(lot for lot in lots if lot.name == "b").length.sd)


ROWS = st.lists(
    st.tuples(
        st.sampled_from(["soft wool", "sock yarn", ""]),
        st.sampled_from(["#7f8285", "#1f2a4a"]),
        st.sampled_from(["14", "15", ""]),
        st.sampled_from(["grey pullover", "red cardigan", ""]),
        st.integers(2, 60),
        st.floats(0, 1),
    ),
    min_size=1,
    max_size=8,
)


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Lot:
    """One lot, from which the others are made."""
    folder = tmp_path_factory.mktemp("bin")
    return lots_of(folder, "a,,soft wool,#7f8285,50,50,125,wool,hand,14\n")[0]


def made(pattern: Lot, rows: list) -> tuple[tuple[Lot, ...], dict[str, float]]:
    lots, held = [], {}
    for place, (yarn, code, dye_lot, garment, grams, share) in enumerate(rows):
        length = Estimate(grams * 2.5, grams * 0.125)
        lot = replace(
            pattern,
            name=f"lot {place}",
            yarn=replace(pattern.yarn, name=yarn),
            colour=replace(pattern.colour, parts=(((float(int(code[1:3], 16) % 100), 0.0, 0.0), 1.0),)),
            dye_lot=dye_lot,
            garment=garment,
            mass_g=float(grams),
            length=length,
        )
        lots.append(lot)
        held[lot.name] = share * length.mean
    return tuple(lots), held


@settings(max_examples=60, deadline=None)
@given(rows=ROWS)
def test_every_lot_is_in_one_pool_and_no_metre_is_made(pattern: Lot, rows: list):
    lots, held = made(pattern, rows)
    found = pools(lots, held)
    assert sorted(lot.name for pool in found for lot in pool.lots) == sorted(lot.name for lot in lots)
    for pool in found:
        assert len({(lot.yarn.name, lot.colour, lot.dye_lot) for lot in pool.lots}) == 1
        loose = sum(lot.length.mean - held[lot.name] for lot in pool.lots)
        joins = len(pool.lots) - 1
        assert loose - 2 * TAIL_M * joins - 1e-9 <= pool.free.mean <= loose + 1e-9
        assert pool.on_hand.mean == pytest.approx(sum(lot.length.mean for lot in pool.lots))
        assert pool.on_hand.mean - pool.reserve_m == pytest.approx(loose)


@settings(max_examples=40, deadline=None)
@given(rows=ROWS)
def test_two_lots_share_a_pool_when_the_rule_says_so(pattern: Lot, rows: list):
    """The rule in one line, for every two lots."""
    lots, held = made(pattern, rows)
    place = {lot.name: number for number, pool in enumerate(pools(lots, held)) for lot in pool.lots}
    for a, b in permutations(lots, 2):
        alike = (a.yarn.name, a.colour, a.dye_lot) == (b.yarn.name, b.colour, b.dye_lot)
        known = bool(a.yarn.name and a.dye_lot) or (a.garment == b.garment != "")
        assert (place[a.name] == place[b.name]) == (alike and known)


@settings(max_examples=30, deadline=None)
@given(rows=ROWS, seed=st.randoms(use_true_random=False))
def test_the_order_of_the_sheet_does_not_matter(pattern: Lot, rows: list, seed):
    lots, held = made(pattern, rows)
    mixed = list(lots)
    seed.shuffle(mixed)
    there, back = pools(lots, held), pools(tuple(mixed), held)
    assert [pool.name for pool in there] == [pool.name for pool in back]
    assert names(there) == names(back)
    assert [pool.free.mean for pool in there] == pytest.approx([pool.free.mean for pool in back])


@settings(max_examples=30, deadline=None)
@given(rows=ROWS)
def test_the_arrays_hold_the_pools_that_have_something_free(pattern: Lot, rows: list):
    lots, held = made(pattern, rows)
    held[lots[0].name] = lots[0].length.mean
    found = pools(lots, held)
    stock = stock_of(found, CATALOGUE.together)
    assert list(stock.pools) == [pool for pool in found if pool.free.mean > 0]
    assert stock.share.sum(axis=1) == pytest.approx(np.ones(len(stock.pools)))
    for place, pool in enumerate(stock.pools):
        assert (stock.free_m[place], stock.sd_m[place]) == (pool.free.mean, pool.free.sd)
        assert stock.tex[place] == pool.yarn.tex.mean
        shown = {
            tuple(stock.labs[part]) for part, share in zip(stock.part[place], stock.share[place], strict=True) if share
        }
        assert shown == {lab for lab, _ in pool.colour.stitches()}

"""A stock in columns: what is taken of it or joined keeps every figure, and any cut joined again is the same stock."""

from __future__ import annotations

import pickle
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.matching.joined import joined_stocks
from matcher.matching.pools import Pool, Stock, pools_of, stock_of
from matcher.matching.together import beside, factor, handling_of, on_skin
from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import Blend, heard_blend
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
APART = replace(CATALOGUE.together, never_meet=((frozenset(["lot 0", "lot 3"]), frozenset(["lot 1"])),))
DARK, PALE, RED = (20.0, 1.0, -3.0), (88.0, 0.0, 4.0), (45.0, 50.0, 30.0)
COLOURS = (
    Colour("solid", ((DARK, 1.0),)),
    Colour("solid", ((PALE, 1.0),)),
    Colour("solid", ((PALE, 1.0),), ((4.0, 2.0, 2.0),), "cream"),
    Colour("heather", ((DARK, 0.7), (PALE, 0.3))),
    Colour("variegated", ((RED, 0.5), (DARK, 0.3), (PALE, 0.2))),
)
WORDS = ("wool", "70% mohair 30% silk", "cotton")
BLENDS = (Blend(), *(heard_blend(words, CATALOGUE.fibres).value for words in WORDS))
ROWS = st.lists(
    st.tuples(
        st.sampled_from(["soft wool", " Soft Wool", "sock yarn", ""]),
        st.sampled_from(COLOURS),
        st.sampled_from(["14", "15", ""]),
        st.sampled_from(["grey pullover", "red cardigan", "vest", ""]),
        st.sampled_from(BLENDS),
        st.sampled_from(["hand", "machine", "unknown"]),
        st.floats(20, 900),
        st.floats(0, 90),
    ),
    max_size=9,
)


def lots_of(rows: list, first: int = 0) -> list[Lot]:
    return [
        Lot(
            name=f"lot {first + place}",
            garment=garment,
            yarn=Yarn(yarn, Estimate(tex, tex / 20), "tex", 3, blend, wash),
            colour=colour,
            colour_name="",
            mass_g=metres * tex / 1000,
            pieces=1,
            ball_g=None,
            dye_lot=dye_lot,
            label="",
            reserve_m=None,
            place="",
            note="",
            role="",
            length=Estimate(metres, metres / 10),
        )
        for place, (yarn, colour, dye_lot, garment, blend, wash, tex, metres) in enumerate(rows)
    ]


def made(rows: list, first: int = 0, owner: str = "") -> Stock:
    lots = lots_of(rows, first)
    return stock_of(pools_of(lots, {lot.name: lot.length for lot in lots}, 0.15), APART, owner)


def told(stock: Stock, at: int) -> tuple:
    """All that a row says, in plain values, with what its numbers stand for."""
    pool, kind = stock.pools[at], int(stock.kind[at])
    parts = [
        (tuple(stock.labs[part]), tuple(stock.sds[part]), float(share))
        for part, share in zip(stock.part[at], stock.share[at], strict=True)
        if share
    ]
    homes = {stock.garments[home] for home in stock.homes[at] if home >= 0}
    yarn = stock.yarn_names[stock.yarns[at]] if stock.yarns[at] >= 0 else ""
    figures = float(stock.free_m[at]), float(stock.sd_m[at]), float(stock.tex[at])
    return pool, figures, parts, stock.kinds[kind], float(stock.on_skin[kind]), homes, yarn


def same(one: Stock, other: Stock) -> None:
    """The same rows, that go together in the same way."""
    assert len(one) == len(other) == len(one.pools) == len(other.pools)
    every = np.arange(len(one))
    assert [told(one, at) for at in every] == [told(other, at) for at in every]
    pairs = every[:, None], every
    assert (one.kindred.of(*pairs) == other.kindred.of(*pairs))[pairs[0] != pairs[1]].all()
    assert (one.beside[one.kind[:, None], one.kind] == other.beside[other.kind[:, None], other.kind]).all()
    assert [(one.kindred.most(n) == other.kindred.most(n)).all() for n in range(4)]
    assert (one.log_sd == other.log_sd).all()


def meet(a: Pool, b: Pool) -> float:
    """How two yarns go together, from the pools alone."""
    names = [{lot.name for lot in pool.lots} for pool in (a, b)]
    for one, other in APART.never_meet:
        if (names[0] & one and names[1] & other) or (names[0] & other and names[1] & one):
            return 0.0
    return factor(beside(handling_of(a.yarn, APART), handling_of(b.yarn, APART)), APART)


def kin(a: Pool, b: Pool, owners: tuple[str, str] = ("", "")) -> float:
    """How far two pools belong together, from the pools alone."""
    homes = [
        {(owner, lot.garment) for lot in one.lots if lot.garment} for one, owner in zip((a, b), owners, strict=True)
    ]
    if homes[0] & homes[1]:
        return 1.0
    yarns = [one.yarn.name.strip().casefold() for one in (a, b)]
    return APART.one_yarn_kindred if yarns[0] and yarns[0] == yarns[1] else 0.0


@settings(max_examples=60, deadline=None)
@given(rows=ROWS)
def test_the_arrays_say_what_the_pools_say(rows: list):
    stock = made(rows)
    for at, pool in enumerate(stock.pools):
        _, figures, parts, (handling, _), skin, homes, yarn = told(stock, at)
        assert figures == (pool.free.mean, pool.free.sd, pool.yarn.tex.mean)
        stitches = zip(pool.colour.stitches(), pool.colour.stitch_sds(), strict=True)
        assert parts == [(lab, sd, share) for (lab, share), sd in stitches]
        assert handling == handling_of(pool.yarn, APART)
        assert skin == factor((on_skin(handling, True),), APART)
        assert homes == {lot.garment for lot in pool.lots if lot.garment}
        assert yarn == pool.yarn.name.strip().casefold()
        for there, other in enumerate(stock.pools):
            if there != at:
                assert stock.kindred.of(at, there) == kin(pool, other)
            assert stock.beside[stock.kind[at], stock.kind[there]] == meet(pool, other)


@settings(max_examples=60, deadline=None)
@given(rows=ROWS, chosen=st.randoms(use_true_random=False))
def test_what_is_taken_keeps_every_figure(rows: list, chosen):
    stock = made(rows)
    at = np.array([place for place in range(len(stock)) if chosen.random() < 0.6], dtype=np.intp)
    chosen.shuffle(at)
    few = stock.take(at)
    assert [told(few, place) for place in range(len(few))] == [told(stock, place) for place in at]
    assert few.labs is stock.labs
    assert few.beside is stock.beside
    # What is bounded by the number of its kin is bounded by those that are there.
    same(few, stock_of([stock.pools[place] for place in at], APART))
    names = frozenset(["lot 1", "lot 4"])
    assert (few.holding(names) == stock.holding(names)[at]).all()
    assert (few.from_garment("vest") == stock.from_garment("vest")[at]).all()


@settings(max_examples=100, deadline=None)
@given(rows=ROWS, parts=st.integers(1, 7), seed=st.randoms(use_true_random=False), sent=st.booleans())
def test_any_cut_joined_again_is_the_same_stock(rows: list, parts: int, seed, sent: bool):
    stock = made(rows)
    of = np.array([seed.randrange(parts) for _ in range(len(stock))], dtype=np.intp)
    cut = [np.flatnonzero(of == part) for part in range(parts)]
    pieces: Sequence[Stock] = [stock.take(at) for at in cut]
    if sent:  # what comes back from elsewhere shares no table any more
        pieces = [pickle.loads(pickle.dumps(one)) for one in pieces]
    joined = joined_stocks(pieces)
    same(joined.take(np.argsort(np.concatenate(cut), kind="stable")), stock)


@settings(max_examples=60, deadline=None)
@given(several=st.lists(ROWS, min_size=1, max_size=4))
def test_stocks_of_several_owners_are_one(several: list[list]):
    """Yarns of one name are kindred across houses, garments of one name are not."""
    owners = [f"owner {number}" for number in range(len(several))]
    stocks = [made(rows, 9 * number, owner) for number, (rows, owner) in enumerate(zip(several, owners, strict=True))]
    joined = joined_stocks(stocks)
    assert [told(joined, at) for at in range(len(joined))] == [
        told(one, at) for one in stocks for at in range(len(one))
    ]
    whose = [owner for one, owner in zip(stocks, owners, strict=True) for _ in one.pools]
    for a, mine in enumerate(joined.pools):
        for b, theirs in enumerate(joined.pools):
            if a != b:
                assert joined.kindred.of(a, b) == kin(mine, theirs, (whose[a], whose[b]))
            assert joined.beside[joined.kind[a], joined.kind[b]] == meet(mine, theirs)
    vests = [any(lot.garment == "vest" for lot in pool.lots) for pool in joined.pools]
    assert joined.from_garment("vest").tolist() == vests


def test_nothing_is_no_stock():
    with pytest.raises(ValueError, match="no stock"):
        joined_stocks([])


def test_a_part_of_a_part_holds_on_to_one_whole():
    """However often a stock is narrowed, a pool is one step away."""
    stock = made([("soft wool", COLOURS[0], "14", "", BLENDS[1], "hand", 250.0 + n, 50.0) for n in range(8)])
    part = stock
    for _ in range(500):
        part = part.take(np.arange(len(part)))
    assert part.pools[3] is stock.pools[3]
    assert part.pools[-1] is stock.pools[-1]
    assert part.pools[2:4] == tuple(stock.pools[2:4])
    with pytest.raises(IndexError):
        part.pools[8]

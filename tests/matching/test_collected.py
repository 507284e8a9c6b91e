"""A stock out of columns is the stock that the bins' own pools make: the same arrays, and pools that say the same."""

from dataclasses import replace
from typing import Any

import numpy as np
from generated import WHOLE, bins
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.actions.given import given as given_by
from matcher.matching.collected import CollectedPools, stock_of_collection
from matcher.matching.joined import joined_stocks
from matcher.matching.pools import Stock, stock_of
from matcher.materials.collection import Collection, joined
from matcher.materials.lots import Bin
from matcher.materials.wishes import StandingWishes

RULES = WHOLE.together
APART = StandingWishes(apart=(("wool", "cotton"), ("soft", "firm")))


def own_stock(desk: Desk, order: list[str], owner: str) -> Stock:
    """The stock as `stock_of` makes it, its pools in the order of the bin."""
    pools = sorted(
        desk.shelf.pools,
        key=lambda pool: min(
            order.index(lot.name) for lot in pool.lots if desk.shelf.free[lot.name].mean > 0 or pool.free.mean <= 0
        ),
    )
    return stock_of(pools, desk.seen_by(None).together, owner)


def desks(several: list[Bin]) -> list[Desk]:
    return [
        Desk(bin, WHOLE).with_(wishes=APART if place % 2 else StandingWishes()) for place, bin in enumerate(several)
    ]


def both(several: list[Bin]) -> tuple[Stock, Stock]:
    """By way of columns, and by joining what each bin has."""
    parts, stocks = [], []
    for place, desk in enumerate(desks(several)):
        gives = given_by(desk, f"M{place}", "north")
        parts.append(replace(gives, file=gives.file + place))
        stocks.append(own_stock(desk, [lot.name for lot in desk.bin.lots], f"{place} M{place}"))
    return stock_of_collection(joined(parts), RULES), joined_stocks(stocks)


def same(column: Stock, plain: Stock) -> None:
    """Every array is the same, whatever numbers stand for kinds, colours, garments and yarns."""
    assert len(column) == len(plain)
    for name in ("free_m", "sd_m", "tex"):
        np.testing.assert_array_equal(getattr(column, name), getattr(plain, name))
    np.testing.assert_array_equal(column.share, plain.share)
    for name in ("labs", "sds"):
        np.testing.assert_array_equal(getattr(column, name)[column.part], getattr(plain, name)[plain.part])
    for one in (column, plain):
        assert len({tuple(row) for row in np.hstack([one.labs, one.sds]).tolist()}) == len(one.labs)
    pairs = np.ix_(range(len(plain)), range(len(plain)))
    np.testing.assert_array_equal(column.beside[column.kind][:, column.kind], plain.beside[plain.kind][:, plain.kind])
    np.testing.assert_array_equal(column.on_skin[column.kind], plain.on_skin[plain.kind])
    np.testing.assert_array_equal(column.kindred.of(*pairs), plain.kindred.of(*pairs))
    for others in (1, 3):
        np.testing.assert_array_equal(column.kindred.most(others), plain.kindred.most(others))


@given(st.lists(bins(7, (2, 3, 4)), min_size=1, max_size=4))
@settings(deadline=None, max_examples=80)
def test_columns_make_the_stock_that_the_bins_make(several: list[Bin]):
    same(*both(several))


def test_the_demo_makes_the_same_stock():
    desk = Desk("demo")
    column = stock_of_collection(given_by(desk), desk.catalogue.together)
    plain = own_stock(desk, [lot.name for lot in desk.bin.lots], "")
    same(column, plain)
    np.testing.assert_array_equal(column.part, plain.part)
    np.testing.assert_array_equal(column.homes, plain.homes)


@given(bins(7, (2, 3)), st.data())
@settings(deadline=None, max_examples=40)
def test_a_pool_says_what_the_arrays_say(bin: Bin, data: Any):
    """What is told of a suggestion rests on pools; what is found, on arrays: both are of one and the same yarn."""
    gives = given_by(Desk(bin, WHOLE), "A7", "north")
    stock = stock_of_collection(gives, RULES)
    again = stock_of(tuple(stock.pools), RULES)
    np.testing.assert_array_equal(stock.free_m, again.free_m)
    np.testing.assert_array_equal(stock.tex, again.tex)
    np.testing.assert_array_equal(stock.labs[stock.part], again.labs[again.part])
    np.testing.assert_array_equal(stock.beside[stock.kind][:, stock.kind], again.beside[again.kind][:, again.kind])


def test_pools_are_made_when_they_are_asked_for_alone():
    gives = given_by(Desk("demo"), "A7", "north")
    pools = CollectedPools(gives)
    assert len(pools) == len(gives)
    assert pools[-1] == pools[len(pools) - 1]
    assert pools[1:3] == (pools[1], pools[2])
    first = pools[0].lots
    assert [lot.name for lot in first] == ["A7's lot 1, mid grey soft wool, DK", "A7's lot 2, mid grey soft wool, DK"]
    assert {lot.place for lot in first} == {"north"}
    taken = stock_of_collection(gives, RULES).take(np.array([3, 1]))
    assert [pool.name for pool in taken.pools] == [pools[3].name, pools[1].name]


def test_nobody_else_is_kept_apart_by_a_members_wish():
    """Wool and cotton of one who lets them never meet go beside those of others."""
    wool, cotton = Desk("demo"), Desk("demo").with_(wishes=StandingWishes(apart=(("wool", "cotton"),)))
    parts = [given_by(wool, "A", ""), given_by(cotton, "B", "")]
    number = len(parts[0])
    stock = stock_of_collection(joined([parts[0], replace(parts[1], file=parts[1].file + 1)]), RULES)
    table = stock.beside[stock.kind][:, stock.kind]
    alone = table[:number, :number]
    np.testing.assert_array_equal(alone, table[:number, number:])
    own = table[number:, number:]
    assert (own <= alone).all()
    assert ((own == 0) & (alone > 0)).any()
    assert isinstance(parts[0], Collection)

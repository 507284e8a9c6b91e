"""For what is knitted of several colours the first bars come from lots of one garment, where such a family is best."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from generated import Blend

from matcher.actions.desk import Desk
from matcher.matching.kindred import Kindred
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.among import among
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds import sample
from matcher.matching.rounds.families import best_families, some_families
from matcher.matching.rounds.opening import storeys
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
THREE = "headband-split-diamonds"  # three colours that all touch


def lot(place: int, garment: str, light: float, grams: float) -> Lot:
    tex = tex_from_ball(50.0, 150.0, CATALOGUE.measuring)
    yarn = Yarn(f"yarn {place}", tex, "ball band", 3, Blend(), "hand")
    colour = Colour("solid", (((light, 0.0, 0.0), 1.0),))
    length = length_on_hand(grams, tex, 1, yarn.blend, CATALOGUE.measuring)
    name = f"lot {place:03d}"
    return Lot(name, garment, yarn, colour, "", grams, 1, 50.0, str(place), "yes", 0.0, "", "", "", length)


def families(number: int, seed: int) -> Stock:
    """Threes of lots, each three from a garment of its own; only the last three are far apart in lightness."""
    pick = Random(seed)
    lots = [lot(at, f"garment {at // 3}", pick.uniform(45, 55), pick.uniform(60, 90)) for at in range(3 * number)]
    lots += [lot(3 * number + at, "the last", light, 60.0) for at, light in enumerate((15.0, 55.0, 95.0))]
    return stock_of(Desk(Bin(tuple(lots)), CATALOGUE).shelf.pools, CATALOGUE.together)


def of_all_colours(number: int, seed: int) -> Stock:
    """The same of any lightness and length."""
    pick = Random(seed)
    lots = [lot(at, f"garment {at // 3}", pick.uniform(15, 95), pick.uniform(10, 90)) for at in range(3 * number)]
    return stock_of(Desk(Bin(tuple(lots)), CATALOGUE).shelf.pools, CATALOGUE.together)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_family_that_reads_is_the_first(seed: int) -> None:
    scope = scope_of(Desk(Bin(()), CATALOGUE).variants, Wishes(held_together=False))
    stock = families(40, seed)
    searcher = searcher_of(stock, scope, CATALOGUE)
    blocks = [one for one in storeys(searcher, scope) if one.key == THREE and one.most > -np.inf]
    assert blocks
    for one in blocks:
        found = best_families(one.ceiling, one.cells[-1], np.arange(len(stock)), 0, 1)
        assert sorted(stock.homes[found, 0].tolist()) == [stock.garments.index("the last")] * 3


def test_a_closer_sample_finds_better_threes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Never worse ones, and in some bins better: here one cell and one pool of each role are looked at besides."""
    scope = scope_of(Desk(Bin(()), CATALOGUE).variants, Wishes(kinds=("headband",), held_together=False))
    monkeypatch.setattr(sample, "_CLOSER", (1, 1, 1))
    better = 0
    for seed in range(6):
        searcher = searcher_of(of_all_colours(60, seed), scope, CATALOGUE)

        def best_of_a_sample(several: int, searcher: Searcher = searcher) -> float:
            monkeypatch.setattr(sample, "_SEVERAL", several)
            few = sample.sample_of(storeys(searcher, scope), closer=True).pools
            met = search_scope(among(searcher, few), scope).met
            return max((one.score for one in met if one.variant.accessory.key == THREE), default=0.0)

        families, none = best_of_a_sample(3), best_of_a_sample(99)
        assert families >= none
        better += families > none
    assert better


def test_of_many_families_every_so_many_th_is_looked_at() -> None:
    homes = np.array([0, 0, 1, 1, 2, 2, 3, 3, -1, -1])[:, None]
    kindred = Kindred(homes, np.full(10, -1), 0.5)
    assert some_families(kindred, 8).tolist() == [True] * 8 + [False] * 2
    assert some_families(kindred, 4).tolist() == [True, True, False, False] * 2 + [False] * 2

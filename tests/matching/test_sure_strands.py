"""Of small skeins threads of several are seldom sure enough: what no thread could be is not made, all others are."""

from __future__ import annotations

from itertools import combinations, permutations
from pathlib import Path
from random import Random

import numpy as np
import pytest

from matcher.actions.desk import Desk, desk_of
from matcher.actions.ranking.suggest import suggest
from matcher.matching.pools import stock_of
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.strands import StrandWorth
from matcher.matching.ranking.sure_strands import sure_enough
from matcher.matching.ranking.thin import Thin
from matcher.materials.lots import Bin
from matcher.materials.uncertain import chance_of_all, margin
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
HEAD = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn,reserve\n"
COLOURS = ("cream", "chocolate", "lilac", "charcoal", "mustard", "sage")


def minis(folder: Path, number: int, pick: Random | None = None) -> Path:
    """Skeins of 20 g, or of anything up to 60 g and of several thicknesses, each a yarn of its own."""
    rows = []
    for at in range(number):
        grams, metres = (pick.uniform(5, 60), pick.choice([300, 400, 500])) if pick else (20, 400)
        rows.append(f"mini {at},{grams:.1f},{COLOURS[at % 6]},100,{metres},wool,hand,mini {at},0")
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize("number", [20, 60])
def test_more_skeins_of_the_same_hide_nothing(number: int, tmp_path: Path) -> None:
    """Where twenty skeins make a headband, sixty do: sizes that they are too small for took all that may be tried."""
    found = suggest(minis(tmp_path, number), kind="headband")
    assert found.suggestions


@pytest.mark.parametrize("seed", [1, 2])
def test_every_strand_of_a_thread_that_is_sure_enough_is_left(seed: int, tmp_path: Path) -> None:
    """Threads counted out one by one; and those of skeins that are all too short leave nothing."""
    read = desk_of(minis(tmp_path, 7, Random(seed))).bin
    scope = scope_of(Desk(Bin(()), CATALOGUE).variants, Wishes(kinds=("headband",)))
    searcher = searcher_of(stock_of(Desk(read, CATALOGUE).shelf.pools, CATALOGUE.together), scope, CATALOGUE)
    stock, left_out, kept = searcher.stock, 0, 0
    for several in scope.variants.values():
        for variant in several:
            thin = Thin(Block(searcher, [variant], 0.5))
            nothing = np.zeros(len(thin.pools))
            every = StrandWorth(nothing, nothing, nothing, nothing > 0)
            left = sure_enough(thin, 0, [every] * len(variant.filled))
            low, high = thin.block.window
            for role, one in enumerate(left):
                able = set(thin.pools[np.isfinite(one.most)].tolist())
                threads = [((a, b), (1, 1)) for a, b in combinations(thin.pools.tolist(), 2)]
                threads += [((a, b), (2, 1)) for a, b in permutations(thin.pools.tolist(), 2)]
                threads += [(three, (1, 1, 1)) for three in combinations(thin.pools.tolist(), 3)]
                for pools, count in threads:
                    at, times = np.array(pools), np.array(count, dtype=float)
                    sure = chance_of_all(
                        margin(stock.free_m[at], variant.length_m[role] * times),
                        np.full(len(at), variant.shared_sd[role]),
                        np.hypot(stock.log_sd[at], variant.own_sd[role]),
                    )
                    if low <= float(stock.tex[at] @ times) <= high and sure >= (searcher.chance or 0.0):
                        assert able >= set(pools)
                left_out += len(thin.pools) - len(able)
                kept += len(able)
    assert left_out > 100
    assert kept > 100

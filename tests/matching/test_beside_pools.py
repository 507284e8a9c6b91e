"""Threads of few pools that could read beside some pool of every role that they touch: just those, and nothing that can
be made is lost by it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations
from random import Random

import generated
import numpy as np
import numpy.typing as npt
import pytest
from agreement import ready
from test_strand_bounds import LIGHT, block_of

from matcher.matching.ranking import beside_pools, descent
from matcher.matching.ranking.beside_pools import read_beside_pools
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices, threads_of
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search

Indexes = npt.NDArray[np.intp]


def held_of(block: Block, pools: Indexes) -> Choices:
    """All threads of one pool, of two, of two with one of them twice, and of three."""
    searcher, several = block.searcher, pools.tolist()
    rows = [((one, 1),) for one in several] + [((a, 1), (b, 1)) for a, b in combinations(several, 2)]
    rows += [((a, 2), (b, 1)) for a in several for b in several if a != b]
    rows += [tuple((one, 1) for one in three) for three in combinations(several, 3)]
    return threads_of(searcher.stock, rows, searcher.rules)


def listed(role: int, choices: Choices) -> RoleList:
    """All of these in one role; of no worth."""
    every = np.arange(len(choices))
    nothing = np.zeros(len(every))
    return RoleList(role, choices, nothing, every, nothing[None], nothing, nothing, nothing[None])


@pytest.mark.parametrize("roles", [2, 3, 4])
def test_what_is_left_out_reads_beside_no_thread_of_these_pools(roles: int) -> None:
    draw, told, kinds = Random(roles), Counter[bool](), Counter[int]()
    for _ in range(18):
        block = block_of(draw.choice(sorted(LIGHT)), roles, 9, draw)
        if not block.edges:
            continue
        block.least = draw.choice([0.5, 0.6, 0.75, 0.9])
        every, role = range(len(block.searcher.stock)), draw.choice(sorted(block.touching))
        several = [np.array(sorted(draw.sample(every, draw.randint(2, 4))), dtype=np.intp) for _ in range(roles)]
        few = listed(role, held_of(block, several[role]))
        left = read_beside_pools(block, few, several)
        expected = []
        for thread in few.order:
            beside_pools_alone, beside_threads = True, True
            for other in range(roles):
                if other == role or not block.touches(other, role):
                    continue
                threads, kept = held_of(block, several[other]), block.hue_kept(other, role)
                all_of = np.arange(len(threads))
                reads = block.searcher.reads(few.choices, thread[None], threads, all_of, kept) >= block.least
                beside_pools_alone &= bool(reads[: len(several[other])].any())
                beside_threads &= bool(reads.any())
            assert beside_pools_alone >= beside_threads
            expected.append(beside_pools_alone)
            told[beside_pools_alone] += 1
            kinds[int((few.choices.count[thread] > 0).sum())] += not beside_pools_alone
        assert left.order.tolist() == np.flatnonzero(expected).tolist()
    assert min(*told.values(), *kinds.values()) >= 10, (told, kinds)


def test_nothing_that_can_be_made_is_lost_and_some_is_not_searched_for(monkeypatch: pytest.MonkeyPatch) -> None:
    found, left_out = Counter[bool](), Counter[bool]()

    def counted(block: Block, few: RoleList, several: list[Indexes]) -> RoleList:
        left = read_beside_pools(block, few, several)
        left_out[len(left.order) < len(few.order)] += 1
        return left

    draw = Random(2)
    for seed in range(6):
        bin, entries = generated.rich(seed, 7, draw.choice([2, 3]), together=True)
        grey = [
            replace(
                one,
                colour=replace(
                    one.colour,
                    parts=tuple(
                        ((30.0 + lab[0] / 3, lab[1] / 3, lab[2] / 3), share) for lab, share in one.colour.parts
                    ),
                ),
            )
            for one in bin.lots
        ]
        searcher, scope = ready(replace(bin, lots=tuple(grey)), generated.cut(entries), Wishes(sure=0.5))
        for key, variants in scope.variants.items():
            asked = variants, scope.least[key]
            lists = []
            for few, will_do in ((0, True), (beside_pools.FEW, True), (0, False), (beside_pools.FEW, False)):
                monkeypatch.setattr(descent, "FEW", few)
                monkeypatch.setattr(descent, "read_beside_pools", counted)
                fresh = replace(searcher, of_stock={}, of_party={})
                lists.append([(one.pools, one.score) for one in search(fresh, *asked, any_will_do=will_do)])
            assert bool(lists[0]) == bool(lists[1]), (seed, key)
            assert lists[2] == lists[3], (seed, key)
            found[bool(lists[0])] += 1
    assert min(*found.values(), *left_out.values()) >= 5, (found, left_out)


def test_of_too_many_pairs_nobody_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    block = block_of("greys", 2, 6, Random(1))
    block.least = 2.0  # better than anything reads
    several = [np.arange(6)] * 2
    few = listed(min(block.touching), held_of(block, several[0]))
    assert not len(read_beside_pools(block, few, several).order)
    monkeypatch.setattr(beside_pools, "_PAIRS", 0)
    assert len(read_beside_pools(block, few, several).order) == len(few.order)

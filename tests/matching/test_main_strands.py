"""Whether the thickest strands of all roles could stand beside each other: as every choice of pools tells, and never a
no where the search that doesn't ask finds a way."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations, permutations, product
from random import Random
from types import ModuleType

import generated
import numpy as np
import numpy.typing as npt
import pytest
from agreement import ready
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from test_strand_bounds import block_of

from matcher.matching.ranking import descent, main_strands, unread
from matcher.matching.ranking.main_strands import could_ever_stand, could_stand, triangles
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search
from matcher.materials.colours.cielab import Lab

Flags = npt.NDArray[np.bool_]


@pytest.mark.parametrize("one_by_one", [0, 20])
@pytest.mark.parametrize("roles", [2, 3, 4])
def test_it_is_what_every_choice_of_pools_tells(roles: int, one_by_one: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(main_strands, "_ONE_BY_ONE", one_by_one)
    draw, told = Random(roles), Counter[bool]()
    for _ in range(12):
        block = block_of("greys", roles, 7, draw)
        stock, several = block.searcher.stock, []
        for _ in range(roles):
            several.append(np.array(sorted(draw.sample(range(len(stock)), draw.randint(1, 4))), dtype=np.intp))
        least = draw.choice([0.5, 0.6, 0.75])
        block.least = least
        plain = any(
            all(pool in one for pool, one in zip(chosen, several, strict=True)) and _stand(chosen, block, least)
            for chosen in permutations(range(len(stock)), roles)
        )
        assert could_stand(block, several) == plain
        told[plain] += 1
    assert min(told[True], told[False]) >= 2


@pytest.mark.parametrize("roles", [2, 3])
def test_of_all_gauges_it_is_what_every_choice_of_all_pools_tells(roles: int) -> None:
    draw, told = Random(10 + roles), Counter[bool]()
    for _ in range(12):
        block = block_of("greys", roles, draw.randint(roles, 6), draw)
        least = draw.choice([0.5, 0.6, 0.75, 0.9])
        plain = any(_stand(chosen, block, least) for chosen in permutations(range(len(block.searcher.stock)), roles))
        assert could_ever_stand(block.searcher, block.variants, least) == plain
        told[plain] += 1
    assert min(told[True], told[False]) >= 2


@given(
    st.tuples(*[st.integers(1, 5)] * 3).flatmap(
        lambda number: st.tuples(
            *(arrays(bool, (number[one], number[other])) for one, other in combinations(range(3), 2))
        )
    )
)
def test_triangles_are_those_that_are_found_one_by_one(beside: tuple[Flags, Flags, Flags]) -> None:
    ab, ac, bc = beside
    every = [
        (a, b, c)
        for a, b, c in product(range(ab.shape[0]), range(ab.shape[1]), range(ac.shape[1]))
        if ab[a, b] and ac[a, c] and bc[b, c]
    ]
    for role, told in enumerate(triangles(*beside)):
        assert np.flatnonzero(told).tolist() == sorted({one[role] for one in every})


def _stand(chosen: tuple[int, ...], block: descent.Block, least: float) -> bool:
    """Whether pools chosen for the roles stand beside each other, looked at one by one."""
    stock, colours = block.searcher.stock, block.searcher.colours
    for b, a in combinations(range(len(chosen)), 2):
        one, other = chosen[a], chosen[b]
        if stock.beside[stock.kind[one], stock.kind[other]] <= 0:
            return False
        if block.touches(a, b):
            unread = 0.0
            for mine, shown in zip(stock.part[one], stock.share[one], strict=True):
                for theirs, seen in zip(stock.part[other], stock.share[other], strict=True):
                    first, second = (np.array([[place]]) for place in (mine, theirs))
                    if colours.reads(first, np.ones((1, 1)), second, np.ones((1, 1)))[0] < least:
                        unread += shown * seen
            if unread / 9 > colours.rules.vanish_share:
                return False
    return True


def test_no_way_is_lost_and_many_are_not_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    draw, told, found = Random(3), Counter[bool](), Counter[bool]()

    def counted(*asked: object) -> bool:
        could = could_stand(*asked)
        told[could] += 1
        return could

    for seed in range(24):
        bin, entries = generated.rich(seed, 6, draw.choice([2, 3, 4]), together=True)
        dull = [
            replace(
                one, colour=replace(one.colour, parts=tuple((_duller(lab), share) for lab, share in one.colour.parts))
            )
            for one in bin.lots
        ]
        bin = replace(bin, lots=tuple(dull))
        searcher, scope = ready(bin, generated.cut(entries), Wishes(sure=0.5))
        for key, variants in scope.variants.items():
            asked = variants, scope.least[key]
            monkeypatch.setattr(descent, "could_stand", lambda *_: True)
            plain = bool(search(searcher, *asked, any_will_do=True))
            monkeypatch.setattr(descent, "could_stand", counted)
            fresh = replace(searcher, of_stock={}, of_party={})
            assert bool(search(fresh, *asked, any_will_do=True)) == plain, (seed, key)
            found[plain] += 1
    assert min(*told.values(), *found.values()) >= 3, (told, found)


def _duller(lab: Lab) -> Lab:
    """Of two colours in three nearly a middling grey, so that few read."""
    return (45.0 + (lab[0] - 45.0) / 4, lab[1] / 3, lab[2] / 3) if lab[1] + lab[2] < 10 else lab


def test_where_too_much_may_vanish_nothing_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    block = block_of("greys", 2, 5, Random(1))
    block.least = 2.0  # better than anything reads
    several = [np.arange(5)] * 2
    assert not could_stand(block, several)
    rules = replace(block.searcher.colours.rules, vanish_share=1 / 9)
    monkeypatch.setattr(block.searcher.colours, "rules", rules)
    block.searcher.of_party.clear()  # what was told by the rules before
    assert could_stand(block, several)


@pytest.mark.parametrize(
    ("module", "name"),
    [(unread, "FEW"), (unread, "_MOST_POOLS"), (main_strands, "_TRIED"), (main_strands, "_MOST_KINDS")],
)
def test_of_too_many_nothing_is_told(module: ModuleType, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    block = block_of("greys", 3, 5, Random(1))
    block.least = 2.0
    several = [np.arange(5)] * 3
    monkeypatch.setattr(module, name, 0)
    assert could_stand(block, several)

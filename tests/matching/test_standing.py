"""Leaving out who could stand beside nobody: whether anything can be made of a wanted lot comes out as by the search that
leaves out nobody, in bins of which few colours read."""

from __future__ import annotations

from collections import Counter
from contextlib import nullcontext
from dataclasses import replace
from random import Random

import generated
import pytest
from agreement import ready, without_tables
from test_companions import VARIANTS, bin_of, lot

from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search
from matcher.materials.lots import Bin


def of_greys(pick: Random, number: int) -> Bin:
    """Lots of much the same lightness, and one or two that read against them."""
    light = [pick.uniform(40, 52) for _ in range(number)] + [
        pick.choice([10.0, 93.0]) for _ in range(pick.randint(1, 2))
    ]
    return bin_of([lot(f"lot {place}", "", one, pick.uniform(20, 120)) for place, one in enumerate(light)])


@pytest.mark.parametrize("tabled", [True, False])
@pytest.mark.parametrize("held_together", [False, True])
def test_any_that_will_do_is_found_where_there_is_one(held_together: bool, tabled: bool) -> None:
    pick, told = Random(7), Counter[bool]()
    keys = sorted(key for key, one in VARIANTS.items() if len(one[0].filled) > 1 and 3 in one[0].accessory.classes)
    for _ in range(20):
        variant = pick.choice(VARIANTS[pick.choice(keys)])
        key = variant.accessory.key
        searcher, scope = ready(
            of_greys(pick, 4), generated.cut({key: (variant.size,)}), Wishes(sure=0.5, held_together=held_together)
        )
        with nullcontext() if tabled else without_tables():
            for wanted in ({0}, {1}, {0, 2}, {len(searcher.stock) - 1}):
                with_one = replace(searcher, wanted=frozenset(wanted), of_stock={}, of_party={})
                asked = with_one, scope.variants[key], scope.least[key]
                (*found,) = search(*asked, any_will_do=True)
                assert bool(found) == bool(search(*asked)), (key, wanted)
                assert all(one.pools & wanted for one in found)
                told[bool(found)] += 1
    assert min(told[True], told[False]) > 8

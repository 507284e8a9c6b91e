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

from matcher.matching.ranking import standing
from matcher.matching.ranking.role_by_role import RoleByRole
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


def of_hues(pick: Random, number: int) -> Bin:
    """Lots of one lightness, of which some differ by their hue."""
    hues = [(pick.choice([-30.0, 0.0, 0.0, 30.0]) + pick.gauss(0, 2), pick.gauss(0, 4)) for _ in range(number)]
    return bin_of(
        [
            lot(f"lot {place}", "", pick.uniform(47, 52), pick.uniform(20, 120), hue=hue)
            for place, hue in enumerate(hues)
        ]
    )


@pytest.mark.parametrize("tabled", [True, False])
def test_nor_is_one_lost_where_lightness_tells_none_apart(tabled: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    pick, told, left_out = Random(5), Counter[bool](), Counter[bool]()
    leave_out = standing._in_twos_and_threes

    def counted(*asked: object) -> bool:
        did: bool = leave_out(*asked)
        left_out[did] += 1
        return did

    monkeypatch.setattr(standing, "_in_twos_and_threes", counted)
    keys = sorted(key for key, one in VARIANTS.items() if one[0].edges and 3 in one[0].accessory.classes)
    for _ in range(40):
        key = pick.choice(keys)
        several = [one for one in VARIANTS[key] if one.gauge == VARIANTS[key][0].gauge]
        searcher, scope = ready(
            of_hues(pick, pick.randint(3, 6)),
            generated.cut({key: tuple(one.size for one in several[:1])}),
            Wishes(sure=0.5, held_together=False),
        )
        with nullcontext() if tabled else without_tables():
            asked = searcher, scope.variants[key], scope.least[key]
            found = bool(search(*asked, any_will_do=True))
            assert found == bool(search(*asked)), key
            told[found] += 1
    assert min(*told.values(), *left_out.values()) > 4, (told, left_out)


@pytest.mark.parametrize("marled", [False, True])
def test_of_black_and_white_no_three_read_and_no_search_is_needed(
    marled: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    key = "headband-split-diamonds"
    lots = [lot(f"lot {place:02d}", "", light, 150.0) for place, light in enumerate([6.0, 96.0] * 12)]
    bin, catalogue = bin_of(lots), generated.cut({key: (VARIANTS[key][0].size,)})
    monkeypatch.setattr(RoleByRole, "run", _never)
    searcher, scope = ready(bin, catalogue, Wishes(sure=0.5, held_together=marled))
    assert not search(searcher, scope.variants[key], scope.least[key], any_will_do=True)
    # A grey between them makes a third, and then there is something to look for.
    searcher, scope = ready(bin_of([*lots, lot("grey", "", 50.0, 150.0)]), catalogue, Wishes(sure=0.5))
    with pytest.raises(AssertionError):
        search(searcher, scope.variants[key], scope.least[key], any_will_do=True)


def _never(self: RoleByRole) -> None:
    assert not self.possible, "it was searched for"

"""Of pools that nothing tells apart a few stand for all: the list is that of plain enumeration, and no longer takes the
fourth power of their number."""

from __future__ import annotations

from collections import Counter
from random import Random

import generated
import pytest
from agreement import agree, agree_varied, ready
from test_companions import VARIANTS, bin_of, lot

from matcher.matching.ranking import alike, descent
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search_scope
from matcher.materials.lots import Bin

KEYS = sorted(key for key, one in VARIANTS.items() if len(one[0].filled) > 1 and not one[0].edges)


def of_few_lengths(pick: Random, number: int) -> Bin:
    """Small skeins of hardly two weights, one of them of a garment, each of a colour of its own."""
    yarn, home = pick.choice(["", "sock"]), pick.randrange(number)
    return bin_of(
        [
            lot(
                f"lot {place}",
                "first" if place == home else "",
                pick.uniform(5, 95),
                pick.choice([40.0, 40.0, 40.0, 40.0, 55.0]),
                yarn,
            )
            for place in range(number)
        ]
    )


@pytest.mark.parametrize("varied", [False, True])
@pytest.mark.parametrize(("top", "each"), [(1, 1), (3, 1), (4, 3)])
def test_the_list_is_that_of_enumeration(top: int, each: int, varied: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    left_out = Counter[bool]()

    def counted(*asked: object) -> object:
        worth = alike.few_of_alike(*asked)
        left_out[bool((worth != asked[1]).any())] += 1
        return worth

    monkeypatch.setattr(descent, "few_of_alike", counted)
    found = 0
    for seed in range(6):
        pick = Random(f"{top} {each} {varied} {seed}")
        key = pick.choice([key for key in KEYS if len(VARIANTS[key][0].filled) < 4])
        entries = {key: (VARIANTS[key][0].size,)}
        wishes = Wishes(top=top, each=each, sure=0.5, varied=varied, held_together=False)
        bin = of_few_lengths(pick, 10)
        found += agree_varied(bin, entries, wishes)[0] if varied else agree(bin, entries, wishes)
    assert found > 3
    assert left_out[True] > 3, left_out


def test_a_hundred_small_skeins_are_quickly_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """Counted are the steps and not the time: tried in all fours there were ninety million."""
    key = "yoke-five-colours-main-brought"
    skeins = bin_of([lot(f"mini {place}", "", 5.0 + 0.9 * place, 40.0, "sock") for place in range(100)])
    searcher, scope = ready(skeins, generated.cut({key: (VARIANTS[key][0].size,)}), Wishes(held_together=False))
    steps = Counter[str]()
    offer = descent.RoleByRole._go_on
    monkeypatch.setattr(
        descent.RoleByRole, "_go_on", lambda self, *of: (steps.update(all=len(of[1].at)), offer(self, *of))
    )
    assert search_scope(searcher, scope).chosen
    assert 0 < steps["all"] < 20_000

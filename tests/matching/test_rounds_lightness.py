"""Where few pools stand out, those that could only be good beside one of them are left out."""

from __future__ import annotations

from random import Random

import pytest
from generated import Blend

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.matching.rounds import search
from matcher.matching.rounds.lightness import Lightness
from matcher.matching.rounds.opening import above, storeys
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()


def hardly_any(number: int, seed: int) -> Stock:
    """Lots of nearly one lightness, but the first three."""
    pick, lots = Random(seed), []
    for place in range(number):
        tex, grams = tex_from_ball(50.0, pick.uniform(90, 260), CATALOGUE.measuring), pick.uniform(8, 90)
        yarn = Yarn(f"yarn {place}", tex, "ball band", 3, Blend(), "hand")
        light = 14.0 if place < 3 else pick.uniform(47, 53)
        colour = Colour("solid", (((light, pick.gauss(0, 14), pick.gauss(0, 14)), 1.0),))
        length = length_on_hand(grams, tex, 1, yarn.blend, CATALOGUE.measuring)
        name = f"lot {place:03d}"
        lots.append(Lot(name, "", yarn, colour, "", grams, 1, 50.0, str(place), "yes", 0.0, "", "", "", length))
    return stock_of(Desk(Bin(tuple(lots)), CATALOGUE).shelf.pools, CATALOGUE.together)


@pytest.mark.parametrize("seed", [1, 2])
def test_only_what_reads_beside_one_that_stands_out_is_left(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search, "_MOST_BACK", 1.0)
    scope = scope_of(Desk(Bin(()), CATALOGUE).variants, Wishes(varied=True, colourwork=True, held_together=False))
    searcher = searcher_of(hardly_any(300, seed), scope, CATALOGUE)
    plain, rounds = search_scope(searcher, scope), search.search_rounds(searcher, scope)
    assert [one.mark for one in rounds.chosen] == [one.mark for one in plain.chosen]
    bars = dict.fromkeys(scope.variants, plain.chosen[0].score - 1e-7)
    left, _ = above(storeys(searcher, scope), bars, False)
    assert plain.chosen[0].pools <= set(left.tolist())
    monkeypatch.setattr(Lightness, "few_apart", False)
    without, _ = above(storeys(searcher, scope), bars, False)
    assert set(left.tolist()) <= set(without.tolist())
    assert 4 * len(left) < len(without)

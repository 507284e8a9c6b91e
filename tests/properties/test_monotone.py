"""More reserve never gives more accessories, more yarn never gives fewer: not only their number, the same ones.

What can be made at all does not hang on the scores, so the whole list is asked for and its accessories compared.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from random import Random

import generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.knitting.mending.reserve import reserves
from matcher.matching.pools import stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import Catalogue

WHOLE: Catalogue = generated.WHOLE
TIMES = int(os.environ.get("EXAMPLES", "1"))
ALL = 1000


def made(bin: Bin, catalogue: Catalogue, sure: float, together: bool = False) -> set[str]:
    """Every accessory that the bin could become."""
    stock = stock_of(Desk(bin, catalogue).shelf.pools, catalogue.together)
    scope = scope_of(Desk(Bin(()), catalogue).variants, Wishes(sure=sure, top=ALL, held_together=together))
    outcome = search_scope(searcher_of(stock, scope, catalogue), scope)
    return {one.variant.accessory.key for one in outcome.chosen}


def held_in(bin: Bin) -> dict[str, float]:
    held = {lot.name: 0.0 for lot in bin.lots}
    for group in reserves(bin, WHOLE.repairs, WHOLE.fabric, WHOLE.sizes):
        held.update(group.held)
    return held


def weighing(lot: Lot, grams: float) -> Lot:
    """The lot at another weight, in as many pieces."""
    return replace(
        lot, mass_g=grams, length=length_on_hand(grams, lot.yarn.tex, lot.pieces, lot.yarn.blend, WHOLE.measuring)
    )


def changed(bin: Bin, place: int, lot: Lot) -> Bin:
    return replace(bin, lots=(*bin.lots[:place], lot, *bin.lots[place + 1 :]))


def some_bin(seed: int) -> tuple[Bin, Catalogue, float, Random]:
    """A bin, half of the time with lots that count together; a catalogue of ten entries; the chance asked."""
    pick = Random(seed)
    bin, _ = generated.rich(seed, pick.choice([3, 5, 8]), 1, False)
    if pick.random() < 0.5:
        first, second = bin.lots[0], bin.lots[1]
        alike = [(lot, first if place % 3 else second) for place, lot in enumerate(bin.lots)]
        bin = replace(
            bin,
            lots=tuple(
                weighing(replace(lot, yarn=one.yarn, colour=one.colour, dye_lot="7"), lot.mass_g) for lot, one in alike
            ),
        )
    bin = replace(bin, lots=tuple(_in_pieces(lot, pick) for lot in bin.lots))
    number = bin.lots[0].yarn.weight_class
    suiting = [
        key
        for key, one in WHOLE.accessories.items()
        if number in one.classes and sum(not role.bring for role in one.roles) <= 2
    ]
    keys = sorted(pick.sample(suiting, min(10, len(suiting))))
    entries = {key: (pick.choice(WHOLE.accessories[key].sizes),) for key in keys}
    return bin, generated.cut(entries), pick.choice([0.5, 0.8, 0.95]), pick


def _in_pieces(lot: Lot, pick: Random) -> Lot:
    """Without a label, or two unbroken balls of 50 g and a rest."""
    if pick.random() < 0.7:
        return replace(lot, ball_g=None)
    return weighing(replace(lot, pieces=3), pick.uniform(103, 140))


Change = Callable[[Bin, Random], Bin]


def count(number: int, *changes: Change) -> tuple[int, int]:
    """Hold what can be made after each change within what could be after the one before; how often anything could be
    after the first, and how often the last left fewer.

    All changes start from the same bin and the same random numbers.
    """
    made_before: list[int] = []
    shrank: list[int] = []

    @given(st.sampled_from(range(10**9)))
    @settings(
        max_examples=number * TIMES,
        deadline=None,
        derandomize=TIMES == 1,
        suppress_health_check=[HealthCheck.too_slow],
    )
    def hold(seed: int) -> None:
        bin, catalogue, sure, _ = some_bin(seed)
        lists = [made(change(bin, Random(seed)), catalogue, sure) for change in changes]
        for more, fewer in pairwise(lists):
            assert fewer <= more, f"{sorted(fewer - more)} only after the change, {sure:g} sure"
        made_before.append(len(lists[0]))
        shrank.append(len(lists[0]) - len(lists[-1]))

    hold()
    return sum(length > 0 for length in made_before), sum(length > 0 for length in shrank)


def as_it_is(bin: Bin, pick: Random) -> Bin:
    return bin


def by_hand(bin: Bin, pick: Random) -> Bin:
    """Every reserve set by hand to what is held anyway."""
    held = held_in(bin)
    return replace(bin, lots=tuple(generated.with_reserve(lot, held[lot.name]) for lot in bin.lots))


def more_by_hand(bin: Bin, pick: Random) -> Bin:
    """The same, and for some lots a part of the rest as well."""
    held = held_in(bin)
    parts = [pick.choice([0.0, pick.random(), 1.0]) for _ in bin.lots]
    return replace(
        bin,
        lots=tuple(
            generated.with_reserve(lot, held[lot.name] + part * (lot.length.mean - held[lot.name]))
            for lot, part in zip(bin.lots, parts, strict=True)
        ),
    )


def kept(status: str, plans: bool = False) -> Change:
    def change(bin: Bin, pick: Random) -> Bin:
        told = (generated.PLAN,) if plans else ()
        return replace(
            bin,
            lots=tuple(replace(lot, garment="first") if place % 2 else lot for place, lot in enumerate(bin.lots)),
            garments={name: replace(one, status=status, alterations=told) for name, one in bin.garments.items()},
        )

    return change


def heavier(bin: Bin, pick: Random) -> Bin:
    """One lot heavier, in as many pieces and as many unbroken balls."""
    place = pick.randrange(len(bin.lots))
    lot = bin.lots[place]
    more = weighing(lot, lot.mass_g * pick.choice([1.02, 1.2, 2.0]))
    return changed(bin, place, more if more.full_balls == lot.full_balls else weighing(lot, lot.mass_g + 2.0))


def with_a_new_lot(alike: bool) -> Change:
    """One lot more with no garment, of a yarn that is there, which counts together with the others or not."""

    def change(bin: Bin, pick: Random) -> Bin:
        lot = weighing(pick.choice(bin.lots), pick.choice([2.0, 40.0, 120.0]))
        return replace(
            bin, lots=(*bin.lots, replace(lot, name="new", garment="", dye_lot=lot.dye_lot if alike else "new"))
        )

    return change


def test_more_reserve_set_by_hand_never_gives_more() -> None:
    lists, shrank = count(24, by_hand, more_by_hand)
    assert lists >= 8
    assert shrank >= 3


def test_a_garment_that_needs_more_never_gives_more() -> None:
    """From gone to given, to worn, to worn with a plan; and the whole way is felt, so that it is not held by chance."""
    lists, shrank = count(15, kept("gone"), kept("given"), kept("worn"), kept("worn", plans=True))
    assert lists >= 6
    assert shrank >= 2


def test_a_heavier_lot_never_gives_fewer() -> None:
    lists, shrank = count(30, heavier, as_it_is)
    assert lists >= 10
    assert shrank >= 1


@pytest.mark.parametrize("alike", [True, False], ids=["of a yarn that is there", "of another dye lot"])
def test_a_new_lot_never_gives_fewer(alike: bool) -> None:
    lists, shrank = count(40, with_a_new_lot(alike), as_it_is)
    assert lists >= 10
    assert shrank >= 1


def test_more_yarn_never_gives_fewer_when_strands_are_held_together() -> None:
    lengths: list[int] = []

    @given(st.sampled_from(range(10**9)))
    @settings(max_examples=8 * TIMES, deadline=None, derandomize=TIMES == 1)
    def run(seed: int) -> None:
        pick = Random(seed)
        bin, entries = generated.rich(seed, 4, 2, True)
        bin = replace(bin, lots=tuple(replace(lot, ball_g=None) for lot in bin.lots))
        catalogue = generated.cut(entries)
        before = made(bin, catalogue, 0.8, together=True)
        assert before <= made(heavier(bin, pick), catalogue, 0.8, together=True)
        assert before >= made(more_by_hand(by_hand(bin, pick), pick), catalogue, 0.8, together=True)
        lengths.append(len(before))

    run()
    assert sum(length > 0 for length in lengths) >= 3


@given(st.sampled_from(range(10**9)), st.floats(0, 500))
@settings(max_examples=60 * TIMES, deadline=None, derandomize=TIMES == 1)
def test_a_reserve_set_by_hand_on_one_lot_never_lowers_what_is_held_in_all(seed: int, metres: float) -> None:
    """It stands for a part of what the garment needs, so other lots of the same yarn and colour may go free for it."""
    bin, _, _, pick = some_bin(seed)
    place = pick.randrange(len(bin.lots))
    lower = changed(bin, place, generated.with_reserve(bin.lots[place], metres / 2))
    higher = changed(bin, place, generated.with_reserve(bin.lots[place], metres))
    assert sum(held_in(lower).values()) <= sum(held_in(higher).values()) + 1e-6


def _plain(name: str, grams: float, reserve_m: float) -> Lot:
    """A part-used lot of one wool in 400 tex, one grey and one dye lot."""
    tex = tex_from_ball(50.0, 125.0, WHOLE.measuring)
    wool = next(fibre for fibre in WHOLE.fibres if fibre.name == "wool")
    yarn = Yarn("plain wool", tex, "ball band", 3, generated.Blend(((wool, 1.0),)), "hand")
    grey = Colour("solid", (((50.0, 0.0, 0.0), 1.0),))
    length = length_on_hand(grams, tex, 1, yarn.blend, WHOLE.measuring)
    return Lot(name, "", yarn, grey, "", grams, 1, None, "1", "yes", reserve_m, "", "", "", length)


@pytest.mark.parametrize(
    ("sure", "grams"), [(0.95, range(6700, 6800, 10)), (0.99, range(7350, 7450, 10)), (0.999, range(8100, 8200, 10))]
)
def test_holding_the_last_metres_of_a_lot_never_gives_more(sure: float, grams: range) -> None:
    """A long lot just at the edge of a plain hat, beside a lot of which all but 2 m is held by hand."""
    catalogue = generated.cut({"hat-plain": ("adult medium",)})
    for hundredths in grams:
        long = _plain("long", hundredths / 100, 0.0)
        before = made(Bin((long, _plain("short", 24.0, 58.0)), {}), catalogue, sure)
        after = made(Bin((long, _plain("short", 24.0, 60.0)), {}), catalogue, sure)
        assert after <= before, f"{hundredths / 100:g} g: holding 2 m more makes a hat"

"""What is kept for mending is never offered; less yarn or more reserve never makes more possible.

The bins are generated; what can be made is the whole list of accessories that `suggest` finds (`top` is out of reach).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.actions.context import shelf_of
from matcher.actions.suggest import Matching, Wishes, suggest
from matcher.matching.pools import stock_of
from matcher.materials.colour import parse_colour
from matcher.materials.fibre import parse_blend
from matcher.materials.lots import Bin, Garment, Lot, Plan
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue import load_catalogue

CATALOGUE = load_catalogue()
SIZES = ("child", "adult medium", "one size")
SLOWLY = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))


def lot(name: str, garment: str, grams: float, colour: str, ball_m: float, **others: object) -> Lot:
    """A lot of one of two yarns, with a ball band."""
    blend = parse_blend("wool", CATALOGUE.fibres)
    tex = tex_from_ball(50.0, ball_m, CATALOGUE.measuring)
    made = Lot(
        name=name,
        garment=garment,
        yarn=Yarn(f"yarn {ball_m:.0f}", tex, "ball band", 3, blend, "hand"),
        colour=parse_colour(colour, CATALOGUE.colour_words),
        colour_name="",
        mass_g=grams,
        pieces=1,
        ball_g=50.0,
        dye_lot="7",
        label="yes",
        reserve_m=None,
        place="",
        note="",
        role="",
        length=length_on_hand(grams, tex, 1, blend, CATALOGUE.measuring),
    )
    return replace(made, **others)  # type: ignore[arg-type]


def garment(name: str, status: str, plans: tuple[Plan, ...] = ()) -> Garment:
    return Garment(name, "pullover", status, "", 96.0, 22.0, 29.0, plans, "", "")


@st.composite
def bins(draw: st.DrawFn) -> Bin:
    """Two to nine lots of two yarns in few colours, so that some count together; three garments."""
    lots = tuple(
        lot(
            f"lot {place}",
            draw(st.sampled_from(["", "worn", "given", "gone"])),
            float(draw(st.sampled_from([4, 9, 17, 28, 41, 49]))),
            draw(st.sampled_from(["navy", "cream", "#7f8285", "#80848a", "rust"])),
            draw(st.sampled_from([125.0, 100.0])),
            dye_lot=draw(st.sampled_from(["7", "8"])),
            reserve_m=draw(st.sampled_from([None, None, None, 0.0, 15.0])),
        )
        for place in range(draw(st.integers(2, 9)))
    )
    return Bin(lots, {name: garment(name, name) for name in ("worn", "given", "gone")})


def can_be_made(bin: Bin, held_together: bool) -> set[str]:
    """Keys of all accessories that can be made of the bin."""
    wishes = Wishes(sizes=SIZES, top=10_000, held_together=held_together)
    shelf = shelf_of(bin, CATALOGUE)
    matching = Matching(CATALOGUE, stock_of(shelf.pools, CATALOGUE.together), wishes)
    return {one.variant.accessory.key for one in matching.best()}


@SLOWLY
@given(bins())
def test_no_suggestion_touches_the_reserve(bin: Bin) -> None:
    held = {lot: metres for group in shelf_of(bin, CATALOGUE).groups for lot, metres in group.held.items()}
    found = suggest(bin, size=SIZES, top=10_000)
    for one in found.suggestions:
        for role in one.roles:
            if role.brought:
                continue
            free = sum(max(0.0, lot.length.mean - held.get(lot.name, 0.0)) for lot in role.lots)
            assert role.need_m <= free + 1e-9
            assert role.left_m >= -1e-9
            assert role.reserve_m == pytest.approx(sum(held.get(lot.name, 0.0) for lot in role.lots))
    # A lot that is held whole gives nothing: taking it out changes no suggestion's figures.
    whole = {lot.name for lot in bin.lots if held.get(lot.name, 0.0) >= lot.length.mean - 1e-9}
    without = {one.lot for one in found.unused}
    alone = {lot.name for pool in shelf_of(bin, CATALOGUE).pools if pool.free.mean <= 0 for lot in pool.lots}
    assert alone <= without
    assert alone <= whole


@SLOWLY
@given(bins(), st.data(), st.booleans())
def test_more_reserve_never_makes_more_possible(bin: Bin, data: st.DataObject, held_together: bool) -> None:
    before = can_be_made(bin, held_together)
    place = data.draw(st.integers(0, len(bin.lots) - 1))
    one = bin.lots[place]
    if data.draw(st.booleans()) and one.reserve_m is not None:
        changed = replace(one, reserve_m=one.reserve_m + 20.0)
        more = replace(bin, lots=(*bin.lots[:place], changed, *bin.lots[place + 1 :]))
    else:
        plans = (Plan("lengthen body 5 cm", "body", 5.0),)
        kept = {
            "gone": garment("gone", "given"),
            "given": garment("given", "worn"),
            "worn": garment("worn", "worn", plans),
        }
        more = replace(bin, garments=kept)
    assert can_be_made(more, held_together) <= before


@SLOWLY
@given(bins(), st.data(), st.booleans())
def test_more_yarn_never_makes_less_possible(bin: Bin, data: st.DataObject, held_together: bool) -> None:
    """More grams in a lot that stays part-used, or one more lot of no garment.

    A lot that grows into an unbroken ball is another matter: the reserve then moves to its part-used fellows, since
    full balls are to go free, and what they could have made with other lots may be gone.
    """
    before = can_be_made(bin, held_together)
    if data.draw(st.booleans()):
        new = lot(
            "new",
            "",
            data.draw(st.sampled_from([5.0, 20.0, 45.0])),
            data.draw(st.sampled_from(["navy", "cream"])),
            125.0,
        )
        more = replace(bin, lots=(*bin.lots, new))
    else:
        place = data.draw(st.integers(0, len(bin.lots) - 1))
        one = bin.lots[place]
        grams = one.mass_g + data.draw(st.sampled_from([1.0, 5.0, 20.0]))
        if one.mass_g < 47.5 <= grams:
            grams = 47.0
        length = length_on_hand(grams, one.yarn.tex, 1, one.yarn.blend, CATALOGUE.measuring)
        heavier = replace(one, mass_g=grams, length=length)
        more = replace(bin, lots=(*bin.lots[:place], heavier, *bin.lots[place + 1 :]))
    assert before <= can_be_made(more, held_together)

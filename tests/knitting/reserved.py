"""Lots, garments and bins to lay reserves on."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from matcher.knitting.mending.reserve import ReserveGroup, reserves
from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import Blend
from matcher.materials.lots import MENDING, Bin, Garment, Lot
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
DK = Yarn("plain wool", Estimate(380.0, 19.0), "ball band", 3, Blend(), "hand")
GREY = Colour("solid", (((50.0, 0.0, 0.0), 1.0),))


def lot(name: str, metres: float, **changes: object) -> Lot:
    first = Lot(
        name=name, garment="Anna's sweater", yarn=DK, colour=GREY, colour_name="grey", mass_g=metres * 0.38,
        pieces=1, ball_g=None, dye_lot="", label="", reserve_m=None, place="", note="", role="",
        length=Estimate(metres, 0.05 * metres),
    )  # fmt: skip
    return replace(first, **changes)


def garment(**changes: object) -> Garment:
    """One for which every repair is kept for at once, unless a test says otherwise."""
    first = Garment("Anna's sweater", "pullover", "worn", "", None, None, None, (), "", "", mending="all")
    return replace(first, **changes)


def groups(lots: list[Lot], one: Garment | None = None) -> tuple[ReserveGroup, ...]:
    owner = one or garment()
    return reserves(Bin(tuple(lots), {owner.name: owner}), CATALOGUE.repairs, CATALOGUE.fabric, CATALOGUE.sizes)


def only(lots: list[Lot], one: Garment | None = None) -> ReserveGroup:
    (found,) = groups(lots, one)
    return found


@st.composite
def bins(draw: st.DrawFn, dye_lots: tuple[str, ...] = ("",)) -> Bin:
    owners = [
        garment(
            name=f"garment {number}",
            kind=draw(st.sampled_from(list(CATALOGUE.repairs.kinds))),
            status=draw(st.sampled_from(["worn", "given", "gone"])),
            mending=draw(st.sampled_from(["", *MENDING])),
        )
        for number in range(2)
    ]
    lots = []
    for number in range(draw(st.integers(1, 7))):
        metres = draw(st.floats(0.5, 400))
        lots.append(
            lot(
                f"lot {number}",
                metres,
                garment=draw(st.sampled_from(["", "garment 0", "garment 1"])),
                role=draw(st.sampled_from(["", "main", "contrast 1", "contrast 2"])),
                colour_name=draw(st.sampled_from(["grey", "red"])),
                ball_g=draw(st.sampled_from([None, 25.0, 50.0])),
                pieces=draw(st.integers(1, 3)),
                reserve_m=draw(st.one_of(st.none(), st.floats(0, 300))),
                dye_lot=draw(st.sampled_from(dye_lots)),
            )
        )
    return Bin(tuple(lots), {one.name: one for one in owners})

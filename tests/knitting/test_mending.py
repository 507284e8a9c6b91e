"""Which repairs yarn is kept for: little, usual or all; and which a kind of garment has."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from reserved import CATALOGUE, bins, garment, groups, lot, only

from matcher.knitting.mending.reserve import ReserveGroup, reserves
from matcher.materials.lots import MENDING, Alteration, Bin, Garment


def areas(one: ReserveGroup) -> list[str]:
    return [str(line.area) for line in one.working]


def test_little_is_darned_holes_alone() -> None:
    for kind in CATALOGUE.repairs.kinds:
        said = areas(only([lot("a", 900, role="main")], garment(kind=kind, mending="little")))
        assert all("darned holes" in area for area in said)
        assert len(said) == 1


def test_usual_is_darned_holes_and_enough_for_any_one_larger_repair() -> None:
    """Of each colour as much as the repair takes that takes most of it, whichever comes."""
    lots = [lot("m", 900, role="main"), lot("c", 900, role="contrast 1", colour_name="red")]
    for kind in CATALOGUE.repairs.kinds:
        usual = groups(lots, garment(kind=kind, mending="usual"))
        everything = groups(lots, garment(kind=kind, mending="all"))
        for one, whole in zip(usual, everything, strict=True):
            darns = [line.length_m for line in whole.working if "darned" in str(line.area)]
            larger = [line.length_m for line in whole.working if "darned" not in str(line.area)]
            assert sum(line.length_m for line in one.working) == pytest.approx(sum(darns) + max(larger, default=0))
    main, contrast = groups(lots, garment(kind="yoke pullover", mending="usual"))
    assert "one larger repair such as both cuffs knitted again" in str(main.because)
    assert "one larger repair such as two patches in the yoke" not in str(contrast.because), "there is only one"
    assert "two patches in the yoke" in str(contrast.because)


def test_usual_where_nothing_is_written_down_but_for_a_wish() -> None:
    def kept(one: Garment, *wish: str) -> ReserveGroup:
        bin = Bin((lot("a", 900),), {one.name: one})
        (found,) = reserves(bin, CATALOGUE.repairs, CATALOGUE.fabric, CATALOGUE.sizes, *wish)
        return found

    open_ = garment(mending="")
    assert kept(open_) == kept(garment(mending="usual"))
    assert kept(open_, "little") == kept(garment(mending="little"))
    assert kept(garment(mending="all"), "little") == kept(garment(mending="all")), "what she wrote down goes first"
    assert [kept(garment(mending=one)).mending for one in MENDING] == list(MENDING)
    assert kept(garment(status="gone")).mending == ""


def test_a_plan_is_kept_for_at_every_choice() -> None:
    plan = (Alteration("lengthen body 5 cm", "body", 5.0),)
    for one in MENDING:
        assert 'the plan "lengthen body 5 cm"' in areas(only([lot("a", 900)], garment(alterations=plan, mending=one)))


@pytest.mark.parametrize(
    ("kind", "has"),
    [
        ("pullover", "elbow cuffs"),
        ("vest", "armhole"),
        ("tank top", "armhole"),
        ("summer top", "sleeve edges"),
        ("T-shirt", "sleeve edges"),
        ("short-sleeved yoke pullover", "sleeve edges yoke"),
        ("Yoke pullover with short sleeves", "sleeve edges yoke"),
        ("sleeveless dress", "armhole"),
        ("long-sleeved top", "elbow cuffs"),
        ("child cardigan, short sleeved", "sleeve edges"),
    ],
)
def test_only_long_sleeves_have_elbows_and_cuffs(kind: str, has: str) -> None:
    said = " ".join(areas(only([lot("a", 900, role="main")], garment(kind=kind))))
    found = [word for word in ("elbow", "cuffs", "sleeve edges", "armhole", "yoke", "buttonhole") if word in said]
    assert " ".join(found) == has


@given(bins(("", "1", "2")))
def test_a_larger_choice_never_leaves_more_free(some: Bin) -> None:
    """In all of one yarn and colour: between dye lots a repair may move."""
    before = None
    for one in MENDING:
        chosen = replace(some, garments={name: replace(own, mending=one) for name, own in some.garments.items()})
        found = reserves(chosen, CATALOGUE.repairs, CATALOGUE.fabric, CATALOGUE.sizes)
        freed = [sum(group.freed.values()) for group in found]
        assert all(now <= then + 1e-9 for now, then in zip(freed, before or freed, strict=True))
        before = freed

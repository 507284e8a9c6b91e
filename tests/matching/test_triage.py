"""One advice a lot: each kind of lot its own, the order, what she decides; and the reach against plain counting."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from generated import bins
from hypothesis import given, settings

from matcher.actions.desk import Desk
from matcher.knitting.fabric import tex_range
from matcher.knitting.mending.reserve import surplus
from matcher.matching.reach import reach_of
from matcher.matching.triage import (
    ADVICE,
    BAG,
    FREE,
    FREE_ALL,
    FULL,
    KEEP,
    SHORT,
    TAG,
    WEIGH,
    Advice,
    triage,
)
from matcher.materials.lots import Bin, Decision
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import bin_from_sheets

CATALOGUE = load_catalogue()
BABIES = frozenset(size for size in CATALOGUE.sizes.names if CATALOGUE.sizes.wearer(size) == "baby")
HEAD = "lot,garment,role,yarn,colour,grams,ball_grams,ball_metres,class,fibre,wash,pieces,dye_lot,label,reserve,place\n"
GARMENTS = "garment,kind,status\npullover,pullover,worn\nvest,vest,gone\n"


def advised(bin: Bin, least_z: float = 1.645) -> list[Advice]:
    shelf = Desk(bin, CATALOGUE).undecided
    held = {lot.name: 0.0 for lot in bin.lots} | {name: m for group in shelf.groups for name, m in group.held.items()}
    variants = Desk(Bin(()), CATALOGUE).variants
    free = surplus(bin, shelf.groups)
    return list(triage(bin, free, held, shelf.pools, variants, CATALOGUE.fabric, CATALOGUE.triage, least_z, BABIES))


@pytest.fixture
def advice(tmp_path: Path):
    def of(rows: str) -> dict[str, Advice]:
        (tmp_path / "lots.csv").write_text(HEAD + rows)
        (tmp_path / "garments.csv").write_text(GARMENTS)
        return {one.lot.name: one for one in advised(bin_from_sheets(tmp_path, CATALOGUE))}

    return of


BAND = "50,125,,wool,hand"


@pytest.mark.parametrize(
    ("row", "expected", "because"),
    [
        (f"a,pullover,main,w,navy,10,{BAND},1,8,yes,,", KEEP, "kept to mend pullover"),
        (f"a,pullover,main,w,navy,120,{BAND},3,8,yes,,", FREE, "pullover keeps"),
        (f"a,,,w,navy,40,{BAND},1,8,yes,,", FREE, "not from any garment, so 100 m are free"),
        (f"a,vest,main,w,navy,40,{BAND},1,8,yes,,", FREE_ALL, "vest is gone, so all 100 m are free"),
        (f"a,,,w,navy,49,{BAND},1,8,yes,,", FULL, "1 unbroken ball of 122 m"),
        (f"a,vest,main,w,navy,100,{BAND},2,8,yes,,", FULL, "2 unbroken balls of 125 m, and vest is gone"),
        (f"a,,,,navy,40,{BAND},1,8,no,,", TAG, "no label; known: 400 tex, 100% wool, wash by hand, dye lot 8, 40 g"),
        (f"a,,,w,navy,40,{BAND},1,,partly,,", TAG, "not known: dye lot"),
        ("a,,,,navy,40,,,3,,,1,,,,", TAG, "label not recorded"),
        (f"a,,,w,navy,2340,{BAND},30,8,yes,,", WEIGH, "2340 g in 30 pieces is more than balls of 50 g weigh"),
        ("a,,,,navy,1240,,,3,,,24,,no,,", TAG, "known: class 3, 1240 g, about"),
        (f"a,pullover,main,w,navy,90,{BAND},2,8,yes,8.4,", FREE, "you hold back 8.4 m, and 216 m are free"),
        (f"a,,,w,navy,90,{BAND},1,8,yes,,", WEIGH, "90 g in 1 piece is more than balls of 50 g weigh"),
        (f"a,,,w,navy,20,{BAND},1,8,yes,80,", WEIGH, "you hold back 80 m, but its weight says only 50 m"),
        ("a,,,w,navy,1.5,,,3,wool,,1,8,yes,,", WEIGH, "going by its weight class it may be 2.8 m or 4.6 m"),
        (f"a,,,w,navy,1,{BAND},1,8,yes,,", SHORT, "2.5 m free; the smallest use needs"),
        (f"a,,,w,navy,20,{BAND},1,8,yes,50,", KEEP, "you hold back 50 m, all that is there"),
    ],
)
def test_each_kind_of_lot(advice, row: str, expected: str, because: str):
    found = advice(row + "\n")["a"]
    assert (found.advice, because in str(found.because)) == (expected, True), found


def test_what_is_too_short_says_what_it_could_do(advice):
    """1 g of 400 tex is 2.5 m. The square by Munden's figures, worked out here: stitches a cm2 are Ks / l2."""
    found = advice(f"a,,,w,navy,1,{BAND},1,8,yes,,\n")["a"]
    fabric = CATALOGUE.fabric
    loop_cm = math.sqrt(400) / fabric.tightness
    side_cm = math.sqrt(250 / loop_cm / (fabric.Kc * fabric.Kw / loop_cm**2))
    assert f"a plain square of {side_cm:.0f} cm" in str(found.because)


def test_scraps_of_one_yarn_go_into_one_bag(advice):
    rows = [f"scrap {place},,,w,navy,3,{BAND},1,8,yes,,box\n" for place in range(4)]
    found = advice("".join(rows))
    assert {one.advice for one in found.values()} == {BAG}
    # 3 g are 7.5 m; each join but one costs two tails of 15 cm.
    assert f"with 3 others it makes {4 * 7.5 - 3 * 0.3:.0f} m, enough for" in str(found["scrap 0"].because)
    # Another dye lot is no like.
    other = advice(rows[0] + rows[1].replace(",8,yes", ",9,yes"))
    assert BAG not in {one.advice for one in other.values()}


def test_a_bag_says_where_the_others_lie(advice):
    found = advice(f"a,,,w,navy,20,{BAND},1,8,yes,,box\nb,,,w,navy,22,{BAND},1,8,yes,,drawer\n")
    assert str(found["a"].because).startswith("with b it makes 105 m, enough for ")
    assert str(found["a"].because).endswith("; look in: drawer")
    assert str(found["b"].because).endswith("; look in: box")


def test_a_scrap_of_no_use_goes_to_the_ball_of_its_like_and_not_the_other_way(advice):
    found = advice(f"ball,,,w,navy,40,{BAND},1,8,yes,,\nscrap,,,w,navy,1,{BAND},1,8,yes,,\n")
    assert (found["scrap"].advice, found["ball"].advice) == (BAG, FREE)


def test_a_ball_that_mending_needs_is_no_full_ball_to_give_back(advice):
    found = advice(f"a,pullover,main,w,navy,50,{BAND},1,8,yes,,\n")["a"]
    assert found.advice != FULL
    assert found.free_m < 125


def test_what_has_most_at_stake_comes_first(advice):
    found = list(
        advice(
            f"kept,pullover,main,w,navy,10,{BAND},1,8,yes,,\n"
            f"small,vest,,w,cream,20,{BAND},1,8,yes,,\n"
            f"unlabelled,pullover,contrast 1,w,red,30,{BAND},1,8,no,,\n"
            f"large,vest,,w,green,45,{BAND},1,8,yes,,\n"
            f"short,,,w,black,1,{BAND},1,8,yes,,\n"
        ).values()
    )
    assert [one.lot.name for one in found] == ["large", "unlabelled", "small", "short", "kept"]
    # Nobody could say what the unlabelled one is: all its 75 m are at stake, not the free ones alone.
    assert [round(one.stake_m) for one in found] == [112, 75, 50, 0, 0]


def test_what_she_decides_goes_before_the_figures(tmp_path: Path):
    (tmp_path / "lots.csv").write_text(f"{HEAD}a,,,w,navy,40,{BAND},1,8,yes,,\nb,,,w,red,30,{BAND},1,8,yes,,\n")
    bin = bin_from_sheets(tmp_path, CATALOGUE)
    found = advised(replace(bin, decisions={"a": Decision(KEEP, "2026-11-20"), "b": Decision(FREE, "2026-11-21")}))
    assert [(one.lot.name, one.advice, one.decided_on) for one in found] == [
        ("b", FREE, "2026-11-21"),
        ("a", KEEP, "2026-11-20"),
    ]
    assert str(found[0].because) == "you decided this on 2026-11-21"
    assert str(found[1].because).startswith(
        "you decided this on 2026-11-20; the figures say: free the surplus, since not"
    )
    # It would be free, and is not while she keeps it.
    assert found[1].free_m == 0


@given(bins(most=7, classes=(1, 3, 4)))
@settings(deadline=None, max_examples=25)
def test_every_lot_gets_one_advice_whatever_the_order_of_rows(bin: Bin):
    found = advised(bin)
    assert sorted(one.lot.name for one in found) == sorted(lot.name for lot in bin.lots)
    turned = advised(Bin(tuple(reversed(bin.lots)), bin.garments))
    assert [(one.lot.name, one.advice, one.because) for one in turned] == [
        (one.lot.name, one.advice, one.because) for one in found
    ]
    for one in found:
        assert one.advice in ADVICE
        assert "  " not in str(one.because)
        if one.advice in (FREE, FREE_ALL, FULL, BAG):
            assert one.free_m > 0
        if one.advice == FREE_ALL:
            assert bin.garments[one.lot.garment].status == "gone"


def test_reach_is_what_plain_counting_finds():
    """Without any spread or chance to spare: the smallest role that suits, and the largest one that is covered."""
    variants = Desk(Bin(()), CATALOGUE).variants
    lengths = [0.5, 3.0, 9.0, 31.0, 90.0, 400.0]
    texes = [30.0, 120.0, 250.0, 400.0, 640.0, 1500.0, 9000.0]
    pairs = [(length, tex) for length in lengths for tex in texes]
    reach = reach_of(
        [one[0] for one in pairs], [0.0] * len(pairs), [one[1] for one in pairs], variants, CATALOGUE.fabric, 0
    )
    every = [variant for several in variants.values() for variant in several]
    for place, (length, tex) in enumerate(pairs):
        alone = [
            one
            for one in every
            if tex_range(one.gauge, CATALOGUE.fabric)[0] <= tex <= tex_range(one.gauge, CATALOGUE.fabric)[1]
        ]
        strand = [one for one in every if tex <= tex_range(one.gauge, CATALOGUE.fabric)[1]]
        least = min((need.length_m for one in strand for need in one.filled), default=None)
        found = reach.least[place]
        assert (found.length_m if found else None) == least
        assert reach.enough[place] == (least is not None and least <= length)
        whole = [one.needs[0].length_m for one in alone if len(one.needs) == 1 and not one.needs[0].bring]
        part = [need.length_m for one in alone if len(one.needs) > 1 for need in one.filled]
        covered = [m for m in whole if m <= length] or [m for m in part if m <= length]
        most = reach.most[place]
        assert (most.length_m if most else None) == (max(covered) if covered else None)

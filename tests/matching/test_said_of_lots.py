"""What is said of lots that lack something is true: of their dye lots, of what is short, of why nothing takes them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import matcher
from matcher.actions.desk import Desk
from matcher.actions.roles import role_yarn, yarn_warnings
from matcher.matching.pools import Pool
from matcher.matching.ranking.lacks import Lack
from matcher.matching.ranking.near_miss import _more
from matcher.matching.ranking.unused import held
from matcher.materials.lots import Bin
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import bin_from_sheets

CATALOGUE = load_catalogue()
HEAD = "lot,garment,grams,colour,ball_grams,ball_metres,yarn,fibre,dye_lot,reserve\n"


def bin_of(folder: Path, *rows: str) -> Bin:
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return bin_from_sheets(folder, CATALOGUE)


def pool_of(bin: Bin) -> Pool:
    return Desk(bin, CATALOGUE).shelf.pools[0]


def moss(name: str, grams: float, bath: str = "", fibre: str = "wool") -> str:
    return f"{name},,{grams},#6b7f4a,50,125,plain wool,{fibre},{bath},"


@pytest.mark.parametrize(
    ("baths", "said"),
    [
        (("", ""), "the same yarn and colour, perhaps of another dye lot, with 35 m free: compare in daylight"),
        (("7", ""), "the same yarn and colour, perhaps of another dye lot, with 35 m free: compare in daylight"),
        (("7", "8"), "the same yarn and colour in another dye lot, with 35 m free: compare them in daylight"),
        (("7", "7"), "the same yarn, colour and dye lot, with 35 m free"),
    ],
)
def test_dye_lots_are_told_apart_only_where_both_are_written_down(tmp_path: Path, baths: tuple[str, str], said: str):
    two = bin_of(tmp_path, moss("moss", 20, baths[0]), moss("more moss", 14, baths[1], "80% wool 20% nylon"))
    near = matcher.suggest(two, kind="cowl").near_misses
    assert near
    assert all(f"more moss is {said}" in map(str, one.lacks) for one in near)


@pytest.mark.parametrize(
    ("baths", "said"),
    [(("7", "8"), "two dye lots of one colour"), (("7", ""), "one colour, perhaps of two dye lots,"), (("", ""), None)],
)
def test_of_two_roles_in_one_colour_too(tmp_path: Path, baths: tuple[str, str], said: str | None):
    two = bin_of(tmp_path, *(moss(f"moss {at}", 20, bath) for at, bath in enumerate(baths)))
    warnings = [str(one) for one in yarn_warnings(Desk(two, CATALOGUE).shelf.pools)]
    assert any(said in one for one in warnings) if said else not any("dye lot" in one for one in warnings)


def test_lots_without_dye_lots_are_alternated_all_the_same(tmp_path: Path):
    several = bin_of(tmp_path, moss("moss", 60), moss("moss 2", 30), moss("moss 3", 30))
    (joined, *_) = (one for one in matcher.instead("moss", metres="110", bin=several).stand_ins if one.how == "joined")
    said = [str(words) for words in joined.changes]
    assert "no dye lots are written down; alternate the lots every two rows where they meet" in said


def test_nothing_is_short_by_none(tmp_path: Path):
    tiny = Lack("main", 0.04, 0)
    assert str(tiny.words) == "just short"
    assert str(Lack("main", 0.06, 0).words) == "0.1 m short"
    assert str(Lack("main", 37.2, 0).words) == "37 m short"
    loose = pool_of(bin_from_class(tmp_path))
    for units in ("metric", "imperial", "mixed"):
        assert Style(units).say(_more(loose, 0.04)) == "find a little more of it"
        assert not Style(units).say(_more(loose, 0.5)).startswith("find 0 ")


@pytest.mark.parametrize(
    ("counts", "said"),
    [
        ((1, 0), "fog + fog 2"),
        ((2, 0), "fog + fog 2 (2 strands)"),
        ((1, 1), "fog + fog 2 & moss (2 strands)"),
        ((2, 1), "2 x fog + fog 2 & moss (3 strands)"),
    ],
)
def test_which_lots_are_the_strands_is_told_as_it_is_typed(tmp_path: Path, counts: tuple[int, int], said: str):
    fog = [f"{name},,40,#c3c6c8,50,125,plain wool,wool,3," for name in ("fog", "fog 2")]
    desk = Desk(bin_of(tmp_path, *fog, moss("moss", 20)), CATALOGUE)
    strands = [(pool, count) for pool, count in zip(desk.shelf.pools, counts, strict=True) if count]
    role = role_yarn(desk.variants["hat-ribbed"][0].filled[0], strands, ())
    assert str(role.said(lambda lot: lot.name)) == said


def bin_from_class(folder: Path) -> Bin:
    (folder / "lots.csv").write_text("lot,grams,colour,class\nmoss,20,#6b7f4a,3\n", encoding="utf-8")
    return bin_from_sheets(folder, CATALOGUE)


def test_what_lacks_of_lots_one_after_the_other_may_be_more_of_either(tmp_path: Path):
    several = bin_of(tmp_path, moss("moss", 60), moss("moss 2", 30), moss("moss 3", 30))
    lacks = [str(words) for one in matcher.instead("moss", metres="400", bin=several).nearest for words in one.lacks]
    assert any(words.endswith(" m more of moss 2 or moss 3") for words in lacks)
    assert not any("short" in words for words in lacks)


def test_of_a_yarn_that_suits_nothing_it_is_not_said_that_she_asked_for_something(tmp_path: Path):
    thick = bin_of(tmp_path, moss("moss", 100), "rope,,400,#6b7f4a,100,10,rope,wool,,")
    (why,) = (one.why for one in matcher.suggest(thick).unused if one.lot == "rope")
    assert str(why) == "too fine or too thick for anything that was looked for (10000 tex)"


def test_what_is_on_the_needles_is_not_gone(tmp_path: Path):
    plain = bin_of(tmp_path, "moss,,100,#6b7f4a,50,125,plain wool,wool,,400")
    lot = plain.lots[0]

    def said(claimed_m: float) -> str:
        return str(held(pool_of(replace(plain, lots=(replace(lot, claimed_m=claimed_m),)))))

    assert said(0.0) == "you keep all 250 m of it"
    assert said(250.0) == "all of it is set aside for what is on the needles"
    assert said(100.0) == "you keep all 150 m of it; 100 m are set aside for what is on the needles"


def test_what_is_in_the_piece_already_is_never_offered_for_what_it_lacks(tmp_path: Path):
    """Another dye lot may be another of its contrasts, and can give that role nothing."""
    cream = "cream,,12,#f3efe4,50,125,plain wool,wool,9,"
    two = bin_of(tmp_path, moss("moss", 20, "7"), moss("more moss", 14, "8"), cream)
    (near,) = (one for one in matcher.suggest(two).near_misses if len(one.suggestion.roles) > 3)
    taken = {lot.name for role in near.suggestion.roles for lot in role.lots}
    assert taken == {"moss", "more moss", "cream"}
    assert len(near.lacks) == 3
    assert not any("is the same yarn" in str(lack) for lack in near.lacks)

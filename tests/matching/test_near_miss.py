"""What came close, and what it lacks.

What is said to be lacking is checked against the normal distribution (scipy), and by adding it: with the metres
named the thing can be made, with a little less it cannot.
"""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import norm

import matcher
from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.lacks import lacks
from matcher.matching.ranking.near_miss import largest_of, near_misses
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.matching.ranking.unused import Unused, why_unused
from matcher.matching.variants import Variant
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import bin_from_sheets

CATALOGUE = load_catalogue()
HEAD = "lot,grams,colour,ball_grams,ball_metres,yarn,fibre,dye_lot\n"
CHANCE = 0.95


def bin_of(folder: Path, *rows: str) -> Path:
    (folder / "lots.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return folder


def stock(folder: Path) -> Stock:
    return stock_of(Desk(bin_from_sheets(folder, CATALOGUE), CATALOGUE).shelf.pools, CATALOGUE.together)


def variant(key: str, size: str, tex: float) -> Variant:
    """The variant of an accessory at the gauge that a yarn of this tex suits best."""
    several = [one for one in Desk(Bin(()), CATALOGUE).variants[key] if one.size == size]
    usual = CATALOGUE.fabric.tightness
    return min(several, key=lambda one: abs((usual * one.gauge.loop_cm) ** 2 - tex))


def found(one: Variant, *pools: int) -> Found:
    return Found(0.0, {}, 0.0, one, tuple(((pool, 1),) for pool in pools))


def chance_of(one: Variant, role: int, have_m: float, sd_m: float) -> float:
    """Of one log-normal need and one length whose edge at 1.645 standard deviations is a normal one's."""
    need = one.filled[role]
    of_need = np.hypot(need.shared_sd_m, need.own_sd_m) / need.length_m
    of_yarn = -np.log(1.0 - 1.645 * sd_m / have_m) / 1.645
    return float(norm.cdf(np.log(have_m / need.length_m) / np.hypot(of_need, of_yarn)))


def test_the_metres_named_are_those_that_make_it_sure(tmp_path: Path):
    """More of the same yarn comes with more of the same error, as a label gives it."""
    bin_of(tmp_path, "moss,20,#6b7f4a,50,125,plain wool,wool,1")
    have, one = stock(tmp_path), variant("hat-ribbed", "adult medium", 400.0)
    (lack,) = lacks(found(one, 0), have, CHANCE)
    assert lack.role == "main"
    free, sd = float(have.free_m[0]), float(have.sd_m[0])
    assert free < one.length_m[0]
    after = free + lack.metres
    assert chance_of(one, 0, after, sd * after / free) == pytest.approx(CHANCE, abs=0.001)
    assert chance_of(one, 0, after - 1.0, sd * (after - 1.0) / free) < CHANCE


def test_with_what_it_lacks_it_can_be_made(tmp_path: Path):
    narrow = {"kind": "hat", "size": "adult medium"}
    bin_of(tmp_path, "moss,20,#6b7f4a,50,125,plain wool,wool,1")
    before = matcher.suggest(tmp_path, **narrow)
    assert len(before) == 0
    near = next(one for one in before.near_misses if len(one.suggestion.roles) == 1)
    words = next(str(one) for one in near.lacks if "short" in str(one))
    metres = float(re.match(r"main is (\d+) m short \(moss\)", words)[1])
    grams = 20 + (metres + 1) * 50 / 125
    bin_of(tmp_path, f"moss,{grams:.2f},#6b7f4a,50,125,plain wool,wool,1")
    after = matcher.suggest(tmp_path, top=100, **narrow)
    assert near.suggestion.accessory in [one.accessory for one in after]


def test_the_ball_to_buy_holds_what_is_lacking(tmp_path: Path):
    bin_of(tmp_path, "moss,20,#6b7f4a,50,125,plain wool,wool,1")
    for near in matcher.suggest(tmp_path, kind="cowl").near_misses:
        for words in near.lacks:
            metres, rest = re.match(r".* is (\d+) m short .*: buy (.*)$", str(words)).groups()
            balls = 1 if rest.startswith("one ") else int(rest.split()[0])
            assert (balls - 1) * 125 <= float(metres) + 0.5
            assert balls * 125 >= float(metres) - 0.5


def test_only_the_role_that_is_short_is_named(tmp_path: Path):
    bin_of(tmp_path, "cream,100,#efe6d0,50,125,plain wool,wool,1", "navy,4,#1f2a4a,50,125,plain wool,wool,2")
    have, one = stock(tmp_path), variant("hat-stranded-all-over", "adult medium", 400.0)
    at = {pool.name: place for place, pool in enumerate(have.pools)}
    assert [lack.role for lack in lacks(found(one, at["cream"], at["navy"]), have, CHANCE)] == ["contrast 1"]
    assert [lack.role for lack in lacks(found(one, at["navy"], at["navy"]), have, CHANCE)] == ["main", "contrast 1"]


def test_nothing_is_lacking_where_there_is_plenty(tmp_path: Path):
    bin_of(tmp_path, "cream,300,#efe6d0,50,125,plain wool,wool,1")
    assert lacks(found(variant("hat-ribbed", "adult medium", 400.0), 0), stock(tmp_path), CHANCE) == []


def test_of_two_that_are_each_sure_but_not_together_one_is_named(tmp_path: Path):
    bin_of(tmp_path, "cream,100,#efe6d0,50,125,plain wool,wool,1", "navy,100,#1f2a4a,50,125,plain wool,wool,2")
    have, one = stock(tmp_path), variant("hat-stranded-all-over", "adult medium", 400.0)
    of_need = np.array([np.hypot(need.shared_sd_m, need.own_sd_m) / need.length_m for need in one.filled])
    of_yarn = -np.log(1.0 - 1.645 * 0.3) / 1.645
    free_m = one.length_m * np.exp((norm.ppf(CHANCE) + 0.02) * np.hypot(of_need, of_yarn))
    sd_m = 0.3 * free_m
    have = replace(have, sd_m=sd_m, free_m=free_m)
    assert [chance_of(one, role, have.free_m[role], sd_m[role]) > CHANCE for role in (0, 1)] == [True, True]
    missing = lacks(found(one, 0, 1), have, CHANCE)
    assert len(missing) == 1, "each alone is sure enough, both together are not: something is lacking"
    assert missing[0].metres > 0


def test_a_near_miss_never_lacks_nothing(tmp_path: Path):
    """Two short ends: every near miss says what is missing, and no amount is rounded to none."""
    bin_of(tmp_path, "lichen,3.6,#8a9a5b,100,420,sock yarn,wool,1", "plum,3.9,#5b2a4a,100,420,sock yarn,wool,2")
    near = matcher.suggest(tmp_path).near_misses
    assert near
    for one in near:
        assert one.lacks
        for words in one.lacks:
            assert " 0 m short" not in str(words), f"{one.suggestion.accessory}: {words}"


def test_colours_that_do_not_read_are_told_as_such(tmp_path: Path):
    bin_of(tmp_path, "fog,200,#c3c6c8,50,125,plain wool,wool,1", "pearl,200,#aeb1b3,50,125,plain wool,wool,2")
    found_ = matcher.suggest(tmp_path, kind="mitts", least_contrast="readable")
    made = {one.accessory for one in found_}
    stranded = [one for one in found_.near_misses if one.suggestion.contrasts]
    assert stranded
    for one in stranded:
        assert one.suggestion.accessory not in made
        assert "colours that read: the nearest pair is only quiet" in map(str, one.lacks)
        assert {contrast.judged.verdict for contrast in one.suggestion.contrasts} == {"quiet"}
    assert not any("short" in str(words) for one in stranded for words in one.lacks), "there is plenty of yarn"


def test_what_is_accepted_as_quiet_is_not_called_vanishing(tmp_path: Path):
    """Two greys that differ in the hand: all stitches fall below *readable*, which nobody asked for."""
    bin_of(tmp_path, "fog,200,#c3c6c8,50,125,plain wool,wool,1", "pearl,200,#aeb1b3,50,125,plain wool,wool,2")
    found_ = matcher.suggest(tmp_path, kind="mitts", least_contrast="quiet")
    pairs = [contrast for one in found_ for contrast in one.contrasts]
    assert pairs
    assert {contrast.judged.verdict for contrast in pairs} == {"quiet"}
    assert {contrast.judged.vanishing for contrast in pairs} == {0.0}
    assert not any("vanish" in str(words) for one in found_ for words in one.warnings)
    nearly = matcher.suggest(tmp_path, kind="mitts", least_contrast="readable").near_misses
    missed = [one.suggestion for one in nearly if one.suggestion.contrasts]
    assert missed
    assert all(any("all stitches vanish" in str(words) for words in one.warnings) for one in missed)


def test_near_misses_are_what_could_not_be_made_the_nearest_first(tmp_path: Path):
    bin_of(tmp_path, "cream,30,#efe6d0,50,125,plain wool,wool,1", "navy,9,#1f2a4a,50,125,plain wool,wool,2")
    found_ = matcher.suggest(tmp_path, top=100)
    made = {one.accessory for one in found_}
    near = [one.suggestion for one in found_.near_misses]
    assert made
    assert 0 < len(near) <= 5
    assert not made & {one.accessory for one in near}
    assert len({one.accessory for one in near}) == len(near)
    scores = [one.found.score for one in near]
    assert scores == sorted(scores, reverse=True)
    assert all(one.found.sure < CHANCE for one in near)


def test_a_smaller_size_that_fits_is_named(tmp_path: Path):
    """There is enough for a child's hat, and the knitter asked for an adult's."""
    bin_of(tmp_path, "moss,56,#6b7f4a,50,125,plain wool,wool,1")
    near = matcher.suggest(tmp_path, kind="hat", size="adult large").near_misses
    told = [words for one in near for words in map(str, one.lacks) if words.startswith("fits the size ")]
    assert told
    child = told[0].removeprefix("fits the size ")
    assert child != "adult large"
    assert len(matcher.suggest(tmp_path, kind="hat", size=child)) > 0


def test_the_pools_with_most_yarn_are_kept_in_their_order(tmp_path: Path):
    rows = [f"lot {n:02},{10 + 7 * n % 50},#{n:02x}8040,50,125,plain wool,wool,{n}" for n in range(12)]
    whole = stock(bin_of(tmp_path, *rows))
    few = largest_of(whole, 5)
    kept = [pool.name for pool in few.pools]
    assert kept == sorted(kept)
    left_out = [pool for pool in whole.pools if pool.name not in kept]
    assert min(pool.free.mean for pool in few.pools) >= max(pool.free.mean for pool in left_out)
    for place, pool in enumerate(few.pools):
        assert few.free_m[place] == pool.free.mean
        assert few.sd_m[place] == pool.free.sd
        assert few.tex[place] == pool.yarn.tex.mean
        assert tuple(few.labs[few.part[place, 0]]) == pool.colour.parts[0][0]
    assert largest_of(whole, 12) is whole


def test_what_can_be_made_is_no_near_miss_however_short_the_list():
    """The demo: a thing below the first ten can still be made, and something is missing from every near miss."""
    lists = [matcher.suggest(top=top) for top in (1, 10, 200)]
    made = {one.accessory for one in lists[-1]}
    for found in lists:
        for near in found.near_misses:
            one = near.suggestion
            assert one.accessory not in made
            too_quiet = any(contrast.judged.verdict in ("quiet", "merges") for contrast in one.contrasts)
            assert one.found.sure < CHANCE or too_quiet, f"{one.accessory}: {near.lacks}"


def test_near_misses_and_unused_lots_need_no_search_before(tmp_path: Path):
    """They are told what can be made, and find the same whether or not the list has been worked out."""
    bin_of(tmp_path, "cream,30,#efe6d0,50,125,plain wool,wool,1", "navy,9,#1f2a4a,50,125,plain wool,wool,2")
    have = stock(tmp_path)
    scope = scope_of(Desk(Bin(()), CATALOGUE).variants, Wishes(kinds=("hat", "cowl"), top=100))

    def told(searched: bool) -> tuple[list[object], list[Unused]]:
        searcher = searcher_of(have, scope, CATALOGUE)
        if searched:
            search_scope(searcher, scope)
        near = near_misses(searcher, scope, CATALOGUE, frozenset())
        return [(one.found, one.lacks) for one in near], why_unused(have.pools, searcher, scope, ())

    near, unused = told(False)
    assert near
    assert told(True) == (near, unused)

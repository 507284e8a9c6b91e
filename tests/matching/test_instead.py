"""What can stand in for a yarn, against all ways tried one by one; what must hold of any bin; and what is said of the demo's."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations, combinations_with_replacement

import definitions
import generated
import pytest
from agreement import examples
from definitions import Together
from hypothesis import assume, given
from hypothesis import strategies as st
from skimage.color import deltaE_ciede2000

from matcher.actions.desk import Desk
from matcher.matching.instead.beside import Asked, besides
from matcher.matching.instead.nearest import nearest
from matcher.matching.instead.search import stand_ins
from matcher.matching.instead.table import Table
from matcher.matching.instead.way import PARTS, Way, Weigher
from matcher.matching.pools import pools_of
from matcher.materials.lots import Bin, Lot
from matcher.materials.uncertain import Estimate

WHOLE = generated.WHOLE
RULES, TOGETHER, TAIL_M = WHOLE.instead, WHOLE.together, WHOLE.fabric.tail_m
Free = Mapping[str, Estimate]
Question = tuple[Lot, float, Bin, Free]
Named = tuple[bool, tuple[tuple[str, int], ...]]  # joined or not, and each pool by name with its strands


# What the program finds -----------------------------------------------------------------------------------


def found(lot: Lot, metres: float, bin: Bin, free: Free, top: int, sure: float = 0.95) -> list[Way]:
    others = [one for one in bin.lots if one.name != lot.name]
    pools = [one for one in pools_of(others, free, TAIL_M) if one.free.mean > 0]
    asked = Asked(lot.name, lot.yarn, lot.colour, metres, lot)
    weigher = Weigher(asked, free, WHOLE)
    return stand_ins(Table(besides(asked, pools, WHOLE), weigher), sure, top)


def named(way: Way) -> Named:
    return way.joined, tuple((one.name, count) for one, count in zip(way.members, way.strands, strict=True))


# All ways, tried one by one -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Tried:
    name: Named
    score: float
    sure: float


class Trial:
    """Every way to stand in for a lot, by the words of the rule and not by the program's own road."""

    def __init__(self, lot: Lot, metres: float, bin: Bin, free: Free, sure: float) -> None:
        self.lot, self.metres, self.free, self.sure = lot, metres, free, sure
        others = [one for one in bin.lots if one.name != lot.name]
        pools = [one for one in definitions.together(others, free, TAIL_M) if one.free.mean > 0]
        # They go by the name of the first lot that is free.
        first = [min((free[lot.name].mean <= 0, lot.name) for lot in one.lots)[1] for one in pools]
        self.pools = [replace(one, name=name) for one, name in zip(pools, first, strict=True)]

    def best(self) -> list[Tried]:
        """All that are enough, in order."""
        tried = [one for one in (*self._held(), *self._joined()) if one.sure >= self.sure]
        return sorted(tried, key=lambda one: (-round(one.score, 9), *_order(one.name)))

    def _held(self) -> Iterator[Tried]:
        for number in (1, 2, 3):
            for strands in combinations_with_replacement(self.pools, number):
                several = sorted({one.name: one for one in strands}.values(), key=lambda one: one.name)
                several.sort(key=lambda one: -strands.count(one))
                counts = [strands.count(one) for one in several]
                tex = sum(one.yarn.tex.mean for one in strands)
                if not self._thick(tex) or any(self._apart(one) > RULES.most_delta_e for one in several):
                    continue
                handling = RULES.strand_factor ** (number - 1) * (TOGETHER.marl_factor if len(several) > 1 else 1.0)
                need = self.metres * math.sqrt(self.lot.yarn.tex.mean / tex)
                spread = math.hypot(*(one.yarn.tex.sd for one in strands)) / tex
                shared = 0.5 * math.hypot(spread, self._doubt(self.lot))
                if number == 1 and self._same(several[0]):
                    shared = 0.0
                sure = self._sure(
                    [(one.free, need * count) for one, count in zip(several, counts, strict=True)], shared
                )
                name = (False, tuple((one.name, count) for one, count in zip(several, counts, strict=True)))
                yield Tried(name, self._score(several, [tex], handling), sure)

    def _joined(self) -> Iterator[Tried]:
        for number in (2, 3):
            for several in combinations(sorted(self.pools, key=lambda one: one.name), number):
                if not self._may_join(several):
                    continue
                if any(
                    self._one_after_the_other(fewer) >= self.sure
                    for less in range(1, number)
                    for fewer in combinations(several, less)
                ):
                    continue
                handling = RULES.join_factor ** (number - 1)
                score = self._score(several, [one.yarn.tex.mean for one in several], handling)
                yield Tried((True, tuple((one.name, 1) for one in several)), score, self._one_after_the_other(several))

    def _may_join(self, several: tuple[Together, ...]) -> bool:
        if not all(self._thick(one.yarn.tex.mean) and self._apart(one) <= RULES.most_delta_e for one in several):
            return False
        return all(
            _delta_e(a, b) <= RULES.hardly_delta_e
            and definitions.thickness(a.yarn.tex.mean, b.yarn.tex.mean, TOGETHER) == 1.0
            and definitions.beside(a.yarn, b.yarn, TOGETHER) == 1.0
            for a, b in combinations(several, 2)
        )

    def _one_after_the_other(self, several: tuple[Together, ...]) -> float:
        lots = [lot for one in several for lot in one.lots]
        length = definitions._joined([self.free[lot.name] for lot in lots], TAIL_M)
        thinnest = min(one.yarn.tex.mean for one in several)
        need = self.metres * math.sqrt(self.lot.yarn.tex.mean / thinnest)
        doubts = [0.0 if self._same(one) else math.hypot(self._doubt(one), self._doubt(self.lot)) for one in several]
        return self._sure([(length, need)], 0.5 * max(doubts))

    def _sure(self, each: list[tuple[Estimate, float]], shared: float) -> float:
        spare = [math.log(free.mean / need) for free, need in each]
        own = [max(definitions.on_logarithm(free), 0.04 * shared, 1e-9) for free, _ in each]
        return definitions.sure(spare, [shared] * len(each), own)

    def _thick(self, tex: float) -> bool:
        return definitions.thickness(tex, self.lot.yarn.tex.mean, TOGETHER) > 0

    def _doubt(self, one: Lot | Together) -> float:
        return one.yarn.tex.sd / one.yarn.tex.mean

    def _apart(self, one: Together) -> float:
        return _delta_e(self.lot, one)

    def _one_yarn(self, one: Together) -> bool:
        """A yarn without a name is the same as no other, but where lots count as one."""
        return self._one_lot(one) or (bool(self.lot.yarn.name) and self.lot.yarn.name == one.yarn.name)

    def _one_lot(self, one: Together) -> bool:
        return len(definitions.together([self.lot, one.lots[0]], self.free, TAIL_M)) == 1

    def _same(self, one: Together) -> bool:
        return self._one_yarn(one) and self.lot.yarn.tex == one.yarn.tex

    def _score(self, several: list[Together] | tuple[Together, ...], texes: list[float], handling: float) -> float:
        own = self.lot.yarn
        kept = {"hand": 0.0, "unknown": RULES.care_unknown, "machine": 1.0}
        parts = {
            "look": min(1 - self._apart(one) / RULES.most_delta_e for one in several),
            "gauge": min(
                1 - math.log(max(tex, own.tex.mean) / min(tex, own.tex.mean)) / math.log(TOGETHER.tex_ratio_blocks)
                for tex in texes
            ),
            "fibre": min(
                definitions.beside(own, one.yarn, TOGETHER)
                * (definitions.on_skin(one.yarn, TOGETHER) if own.blend.known else 1.0)
                for one in several
            ),
            "care": min(kept[one.yarn.wash] if own.wash == "machine" else 1.0 for one in several),
            "kin": min(
                1.0 if self._one_lot(one) else TOGETHER.one_yarn_kindred if self._one_yarn(one) else 0.0
                for one in several
            ),
            "handling": handling,
        }
        return sum(value * getattr(RULES, f"weight_{name}") for name, value in parts.items())


def _order(name: Named) -> tuple[object, ...]:
    joined, members = name
    return (
        sum(count for _, count in members),
        not joined,
        tuple(one for one, _ in members),
        tuple(count for _, count in members),
    )


def _delta_e(a: Lot | Together, b: Lot | Together) -> float:
    """Of the stitches that differ most from all of the other's."""
    mine, theirs = ([lab for lab, _ in one.colour.stitches()] for one in (a, b))
    there = max(min(float(deltaE_ciede2000(one, other)) for other in theirs) for one in mine)
    back = max(min(float(deltaE_ciede2000(one, other)) for other in mine) for one in theirs)
    return max(there, back)


# Bins in which lots are like enough for much to stand in ----------------------------------------------------


@st.composite
def questions(draw: st.DrawFn, most: int = 7) -> Question:
    """A lot, how much of it is wanted, its bin, and what is free there."""
    classes = draw(st.sampled_from([(3, 4), (1, 4), (0, 1, 2), (1, 2, 5), (1, 2, 4)]))
    bin = draw(generated.bins(most, classes, least=3))
    # Shades of the first lot's colour, so that some are hardly told apart and some just stand in.
    base = bin.lots[0].colour
    steps = [0.0, 0.0, 0.0, 1.1, 2.3, 4.7, 9.1, 16.3]
    lots = [
        replace(one, colour=_lighter(base, draw(st.sampled_from(steps)))) if draw(st.integers(0, 3)) else one
        for one in bin.lots
    ]
    bin = replace(bin, lots=tuple(lots))
    metres = float(draw(st.sampled_from([7, 31, 60, 118, 333])))
    lot = draw(st.sampled_from(lots))
    # Of what is so much thicker, several strands stand in.
    thick = replace(lot.yarn, tex=lot.yarn.tex.times(draw(st.sampled_from([1.0, 1.0, 1.0, 2.3, 3.1]))))
    return replace(lot, yarn=thick), metres, bin, Desk(bin, WHOLE).shelf.free


def _lighter(colour: generated.Colour, by: float) -> generated.Colour:
    moved = tuple(((min(lab[0] + by, 99.0), lab[1], lab[2]), share) for lab, share in colour.parts)
    return replace(colour, parts=moved)


def test_the_same_ways_in_the_same_order_as_all_tried_one_by_one():
    met: set[str] = set()

    @examples(75)
    @given(questions(), st.sampled_from([1, 3, 10, 1000]), st.sampled_from([0.5, 0.95, 0.95, 0.999]))
    def agree(question: Question, top: int, sure: float) -> None:
        lot, metres, bin, free = question
        expected = Trial(lot, metres, bin, free, sure).best()
        ways = found(lot, metres, bin, free, top, sure)
        assert [named(one) for one in ways] == [one.name for one in expected[:top]]
        assert [one.score for one in ways] == pytest.approx([one.score for one in expected[:top]], abs=1e-9)
        assert [one.sure for one in ways] == pytest.approx([one.sure for one in expected[:top]], abs=1e-5)
        for joined, members in (one.name for one in expected):
            met.add("joined" if joined else f"{len(members)} of {sum(count for _, count in members)}")

    agree()
    assert met == {"joined", "1 of 1", "1 of 2", "1 of 3", "2 of 2", "2 of 3", "3 of 3"}, "the bins hold all of it"


# What holds of any bin ------------------------------------------------------------------------------------


@examples(30)
@given(questions())
def test_a_lot_never_stands_in_for_itself(question: Question):
    lot, metres, bin, free = question
    ways = found(lot, metres, bin, free, 1000)
    assert all(one.name != lot.name for way in ways for member in way.members for one in member.pool.lots)


@examples(30)
@given(questions())
def test_a_lot_of_equal_yarn_colour_and_dye_lot_comes_first(question: Question):
    lot, metres, bin, free = question
    lot = replace(lot, dye_lot="7", yarn=replace(lot.yarn, name="soft"))
    like = replace(lot, name="its like", garment="")
    others = tuple(one for one in bin.lots if one.name != lot.name)
    enough = {**free, like.name: Estimate(4 * metres, 0.1 * metres)}
    first = found(lot, metres, replace(bin, lots=(*others, lot, like)), enough, 3)[0]
    assert like.name in {one.name for one in first.members[0].pool.lots}
    assert first.score == pytest.approx(1.0)


@examples(40)
@given(questions(), st.sampled_from([1.05, 1.5, 4.0]), st.data())
def test_more_metres_never_lower_a_rank(question: Question, times: float, data: st.DataObject):
    lot, metres, bin, free = question
    others = [one.name for one in bin.lots if one.name != lot.name and free[one.name].mean > 0]
    assume(others)
    grown = data.draw(st.sampled_from(others))
    more = {**free, grown: free[grown].times(times)}
    before, after = (_rank(grown, found(lot, metres, bin, one, 1000)) for one in (free, more))
    assert after <= before


def _rank(name: str, ways: list[Way]) -> int:
    """The first place of a lot; beyond all places where it has none."""
    holds = [any(name == lot.name for one in way.members for lot in one.pool.lots) for way in ways]
    return holds.index(True) if True in holds else 10**6


@examples(30)
@given(questions())
def test_nothing_is_promised_that_is_not_free(question: Question):
    lot, metres, bin, free = question
    for way in found(lot, metres, bin, free, 1000):
        for have, need in zip(way.free, way.needed_m, strict=True):
            assert need <= have.mean + 1e-9
        held = sum(free[one.name].mean for member in way.members for one in member.pool.lots)
        assert sum(one.mean for one in way.free) <= held + 1e-9


@examples(30)
@given(questions())
def test_what_is_near_says_what_it_lacks_and_misses_least_first(question: Question):
    lot, metres, bin, free = question
    others = [one for one in bin.lots if one.name != lot.name]
    pools = [one for one in pools_of(others, free, TAIL_M) if one.free.mean > 0]
    asked = Asked(lot.name, lot.yarn, lot.colour, 50 * metres, lot)
    weigher = Weigher(asked, free, WHOLE)
    assume(not found(lot, asked.need_m, bin, free, 1))
    beside = besides(asked, pools, WHOLE)
    near = nearest(beside, Table(beside, weigher), 0.95)
    assert bool(near) == bool(pools)
    assert len(near) <= RULES.nearest
    assert all(one.lacks and one.missed > 0 for one in near)
    assert [one.missed for one in near] == sorted(one.missed for one in near)


def test_the_weights_come_to_one():
    assert sum(getattr(RULES, f"weight_{name}") for name in PARTS) == pytest.approx(1.0)

"""Which single purchase opens most: all classes, kinds of fibre, colours and amounts of a grid are tried.

For each amount, small to large, the yarn that opens most for it, where that is more than a smaller purchase does; then
the smallest that opens what none of those does. Equals go by how the things made of them score, then by how far other
colours may lie from the one tried, then by the order of the catalogue.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import partial

import numpy as np

from matcher.matching.gap.bench import Bench, Flags, Ground
from matcher.matching.gap.offers import Offer, amounts_tried, colours_tried
from matcher.matching.gap.ranges import Around, ColourRange
from matcher.matching.ranking.found import Found
from matcher.materials.fibre import FibreToBuy
from matcher.materials.yarn import WeightClass

Progress = Callable[[int, int], None]
Balls = tuple[int, float]
"""How many, and grams of one."""


@dataclass(frozen=True)
class Purchase:
    """A yarn to buy, and what it opens.

    offer : the very yarn that was tried. opens : keys of what it makes possible, with the least balls that do. balls :
    the least whole balls of each size that open all of it. colours, tex : how far others may differ and still do.
    any_colour : whether every colour of the grid does.
    """

    offer: Offer
    opens: dict[str, int]
    balls: tuple[Balls, ...]
    colours: ColourRange
    tex: tuple[float, float]
    any_colour: bool


@dataclass(frozen=True)
class Purchases:
    """The purchases, and how many were tried: classes, kinds of fibre, colours, amounts, and beside how many yarns.

    held_together : whether new yarn was tried held together with other lots. never : what none opens; more : what
    others open than those that are shown.
    """

    found: tuple[Purchase, ...]
    tried: tuple[int, int, int, int, int]
    held_together: bool
    never: tuple[str, ...]
    more: tuple[str, ...]


@dataclass(frozen=True)
class _Yarn:
    of_class: WeightClass
    kind: FibreToBuy


_Could = dict[_Yarn, list[str]]
"""What each yarn opens in some colour."""
_CouldOf = Callable[[Balls], _Could]


@dataclass(frozen=True)
class _Pick:
    """A colour of a yarn in an amount, and what it opens."""

    offer: Offer
    keys: tuple[str, ...]
    any_colour: bool


def purchases(ground: Ground, most_g: float, progress: Progress | None = None) -> Purchases:
    """The purchases of at most so many grams that open most."""
    return _Search(ground, most_g, progress).run()


class _Search:
    def __init__(self, ground: Ground, most_g: float, progress: Progress | None) -> None:
        rules = ground.rules
        self.ground, self.progress = ground, progress
        self.colours, self.amounts = colours_tried(rules.purchase), amounts_tried(most_g, rules.purchase)
        self.yarns = [_Yarn(of_class, kind) for of_class in rules.classes for kind in rules.fibres_to_buy]
        self.benches: dict[tuple[_Yarn, Balls], Bench] = {}
        self.done, self.number = 0, len(self.yarns) + int(rules.purchase.shown)

    def run(self) -> Purchases:
        ground, rules = self.ground, self.ground.rules
        could = self._could()
        opened = {key for of_yarns in could.values() for keys in of_yarns.values() for key in keys}
        picks = self._picks(could, opened)
        shown = picks[: int(rules.purchase.shown)]
        found = []
        for pick in shown:
            found.append(self._refined(pick))
            self._step()
        found.sort(key=lambda one: (-len(one.opens), one.offer.grams))
        told = {key for one in found for key in one.opens}
        return Purchases(
            tuple(found),
            (len(rules.classes), len(rules.fibres_to_buy), len(self.colours), len(self.amounts), ground.lots),
            ground.marls,
            tuple(key for key in ground.wanted if key not in opened),
            tuple(key for key in ground.wanted if key in opened and key not in told),
        )

    def _picks(self, could: Mapping[Balls, _Could], opened: Set[str]) -> list[_Pick]:
        """Those that open most for an amount; then of each class that is not among them the least that opens most; then
        the least for whatever none of these opens."""
        wanted = self.ground.wanted
        picks: list[_Pick] = []

        def least(amounts: _CouldOf, among: Sequence[str], beat: int = 0) -> _Pick | None:
            tried = (self._pick(amount, amounts(amount), among, beat) for amount in self.amounts)
            return next((one for one in tried if one is not None), None)

        while (pick := least(could.__getitem__, wanted, max((len(one.keys) for one in picks), default=0))) is not None:
            picks.append(pick)
        for of_class in self.ground.rules.classes:
            if any(one.offer.of_class is of_class for one in picks):
                continue

            def within(amount: Balls, of_class: WeightClass = of_class) -> _Could:
                return {yarn: keys for yarn, keys in could[amount].items() if yarn.of_class is of_class}

            most = max(map(len, within(self.amounts[-1]).values()), default=0)
            if most and (pick := least(within, wanted, most - 1)) is not None:
                picks.append(pick)
        for key in wanted:
            if key in opened and not any(key in one.keys for one in picks):
                pick = least(could.__getitem__, (key,))
                picks += [pick] if pick is not None else []
        return picks

    def _step(self) -> None:
        self.done += 1
        if self.progress:
            self.progress(min(self.done, self.number), self.number)

    def _could(self) -> dict[Balls, _Could]:
        """For each amount and yarn, what it opens in some colour."""
        could: dict[Balls, _Could] = {amount: {} for amount in self.amounts}
        for yarn in self.yarns:
            for key in self.ground.wanted:
                # Less yarn opens nothing that more doesn't; and that nothing opens it takes longest to tell.
                if not self._does(yarn, key, self.amounts[-1]):
                    continue
                least = bisect_left(self.amounts[:-1], True, key=partial(self._does, yarn, key))
                for amount in self.amounts[least:]:
                    could[amount].setdefault(yarn, []).append(key)
            self._step()
        return could

    def _does(self, yarn: _Yarn, key: str, amount: Balls) -> bool:
        return self._bench(yarn, amount).any_opens(key) is not None

    def _bench(self, yarn: _Yarn, amount: Balls) -> Bench:
        if (yarn, amount) not in self.benches:
            tex = yarn.of_class.tex.mean
            offers = [Offer(yarn.of_class, yarn.kind, lab, tex, *amount) for lab in self.colours]
            self.benches[yarn, amount] = self.ground.bench(offers)
        return self.benches[yarn, amount]

    def _pick(self, amount: Balls, could: _Could, among: Sequence[str], beat: int = 0) -> _Pick | None:
        """The yarn and colour that open most of these things for an amount; None where they are no more than `beat`."""
        able = {yarn: tuple(key for key in keys if key in among) for yarn, keys in could.items()}
        benches = {yarn: self._bench(yarn, amount) for yarn in able if len(able[yarn]) > beat}
        ranked = sorted(benches, key=lambda yarn: (-len(able[yarn]), -self._score(benches[yarn], able[yarn])))
        best: _Pick | None = None
        for yarn in ranked:
            if len(able[yarn]) <= max(beat, len(best.keys) if best is not None else 0):
                break  # all that follow open no more in any colour
            bench = benches[yarn]
            opens = np.array([bench.opens(key) for key in able[yarn]])
            number = opens.sum(axis=0)
            if number.max() <= max(beat, len(best.keys) if best is not None else 0):
                continue
            place = self._well_within(number == number.max(), bench, able[yarn])
            does = tuple(key for key, one in zip(able[yarn], opens[:, place], strict=True) if one)
            best = _Pick(bench.offers[place], does, bool((number == number.max()).all()))
        return best

    def _score(self, bench: Bench, keys: Sequence[str]) -> float:
        """How what was found of these things scores, to a hundredth: nobody would tell closer ones apart."""
        return round(sum(self._found(bench, key) for key in keys), 2)

    def _found(self, bench: Bench, key: str) -> float:
        if key not in bench.witness:  # that less yarn does told that this much would
            bench.any_opens(key)
        return max((one.score for one in bench.witness.get(key, ())), default=0.0)

    def _well_within(self, does: Flags, bench: Bench, keys: Sequence[str]) -> int:
        """Of the colours that do one that lies well among them, and in which most was found."""
        labs, well = np.array(self.colours), 3 * self.ground.rules.purchase.range_step_ab
        used = [max(one.pools) - bench.own for key in keys for one in bench.witness.get(key, ())]
        margin = {
            place: float(np.linalg.norm(labs[~does] - labs[place], axis=1).min(initial=well))
            for place in np.flatnonzero(does).tolist()
        }
        return max(margin, key=lambda place: (margin[place], used.count(place), -place))

    def _refined(self, pick: _Pick) -> Purchase:
        does = _Does(self.ground, pick.offer)
        balls = self._least_balls(pick, does)
        number, ball_g = min(balls, key=lambda one: (one[0] * one[1], one[0]))
        opens = dict.fromkeys(pick.keys, number)
        for key in opens:
            while opens[key] > 1 and does(key, opens[key] - 1, ball_g):
                opens[key] -= 1
        offer = pick.offer.in_balls(number, ball_g)
        around = Around(self.ground, offer, pick.keys)
        colours = around.colours()
        return Purchase(offer, opens, balls, colours, around.thicknesses(colours), pick.any_colour)

    def _least_balls(self, pick: _Pick, does: _Does) -> tuple[Balls, ...]:
        """The least whole balls of each size that open all that was picked."""
        found: dict[float, int] = {}
        # The largest first: what is not enough with the fewest joins is not enough with more of them.
        for ball_g in sorted(self.ground.rules.purchase.balls_g, reverse=True):
            number = math.ceil(pick.offer.grams / ball_g)
            while number > 1 and all(does(key, number - 1, ball_g) for key in pick.keys):
                number -= 1
            found[ball_g] = number
        return tuple((found[ball_g], ball_g) for ball_g in self.ground.rules.purchase.balls_g)


class _Does:
    """Whether a yarn in so many balls opens a thing, held together with other lots too where she allows that.

    What was found for more of it is tried first; and as much in fewer balls, which have fewer joins, does no worse.
    """

    def __init__(self, ground: Ground, offer: Offer) -> None:
        self.ground, self.offer = ground, offer
        self._benches: dict[Balls, Bench] = {}
        self._enough: dict[str, list[Balls]] = {}
        self._too_little: dict[str, list[Balls]] = {}

    def __call__(self, key: str, number: int, ball_g: float) -> bool:
        asked = number, ball_g
        enough, too_little = (told.setdefault(key, []) for told in (self._enough, self._too_little))
        if any(_no_worse(asked, one) for one in enough):
            return True
        if any(_no_worse(one, asked) for one in too_little):
            return False
        does = self._opens(key, asked)
        (enough if does else too_little).append(asked)
        return does

    def witness(self, key: str, balls: Balls) -> list[Found]:
        """Ways to make a thing with so many balls that were found."""
        bench = self._benches.get(balls)
        return bench.witness.get(key, []) if bench else []

    def _opens(self, key: str, balls: Balls) -> bool:
        known = [one for bench in self._benches.values() for one in bench.witness.get(key, ())]
        bench = self._benches.setdefault(balls, self.ground.bench([self.offer.in_balls(*balls)]))
        if (same := next((one for one in known if bench.suffices(one)), None)) is not None:
            bench.witness.setdefault(key, []).append(same)
            return True
        return bench.any_opens(key, marls=self.ground.marls) is not None


def _no_worse(one: Balls, other: Balls) -> bool:
    """Whether some balls of a yarn are as much as others, in no more of them."""
    return one[0] * one[1] >= other[0] * other[1] and one[0] <= other[0]

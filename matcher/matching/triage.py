"""One advice for each lot, with its reason: what to keep, what to let go, and what to see to before it is lost."""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from matcher.knitting.fabric import FabricConstants, gauge_of_tex
from matcher.matching.facts import doubt, facts, nameable
from matcher.matching.pools import Pool
from matcher.matching.reach import reach_of
from matcher.matching.variants import Variant
from matcher.materials.lots import KEEP, Bin, Decision, Garment, Lot
from matcher.materials.rules import TriageRules
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Length, Measure
from matcher.reasons.reason import Term, Words, counted, listed, reason

FREE = "free the surplus"
FREE_ALL = "free all of it"
FULL = "back to the full balls"
TAG = "tag it now"
WEIGH = "weigh it"
BAG = "bag it with its like"
SHORT = "too short"
# Where nothing is at stake, what can be done comes before what only stays.
ADVICE = (TAG, WEIGH, FREE_ALL, FULL, FREE, BAG, SHORT, KEEP)
_RANK = {advice: rank for rank, advice in enumerate(ADVICE)}

_Advised = tuple[str, Words]


@dataclass(frozen=True)
class Advice:
    """What to do with a lot, and why. stake_m: the metres that it frees, or that are at risk; decided_on: the day
    she decided it by hand, "" where the tool advises."""

    lot: Lot
    advice: str
    because: Words
    free_m: float
    stake_m: float
    decided_on: str = ""


def triage(
    bin: Bin,
    free: Mapping[str, Estimate],
    held: Mapping[str, float],
    pools: Sequence[Pool],
    variants: Mapping[str, Sequence[Variant]],
    constants: FabricConstants,
    rules: TriageRules,
    least_z: float,
    not_named: Container[str] = (),
) -> tuple[Advice, ...]:
    """One advice a lot, what has most at stake first; what she decided by hand goes before ours.

    At stake are the metres that the advice frees; with a lot that nobody could name or measure again, all its metres;
    with what stays as it is, none. Equal stakes go by name.

    Parameters
    ----------
    free, held : metres of each lot that no reserve holds, and that one holds, whatever she decided.
    pools : the lots, like ones together.
    least_z : how many standard deviations must be to spare for a length to be called enough.
    not_named : sizes that are no example of what a lot could do: a baby's, since they ask for care of their own.
    """
    adviser = _Adviser(bin, free, held, pools, variants, constants, rules, least_z, not_named)
    advised = [_as_decided(adviser.advise(lot), bin.decisions.get(lot.name)) for lot in bin.lots]
    return tuple(sorted(advised, key=lambda one: (-round(one.stake_m, 6), _RANK[one.advice], one.lot.name)))


def _as_decided(ours: Advice, decided: Decision | None) -> Advice:
    """What she decided, beside what the figures say; nothing is free of what she keeps."""
    if decided is None or decided.advice not in ADVICE:
        return ours
    because = reason("you decided this on {day}", day=decided.made_on)
    if decided.advice != ours.advice:
        both = "{because}; the figures say: {advice}, since {figures}"
        because = reason(both, because=because, advice=Term(ours.advice), figures=ours.because)
    free_m = 0.0 if decided.advice == KEEP else ours.free_m
    stake_m = _stake(decided.advice, ours.lot, free_m)
    return Advice(ours.lot, decided.advice, because, free_m, stake_m, decided.made_on)


def _stake(advice: str, lot: Lot, free_m: float) -> float:
    if advice in (TAG, WEIGH):
        return lot.length.mean
    return 0.0 if advice in (KEEP, SHORT) else free_m


class _Adviser:
    def __init__(
        self,
        bin: Bin,
        free: Mapping[str, Estimate],
        held: Mapping[str, float],
        pools: Sequence[Pool],
        variants: Mapping[str, Sequence[Variant]],
        constants: FabricConstants,
        rules: TriageRules,
        least_z: float,
        not_named: Container[str],
    ) -> None:
        self.bin, self.free, self.held, self.constants, self.rules = bin, free, held, constants, rules
        self.pool_of = {lot.name: place for place, pool in enumerate(pools) for lot in pool.lots}
        self.pools = pools

        # Lots that count with others are asked about alone as well.
        several = [lot for pool in pools if len(pool.lots) > 1 for lot in pool.lots]
        lengths = [*(pool.free for pool in pools), *(free[lot.name] for lot in several)]
        tex = [*(pool.yarn.tex.mean for pool in pools), *(lot.yarn.tex.mean for lot in several)]
        means, spreads = [one.mean for one in lengths], [one.sd for one in lengths]
        self.together = reach_of(means, spreads, tex, variants, constants, least_z, not_named)
        self.alone = {lot.name: most for lot, most in zip(several, self.together.most[len(pools) :], strict=True)}

    def advise(self, lot: Lot) -> Advice:
        free_m = self.free[lot.name].mean
        advice, because = self._judge(lot, free_m)
        return Advice(lot, advice, because, free_m, _stake(advice, lot, free_m))

    def _judge(self, lot: Lot, free_m: float) -> _Advised:
        """What is at risk first; then whole balls; then what the free metres can do; what stays comes last."""
        wrong = doubt(lot, self.rules)
        if wrong is not None:
            return WEIGH, wrong
        if lot.label in ("no", "partly") or (not lot.label and not nameable(lot)):
            return TAG, facts(lot)
        if free_m < self.rules.nothing_m:
            return KEEP, self._why_held(lot)
        garment = self.bin.garments.get(lot.garment)
        return (
            self._full(lot, free_m, garment)
            or self._bag(lot)
            or self._short(lot, free_m, garment)
            or self._free(lot, free_m, garment)
        )

    def _why_held(self, lot: Lot) -> Words:
        if lot.length.mean < self.rules.nothing_m:
            return reason("nothing of it is left")
        held = self.held[lot.name]
        if held < self.rules.nothing_m:
            return reason("all of it is set aside for what is on the needles")
        if lot.reserve_m is not None:
            said = reason("you hold back {held}, all that is there", held=Length(held))
        else:
            said = reason("all {held} are kept to mend {garment}", held=Length(held), garment=lot.garment)
        if lot.claimed_m < self.rules.nothing_m:
            return said
        return reason(
            "{said}; {claimed} are set aside for what is on the needles", said=said, claimed=Length(lot.claimed_m)
        )

    def _full(self, lot: Lot, free_m: float, garment: Garment | None) -> _Advised | None:
        """A lot of unbroken balls alone, at least one of them free."""
        if not lot.full_balls or lot.full_balls != lot.pieces:
            return None
        ball_m = lot.full_balls_m / lot.full_balls
        balls = math.floor(free_m / ball_m * (1 + 1e-9) + lot.full_ball_tolerance)
        if balls < 1:
            return None
        unbroken = counted(balls, "{n} unbroken ball of {m}", "{n} unbroken balls of {m}", m=Length(ball_m))
        if garment is None:
            return FULL, reason("{balls}, not from any garment", balls=unbroken)
        if garment.status == "gone":
            return FULL, reason("{balls}, and {garment} is gone", balls=unbroken, garment=garment.name)
        one, many = "{balls} isn't needed to mend {garment}", "{balls} aren't needed to mend {garment}"
        return FULL, counted(balls, one, many, balls=unbroken, garment=garment.name)

    def _bag(self, lot: Lot) -> _Advised | None:
        """Several scraps of one yarn, colour and dye lot, or one that is no use without its like."""
        place = self.pool_of[lot.name]
        pool, task = self.pools[place], self.together.most[place]
        if len(pool.lots) == 1 or task is None or not self._scrap(lot):
            return None
        others = [one for one in self._others(lot, pool) if one.full_balls != one.pieces]
        mates = [one for one in others if self._scrap(one)] or ([] if self.alone[lot.name] else others)
        if not mates:
            return None
        makes = "with {others} it makes {length}, enough for {task}"
        because = reason(makes, others=_names(mates), length=Length(pool.free.mean), task=task.words)
        apart = sorted({one.place for one in mates} - {lot.place, ""})
        return BAG, reason("{because}; look in: {places}", because=because, places=listed(apart)) if apart else because

    def _others(self, lot: Lot, pool: Pool) -> list[Lot]:
        """Lots of a pool of which something is free, besides this one."""
        return [one for one in pool.lots if one is not lot and self.free[one.name].mean >= self.rules.nothing_m]

    def _scrap(self, lot: Lot) -> bool:
        """Less than a part of a ball, or nothing can be made of it alone; of a lot that has its like."""
        return self.alone[lot.name] is None or bool(
            lot.ball_g and lot.mass_g < self.rules.scrap_ball_share * lot.ball_g
        )

    def _short(self, lot: Lot, free_m: float, garment: Garment | None) -> _Advised | None:
        place = self.pool_of[lot.name]
        least, pool = self.together.least[place], self.pools[place]
        if self.together.enough[place] or least is None:
            return None
        held, pool_m = self.held[lot.name], pool.free.mean
        needs = reason("the smallest use needs {length} ({task})", length=Length(least.length_m), task=least.words)
        if lot.yarn.tex_from == "class" and pool_m + pool.free.sd >= least.length_m:
            maybe = "going by its weight class it may be {low} or {high}, and {needs}; weigh {sample} of it to find out"
            low, high = Length(max(0.0, pool_m - pool.free.sd)), Length(pool_m + pool.free.sd)
            return WEIGH, reason(maybe, low=low, high=high, needs=needs, sample=Length(self.rules.weigh_length_m))
        if garment is not None and garment.status != "gone" and held >= self.rules.nothing_m:
            kept = "{held} are kept to mend {garment}; the other {free} make nothing"
            return KEEP, reason(kept, held=Length(held), garment=garment.name, free=Length(free_m))
        have: Words = reason("{free} free", free=Length(free_m))
        if pool_m - free_m >= self.rules.nothing_m:
            have = reason("{have} ({together} with its like)", have=have, together=Length(pool_m))
        because = reason("{have}; {needs}", have=have, needs=needs)
        if pool_m >= least.length_m:
            because = reason("{because}, leaving no safety margin", because=because)
        square = Measure(round(self._square_cm(lot, pool_m)))
        return SHORT, reason("{because}; enough for a plain square of {side}", because=because, side=square)

    def _square_cm(self, lot: Lot, length_m: float) -> float:
        """Side of the largest square of plain knitting [cm]."""
        gauge = gauge_of_tex(lot.yarn.tex.mean, self.constants)
        stitches_cm2 = gauge.stitches_10cm * gauge.rows_10cm / 100.0
        return math.sqrt(100.0 * length_m / gauge.loop_cm / stitches_cm2)

    def _free(self, lot: Lot, free_m: float, garment: Garment | None) -> _Advised:
        advice, said = self._freed(lot, free_m, garment)
        could = self._could(lot)
        return advice, reason("{said}, {could}", said=said, could=could) if could is not None else said

    def _could(self, lot: Lot) -> Words | None:
        """What could be made of it, alone or with its like."""
        place = self.pool_of[lot.name]
        pool, task = self.pools[place], self.together.most[place]
        if len(pool.lots) > 1 and (alone := self.alone[lot.name]) is not None:
            return reason("enough for {task}", task=alone.words)
        if task is not None:
            others = self._others(lot, pool)
            if others:
                return reason("with {others} enough for {task}", others=_names(others), task=task.words)
            return reason("enough for {task}", task=task.words)
        return reason("enough to hold together with another yarn") if self.together.enough[place] else None

    def _freed(self, lot: Lot, free_m: float, garment: Garment | None) -> _Advised:
        """Why it is free: of whom, and what is held of it."""
        held, free = self.held[lot.name], Length(free_m)
        if garment is not None and garment.status == "gone" and held < self.rules.nothing_m:
            if lot.claimed_m < self.rules.nothing_m:
                return FREE_ALL, reason("{garment} is gone, so all {free} are free", garment=garment.name, free=free)
            but = "{garment} is gone; but for {claimed} on the needles {free} are free"
            return FREE_ALL, reason(but, garment=garment.name, claimed=Length(lot.claimed_m), free=free)
        if held >= self.rules.nothing_m:
            if lot.reserve_m is not None:
                return FREE, reason("you hold back {held}, and {free} are free", held=Length(held), free=free)
            keeps = "{garment} keeps {held}, and {free} are free"
            return FREE, reason(keeps, garment=lot.garment, held=Length(held), free=free)
        if garment is not None:
            elsewhere = "mending yarn for {garment} is kept on other balls, so {free} are free"
            return FREE, reason(elsewhere, garment=garment.name, free=free)
        return FREE, reason("not from any garment, so {free} are free", free=free)


def _names(lots: Sequence[Lot]) -> Words:
    if len(lots) <= 2:
        return listed((one.name for one in lots), "and")
    return counted(len(lots), "{n} other", "{n} others")

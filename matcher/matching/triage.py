"""One advice for each lot, with its reason: what to keep, what to let go, and what to see to before it is lost."""

from __future__ import annotations

import math
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass

from matcher.knitting.fabric import FabricConstants, gauge_of_tex
from matcher.matching.pools import Pool
from matcher.matching.reach import reach_of
from matcher.matching.variants import Variant
from matcher.materials.care import label_words
from matcher.materials.lots import Bin, Garment, Lot
from matcher.materials.reading.units import show_length, show_mass
from matcher.materials.uncertain import Estimate

KEEP = "keep with the garment"
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

_OVERWEIGHT = 1.25  # pieces heavier than so many times a full ball are not believed (this project's choice)
_SCRAP = 0.5  # less than this part of a ball is a scrap (this project's choice)
_NOTHING_M = 0.5  # less than this is nothing: figures are shown in whole metres


@dataclass(frozen=True)
class Advice:
    """What to do with a lot, and why. stake_m: the metres that it frees, or that are at risk; decided_on: the day
    she decided it by hand, "" where the tool advises."""

    lot: Lot
    advice: str
    because: str
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
    least_z: float,
    decisions: Mapping[str, tuple[str, str]] | None = None,
    not_named: Container[str] = (),
) -> tuple[Advice, ...]:
    """One advice a lot, what has most at stake first.

    At stake are the metres that the advice frees; with a lot that nobody could name or measure again, all its metres;
    with what stays as it is, none. Equal stakes go by name.

    Parameters
    ----------
    free, held : metres of each lot that no reserve holds, and that one holds.
    pools : the lots, like ones together.
    least_z : how many standard deviations must be to spare for a length to be called enough.
    decisions : advice that she decided by hand and the day of it, by the lot's name; it goes before ours.
    not_named : sizes that are no example of what a lot could do: a baby's, since they ask for care of their own.
    """
    adviser = _Adviser(bin, free, held, pools, variants, constants, least_z, not_named)
    advised = [adviser.advise(lot) for lot in bin.lots]
    if decisions:
        advised = [_as_decided(one, *decisions[one.lot.name]) if one.lot.name in decisions else one for one in advised]
    return tuple(sorted(advised, key=lambda one: (-round(one.stake_m, 6), _RANK[one.advice], one.lot.name)))


def _as_decided(ours: Advice, advice: str, day: str) -> Advice:
    because = f"you decided this on {day}"
    if advice != ours.advice:
        because += f"; the figures say: {ours.advice}, since {ours.because}"
    return Advice(ours.lot, advice, because, ours.free_m, _stake(advice, ours.lot, ours.free_m), day)


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
        least_z: float,
        not_named: Container[str],
    ) -> None:
        self.bin, self.free, self.held, self.constants = bin, free, held, constants
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

    def _judge(self, lot: Lot, free_m: float) -> tuple[str, str]:
        """What is at risk first; then whole balls; then what the free metres can do; what stays comes last."""
        doubt = _doubt(lot)
        if doubt:
            return WEIGH, doubt
        if lot.label in ("no", "partly") or (not lot.label and not _nameable(lot)):
            return TAG, _facts(lot)
        if free_m < _NOTHING_M:
            return KEEP, self._why_held(lot)
        garment = self.bin.garments.get(lot.garment)
        return (
            self._full(lot, free_m, garment)
            or self._bag(lot)
            or self._short(lot, free_m, garment)
            or self._free(lot, free_m, garment)
        )

    def _why_held(self, lot: Lot) -> str:
        if lot.length.mean < _NOTHING_M:
            return "nothing of it is left"
        if self.held[lot.name] < _NOTHING_M:
            return "all of it is claimed for what is on the needles"
        claimed = f"; {show_length(lot.claimed_m)} are claimed for the needles" if lot.claimed_m >= _NOTHING_M else ""
        if lot.reserve_m is not None:
            return f"{show_length(self.held[lot.name])} are held back by hand, all that is there{claimed}"
        return f"all {show_length(self.held[lot.name])} are kept to mend {lot.garment}{claimed}"

    def _full(self, lot: Lot, free_m: float, garment: Garment | None) -> tuple[str, str] | None:
        """A lot of unbroken balls alone, at least one of them free."""
        if not lot.full_balls or lot.full_balls != lot.pieces:
            return None
        ball_m = lot.full_balls_m / lot.full_balls
        balls = math.floor(free_m / ball_m * (1 + 1e-9) + lot.full_ball_tolerance)
        if balls < 1:
            return None
        unbroken = f"{balls} unbroken ball{'s' if balls > 1 else ''} of {show_length(ball_m)}"
        if garment is None:
            return FULL, f"{unbroken}, and no garment asks for {'them' if balls > 1 else 'it'}"
        if garment.status == "gone":
            return FULL, f"{unbroken}, and {garment.name} is gone"
        return FULL, f"{unbroken} {'are' if balls > 1 else 'is'} not needed to mend {garment.name}"

    def _bag(self, lot: Lot) -> tuple[str, str] | None:
        """Several scraps of one yarn, colour and dye lot, or one that is no use without its like."""
        place = self.pool_of[lot.name]
        pool, task = self.pools[place], self.together.most[place]
        if len(pool.lots) == 1 or task is None or not self._scrap(lot):
            return None
        others = [
            one
            for one in pool.lots
            if one is not lot and one.full_balls != one.pieces and self.free[one.name].mean >= _NOTHING_M
        ]
        mates = [one for one in others if self._scrap(one)] or ([] if self.alone[lot.name] else others)
        if not mates:
            return None
        because = f"with {_names(mates)} it makes {show_length(pool.free.mean)}, enough for {task.words}"
        apart = sorted({one.place for one in mates} - {lot.place, ""})
        return BAG, f"{because}; look in: {', '.join(apart)}" if apart else because

    def _scrap(self, lot: Lot) -> bool:
        """Less than half a ball, or nothing can be made of it alone; of a lot that has its like."""
        return self.alone[lot.name] is None or bool(lot.ball_g and lot.mass_g < _SCRAP * lot.ball_g)

    def _short(self, lot: Lot, free_m: float, garment: Garment | None) -> tuple[str, str] | None:
        place = self.pool_of[lot.name]
        least, pool = self.together.least[place], self.pools[place]
        if self.together.enough[place] or least is None:
            return None
        held, pool_m = self.held[lot.name], pool.free.mean
        if lot.yarn.tex_from == "class" and pool_m + pool.free.sd >= least.length_m:
            low, high = max(0.0, pool_m - pool.free.sd), pool_m + pool.free.sd
            because = f"by its class alone it may be {show_length(low)} or {show_length(high)}"
            because += f", and the least that anything takes of it is {show_length(least.length_m)} ({least.words})"
            return WEIGH, f"{because}; weigh 20 m of it and write the tex down"
        if garment is not None and garment.status != "gone" and held >= _NOTHING_M:
            return (
                KEEP,
                f"{show_length(held)} are kept to mend {garment.name}; the {show_length(free_m)} above make nothing",
            )
        like = f" ({show_length(pool_m)} with its like)" if pool_m - free_m >= _NOTHING_M else ""
        because = (
            f"{show_length(free_m)} free{like}; the least that anything takes of it is {show_length(least.length_m)}"
        )
        because += f" ({least.words})"
        if pool_m >= least.length_m:
            because += ", and some must be left for the uncertainty of both"
        return SHORT, f"{because}; it could do a plain square of {self._square_cm(lot, pool_m):.0f} cm"

    def _square_cm(self, lot: Lot, length_m: float) -> float:
        """Side of the largest square of plain knitting [cm]."""
        gauge = gauge_of_tex(lot.yarn.tex.mean, self.constants)
        stitches_cm2 = gauge.stitches_10cm * gauge.rows_10cm / 100.0
        return math.sqrt(100.0 * length_m / gauge.loop_cm / stitches_cm2)

    def _free(self, lot: Lot, free_m: float, garment: Garment | None) -> tuple[str, str]:
        held, place = self.held[lot.name], self.pool_of[lot.name]
        pool, task = self.pools[place], self.together.most[place]
        could = ""
        if len(pool.lots) > 1 and (alone := self.alone[lot.name]) is not None:
            could = f", enough for {alone.words}"
        elif task is not None:
            others = [one for one in pool.lots if one is not lot and self.free[one.name].mean >= _NOTHING_M]
            could = f", {f'with {_names(others)} ' if others else ''}enough for {task.words}"
        elif self.together.enough[place]:
            could = ", enough to be one strand of several"
        if garment is not None and garment.status == "gone" and held < _NOTHING_M:
            if lot.claimed_m >= _NOTHING_M:
                claimed = f"but for {show_length(lot.claimed_m)} on the needles {show_length(free_m)} are free"
                return FREE_ALL, f"{garment.name} is gone; {claimed}{could}"
            return FREE_ALL, f"{garment.name} is gone, so all {show_length(free_m)} are free{could}"
        if held >= _NOTHING_M:
            keeps = "you hold back" if lot.reserve_m is not None else f"{lot.garment} keeps"
            return FREE, f"{keeps} {show_length(held)}, and {show_length(free_m)} are free{could}"
        if garment is not None:
            return FREE, f"other pieces hold what mends {garment.name}, so {show_length(free_m)} are free{could}"
        return FREE, f"no garment asks for it, so {show_length(free_m)} are free{could}"


def _names(lots: Sequence[Lot]) -> str:
    return " and ".join(one.name for one in lots) if len(lots) <= 2 else f"{len(lots)} others"


def _doubt(lot: Lot) -> str:
    """Why the weight cannot be right, or ""."""
    if lot.ball_g and lot.mass_g > lot.pieces * lot.ball_g * _OVERWEIGHT:
        pieces = f"{lot.pieces} piece{'' if lot.pieces == 1 else 's'}"
        return f"{show_mass(lot.mass_g)} in {pieces} is more than balls of {show_mass(lot.ball_g)} weigh"
    there = f"but by its weight only {show_length(lot.length.mean)}"
    if lot.reserve_m is not None and lot.reserve_m > lot.length.mean + _NOTHING_M:
        return f"you hold back {show_length(lot.reserve_m)}, {there} are there"
    if lot.claimed_m > lot.length.mean + _NOTHING_M:
        return f"{show_length(lot.claimed_m)} are on the needles, {there} were there"
    return ""


def _nameable(lot: Lot) -> bool:
    """Whether a label could be written from what is known: what it is (by name or by its ball band), and of what."""
    return lot.yarn.blend.known and (bool(lot.yarn.name) or lot.yarn.tex_from != "class")


def _facts(lot: Lot) -> str:
    """What a tag can say, and what it cannot."""
    yarn = lot.yarn
    known = [yarn.name] if yarn.name else []
    if lot.colour_name:
        known.append(lot.colour_name)
    known.append(f"class {yarn.weight_class}" if yarn.tex_from == "class" else f"{yarn.tex.mean:.0f} tex")
    if yarn.blend.known:
        known.append(str(yarn.blend.words()))
    if yarn.wash != "unknown":
        known.append(str(label_words(yarn.wash)))
    if lot.dye_lot:
        known.append(f"dye lot {lot.dye_lot}")
    known.append(f"{show_mass(lot.mass_g)}, about {show_length(lot.length.mean)}")
    lacking = {
        "yarn": bool(yarn.name),
        "fibre": yarn.blend.known,
        "wash": yarn.wash != "unknown",
        "dye lot": bool(lot.dye_lot),
    }
    missing = [name for name, there in lacking.items() if not there]
    label = {"no": "no label", "partly": "the label is incomplete"}.get(lot.label, "no word of a label")
    said = f"{label}; known: {', '.join(known)}"
    return f"{said}; not known: {', '.join(missing)}" if missing else said

"""Many single colours, and how yarns of them read against each other: the readings of `contrast.judge`, in bulk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from copy import copy
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.matching.contrast import (
    AT_LIMIT,
    all_but_vanishing,
    by_lightness_alone,
    guessed_reading,
    hue_needed,
    quiet,
    reading,
)
from matcher.matching.distinct import distinct
from matcher.matching.guessed import chances, spreads_seen, surely_apart
from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.vision import as_seen
from matcher.materials.rules import ContrastRules

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# Up to here a reading may rest on hue, which only CIEDE2000 tells; above, lightness alone decides.
DECIDED = 0.5
# Of so few pairs CIEDE2000 is quicker than a look at which need it. It changes how long a search takes, never what it
# finds.
_FEW = 32
# Of so few colours what any two read, and could read at most, is told once; tables of so many figures are kept for it,
# each begun when one in so many of its pairs was asked for: motifs that keep something else of hue are many, and most
# of them are asked for few. These change how long a search takes, never what it finds.
_FEW_COLOURS, _KEPT, _WORTH_A_TABLE = 1_500, 16_000_000, 64


class ColourTable:
    """Many single colours, and how each reads against the others.

    `reads` and `hopes` are of yarns, `readings` and `hope` of single colours. Hopes are quick and never below the true
    reading; they are the true one wherever they are above `DECIDED`. Readings below `floor` may be given as 0: whoever
    asks has no use for them.

    labs, sds: arrays (p, 3), CIELAB and how far off each may be; 0 where it is no guess. The rule for guesses stands in
    `guessed`; by it a guess never reads better than its means do, so that what bounds these bounds it too.
    """

    def __init__(
        self, labs: Floats, sds: Floats, matrices: Mapping[str, Floats], rules: ContrastRules, floor: float
    ) -> None:
        self.rules, self.floor = rules, floor
        self._by_kept: dict[float, ContrastRules] = {}
        self._forget()
        self.seen = as_seen(labs, matrices, rules.eyes)
        self.lightness = np.ascontiguousarray(self.seen[:, :, 0])
        self.guessed: Flags = np.asarray(sds.any(axis=1))
        self.guesses = bool(self.guessed.any())
        self._least_doubt = 0.0
        if self.guesses:
            self.sds = spreads_seen(labs, sds, matrices, rules.eyes)
            self.doubt = np.ascontiguousarray(self.sds[:, :, 0])
            # Any two colours are at least as unsure as the two that are least so.
            if len(labs) > 1:
                self._least_doubt = float(np.hypot(*np.sort(self.doubt, axis=1)[:, :2].min(axis=0)))

    def _forget(self) -> None:
        """Begin with nothing told: what two read by what their motif keeps, and how many were asked for."""
        self._told: dict[float | None, Floats] = {}
        self._asked: Counter[float | None] = Counter()
        self._hoped = 0

    def of(self, at: Indexes) -> ColourTable:
        """The same of the colours at some places, in that order."""
        other = copy(self)
        for name in ("_widest", "_spread", "_every_hope"):
            other.__dict__.pop(name, None)
        other._forget()
        other.seen, other.lightness, other.guessed = self.seen[:, at], self.lightness[:, at], self.guessed[at]
        if self.guesses:
            other.sds, other.doubt = self.sds[:, at], self.doubt[:, at]
        return other

    def reads(
        self, part: Indexes, share: Floats, parts: Indexes, shares: Floats, hue_kept: float | None = None
    ) -> Floats:
        """How yarns read against n others, one by one, from all their stitches: array (n,).

        Parameters
        ----------
        part, share : (n, k) the yarns' colours, as places in this table, and their shares; 0 for one that fills up.
            Or (k,): one yarn for all.
        parts, shares : (n, k) those of the others.
        hue_kept : what the motif keeps that they meet in; the table's own where none is given, which bounds it.
        """

        def read(one: Indexes, other: Indexes) -> Floats:
            return self.readings(one, other, hue_kept)

        return self._by_stitches(read, part, share, parts, shares)

    def hopes(self, part: Indexes, share: Floats, parts: Indexes, shares: Floats) -> Floats:
        """The most that yarns could read against others, as for `reads`: array (n,)."""
        return self._by_stitches(self.hope, part, share, parts, shares)

    def _by_stitches(
        self, of: Callable[[Indexes, Indexes], Floats], part: Indexes, share: Floats, parts: Indexes, shares: Floats
    ) -> Floats:
        """A figure of single colours, over all pairs of stitches but the share that may vanish."""
        shape = len(parts), part.shape[-1]
        part, share = np.broadcast_to(part, shape), np.broadcast_to(share, shape)
        mixed = np.flatnonzero((share[:, 1:] > 0).any(axis=1) | (shares[:, 1:] > 0).any(axis=1))
        found = of(part[:, 0], parts[:, 0])
        if len(mixed):
            each, other = share[mixed], shares[mixed]
            # Columns that none of these needs are left out.
            mine, theirs = ((one > 0).any(axis=0) for one in (each, other))
            one, two = part[mixed][:, mine, None], parts[mixed][:, None, theirs]
            weights = each[:, mine, None] * other[:, None, theirs]
            ones, twos = (np.broadcast_to(both, weights.shape).ravel() for both in (one, two))
            values = of(ones, twos).reshape(len(mixed), -1)
            found[mixed] = all_but_vanishing(values, weights.reshape(values.shape), self.rules.vanish_share)
        return found

    def hope(self, part: int | Indexes, others: Indexes) -> Floats:
        """The most that colours `part` could read against those at `others`, by lightness alone where that decides.

        The two are numbers or arrays of any shapes that go together; so is the result.
        """
        number = len(self.guessed)
        if number > _FEW_COLOURS:
            return self._hope(part, others)
        if self._hoped <= number * number:  # all of them are worked out as soon as as many were
            self._hoped += np.broadcast(part, others).size
            return self._hope(part, others)
        return np.asarray(self._every_hope[part, others])

    @cached_property
    def _every_hope(self) -> Floats:
        """Array (p, p) of all hopes."""
        every = np.arange(len(self.guessed))
        return self._hope(every[:, None], every)

    def _hope(self, part: int | Indexes, others: Indexes) -> Floats:
        """`hope`, worked out."""
        apart = self._apart(0, part, others)
        for sight in range(1, len(self.seen)):
            np.minimum(apart, self._apart(sight, part, others), out=apart)
        hope = by_lightness_alone(apart, self.rules)
        if (unsure := self._unsure(part, others)) is not None:
            np.minimum(hope, self.rules.guess_most, out=hope, where=unsure)
        low = hope < 0.5
        if low.any():
            hope[low] = quiet(apart[low], self.rules) if self.floor < 0.5 else 0.0
            daylight = np.abs(self.seen[0, others] - self.seen[0, part])[low]
            # No more than in daylight, where lightness may do as well.
            could = self._hue_could(daylight) | (daylight[:, 0] + AT_LIMIT >= self.rules.readable_delta_l)
            hope[low] = np.where(could, DECIDED, hope[low])
        return hope

    def _apart(self, sight: int, part: int | Indexes, others: Indexes) -> Floats:
        """The difference in L* that counts in one sight: of a guess, what it surely is."""
        apart: Floats = np.abs(self.lightness[sight, others] - self.lightness[sight, part])
        if not self.guesses:
            return apart
        return surely_apart(apart, np.hypot(self.doubt[sight, others], self.doubt[sight, part]), self.rules)

    def _hue_could(self, apart: Floats) -> Flags:
        """Whether colours at most so far apart in L*, a*, b* (n, 3) could reach the CIEDE2000 of *readable*.

        CIEDE2000 is never above sqrt(dL^2 + 1.87 ((1.5 da)^2 + db^2)): its weights divide by at least 1, a* is
        stretched at most 1.5 times, and the blue term adds at most half of 1.74 times chroma and hue.
        """
        most = apart[..., 0] ** 2 + 1.87 * ((1.5 * apart[..., 1]) ** 2 + apart[..., 2] ** 2)
        return np.asarray(np.sqrt(most) + AT_LIMIT >= hue_needed(apart[..., 0], self.rules))

    def readings(self, part: int | Indexes, others: Indexes, hue_kept: float | None = None) -> Floats:
        """True readings of colour `part`, or of each of several, against the colours at `others`: array (n,)."""
        number = len(self.guessed)
        if number > _FEW_COLOURS:
            return self._readings(part, others, hue_kept)
        if hue_kept not in self._told:
            self._asked[hue_kept] += len(others)
            if self._asked[hue_kept] * _WORTH_A_TABLE < number**2:
                return self._readings(part, others, hue_kept)
            while self._told and (1 + len(self._told)) * number**2 > _KEPT:
                del self._told[next(iter(self._told))]
            self._told[hue_kept] = np.full((number, number), np.nan)
        # Many yarns may be of few colours: each pair of these is looked at once.
        told = self._told[hue_kept]
        found: Floats = told[part, others]
        if len(new := np.flatnonzero(np.isnan(found))):
            one, other = np.divmod(distinct((part * number + others)[new]), number)
            told[one, other] = self._readings(one, other, hue_kept)
            found = told[part, others]
        return found

    def _readings(self, part: int | Indexes, others: Indexes, hue_kept: float | None) -> Floats:
        """The same, worked out."""
        rules = self._meeting_in(hue_kept)
        each = by_lightness_alone(
            np.stack([self._apart(sight, part, others) for sight in range(len(self.seen))]), rules
        )
        unsure = self._unsure(part, others)
        if unsure is not None:
            np.minimum(each, rules.guess_most, out=each, where=unsure)
        undecided = each < 0.5
        worth: Flags = np.asarray(undecided.any(axis=0))
        if len(others) > _FEW:
            hopeless = worth & (self.hope(part, others) < self.floor)
            each[:, hopeless], worth = 0.0, worth & ~hopeless
        for sight in range(len(self.seen)):
            at = np.flatnonzero(worth & undecided[sight])
            if len(at):
                unsure_here = None if unsure is None else unsure[at]
                here = part if isinstance(part, int) else part[at]
                each[sight, at] = self._in_sight(sight, here, others[at], unsure_here, rules)
                worth[at[each[sight, at] < self.floor]] = False
        least: Floats = each.min(axis=0)
        least[least < self.floor] = 0.0
        return least

    def _meeting_in(self, hue_kept: float | None) -> ContrastRules:
        if hue_kept is None:
            return self.rules
        if hue_kept not in self._by_kept:
            self._by_kept[hue_kept] = self.rules.in_motif(hue_kept)
        return self._by_kept[hue_kept]

    def _in_sight(
        self, sight: int, part: int | Indexes, others: Indexes, unsure: Flags | None, rules: ContrastRules
    ) -> Floats:
        """Readings of colour `part` against those at `others` in one sight: array (len(others),)."""
        one, many = self.seen[sight, part], self.seen[sight, others]
        apart = np.abs(many[:, 0] - one[..., 0])
        found = reading(ciede2000(one, many), apart, rules)
        if unsure is not None:
            at: Indexes = np.flatnonzero(unsure & (found >= self.floor))
            sd, sds = self.sds[sight, part], self.sds[sight, others[at]]
            if not isinstance(part, int):
                one, sd = one[at], sd[at]
            likely = chances(one, many[at], sd, sds, rules)
            found[at] = guessed_reading(found[at], apart[at], np.hypot(sd[..., 0], sds[:, 0]), likely, rules)
        return found

    def _unsure(self, part: int | Indexes, others: Indexes) -> Flags | None:
        """Which pairs are guesses; None where the table holds none."""
        return self.guessed[part] | self.guessed[others] if self.guesses else None

    @cached_property
    def _widest(self) -> float:
        """How far apart two of the colours lie at most in L*, in daylight."""
        return float(np.ptp(self.lightness[0]))

    def most(self, colours: int) -> float:
        """The most that the least reading of so many different lightnesses could be, in this table."""
        if self.lightness.shape[1] == 0:
            return 0.0
        apart = self._widest / max(1, colours - 1)
        # Hue helps the pair that is nearest in lightness, which is at most so far apart.
        return float(self.most_by_lightness(np.array([apart]))[0])

    def potential(self) -> Floats:
        """The most that each colour could read against any of the table, by its lightest and darkest: array (p,)."""
        if not self.lightness.shape[1]:
            return np.zeros(0)
        light, dark = self.lightness.max(axis=1, keepdims=True), self.lightness.min(axis=1, keepdims=True)
        apart = np.maximum(light - self.lightness, self.lightness - dark)
        if not self.guesses:
            return self.most_by_lightness(apart.min(axis=0))
        # Beside it may lie whatever is least in doubt; itself it is as doubtful as it is.
        doubt = np.hypot(self.doubt, self.doubt.min(axis=1, keepdims=True))
        most: Floats = self._most(apart, surely_apart(apart, doubt, self.rules)).min(axis=0)
        return np.where(self.guessed, np.minimum(most, self.rules.guess_most), most)

    @cached_property
    def _spread(self) -> Floats:
        """How far apart any two are in a* and b*, in the sight in which that is most: array (2,)."""
        return np.asarray(np.ptp(self.seen[:, :, 1:], axis=1).max(axis=0))

    def most_by_lightness(self, apart: Floats) -> Floats:
        """The most that colours whose means are so far apart in L* could read, whatever their hues of those here."""
        if self._least_doubt == 0:
            return self._most(apart, apart)
        sure = surely_apart(apart, np.asarray(self._least_doubt), self.rules)
        return np.asarray(np.minimum(self._most(apart, sure), self.rules.guess_most))

    def _most(self, apart: Floats, sure: Floats) -> Floats:
        """The same for means at most so far apart, and surely no farther than `sure`; arrays of one shape."""
        most = by_lightness_alone(sure, self.rules)
        low = most < 0.5
        if low.any():  # as few as it may be of very many
            near = apart[low]
            could = self._hue_could(np.column_stack([near, np.broadcast_to(self._spread, (len(near), 2))]))
            could |= near + AT_LIMIT >= self.rules.readable_delta_l
            most[low] = np.where(could, DECIDED, quiet(near, self.rules))
        return most

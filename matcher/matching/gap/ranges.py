"""How far a yarn to buy may differ from the one that was tried: a range of colours, and of thicknesses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from matcher.matching.gap.bench import Bench, Ground
from matcher.matching.gap.offers import Offer, thicknesses_tried
from matcher.matching.ranking.found import Found
from matcher.materials.colours.cielab import Lab

_SEED = 20  # of the colours that are tried at random, so that the same bin gives the same range
_AXES = range(3)


@dataclass(frozen=True)
class ColourRange:
    """All colours between two in L*, a* and b*."""

    low: Lab
    high: Lab

    def holds(self, lab: Lab) -> bool:
        """Whether a colour lies within."""
        return all(low <= one <= high for low, one, high in zip(self.low, lab, self.high, strict=True))

    @property
    def middle(self) -> Lab:
        """The colour in the middle."""
        return _lab([(low + high) / 2 for low, high in zip(self.low, self.high, strict=True)])

    def grown(self, axis: int, up: bool, step: float) -> ColourRange:
        """Farther by a step on one side; L* stays from 0 to 100."""
        low, high = list(self.low), list(self.high)
        (high if up else low)[axis] += step if up else -step
        low[0], high[0] = max(0.0, low[0]), min(100.0, high[0])
        return ColourRange(_lab(low), _lab(high))

    def face(self, axis: int, up: bool) -> Iterator[Lab]:
        """Corners, middles of edges and the middle of one side."""
        sides = [
            ((self.high if up else self.low)[one],)
            if one == axis
            else tuple(dict.fromkeys((self.low[one], self.middle[one], self.high[one])))
            for one in _AXES
        ]
        return map(_lab, product(*sides))

    def points(self) -> tuple[Lab, ...]:
        """The middle and the corners."""
        return (self.middle, *map(_lab, product(*zip(self.low, self.high, strict=True))))

    def at_random(self, number: int) -> tuple[Lab, ...]:
        """So many colours within, always the same ones."""
        drawn = np.random.default_rng(_SEED).uniform(self.low, self.high, (number, 3))
        return tuple(map(_lab, drawn.tolist()))


def _lab(values: Sequence[float]) -> Lab:
    return values[0], values[1], values[2]


class Around:
    """What still opens the same things as an offer does."""

    def __init__(self, ground: Ground, offer: Offer, keys: Sequence[str]) -> None:
        self.ground, self.offer, self.keys = ground, offer, keys
        alone = ground.bench([offer])
        # What is only made with other strands held beside the new yarn: of other colours those are taken in which the
        # ways that were found for this one do, since to look for further ways takes long.
        self._with_others = frozenset(key for key in keys if not alone.opens(key).all())
        for key in self._with_others:
            alone.any_opens(key, marls=ground.marls)
        self._witness: dict[float, dict[str, list[Found]]] = {offer.tex: alone.witness}

    def all_open(self, labs: Sequence[Lab], tex: float) -> bool:
        """Whether each of these colours, in yarn of this thickness, opens everything."""
        # What was found for colours near by is tried first.
        known = self._witness.setdefault(tex, {})
        bench = Bench(self.ground, tuple(replace(self.offer, lab=lab, tex=tex) for lab in labs), known)
        return all((bench.known(key) if key in self._with_others else bench.opens(key)).all() for key in self.keys)

    def colours(self) -> ColourRange:
        """The range of colours around the offer's: every side was tried on its way out, and colours at random within.

        Each side goes out in turn, by ever smaller steps, as far as everything is still opened there.
        """
        rules, tex = self.ground.rules.purchase, self.offer.tex
        found = ColourRange(self.offer.lab, self.offer.lab)
        steps = rules.range_steps
        while steps >= 1:
            for axis, up in product(_AXES, (True, False)):
                step = steps * (rules.range_step_ab if axis else rules.range_step_l)
                wider = found.grown(axis, up, step)
                on_its_way = found.grown(axis, up, step / 2).face(axis, up)
                if wider != found and self.all_open((*on_its_way, *wider.face(axis, up)), tex):
                    found = wider
            steps = steps // 2
        while not self.all_open(found.at_random(int(rules.range_checks)), tex):
            found = self._drawn_in(found)
        return found

    def _drawn_in(self, found: ColourRange) -> ColourRange:
        """Half as far from the offer's colour on every side."""
        low, high = (
            _lab([(one + own) / 2 for one, own in zip(side, self.offer.lab, strict=True)])
            for side in (found.low, found.high)
        )
        return ColourRange(low, high)

    def thicknesses(self, colours: ColourRange) -> tuple[float, float]:
        """The thinnest and the thickest yarn of its class [tex] that do in every colour of the range."""
        points = (self.offer.lab, *colours.points())
        tried = tuple(thicknesses_tried(self.offer.of_class, self.ground.rules.purchase))
        low = high = self.offer.tex
        for tex in reversed([one for one in tried if one < low]):
            if not self.all_open(points, tex):
                break
            low = tex
        for tex in (one for one in tried if one > high):
            if not self.all_open(points, tex):
                break
            high = tex
        return low, high

"""Which needles: the size by gauge, a thinner one for rib, and how long a round one needs.

The size lies within the range that the yarn weight standard gives the class, by where the gauge lies in the class's
own range; a round must measure at least as much as the circular needle that it is knitted on.
"""

from __future__ import annotations

from dataclasses import dataclass

from matcher.knitting.fabric import CM_IN_4_INCHES, FabricConstants, Gauge, class_of_gauge
from matcher.knitting.fit.cast_ons import around_cm
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.pattern.trade import GAUGE
from matcher.reasons.quantities import NeedleLength, NeedleSize
from matcher.reasons.reason import Words, listed, reason

IN_ROUNDS = ("tube", "crown", "frustum")  # shapes that are knitted in the round


@dataclass(frozen=True)
class Needles:
    """mm: of the plain or patterned knitting. rib_mm: of its rib; None without, where all of it is rib,
    and where no thinner ones are sold.

    circular_cm: lengths of circular needles that its rounds lie on, shortest first; none where they are too narrow, or
    there are none.
    double_pointed: whether some rounds are too narrow. flat: whether rows are knitted besides or only.
    """

    mm: float
    rib_mm: float | None = None
    circular_cm: tuple[float, ...] = ()
    double_pointed: bool = False
    flat: bool = False

    def words(self) -> Words:
        """All of them, for a page's head."""
        found = [reason("{size}, {kind}", size=NeedleSize(self.mm), kind=self._kind())]
        if self.rib_mm is not None:
            found.append(reason("the same in {size} for the rib", size=NeedleSize(self.rib_mm)))
        found.append(reason("or the size that gives you the {gauge}", gauge=GAUGE))
        return listed(found, between="; ")

    def _kind(self) -> Words:
        kinds: list[Words] = []
        if self.circular_cm:
            kinds.append(reason("circular, {long} long", long=listed(map(NeedleLength, self.circular_cm), "and")))
        if self.double_pointed:
            narrow = reason("double-pointed where it is too narrow for that") if kinds else reason("double-pointed")
            kinds.append(narrow)
        if self.flat and not kinds:
            kinds.append(reason("straight or circular"))
        return listed(kinds, "and")


def needle_mm(gauge: Gauge, constants: FabricConstants) -> float:
    """Diameter that usually gives a gauge [mm], as sold: the thicker in its class's range, the fewer stitches."""
    classes = [window.weight for window in constants.windows]
    number = class_of_gauge(gauge.band_stitches_10cm, classes)
    weight = next(one for one in classes if one.number == number)
    stitches = gauge.stitches_10cm * CM_IN_4_INCHES / 10.0
    loose = (weight.gauge_max_4in - stitches) / (weight.gauge_max_4in - weight.gauge_min_4in)
    wanted = weight.needle_mm_min + loose * (weight.needle_mm_max - weight.needle_mm_min)
    return _sold(wanted, constants)


def rib_needle_mm(mm: float, constants: FabricConstants) -> float:
    """Diameter for rib below or above knitting on a needle of so many mm."""
    sizes = constants.needles
    thin, thick = sizes.rib_thinner_mm
    return _sold(mm - (thick if mm >= sizes.thick_mm else thin), constants)


def circular_cm(stitches: int, gauge: Gauge, constants: FabricConstants, *, shortest: bool = False) -> float | None:
    """The longest circular needle on which a round of so many stitches lies [cm]; None where every one is too long.
    shortest: the shortest instead, for what narrows."""
    fitting = [one for one in constants.needles.circular_cm if one <= around_cm(stitches, gauge)]
    return (min if shortest else max)(fitting, default=None)


def needles_of(fitted: Fitted, constants: FabricConstants) -> Needles:
    """Needles for a whole thing."""
    parts = [*fitted.parts, *(part for part, _ in fitted.extra)]
    ribbed = {constants.ribbed(part.structure) for part in parts}
    mm = needle_mm(fitted.gauge, constants)
    rib_mm = rib_needle_mm(mm, constants) if len(ribbed) == 2 else None
    tubes = [part for part in parts if part.shape in IN_ROUNDS]
    narrows = any(part.decreases for part in tubes)
    cords = [circular_cm(part.first, fitted.gauge, constants, shortest=narrows) for part in tubes]
    return Needles(
        mm,
        rib_mm if rib_mm != mm else None,
        _lengths([cord for cord in cords if cord is not None], [part.first for part in tubes], fitted.gauge, constants),
        narrows or None in cords,
        len(tubes) < len(parts),
    )


def _lengths(cords: list[float], rounds: list[int], gauge: Gauge, constants: FabricConstants) -> tuple[float, ...]:
    """The shortest of the needles, and a longer one where the widest round would not lie on it."""
    if not cords:
        return ()
    short, widest = min(cords), max(rounds)
    if around_cm(widest, gauge) <= constants.needles.most_on * short:
        return (short,)
    return short, max(cords)


def _sold(mm: float, constants: FabricConstants) -> float:
    """The diameter next to it that is sold; of two as near the thicker."""
    return min(constants.needles.diameters_mm, key=lambda one: (round(abs(one - mm), 6), -one))

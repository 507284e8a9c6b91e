"""The motif fitted to the body: every fit, the one that is worked out, and what it asks of the yarns."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from matcher.actions.partner.settle import Settled
from matcher.errors import BadInput
from matcher.knitting.calibration import calibrated
from matcher.knitting.fit.cast_ons import Remedy, fits, remedies
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.fit.outline import NoTube
from matcher.knitting.needs import RoleNeed
from matcher.matching.recolour.colouring import Asked
from matcher.matching.recolour.otherwise import asked_of
from matcher.reasons.reason import Field, Words, counted, reason


@dataclass(frozen=True)
class Fitting:
    """`chosen` is the one of `fits` that all the rest is worked out for; `needs` what a fit takes, as she knits."""

    fits: tuple[Fitted, ...]
    chosen: Fitted
    needs: Callable[[Fitted], tuple[RoleNeed, ...]]
    asked: Asked
    remedies: tuple[Remedy, ...]  # where no fit lies within the ease

    @property
    def notes(self) -> tuple[Words, ...]:
        """What is said of a fit that is none."""
        if self.chosen.repeats > 1 or self.chosen.off_by_cm <= 0:
            return ()
        words = "One repeat is {stitches} stitches, more than the whole piece has."
        return (reason(words, stitches=self.chosen.repeat),)


def fitting_of(settled: Settled) -> Fitting:
    """Raises BadInput for an accessory without a tube, and for a fit that is not in the list."""
    entry, wearing, number = settled.accessory, settled.worn.wearing, settled.wishes.fit
    try:
        found = fits(wearing, settled.motif)
    except NoTube:
        what = reason("{accessory} has no tube that a motif could run round", accessory=entry.name)
        raise BadInput(what, Field("accessory"), reason("name a hat, a cowl, mitts ...")) from None
    if not 1 <= number <= len(found):
        there = counted(len(found), "there is only fit 1", "there are {n}; give 1 to {n}")
        raise BadInput(reason("there is no fit {fit}", fit=number), Field("fit"), there)
    chosen = found[number - 1]
    fabric, told = settled.desk.catalogue.fabric, settled.desk.history.calibration

    def needs(one: Fitted) -> tuple[RoleNeed, ...]:
        return calibrated(needs_of_fitted(one, fabric), entry, told, from_swatch=one.gauge.from_swatch_rows)

    would_help = remedies(wearing, settled.motif) if chosen.off_by_cm > 0 else ()
    return Fitting(found, chosen, needs, asked_of(chosen, needs), would_help)

"""What she should know before she casts on: how sure it is that the yarn suffices, and a gauge that is not meant."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import Gauge, class_of_gauge
from matcher.knitting.needs import RoleNeed
from matcher.matching.recolour.colouring import chance_of
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Chance
from matcher.reasons.reason import Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

Given = tuple[RoleNeed, Estimate]
"""What a role takes, and the metres that one of its strands has."""


def given_to(need: RoleNeed, strands: Iterable[tuple[Sequence[Estimate], int]]) -> list[Given]:
    """A role with what its strands have room for [m]; each must suffice by itself.

    strands: for each the rooms of its lots, and how many times it is held. Lots that are used one after the other
    share one label, so that their errors add up.
    """
    return [
        (need, Estimate(sum(room.mean for room in rooms) / count, sum(room.sd for room in rooms) / count))
        for rooms, count in strands
    ]


def sure_that(roles: Sequence[Given]) -> float:
    """The chance that all of it suffices, 0 to 1, as suggestions count it."""
    return chance_of(roles) if roles else 1.0


def doubts(sure: float, entry: Accessory, gauge: Gauge, catalogue: Catalogue) -> Iterator[Words]:
    """Remarks on what was begun though a suggestion would not have offered it."""
    asked = catalogue.ranking.sure_at_least
    if sure < asked:
        said = "The chance that this is enough is only {sure}; suggestions ask for {asked}."
        yield reason(said, sure=Chance(sure), asked=Chance(asked, 1))
    number = class_of_gauge(gauge.band_stitches_10cm, catalogue.classes)
    if number not in entry.classes:
        said = (
            "Your gauge is that of a class {number} yarn, but {accessory} is meant for class {classes}: swatch first."
        )
        yield reason(said, number=number, accessory=entry.name, classes=listed(map(str, entry.classes), "or"))

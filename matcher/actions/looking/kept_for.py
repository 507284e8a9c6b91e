"""Where on a garment yarn is kept to mend it, how much of each colour for each place, and the outline that shows it."""

from __future__ import annotations

from dataclasses import dataclass, field

from matcher.actions.desk import Desk
from matcher.actions.looking.things import ShownGarment
from matcher.drawing.garment_outline import KINDS, Kept, outline_scene
from matcher.drawing.scene import Scene
from matcher.knitting.mending.repairs import sleeves_told
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Words, listed, reason
from matcher.reasons.style import PLAIN, Style


@dataclass
class KeptPlace:
    """A place of a garment: what is done there, whether yarn is kept for it in any case or for any one of several, and
    the metres of each colour."""

    number: int
    where: str
    area: Words
    always: bool
    parts: list[tuple[str, float]] = field(default_factory=list)

    @property
    def words(self) -> Words:
        """What it is and what it takes."""
        each = (reason("{length} of {yarn}", length=Length(m), yarn=name) for name, m in self.parts)
        return reason("{area}, {each}", area=self.area, each=listed(each, "and"))


def kept_places(one: ShownGarment) -> tuple[KeptPlace, ...]:
    """Its places in the order of the working, each once, with what every colour gives; none for one that is gone."""
    found: dict[tuple[str, Words], KeptPlace] = {}
    for group in one.reserves:
        lines = [(line, True) for line in (group.working[1:] if group.any_of else group.working)]
        for line, always in [*((line, False) for line in group.any_of), *lines]:
            place = found.setdefault((line.where, line.area), KeptPlace(len(found) + 1, line.where, line.area, always))
            place.parts.append((group.called, line.length_m))
            place.always &= always
    return tuple(found.values())


def kept_told(places: tuple[KeptPlace, ...]) -> tuple[Words, ...]:
    """How they belong together."""
    several = [str(one.number) for one in places if not one.always]
    told: list[Words] = []
    if len(several) > 1:
        said = "yarn is kept for any one of {numbers}: enough of each colour for whichever takes most"
        told.append(reason(said, numbers=listed(several, "or")))
    return tuple(told)


def garment_picture(one: ShownGarment, desk: Desk, style: Style = PLAIN) -> Scene:
    """Its outline in its main colour with these places hatched."""
    garment, rules = one.line.garment, desk.catalogue.repairs
    known = rules.kind_of(garment)
    kind = next((kind for kind in KINDS if kind in known.repairs_of), KINDS[-1])
    sleeves = "none" if kind == "vest" else sleeves_told(garment) or known.sleeves or "long"
    lots = [line.lot for line in one.line.lots]
    main = next((lot for lot in lots if lot.role == "main"), lots[0] if lots else None)
    kept = [Kept(place.number, place.where, place.words, place.always) for place in kept_places(one)]
    title = reason("{garment}, and what yarn is kept for", garment=garment.name)
    return outline_scene(kind, sleeves, main.colour if main else None, kept, title, style)

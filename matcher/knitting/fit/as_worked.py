"""A fit as it is worked, where that is another thing than its zones one by one: crowns, tips, thumbs, heels, flaps."""

from __future__ import annotations

from dataclasses import replace

from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.crowns import whole_crown
from matcher.knitting.fit.edges import with_edges
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.hands import whole_tip, with_hands
from matcher.knitting.fit.heels import with_heels
from matcher.reasons.reason import Field, counted, reason


def as_worked(fitted: Fitted, accessory: Accessory, constants: FabricConstants) -> Fitted:
    """The same accessory in the stitches and colours in which it is worked. Raises BadInput for a thumb or a heel that
    nobody can knit, and for flaps that are wider than their edge."""
    fitted = replace(fitted, parts=tuple(whole_tip(whole_crown(part)) for part in fitted.parts))
    construction = construction_of(accessory)
    if construction == "earflap hat":
        return _with_flaps(fitted)
    if construction == "mitts":
        return with_hands(fitted, constants)
    return with_heels(fitted) if construction == "socks" else with_edges(fitted, construction)


def _with_flaps(fitted: Fitted) -> Fitted:
    """Flaps are as wide as their tips have become; they are cast on, and the first round takes them up."""
    (tip, times), *others = fitted.extra
    edge = fitted.parts[0].first
    if times * tip.last > edge:
        one = "flaps of {wide} in all are wider than their edge of {n} stitch"
        many = "flaps of {wide} in all are wider than their edge of {n} stitches"
        what = counted(edge, one, many, wide=counted(times * tip.last, "{n} stitch", "{n} stitches"))
        raise BadInput(what, Field("swatch"), reason("take thinner yarn or a larger size"))
    flaps = [(replace(part, first=tip.last, last=tip.last), pieces) for part, pieces in others]
    return replace(fitted, extra=((replace(tip, edge=tip.first), times), *flaps), taken_up=True)

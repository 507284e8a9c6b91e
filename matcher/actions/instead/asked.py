"""Which yarn something is to stand in for: a lot, or one that she describes as the sheets would."""

from __future__ import annotations

from matcher.actions.desk import Desk
from matcher.actions.keeping.cells import Cells, tidy
from matcher.actions.keeping.checked import checked_lot
from matcher.actions.keeping.done import read_metres
from matcher.actions.names import find
from matcher.errors import BadInput
from matcher.matching.instead.beside import Asked
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Field, Words, listed, reason

# What a lot needs and a yarn does not have; neither is looked at.
_NO_LOT = {"lot": "yarn", "grams": "1", "colour": "#808080"}
_DESCRIBE = reason(
    "name a lot, or describe a yarn: {described}",
    described=listed((Field("class", "DK"), Field("fibre", "wool"), Field("colour", "navy"), Field("metres", "120"))),
)


def asked_for(
    lot: str | None, cells: Cells, metres: str | None, any_colour: bool, desk: Desk, told: list[Words]
) -> Asked:
    """The yarn asked for. told: is given how her words were read.

    Raises NotFound for a lot that is not there; BadInput where a lot and a description are given, or neither, or no
    metres of a yarn that is only described; BadCells for a description that cannot be read, all of it at once.
    """
    described = tidy(cells)
    if lot is not None and described:
        raise BadInput(reason("a lot and a description are too much"), lot, reason("give one of them"))
    if lot is None and not described:
        raise BadInput(reason("nothing is said of what to stand in for"), todo=_DESCRIBE)
    need_m = None if metres is None else read_metres(metres, Field("metres"))
    if lot is not None:
        found = _lot(lot, desk)
        all_free = need_m is None and desk.shelf.free[found.name].mean > 0
        need_m = need_m or _there(found, desk, told)
        return Asked(found.name, found.yarn, found.colour, need_m, found, any_colour, all_free)
    if need_m is None:
        raise BadInput(
            reason("nothing says how much of it is wanted"), Field("metres"), reason("say it in metres or yards")
        )
    yarn = checked_lot({**_NO_LOT, **described}, told, described)
    colour = yarn.colour if "colour" in described else None
    return Asked(reason("the yarn you describe"), yarn.yarn, colour, need_m, any_colour=any_colour)


def _lot(name: str, desk: Desk) -> Lot:
    """The lot of this name, or with this code on its tag."""
    lots = {one.name: one for one in desk.bin.lots}
    by_code = {fold(one.code): one for one in lots.values() if one.code}
    return by_code.get(fold(name)) or lots[find(name, lots, "lot")]


def _there(lot: Lot, desk: Desk, told: list[Words]) -> float:
    """Metres that are asked for where she does not say: what is free of the lot, else all of it."""
    free_m = desk.shelf.free[lot.name].mean
    if free_m > 0:
        return free_m
    if lot.unclaimed_m <= 0:
        what = reason("there is nothing left of {lot}", lot=lot.name)
        raise BadInput(what, Field("metres"), reason("say how much of it is wanted, such as 120 m"))
    said = "Nothing of {lot} is free, so all {length} of it are asked for; {metres} says how much you want."
    told.append(reason(said, lot=lot.name, length=Length(lot.unclaimed_m), metres=Field("metres")))
    return lot.unclaimed_m

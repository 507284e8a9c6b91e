"""Whether a stand-in would do to mend the garment that the asked lot came from."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.matching.instead.beside import Asked
from matcher.matching.instead.changes import look_verdict
from matcher.matching.instead.rules import Rules
from matcher.matching.instead.way import Way
from matcher.matching.together import beside, handling_of, thickness
from matcher.materials.lots import Garment
from matcher.reasons.quantities import Length
from matcher.reasons.reason import Term, Words, listed, reason


@dataclass(frozen=True)
class Mends:
    """Whether it does, and why."""

    garment: str
    serves: bool
    why: Words


def mends(way: Way, asked: Asked, garment: Garment, reserve_m: float, rules: Rules) -> Mends:
    """A patch must not show, must be as thick, and must come out of the wash as the garment does.

    reserve_m: metres that are kept for the garment's mending [m]; it serves with less, and that is said.
    """
    against: list[Words] = []
    seen = way.worst_seen
    if way.marl:
        against.append(reason("a marl would show"))
    elif seen.delta_e > rules.instead.hardly_delta_e:
        against.append(reason("a patch would show ({look})", look=Term(look_verdict(seen, rules))))
    if thickness(way.tex.mean, asked.yarn.tex.mean, rules.together).verdict != "fits":
        against.append(reason("its thickness is another"))
    own = handling_of(asked.yarn, rules.together)
    if any(beside(own, handling_of(one.pool.yarn, rules.together))[0].verdict != "fits" for one in way.members):
        against.append(reason("the two shrink differently in the wash"))
    elif way.parts["care"] < 1.0:
        against.append(reason("the garment goes into the machine, and it may not"))
    if against:
        said = "wouldn't do to mend {garment}: {why}"
        return Mends(garment.name, False, reason(said, garment=garment.name, why=listed(against, "and")))
    there = sum(one.mean for one in way.free) / sum((1,) if way.joined else way.strands)
    if there < reserve_m:
        said = "would do to mend {garment}, though all of its mending may take {most}"
        return Mends(garment.name, True, reason(said, garment=garment.name, most=Length(reserve_m)))
    return Mends(garment.name, True, reason("would do to mend {garment}", garment=garment.name))

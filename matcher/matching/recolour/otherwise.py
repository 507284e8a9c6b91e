"""The same accessory made a little otherwise: fewer rows of the motif, a smaller size, the rib in another yarn."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.cast_ons import Wearing, fits
from matcher.knitting.fit.fitted import Fitted, in_role_order
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed
from matcher.matching.recolour.colouring import Asked
from matcher.materials.rules import RecolourRules
from matcher.reasons.reason import Term, Words, reason

_RIB = "rib"  # the role that a rib has when it is knitted in a yarn of its own
Needs = Callable[[Fitted], tuple[RoleNeed, ...]]


@dataclass(frozen=True)
class Alternative:
    """The same accessory made a little otherwise, and what it then asks.

    kind: as in `exchanges.KINDS`. reading_factor: the part of the motif's reading that is left, 0 to 1 (rows dropped:
    the part of the motif that is still knitted). A role that the accessory does not have is given a yarn of the bin.
    """

    kind: str
    words: Words
    asked: Asked
    reading_factor: float = 1.0


def asked_of(fitted: Fitted, needs: Needs) -> Asked:
    """What a fitted accessory asks of the yarns."""
    return Asked(needs(fitted), fitted.edges(), fitted.gauge)


def alternatives_of(
    wearing: Wearing, motif: Motif, fitted: Fitted, needs: Needs, rules: RecolourRules
) -> tuple[Alternative, ...]:
    """The same accessory with fewer rows of the motif, smaller, or its rib in another yarn."""
    return (
        *islice(_fewer_rows(wearing, motif, fitted, needs), int(rules.smaller)),
        *islice(_smaller(wearing, motif, needs), int(rules.smaller)),
        *_other_ribs(fitted, needs, wearing.constants),
    )


def _fewer_rows(wearing: Wearing, motif: Motif, fitted: Fitted, needs: Needs) -> Iterator[Alternative]:
    most = fitted.motif_rows - 1
    while most > 0:
        again = [one for one in fits(replace(wearing, most_rows=most), motif) if _same(one, fitted)]
        if not again or not 0 < again[0].motif_rows <= most:
            return
        rows = again[0].motif_rows
        words = reason("knit {rows} of the {all} rows of the motif", rows=rows, all=fitted.motif_rows)
        yield Alternative("rows dropped", words, asked_of(again[0], needs), rows / fitted.motif_rows)
        most = rows - 1


def _same(one: Fitted, other: Fitted) -> bool:
    return (one.stitches, one.plain_columns) == (other.stitches, other.plain_columns)


def _smaller(wearing: Wearing, motif: Motif, needs: Needs) -> Iterator[Alternative]:
    names = wearing.accessory.sizes
    if wearing.size not in names:
        return
    for size in reversed(names[: names.index(wearing.size)]):
        best = fits(replace(wearing, size=size), motif)[0]
        if best.off_by_cm == 0.0:
            words = reason("knit the size {size} ({stitches} stitches)", size=Term(size), stitches=best.stitches)
            yield Alternative("smaller size", words, asked_of(best, needs))


def _other_ribs(fitted: Fitted, needs: Needs, fabric: FabricConstants) -> list[Alternative]:
    """The rib in each of the other roles, and in a yarn besides those of the roles."""
    ribs = {part.role for part in fitted.parts if part.role is not None and fabric.ribbed(part.structure)}
    if not ribs:
        return []
    others = sorted(set(fitted.roles) - ribs, key=in_role_order)
    found = [
        Alternative(
            "rib in another role",
            reason("knit the rib in {role}", role=Term(role)),
            asked_of(_ribbed(fitted, role, fabric), needs),
        )
        for role in others
    ]
    if _RIB not in fitted.roles:
        words = reason("knit the rib in another yarn")
        found.append(Alternative("rib in another yarn", words, asked_of(_ribbed(fitted, _RIB, fabric), needs)))
    return found


def _ribbed(fitted: Fitted, role: str, fabric: FabricConstants) -> Fitted:
    """The same with its rib in this role."""
    parts = tuple(replace(part, role=role) if fabric.ribbed(part.structure) else part for part in fitted.parts)
    return replace(fitted, parts=parts)

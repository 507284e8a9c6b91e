"""What a partner can go with, and what it can be: garments with their motif in their own colours, and accessories."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from matcher.actions.desk import Desk
from matcher.actions.motifs.own import worn_motif
from matcher.knitting.accessory import KINDS, Accessory
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.fit.outline import takes_motif
from matcher.knitting.motifs.motif import Motif
from matcher.matching.pools import Pool
from matcher.matching.recolour.share import share_out
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Garment
from matcher.reasons.reason import Words, listed, reason


@dataclass(frozen=True)
class Sweater:
    """A garment. motif: its own, None where it names none; pools: what it left of each role; left: how many lots."""

    garment: Garment
    motif: Motif | None
    pools: Mapping[str, Pool]
    left: int

    @property
    def colours(self) -> dict[str, Colour]:
        """Of the roles of which it left yarn."""
        return {role: pool.colour for role, pool in self.pools.items()}

    @property
    def words(self) -> Words:
        """What is known of it."""
        said: list[Words] = [self.motif.name if self.motif else reason("no motif written down")]
        said.append(reason("lots left over: {n}", n=self.left))
        return listed(said, between="; ")


def sweaters(desk: Desk) -> tuple[Sweater, ...]:
    """Every garment of the bin: first those with a motif, then by name."""
    found = []
    for garment in desk.bin.garments.values():
        motif, pools = worn_motif(garment, desk), dict[str, Pool]()
        if motif is not None:
            roles = sorted(motif.role_names, key=in_role_order)
            given = share_out(roles, desk.shelf.pools, garment.name).pools
            pools = {role: pool for role, pool in given.items() if pool is not None}
        left = sum(lot.garment == garment.name for lot in desk.bin.lots)
        found.append(Sweater(garment, motif, pools, left))
    return tuple(sorted(found, key=lambda one: (one.motif is None, not one.left, one.garment.name)))


def partners(desk: Desk) -> tuple[Accessory, ...]:
    """Every accessory that a motif could run round, by kind and name."""
    held, fabric, rules = desk.catalogue.accessories.values(), desk.catalogue.fabric, desk.catalogue.fitting
    able = (one for one in held if one.kind in rules and takes_motif(one, fabric))
    return tuple(sorted(able, key=lambda one: (KINDS.index(one.kind), one.name)))

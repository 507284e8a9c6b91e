"""One role's lots and metres, two roles' contrast, and what is said of yarns that share a fabric."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

from matcher.knitting.accessory import Accessory
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.knitting.needs import RoleNeed
from matcher.matching.contrast import Judgement
from matcher.matching.dyes import may_run
from matcher.matching.guessed import tell_for_sure
from matcher.matching.pools import Pool
from matcher.materials.colours.colour import Colour, marled
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Strand

Strands = Sequence[tuple[Pool, int]]


@dataclass(frozen=True)
class RoleYarn:
    """One role of a suggestion. Lengths in metres, masses in grams; `brought` yarn is not from the lots. held: what it
    is knitted with, strand by strand."""

    role: str
    lots: tuple[Lot, ...]
    strands: int
    need: RoleNeed
    need_m: float
    need_sd_m: float
    on_hand_m: float
    on_hand_sd_m: float
    reserve_m: float
    left_m: float
    need_g: float
    colour: Colour | None
    brought: bool = False
    reserves: tuple[ReserveGroup, ...] = ()
    held: tuple[Strand, ...] = ()

    @property
    def by_strand(self) -> Iterator[tuple[tuple[Lot, ...], int]]:
        """The lots of each strand, one after the other, and how often it is held."""
        lots = iter(self.lots)
        for strand in self.held:
            yield tuple(islice(lots, len(strand.lots))), strand.count

    def lots_said(self, name: Callable[[Lot], Words]) -> Words:
        """Its lots as they are named for a role too: "fog + fog 2" one after the other, "2 x fog & navy" held together.

        name : what a lot is called.
        """
        strands = list(self.by_strand)
        each = (
            reason("{n} x {lots}" if count > 1 and len(strands) > 1 else "{lots}", n=count, lots=lots)
            for lots, count in ((listed(map(name, lots), between=" + "), count) for lots, count in strands)
        )
        return listed(each, between=" & ")

    def said(self, name: Callable[[Lot], Words]) -> Words:
        """The same, and how many strands are held where they are several: one of them would be too thin."""
        lots = self.lots_said(name)
        return lots if self.strands == 1 else reason("{lots} ({n} strands)", lots=lots, n=self.strands)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "role": self.role,
            "lots": [lot.name for lot in self.lots],
            "need_m": round(self.need_m, 2),
            "need_sd_m": round(self.need_sd_m, 2),
            "on_hand_m": round(self.on_hand_m, 2),
            "reserve_m": round(self.reserve_m, 2),
            "left_m": round(self.left_m, 2),
            "need_g": round(self.need_g, 2),
            "strands": self.strands,
            "brought": self.brought,
            "on_hand_sd_m": round(self.on_hand_sd_m, 2),
        }


@dataclass(frozen=True)
class Contrast:
    """Two roles that touch, and how they read."""

    roles: tuple[str, str]
    judged: Judgement

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "roles": list(self.roles),
            "delta_e": round(self.judged.delta_e, 2),
            "delta_l": round(self.judged.delta_l, 2),
            "least_seen": self.judged.least_seen,
            "verdict": self.judged.verdict,
            "verdicts": dict(self.judged.verdicts),
            "vanishing": round(self.judged.vanishing, 3),
            "chances": self.judged.rounded_chances,
            "reason": self.judged.reason,
        }


def role_yarn(need: RoleNeed, strands: Strands, groups: Sequence[ReserveGroup], *, brought: bool = False) -> RoleYarn:
    """A role knitted with so many strands of each pool; without any, none is on hand.

    What is free of a pool already has the reserve and the tails of joins taken off.
    """
    if not strands:
        short = 0.0 if brought else -need.length_m
        return RoleYarn(need.role, (), 1, need, need.length_m, need.sd_m, 0.0, 0.0, 0.0, short, 0.0, None, brought)
    number = sum(count for _, count in strands)
    homes = {lot.garment for pool, _ in strands for lot in pool.lots}  # few, of many in a large bin
    free = sum(pool.free.mean for pool, _ in strands)
    return RoleYarn(
        need.role,
        tuple(lot for pool, _ in strands for lot in pool.lots),
        number,
        need,
        need.length_m * number,
        need.sd_m * number,
        sum(pool.on_hand.mean for pool, _ in strands),
        sum(pool.on_hand.sd for pool, _ in strands),
        sum(pool.reserve_m for pool, _ in strands),
        free - need.length_m * number,
        need.length_m * sum(pool.yarn.tex.mean * count for pool, count in strands) / 1000.0,
        marled([(pool.colour, pool.yarn.tex.mean * count) for pool, count in strands])
        if len(strands) > 1
        else strands[0][0].colour,
        reserves=tuple(
            group
            for group in groups
            if group.garment in homes
            and group.reserve_m > 0
            and any(lot.name in group.held for pool, _ in strands for lot in pool.lots)
        ),
        held=tuple(Strand(tuple(lot.name for lot in pool.lots), int(count)) for pool, count in strands),
    )


def guesses(contrasts: Sequence[Contrast], pools: Sequence[Pool]) -> Iterator[Words]:
    """What to do where it is a guess how the colours read."""
    if any(one.judged.guessed for one in contrasts):
        yield tell_for_sure(pool.name for pool in pools if pool.colour.guessed)


def yarn_warnings(pools: Sequence[Pool]) -> list[Words]:
    """What she should look at herself before these pools go into one fabric."""
    words: list[Words] = []
    for pool in pools:
        if len(pool.lots) > 1 and not pool.dye_lot:
            names = listed((lot.name for lot in pool.lots), "and")
            words.append(
                reason("{lots} count together but no dye lot is written down: compare them in daylight", lots=names)
            )
        if pool.yarn.tex_from == "class":
            words.append(
                reason(
                    "{lot}: only its weight class is known; weigh a measured length to be surer",
                    lot=pool.name,
                )
            )
    by_colour: dict[tuple[str, Colour], set[str]] = {}
    for pool in pools:
        by_colour.setdefault((pool.yarn.name.casefold(), pool.colour), set()).add(pool.dye_lot)
    baths = [lots for lots in by_colour.values() if len(lots) > 1]
    if any(len(lots - {""}) > 1 for lots in baths):
        words.append(reason("two dye lots of one colour are used in different roles: compare them in daylight"))
    elif baths:
        said = "one colour, perhaps of two dye lots, is used in different roles: compare them in daylight"
        words.append(reason(said))
    return words


def cautions_of(accessory: Accessory, size: str, pools: Sequence[Pool], catalogue: Catalogue) -> tuple[Words, ...]:
    """The catalogue's sentences that hold for an accessory in a size, of these yarns."""
    keys = list(accessory.cautions)
    if catalogue.sizes.wearer(size) == "baby":
        keys.insert(0, "baby")
    keys.append("label")
    if any(pool.yarn.blend.animal or not pool.yarn.blend.known for pool in pools):
        keys += ["wool", "moth"]
    if may_run([pool.colour for pool in pools], catalogue.together):
        keys.append("dye")
    return tuple(catalogue.cautions[key] for key in dict.fromkeys(keys))


def lot_words(name: str, lot: Lot) -> Words:
    """A lot with its place, and that its colour is a guess."""
    said: Words = reason("{lot} (colour guessed)", lot=name) if lot.colour.guessed else name
    return reason("{lot} ({place})", lot=said, place=lot.place) if lot.place else said

"""A collection as a stock: arrays straight from its columns, and a pool only when a result is told."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, overload

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Kind, Pool, Sides, Stock, kind_tables
from matcher.matching.together import handling_of
from matcher.materials.collection import Collection, Several, first_met
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.families import FamilyRule, colours_called
from matcher.materials.lots import Lot
from matcher.materials.rules import TogetherRules
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]


def stock_of_collection(collection: Collection, rules: TogetherRules, families: Sequence[FamilyRule] = ()) -> Stock:
    """The same arrays as `stock_of` makes of the bins' own pools.

    families : what a colour is called that is written down as a code alone; without them it keeps its code.
    """
    part, share, labs, sds = _colours(collection)
    kind, kinds = _kinds(collection, rules)
    homes, garments = _homes(collection)
    folded = [name.casefold().strip() for name in collection.yarn.values]
    names = {name: place for place, name in enumerate(dict.fromkeys(filter(None, folded)))}
    return Stock(
        CollectedPools(collection, families),
        collection.free_m,
        collection.free_sd_m,
        collection.tex,
        part,
        share,
        labs,
        sds,
        kind,
        kinds,
        *kind_tables(kinds, rules),
        homes,
        garments,
        np.array([names.get(name, -1) for name in folded], dtype=np.intp)[collection.yarn.at],
        tuple(names),
        rules,
    )


@dataclass(frozen=True)
class MembersLot(Lot):
    """A lot of a collection. member : the code of whose it is; number : by which it is known there."""

    member: str = ""
    number: str = ""


class CollectedPools(Sequence[Pool]):
    """The pools of a collection, each made when it is asked for."""

    def __init__(self, collection: Collection, families: Sequence[FamilyRule] = ()) -> None:
        self.collection, self.families = collection, families
        self._made: dict[int, Pool] = {}

    def __len__(self) -> int:
        return len(self.collection)

    def take(self, at: Indexes) -> CollectedPools:
        """Those of some rows, which keep nothing of the others."""
        return CollectedPools(self.collection.take(at), self.families)

    def __reduce__(self) -> tuple[type[CollectedPools], tuple[Collection, Sequence[FamilyRule]]]:
        return CollectedPools, (self.collection, self.families)

    @overload
    def __getitem__(self, row: int) -> Pool: ...
    @overload
    def __getitem__(self, row: slice) -> tuple[Pool, ...]: ...
    def __getitem__(self, row: int | slice) -> Pool | tuple[Pool, ...]:
        if isinstance(row, slice):
            return tuple(self[one] for one in range(*row.indices(len(self))))
        if not -len(self) <= row < len(self):
            raise IndexError(row)
        row %= len(self)
        if row not in self._made:  # a pool is told from its like by which it is
            self._made[row] = _pool(self.collection, row, self.families)
        return self._made[row]


def _pool(collection: Collection, row: int, families: Sequence[FamilyRule]) -> Pool:
    """What is told of a row: all of it is free, since what is held stays in its own bin."""
    free = Estimate(float(collection.free_m[row]), float(collection.free_sd_m[row]))
    numbers, homes = collection.number.of(row), collection.garment.of(row)
    tex = Estimate(float(collection.tex[row]), float(collection.tex_sd[row]))
    told = (collection.yarn.of(row), tex, collection.tex_from.of(row), int(collection.weight_class[row]))
    yarn = Yarn(*told, collection.blend.of(row), collection.wash.of(row))
    ball_g, mass_g = float(collection.ball_g[row]), free.mean * tex.mean / 1000.0
    colour = _colour(collection, row)
    colour_name = _in_words(collection.colour.of(row), colour, families)
    owner, called = whose(collection, row), f"{colour_name} {yarn.name}".strip()
    lots = tuple(
        MembersLot(
            name=", ".join(filter(None, (f"{owner}lot {number}", called))),
            garment=f"{owner}garment {homes[0]}" if len(homes) else "",
            yarn=yarn,
            colour=colour,
            colour_name=colour_name,
            mass_g=mass_g / len(numbers),
            pieces=1,
            ball_g=None if np.isnan(ball_g) else ball_g,
            dye_lot=collection.dye_lot.of(row),
            label="",
            reserve_m=None,
            place=collection.place.of(row),
            note="",
            role="",
            length=free.times(1.0 / len(numbers)),
            member=collection.member.of(row),
            number=number,
        )
        for number in numbers.tolist()
    )
    return Pool(lots, free, free, 0.0)


def whose(collection: Collection, row: int) -> str:
    """Before the name of what a member has; "" for one without a code."""
    code = collection.member.of(row)
    return f"{code}'s " if code else ""


_CODES = re.compile(r"#[0-9a-fA-F]{6}(, #[0-9a-fA-F]{6})*")


def _in_words(written: str, colour: Colour, families: Sequence[FamilyRule]) -> str:
    """A colour as it is written; what it is called where that is a code alone, which tells nobody anything."""
    return " and ".join(colours_called(colour, families)) if families and _CODES.fullmatch(written) else written


def _colour(collection: Collection, row: int) -> Colour:
    """As its stitches show it: of a heather that is one colour."""
    labs = [(float(light), float(a), float(b)) for light, a, b in collection.lab.of(row)]
    parts = tuple(zip(labs, map(float, collection.share.of(row)), strict=True))
    sds = tuple((float(light), float(a), float(b)) for light, a, b in collection.lab_sd.of(row))
    return Colour("solid" if len(parts) == 1 else "variegated", parts, sds)


def _colours(collection: Collection) -> tuple[Indexes, Floats, Floats, Floats]:
    """`part`, `share`, `labs` and `sds` of a stock, each colour once, in the order in which they are met."""
    spreads = np.zeros_like(collection.lab.values)
    spreads[np.repeat(collection.lab_sd.number > 0, collection.lab.number)] = collection.lab_sd.values
    rows = np.hstack([collection.lab.values, spreads]) + 0.0  # so that no zero is below zero
    met, of = _each_once(rows)
    part = wide(Several(collection.lab.start, of), None)
    return part, wide(collection.share, 0.0), rows[met, :3], rows[met, 3:]


def _each_once(rows: Floats) -> tuple[Indexes, Indexes]:
    """Where each different row is met first, in that order; and the place of each row among these."""
    bits = np.ascontiguousarray(rows).view(np.uint64)
    marks = np.zeros(len(rows), dtype=np.uint64)
    for column in bits.T:
        marks = (marks ^ (column ^ (column >> np.uint64(29)))) * np.uint64(0x9E3779B97F4A7C15)
        marks ^= marks >> np.uint64(32)
    met, of = first_met(marks)
    if not (bits[met[of]] == bits).all():  # two rows with one mark
        _, same = np.unique(bits, axis=0, return_inverse=True)
        met, of = first_met(same.reshape(-1))
    return met, of


def wide(several: Several, empty: float | None) -> npt.NDArray[Any]:
    """A row's figures side by side, then what is empty, or (None) its first again: array (n, k)."""
    number = several.number
    column = np.arange(max(1, int(number.max(initial=1))))
    padded = np.append(several.values, 0 if empty is None else empty).astype(several.values.dtype)
    beyond = several.start[:-1] if empty is None else np.full(len(number), len(padded) - 1)
    at = np.where(column < number[:, None], several.start[:-1, None] + column, beyond[:, None])
    return np.asarray(padded[at])


def _kinds(collection: Collection, rules: TogetherRules) -> tuple[Indexes, tuple[Kind, ...]]:
    """Place of each row's kind, and all kinds, in the order in which they are met."""
    washes = len(collection.wash.values)
    met, of = first_met(collection.blend.at * washes + collection.wash.at)
    kinds: dict[Kind, int] = {}
    handlings = []
    for row in met.tolist():
        yarn = Yarn("", Estimate(1.0, 0.0), "tex", 0, collection.blend.of(row), collection.wash.of(row))
        handlings.append(handling_of(yarn, rules))
    apart = np.flatnonzero(collection.apart.number)
    plain = np.ones(len(collection), dtype=bool)
    plain[apart] = False
    kind = np.full(len(collection), -1, dtype=np.intp)
    nobody: Sides = frozenset()
    there = set(of[plain].tolist())
    places = [kinds.setdefault((one, nobody), len(kinds)) if at in there else -1 for at, one in enumerate(handlings)]
    kind[plain] = np.array(places, dtype=np.intp)[of[plain]]
    for row in apart.tolist():
        owner = f"{collection.file[row]} {collection.member.of(row)}"
        sides = frozenset((owner, int(side)) for side in collection.apart.of(row))
        kind[row] = kinds.setdefault((handlings[of[row]], sides), len(kinds))
    return kind, tuple(kinds)


def _homes(collection: Collection) -> tuple[Indexes, tuple[str, ...]]:
    """The garments of each row as places in their names, -1 where it has fewer."""
    homes = collection.homes
    met, of = first_met(homes.values)
    rows = np.searchsorted(homes.start, met, side="right") - 1
    owners = zip(collection.file[rows].tolist(), collection.member.at[rows].tolist(), strict=True)
    names = tuple(
        f"{file} {collection.member.values[member]}\n{number}"
        for (file, member), number in zip(owners, collection.garment.values[met].tolist(), strict=True)
    )
    return wide(Several(homes.start, of), -1), names

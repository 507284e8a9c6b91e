"""A lot, a garment, a person and a work as a line of a list: what each is, what is kept of it, what is free."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from matcher.actions.desk import Desk
from matcher.materials.colours.families import colours_called
from matcher.materials.lots import Garment, Lot
from matcher.materials.people import Person
from matcher.materials.reading.names import fold
from matcher.store.database.rows import Rows

BEGUN = "begun"
_STATUSES = ("worn", "given", "gone")


@dataclass(frozen=True)
class LotLine:
    """A lot: what its colours are called, metres kept for mending, and metres that are free."""

    lot: Lot
    colours: tuple[str, ...]
    kept_m: float
    free_m: float

    def grams(self, metres: float) -> float:
        """What so many metres of it weigh; all of them as much as it does."""
        return metres * self.lot.tex_on_scale / 1000.0

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        lot = self.lot
        return {
            "lot": lot.name,
            "garment": lot.garment,
            "role": lot.role,
            "yarn": lot.yarn.name,
            "class": lot.yarn.weight_class,
            "colour": lot.colour.words(),
            "colours": list(self.colours),
            "colour_guessed": lot.colour.guessed,
            "colour_name": lot.colour_name,
            "grams": round(lot.mass_g, 2),
            "metres": round(lot.length.mean, 2),
            "kept_m": round(self.kept_m, 2),
            "claimed_m": round(lot.claimed_m, 2),
            "free_m": round(self.free_m, 2),
            "free_g": round(self.grams(self.free_m), 2),
            "place": lot.place,
            "dye_lot": lot.dye_lot,
            "weighed_on": lot.weighed_on,
            "code": lot.code,
        }


@dataclass(frozen=True)
class GarmentLine:
    """A garment with its lots."""

    garment: Garment
    lots: tuple[LotLine, ...]

    @property
    def kept_m(self) -> float:
        """Metres of its lots that are kept for it."""
        return sum(one.kept_m for one in self.lots)

    @property
    def kept_g(self) -> float:
        """The same in grams."""
        return sum(one.grams(one.kept_m) for one in self.lots)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        one = self.garment
        return {
            "garment": one.name,
            "kind": one.kind,
            "status": one.status,
            "wearer": one.wearer,
            "plans": [plan.words for plan in one.alterations],
            "lots": [line.lot.name for line in self.lots],
            "kept_m": round(self.kept_m, 2),
            "kept_g": round(self.kept_g, 2),
        }


@dataclass(frozen=True)
class PersonLine:
    """Somebody she knits for, with the garments that they wear."""

    person: Person
    garments: tuple[GarmentLine, ...]

    @property
    def wears(self) -> tuple[str, ...]:
        """Names of those that are not gone."""
        return tuple(one.garment.name for one in self.garments if one.garment.status != "gone")

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        one = self.person
        return {
            "person": one.name,
            "size": one.size,
            "measures": {f"{name}_cm": round(cm, 2) for name, cm in one.measures.items()},
            "avoid_on_skin": list(one.unsuited),
            "eyes": one.eyes,
            "likes": list(one.likes),
            "dislikes": list(one.dislikes),
            "garments": [line.garment.name for line in self.garments],
            "note": one.note,
        }


@dataclass(frozen=True)
class Part:
    """What a work takes of a lot in one role: claimed, or used when it is finished [m, g]."""

    role: str
    lot: str
    metres: float
    grams: float
    predicted_m: float = 0.0


@dataclass(frozen=True)
class WorkLine:
    """A work: begun, finished or abandoned. accessory: its key; parts: what it claims, or what it used."""

    number: int
    name: str
    accessory: str
    size: str
    state: str
    begun_on: str
    ended_on: str
    parts: tuple[Part, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "work": self.number,
            "name": self.name,
            "accessory": self.accessory,
            "size": self.size,
            "state": self.state,
            "begun_on": self.begun_on,
            "ended_on": self.ended_on,
            "lots": [
                {"role": one.role, "lot": one.lot, "metres": round(one.metres, 2), "grams": round(one.grams, 2)}
                for one in self.parts
            ],
        }


def lot_lines(desk: Desk) -> tuple[LotLine, ...]:
    """Every lot, by name."""
    shelf, rules = desk.shelf, desk.catalogue.families
    held = {name: metres for group in shelf.groups for name, metres in group.held.items()}
    lines = [
        LotLine(lot, colours_called(lot.colour, rules), held.get(lot.name, 0.0), shelf.free[lot.name].mean)
        for lot in desk.bin.lots
    ]
    return tuple(sorted(lines, key=lambda one: fold(one.lot.name)))


def garment_lines(desk: Desk, lots: tuple[LotLine, ...]) -> tuple[GarmentLine, ...]:
    """Every garment with its lots: those that are worn first, then by name."""
    of: dict[str, list[LotLine]] = {}
    for line in lots:
        of.setdefault(line.lot.garment, []).append(line)
    ordered = sorted(desk.bin.garments.values(), key=lambda one: (_STATUSES.index(one.status), fold(one.name)))
    return tuple(GarmentLine(one, tuple(of.get(one.name, ()))) for one in ordered)


def person_lines(desk: Desk, garments: tuple[GarmentLine, ...]) -> tuple[PersonLine, ...]:
    """Everybody she knits for, by name, with what they wear."""
    of: dict[str, list[GarmentLine]] = {}
    for line in garments:
        of.setdefault(fold(line.garment.wearer), []).append(line)
    ordered = sorted(desk.bin.people.values(), key=lambda one: fold(one.name))
    return tuple(PersonLine(one, tuple(of.get(fold(one.name), ()))) for one in ordered)


def work_lines(store: Rows) -> tuple[WorkLine, ...]:
    """Every work: those on the needles first, then what ended last."""
    rows = store.select("SELECT * FROM works ORDER BY state <> 'begun', ended_on DESC, id")
    claims = store.select("SELECT work, role, lot, metres, tex, predicted_m FROM claims ORDER BY id")
    used = store.select("SELECT work, role, lot, used_m AS metres, tex, predicted_m FROM used ORDER BY id")
    parts: dict[int, list[Part]] = {}
    for one in (*claims, *used):
        part = Part(one["role"], one["lot"], one["metres"], one["metres"] * one["tex"] / 1000.0, one["predicted_m"])
        parts.setdefault(one["work"], []).append(part)
    return tuple(
        WorkLine(
            row["id"],
            row["name"],
            row["accessory"],
            row["size"],
            row["state"],
            row["begun_on"],
            row["ended_on"],
            tuple(parts.get(row["id"], ())),
        )
        for row in rows
    )

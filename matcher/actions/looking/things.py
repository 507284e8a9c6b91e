"""One lot, garment, person, accessory or work, with all that is known of it and what holds it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from matcher.actions.desk import Desk
from matcher.actions.keeping.done import opened
from matcher.actions.looking.lines import GarmentLine, LotLine, PersonLine, WorkLine, work_lines
from matcher.actions.looking.past import Event, history_of
from matcher.actions.needs import needs
from matcher.actions.pattern.kept import kept_pattern
from matcher.actions.pattern.result import Patterned
from matcher.actions.progress.piece import place_words
from matcher.actions.progress.whole_set import SetLasts, set_lasts
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.knitting.pattern.place import stages_of
from matcher.materials.lots import Decision
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words
from matcher.store.database.rows import Rows
from matcher.store.written import Written, written_of


@dataclass(frozen=True)
class ShownLot:
    """A lot: what is kept of it and why, what is on the needles, her decision, what she wrote, and its history."""

    line: LotLine
    reserve: ReserveGroup | None
    works: tuple[WorkLine, ...]
    decision: Decision | None
    written: tuple[Written, ...] = ()
    history: tuple[Event, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        decided = self.decision
        return {
            **self.line.as_dict(),
            "fibre": self.line.lot.yarn.blend.words(),
            "wash": self.line.lot.yarn.wash,
            "pieces": self.line.lot.pieces,
            "label": self.line.lot.label,
            "note": self.line.lot.note,
            "kept_because": self.reserve.because if self.reserve and self.line.kept_m > 0 else "",
            "works": [one.name for one in self.works],
            "decision": {"advice": decided.advice, "made_on": decided.made_on} if decided else None,
            "written": [asdict(one) for one in self.written],
            "history": [one.as_dict() for one in self.history],
        }


@dataclass(frozen=True)
class ShownGarment:
    """A garment: its lots, and what is kept of each of its colours."""

    line: GarmentLine
    reserves: tuple[ReserveGroup, ...]
    written: tuple[Written, ...] = ()
    history: tuple[Event, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        one = self.line.garment
        return {
            **self.line.as_dict(),
            "around_cm": one.chest_cm,
            "stitches_10cm": one.stitches_10cm,
            "rows_10cm": one.rows_10cm,
            "motif": one.motif,
            "mending": one.mending,
            "note": one.note,
            "reserves": [
                {
                    "colour": group.called,
                    "reserve_m": round(group.reserve_m, 2),
                    "missing_m": round(group.missing_m, 2),
                    "because": group.because,
                }
                for group in self.reserves
            ],
            "written": [asdict(one) for one in self.written],
            "history": [event.as_dict() for event in self.history],
        }


@dataclass(frozen=True)
class ShownPerson:
    """Somebody she knits for."""

    line: PersonLine
    written: tuple[Written, ...] = ()
    history: tuple[Event, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            **self.line.as_dict(),
            "written": [asdict(one) for one in self.written],
            "history": [one.as_dict() for one in self.history],
        }


@dataclass(frozen=True)
class ShownAccessory:
    """An accessory: what it is, and what each size takes in one usual class (rows as of `needs`)."""

    entry: Accessory
    structures: tuple[str, ...]
    weight_class: int
    rows: tuple[Mapping[str, Any], ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "key": self.entry.key,
            "name": self.entry.name,
            "kind": self.entry.kind,
            "is": self.entry.note,
            "sizes": list(self.entry.sizes),
            "classes": list(self.entry.classes),
            "roles": list(self.entry.role_names),
            "structures": list(self.structures),
            "class": self.weight_class,
            "needs": [
                {
                    "size": row["size"],
                    "takes": [
                        {"role": one["role"], "metres": round(one["metres"], 2), "grams": round(one["grams"], 2)}
                        for one in row["roles"]
                    ],
                }
                for row in self.rows
            ],
        }


@dataclass(frozen=True)
class ShownWork:
    """A work. gauge: stitches and rows in 10 cm that its metres were worked out for, 0 where not noted. pattern: None
    where none was kept; or `no_pattern` says why none comes out of what was. reached: how far it is. whole: how all of
    its set stands, where it was begun with others."""

    line: WorkLine
    accessory: str
    gauge: tuple[float, float]
    pattern: Patterned | None = None
    no_pattern: Words = ""
    reached: Words = ""
    whole: SetLasts | None = None

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        pattern = None if self.pattern is None else self.pattern.as_dict()
        return {
            **self.line.as_dict(),
            "accessory_name": self.accessory,
            "reached": self.reached,
            "set": self.whole.as_dict() if self.whole else None,
            "pattern": pattern,
        }


Shown = ShownLot | ShownGarment | ShownPerson | ShownAccessory | ShownWork


def lot_shown(desk: Desk, line: LotLine) -> ShownLot:
    """A lot with what holds it, and with its history where the bin is a store."""
    name = line.lot.name
    group = next((one for one in desk.shelf.groups if name in one.held), None)
    decision = desk.decisions.get(name)
    if desk.store is None:
        return ShownLot(line, group, (), decision)
    with opened(desk.store) as store:
        works = tuple(one for one in work_lines(store) if any(part.lot == name for part in one.parts))
        return ShownLot(line, group, works, decision, written_of(store, "lots", name), history_of(store, "lots", name))


def garment_shown(desk: Desk, line: GarmentLine) -> ShownGarment:
    """A garment with its reserve, and with its history where the bin is a store."""
    name = line.garment.name
    groups = tuple(one for one in desk.shelf.groups if one.garment == name)
    if desk.store is None:
        return ShownGarment(line, groups)
    with opened(desk.store) as store:
        written, past = written_of(store, "garments", name), history_of(store, "garments", name)
    return ShownGarment(line, groups, written, past)


def person_shown(desk: Desk, line: PersonLine) -> ShownPerson:
    """Somebody she knits for, with their history where the bin is a store."""
    if desk.store is None:
        return ShownPerson(line)
    name = line.person.name
    with opened(desk.store) as store:
        return ShownPerson(line, written_of(store, "people", name), history_of(store, "people", name))


def accessory_shown(desk: Desk, entry: Accessory) -> ShownAccessory:
    """An accessory with what it takes in the middle one of its classes, as she knits."""
    usual = entry.classes[len(entry.classes) // 2]
    found = needs(entry.key, weight_class=usual, bin=desk)
    structures = dict.fromkeys(zone.structure for zone in entry.zones)
    return ShownAccessory(entry, tuple(found.called.get(one, one) for one in structures), usual, found.rows)


def work_shown(desk: Desk, line: WorkLine, store: Rows) -> ShownWork:
    """A work with the gauge that it was worked out for, and its pattern."""
    row = store.row("works", line.number) or {}
    entry = desk.catalogue.accessories.get(line.accessory)
    gauge = (float(row.get("stitches_10cm", 0.0)), float(row.get("rows_10cm", 0.0)))
    shown = ShownWork(line, entry.name if entry else line.accessory, gauge)
    try:
        made = kept_pattern(row.get("recipe", ""), desk)
        reached: Words = ""
        if made is not None and row["state"] == "begun" and row["stage"]:
            stages = stages_of(made.pattern, desk.catalogue.fabric)
            reached = place_words(stages, min(int(row["stage"]), len(stages)))
        whole = set_lasts(store, row["of_set"], desk.catalogue) if row and row["state"] == "begun" else None
        return replace(shown, pattern=made, reached=reached, whole=whole)
    except BadInput as why:
        return replace(shown, no_pattern=why.said)


def named(name: str, *names: str) -> bool:
    """Whether it is called so, by any of its names."""
    return fold(name) in {fold(one) for one in names if one}


def first(lines: Iterable[WorkLine]) -> tuple[WorkLine, ...]:
    """Works on the needles; where there is none, the last one that ended."""
    every = tuple(lines)
    return tuple(one for one in every if one.state == "begun") or every[:1]

"""The parts of an accessory, one below the other: its zones, with each motif placed and what it leaves plain.

How many stitches a zone has is settled before; here its rounds are, and which row of the motif each of them shows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from matcher.knitting.accessory import Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import PLAIN, STRANDED, FabricConstants, Gauge
from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import Placed, Rows, ground_of, place, shown, with_plain_columns
from matcher.knitting.shapes import end_of, triangle_ends, zone_shape
from matcher.reasons.reason import Term, Words, reason


@dataclass
class Slot:
    """A part while it is being worked out: `ends` are its first and last stitches, `columns` stand between repeats."""

    name: Words
    zone: str
    shape: str
    structure: str
    ends: tuple[int, int]
    rounds: int
    role: str | None
    motif: Motif | None = None
    columns: int = 0
    rows: Rows = ()
    added: bool = False

    @property
    def shaped(self) -> bool:
        return self.ends[0] != self.ends[1]

    def part(self) -> FittedPart:
        how = (self.structure, *self.ends, self.rounds, self.role, self.rows)
        return FittedPart(self.name, *how, added=self.added, shape=self.shape, zone=self.zone)


@dataclass(frozen=True)
class Builder:
    """Makes parts for one size at one gauge."""

    size: str
    sizes: Sizes
    gauge: Gauge
    constants: FabricConstants
    most_rows: int | None = None  # rows of a motif at most; None: as many as there is room for
    as_listed: bool = False  # whether a motif fills its zone as the needs count it, though its last repeat be cut
    banded: bool = False  # whether it does so in whole bands alone, as in a yoke

    def slot(self, zone: Zone, stitches: int, motif: Motif | None = None, columns: int = 0) -> Slot:
        """A zone that begins on so many stitches; of a triangle, so many at its widest."""
        shape = zone_shape(zone, self.size, self.gauge, self.sizes, self.constants)
        ends = stitches, end_of(zone, stitches, shape.rows, self.size, self.gauge, self.sizes, self.constants)
        if zone.shape == "triangle":
            ends = triangle_ends(stitches, self.constants)
        return Slot(zone.name, zone.name, zone.shape, zone.structure, ends, shape.rows, zone.role, motif, columns)

    def rounds_of(self, zone: Zone) -> int:
        """Rounds of a zone."""
        return zone_shape(zone, self.size, self.gauge, self.sizes, self.constants).rows

    def build(self, slots: list[Slot], main: Zone) -> tuple[tuple[FittedPart, ...], Placed]:
        """The parts bottom to top, and how its motif was placed in the main zone."""
        placed = Placed((), "whole", 0)
        number = 0
        while number < len(slots):
            slot = slots[number]
            if slot.motif is None:
                number += 1
                continue
            end = number + 1
            while end < len(slots) and _goes_on(slots[end - 1], slots[end]):
                end += 1
            new, here = self._pattern(slots, number, end, slot.motif)
            if slot.zone == main.name or not placed.rows:
                placed = here
            slots[number:end] = new
            number += len(new)
        return tuple(slot.part() for slot in _joined(slots)), placed

    def _pattern(self, slots: list[Slot], number: int, end: int, motif: Motif) -> tuple[list[Slot], Placed]:
        """The motif in a run of slots, which are tubes and perhaps a tip that narrows.

        A small motif goes on into the tip; one that a tube holds only once stays in the tube.
        """
        ground = ground_of(motif)
        rows = with_plain_columns(motif.grid, slots[number].columns, ground)
        several = any(len(set(row)) > 1 for row in rows)
        tube = slots[number]
        # A tube that was all rib keeps rib at both ends, since plain edges curl.
        ribbed = self.constants.ribbed(tube.structure)
        plain = tube.structure if ribbed else PLAIN
        room = tube.rounds // 2 if ribbed else tube.rounds
        spare = not ribbed and end - number == 1
        if self.most_rows is not None and self.most_rows < room:
            room, spare = self.most_rows, False
        role = motif.roles[ground]
        if tube.shaped or (end - number > 1 and room >= 2 * len(rows)):
            total = sum(slot.rounds for slot in slots[number:end])
            tiled = (rows * (total // len(rows) + 1))[:total]
            new, at = [], 0
            for slot in slots[number:end]:
                new.append(replace(slot, role=None, rows=tiled[at : at + slot.rounds], structure=_kind(several)))
                at += slot.rounds
            return new, Placed(tiled, "whole", total // len(rows))
        before, after = _spare(slots, number - 1, tube, role), _spare(slots, end, tube, role)
        more = before + after if spare else 0
        margin = sum(_other(slots, at, role) for at in (number - 1, end)) if not ribbed else 0
        if self.most_rows is not None:
            more, margin = max(0, min(more, self.most_rows - room)), 0
        own = self.as_listed
        placed = shown(rows, ground, room, self.banded) if own else place(rows, ground, room, more, margin)
        left = tube.rounds - len(placed.rows)
        if left < 0:
            # The plain parts beside it give all their rounds, and what is left of them stands below and above.
            left += before + after
            for at in (number - 1, end):
                if _plain(slots, at, tube, role):
                    slots[at].rounds = 0
        below = (left + 1) // 2
        called = Term(self.constants.structure(plain).words if ribbed else "plain")
        rest = [replace(slot, role=role, structure=plain) for slot in slots[number + 1 : end]]
        under = reason("{plain} below {part}", plain=called, part=tube.name)
        over = reason("{plain} above {part}", plain=called, part=tube.name)
        alike = replace(tube, structure=plain, role=role, added=True)
        new = [
            replace(alike, name=under, rounds=below),
            replace(tube, rounds=len(placed.rows), role=None, rows=placed.rows, structure=_kind(several)),
            replace(alike, name=over, rounds=left - below),
            *rest,
        ]
        return [slot for slot in new if slot.rounds], placed


def _goes_on(below: Slot, above: Slot) -> bool:
    """Whether a motif runs on without a break."""
    return above.motif is below.motif and above.columns == below.columns and above.ends[0] == below.ends[1]


def _kind(several: bool) -> str:
    return STRANDED if several else PLAIN


def _spare(slots: list[Slot], at: int, tube: Slot, role: str) -> int:
    """Rounds that a plain part beside the tube could give."""
    return slots[at].rounds if _plain(slots, at, tube, role) else 0


def _plain(slots: list[Slot], at: int, tube: Slot, role: str) -> bool:
    """Whether a part beside the tube goes on in as many stitches, plain and in the motif's ground."""
    if not 0 <= at < len(slots):
        return False
    beside = slots[at]
    same = beside.ends == tube.ends and beside.structure == PLAIN and beside.role == role
    return same and beside.motif is None


def _other(slots: list[Slot], at: int, role: str) -> bool:
    """Whether a part beside the tube is rib, garter or of another role, so that a motif should not touch it."""
    return 0 <= at < len(slots) and (slots[at].structure != PLAIN or slots[at].role != role)


def _joined(slots: list[Slot]) -> list[Slot]:
    """What a motif leaves plain as one with a part that is knitted alike beside it; empty ones left out."""
    found: list[Slot] = []
    for slot in slots:
        if not slot.rounds:
            continue
        last = found[-1] if found else None
        alike = last is not None and not slot.rows and not last.rows and last.ends[1] == slot.ends[0] == slot.ends[1]
        added = last is not None and (last.added or slot.added)
        if last is not None and alike and added and (last.structure, last.role) == (slot.structure, slot.role):
            named = slot if last.added else last
            found[-1] = replace(named, rounds=last.rounds + slot.rounds)
        else:
            found.append(replace(slot))
    return found

"""The parts of an accessory, one below the other, for so many stitches and a motif in its main tube.

A zone of which the entry has twice as many as it has main tubes ("edges") is knitted both below and above. The
stitches of a zone as wide as the main tube are the main tube's; of another they are in proportion, and in rib to
the nearest multiple that the rib needs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from matcher.knitting.accessory import Accessory, Zone
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import PLAIN, STRANDED, FabricConstants, Gauge
from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.motifs.parts import Placed, Rows, ground_of, place, with_plain_columns
from matcher.knitting.shapes import end_of, zone_shape
from matcher.reasons.reason import Term, Words, reason


class NoTube(ValueError):
    """The entry has no tube that a motif could run round."""


@dataclass(frozen=True)
class Outline:
    """An entry's zones sorted out for one size: the main tube, the column bottom to top, and what is beside it."""

    main: Zone
    pieces: int
    column: tuple[Zone, ...]
    extra: tuple[Zone, ...]
    target_cm: float  # circumference of the main tube, as the entry would have it
    body_cm: float  # the body's measure that it goes round
    goes_round: str  # its name; "" where there is none, or it goes round more than once
    ribbed: bool  # whether a rib is exactly as wide as the main tube, so that both must come out even


def outline_of(accessory: Accessory, size: str, sizes: Sizes, constants: FabricConstants) -> Outline:
    """Sort the zones out. Raises NoTube, and KeyError when the size lacks a measure."""
    tubes = [zone for zone in accessory.zones if zone.shape == "tube" and zone.around is not None]
    patterned = [zone for zone in accessory.zones if zone.motif]
    smooth = [zone for zone in tubes if not constants.ribbed(zone.structure)]
    choice = [zone for zone in tubes if zone.motif] if patterned else smooth or tubes
    if not choice:
        raise NoTube(accessory.name)
    main = max(choice, key=lambda zone: _around(zone, size, sizes) * _height(zone, size, sizes) * zone.count)
    dimension = main.around
    assert dimension is not None
    target = _around(main, size, sizes)
    body = target if dimension.of is None else sizes.dimension(size, dimension.of) * dimension.times
    below, above, extra = [], [], []
    for zone in accessory.zones:
        narrow = zone.around is None or _around(zone, size, sizes) < target / 2.0
        stands = zone.shape in ("tube", "crown", "frustum") and not narrow
        if stands and zone.count == main.count:
            below.append(zone)
        elif stands and zone.count == 2 * main.count:
            below.append(zone)
            above.append(zone)
        else:
            extra.append(zone)
    column = (*below, *above)
    ribbed = any(constants.ribbed(zone.structure) and _as_wide(zone, main, size, sizes) for zone in column)
    goes_round = dimension.of if dimension.of is not None and dimension.times < 1.5 else ""
    return Outline(main, main.count, column, tuple(extra), target, body, goes_round, ribbed)


def _around(zone: Zone, size: str, sizes: Sizes) -> float:
    assert zone.around is not None, zone.name
    return zone.around.in_cm(sizes, size)


def _height(zone: Zone, size: str, sizes: Sizes) -> float:
    return zone.height.in_cm(sizes, size) if zone.height is not None else 0.0


def _as_wide(zone: Zone, main: Zone, size: str, sizes: Sizes) -> bool:
    return abs(_around(zone, size, sizes) - _around(main, size, sizes)) < 1e-9


@dataclass
class _Slot:
    """A part while it is being worked out: `ends` are its first and last stitches."""

    name: Words
    structure: str
    ends: tuple[int, int]
    rounds: int
    role: str | None
    patterned: bool = False
    rows: Rows = ()
    added: bool = False
    shape: str = "tube"

    def part(self) -> FittedPart:
        return FittedPart(
            self.name, self.structure, *self.ends, self.rounds, self.role, self.rows, self.added, self.shape
        )


@dataclass(frozen=True)
class Builder:
    """Makes the parts of one outline at one gauge with one motif."""

    outline: Outline
    motif: Motif
    size: str
    sizes: Sizes
    gauge: Gauge
    constants: FabricConstants
    rule: FittingRule
    most_rows: int | None = None  # rows of the motif at most; None: as many as there is room for

    def build(self, stitches: int, plain_columns: int) -> tuple[tuple[FittedPart, ...], Placed]:
        """The parts bottom to top, and how the motif was placed in the main tube."""
        ground = ground_of(self.motif)
        rows = with_plain_columns(self.motif.grid, plain_columns, ground)
        slots = [self._slot(zone, stitches, len(rows[0])) for zone in self.outline.column]
        placed = Placed((), "whole", 0)
        number = 0
        while number < len(slots):
            slot = slots[number]
            if not slot.patterned:
                number += 1
                continue
            is_main = self.outline.column[number] is self.outline.main
            end = number + 1
            while end < len(slots) and slots[end].patterned:
                end += 1
            new, here = self._pattern(slots, number, end, rows, ground)
            if is_main or not placed.rows:
                placed = here
            slots[number:end] = new
            number += len(new)
        return tuple(slot.part() for slot in _joined(slots)), placed

    def extra(self) -> tuple[tuple[FittedPart, int], ...]:
        """What is knitted on besides; a motif in it is the tube's, from its first row."""
        found = []
        ground = self.motif.roles[ground_of(self.motif)]
        for zone in self.outline.extra:
            shape = zone_shape(zone, self.size, self.gauge, self.sizes, self.constants)
            structure = PLAIN if zone.motif else zone.structure
            role, ends = zone.role or ground, (shape.first, shape.last)
            part = FittedPart(zone.name, structure, *ends, shape.rows, role, shape=zone.shape)
            found.append((part, shape.pieces))
        return tuple(found)

    def _slot(self, zone: Zone, stitches: int, repeat: int) -> _Slot:
        shape = zone_shape(zone, self.size, self.gauge, self.sizes, self.constants)
        patterned = zone is self.outline.main or zone.motif is not None
        assert zone.around is not None, zone.name
        wide = zone.around.in_cm(self.sizes, self.size) / self.outline.target_cm
        first = stitches
        if abs(wide - 1.0) > 1e-9:
            ribbed = self.constants.ribbed(zone.structure)
            step = self.rule.rib_stitches if ribbed else repeat if patterned else 1
            first = max(1, round(stitches * wide / step)) * step
        last = end_of(zone, first, shape.rows, self.size, self.gauge, self.sizes, self.constants)
        return _Slot(zone.name, zone.structure, (first, last), shape.rows, zone.role, patterned, shape=zone.shape)

    def _pattern(
        self, slots: list[_Slot], number: int, end: int, rows: Rows, ground: str
    ) -> tuple[list[_Slot], Placed]:
        """The motif in a run of slots, which are tubes and perhaps a tip that narrows.

        A small motif goes on into the tip; one that a tube holds only once stays in the tube.
        """
        several = any(len(set(row)) > 1 for row in rows)
        tube = slots[number]
        # A tube that was all rib keeps rib at both ends, since plain edges curl.
        ribbed = self.constants.ribbed(tube.structure)
        plain = tube.structure if ribbed else PLAIN
        room = tube.rounds // 2 if ribbed else tube.rounds
        spare = not ribbed and end - number == 1
        if self.most_rows is not None and self.most_rows < room:
            room, spare = self.most_rows, False
        role = self.motif.roles[ground]
        if end - number > 1 and room >= 2 * len(rows):
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
        placed = place(rows, ground, room, more, margin)
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
        new = [
            _Slot(under, plain, tube.ends, below, role, added=True),
            replace(tube, rounds=len(placed.rows), role=None, rows=placed.rows, structure=_kind(several)),
            _Slot(over, plain, tube.ends, left - below, role, added=True),
            *rest,
        ]
        return [slot for slot in new if slot.rounds], placed


def _kind(several: bool) -> str:
    return STRANDED if several else PLAIN


def _spare(slots: list[_Slot], at: int, tube: _Slot, role: str) -> int:
    """Rounds that a plain part beside the tube could give."""
    return slots[at].rounds if _plain(slots, at, tube, role) else 0


def _plain(slots: list[_Slot], at: int, tube: _Slot, role: str) -> bool:
    """Whether a part beside the tube goes on in as many stitches, plain and in the motif's ground."""
    if not 0 <= at < len(slots):
        return False
    beside = slots[at]
    same = beside.ends == tube.ends and beside.structure == PLAIN and beside.role == role
    return same and not beside.patterned


def _other(slots: list[_Slot], at: int, role: str) -> bool:
    """Whether a part beside the tube is rib, garter or of another role, so that a motif should not touch it."""
    return 0 <= at < len(slots) and (slots[at].structure != PLAIN or slots[at].role != role)


def _joined(slots: list[_Slot]) -> list[_Slot]:
    """Parts that are knitted alike without a break, as one; empty ones left out."""
    found: list[_Slot] = []
    for slot in slots:
        if not slot.rounds:
            continue
        last = found[-1] if found else None
        alike = last is not None and not slot.rows and not last.rows and last.ends[1] == slot.ends[0] == slot.ends[1]
        if last is not None and alike and (last.structure, last.role) == (slot.structure, slot.role):
            named = slot if last.added else last
            found[-1] = replace(named, rounds=last.rounds + slot.rounds)
        else:
            found.append(replace(slot))
    return found

"""An accessory fitted to a wearer: whole stitches, whole rounds, and which row of the motif each round shows."""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from matcher.knitting.fabric import Gauge
from matcher.knitting.motifs.grid import both, longest_of_all, touching
from matcher.knitting.shaping import by_round
from matcher.reasons.reason import Words

_MARKS = ".xo+*#%&=~^v<>ABCDEFGHIJKLMNPQRSTUVWXYZ"


def free_mark(taken: Container[str]) -> str:
    """A character for a role that has none yet."""
    return next(mark for mark in _MARKS if mark not in taken)


def in_role_order(role: str) -> tuple[int, int, str]:
    """Main first, then the contrasts by their numbers, then any other by name."""
    word, _, number = role.partition(" ")
    if role == "main":
        return 0, 0, role
    if word == "contrast":
        return 1, int(number) if number.isdigit() else 0, role
    return 2, 0, role


class CastOn(NamedTuple):
    """Stitches of the main tube: repeats of the motif, each with its plain columns."""

    stitches: int
    repeats: int
    plain_columns: int


@dataclass(frozen=True)
class FittedPart:
    """Rounds of one structure, one below the other, in one role or in rows of a motif.

    first, last: stitches before the first round (of a triangle, in it) and after the last; what stands between is told
    by its shape, one of the catalogue's. rows: what each round of a motif shows, bottom round first, one character a
    stitch, one repeat wide with its plain columns; empty for a part in one role. decreases: whether it narrows (a
    crown, the tip of a mitten).
    """

    part: Words
    structure: str
    first: int
    last: int
    rounds: int
    role: str | None = None
    rows: tuple[str, ...] = ()
    added: bool = False  # beside a motif, in a zone that the entry does not part
    shape: str = "tube"
    edge: int = 0  # stitches besides those of its rounds: picked up, cast on or made within it, or bound off
    worked: tuple[int, ...] = ()  # stitches of each row, where these are not all of them: short rows, slipped edges
    zone: str = ""  # the entry's name for it; "edges" that stand below and above have the same

    @property
    def decreases(self) -> bool:
        return self.last < self.first

    @property
    def counts(self) -> tuple[int, ...]:
        """Stitches worked in each round, bottom up."""
        return self.worked or by_round(self.shape, self.first, self.last, self.rounds)

    def stitches_in(self, round_number: int) -> int:
        """Stitches of a round of this part, counted from 0 at the bottom."""
        return self.counts[round_number]


@dataclass(frozen=True)
class Fitted:
    """One accessory in stitches and rounds, bottom to top. `pieces` alike are knitted (a pair of mitts: 2).

    marks: character of the rows -> role. around_cm is the finished circumference of the main tube, body_cm that of
    what it `goes_round`, such as "head", ease_cm the difference; off_by_cm is 0 within the ease allowed, else how far
    outside it [cm].
    extra: parts that are knitted on besides (thumbs, gussets), each with its own number of pieces.
    """

    gauge: Gauge
    stitches: int
    repeat: int  # stitches of one repeat, plain columns included
    repeats: int
    plain_columns: int
    parts: tuple[FittedPart, ...]
    marks: Mapping[str, str]
    around_cm: float
    body_cm: float
    ease_cm: float
    off_by_cm: float
    pieces: int = 1
    extra: tuple[tuple[FittedPart, int], ...] = ()
    size: str = ""
    motif_rows: int = 0  # rows of the motif in one piece
    placed: str = ""  # how they were taken; see motif_parts.Placed
    taken_up: bool = False  # whether the first part takes up what is knitted before it, and is not cast on
    heel_at: int = 0  # of a sock: rounds of the column above which its heel stands
    goes_round: str = ""  # "" for what has its size in cm, or goes round more than once
    bound_off: bool = True  # whether the last part is finished by itself, and not taken up by another

    @property
    def ground(self) -> str:
        """The mark of the first of its roles; "" without a motif."""
        return min(self.marks, key=lambda mark: in_role_order(self.marks[mark]), default="")

    @property
    def apart(self) -> bool:
        """Whether its zones are pieces by themselves, whose edges their parts count."""
        return self.taken_up and not self.bound_off

    @property
    def cast_on(self) -> int:
        """Stitches of the first round; the rib may have other stitches than the main tube."""
        return self.parts[0].first

    @property
    def crown_from(self) -> int | None:
        """The round, counted from 1 at the cast-on, in which a crown or a tip begins to narrow."""
        before = 0
        for part in self.parts:
            if part.decreases:
                return before + 1
            before += part.rounds
        return None

    @cached_property
    def longest_floats(self) -> dict[str, int]:
        """Longest run of stitches that each role passes behind in a round, round the end of the round too."""
        # A row is one repeat; the gap over its edge is the same at every repeat.
        longest = longest_of_all([[self.marks[mark] for mark in row] for part in self.parts for row in part.rows])
        return {role: longest[role] for role in sorted(longest, key=in_role_order)}

    @cached_property
    def roles(self) -> tuple[str, ...]:
        """Roles that are used, in the order in which they first appear from the bottom."""
        found: dict[str, None] = {}
        for part in (*self.parts, *(one for one, _ in self.extra)):
            if part.role is not None:
                found[part.role] = None
            for row in part.rows:
                for mark in row:
                    found[self.marks[mark]] = None
        return tuple(found)

    def rounds(self) -> tuple[tuple[FittedPart, tuple[str, ...]], ...]:
        """Every round from the bottom up: its part, and the roles of its stitches from left to right, as a chart shows.

        A part repeat at the end of a round is cut off, as where a motif runs into decreases.
        """
        found = []
        for part in self.parts:
            for number, count in enumerate(part.counts):
                if part.rows:
                    row = part.rows[number]
                    found.append((part, tuple(self.marks[row[place % len(row)]] for place in range(count))))
                else:
                    assert part.role is not None, str(part.part)
                    found.append((part, (part.role,) * count))
        return tuple(found)

    def edges(self) -> dict[frozenset[str], int]:
        """Sides that two different roles share, sideways round each round and upwards where the widths agree."""
        return both(touching([row for _, row in self.rounds()], stacked=False))

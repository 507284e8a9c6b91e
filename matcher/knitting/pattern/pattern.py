"""A pattern as data: pieces of sections of steps, of which most are courses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import Calibration
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.pattern.needles import Needles
from matcher.knitting.pattern.stitches import OPERATIONS, Stitch
from matcher.reasons.reason import Words


@dataclass(frozen=True)
class Chart:
    """One repeat of some courses, each in the order in which it is worked: from the right, in a row of the wrong side
    from the left. Rows may differ in width, where stitches are decreased. name: "A", "B" ..."""

    name: str
    rows: tuple[tuple[Stitch, ...], ...]


@dataclass(frozen=True)
class ChartRow:
    """Which row of a chart stitches of a course follow, from 1, and how many times side by side.

    start, end: which operations of the course these are, all where left out; words say the others. less_first,
    less_last: stitches that are left out of the first repeat's beginning and of the last one's end.
    """

    chart: str
    row: int
    times: int
    start: int = 0
    end: int | None = None
    less_first: int = 0
    less_last: int = 0


@dataclass(frozen=True)
class Course:
    """One round, or one row where `flat`: every stitch in the order in which it is worked.

    structure: of `catalog/fabric/structures.csv`. charted: rows of charts side by side as they are worked, none where
    words say it all. holder: where stitches that are put on hold wait, such as "thumb". A course that turns leaves
    the rest of the needle as it is.
    """

    stitches: tuple[Stitch, ...]
    structure: str
    flat: bool = False
    wrong_side: bool = False
    charted: tuple[ChartRow, ...] = ()
    holder: str = ""

    @cached_property
    def counts(self) -> Mapping[Stitch, int]:
        """How many it has of each stitch, in the order in which they are first met."""
        return Counter(self.stitches)

    @cached_property
    def roles(self) -> frozenset[str]:
        """The roles whose yarn is worked in it."""
        return frozenset(one.role for one in self.counts if one.role)

    @cached_property
    def takes(self) -> int:
        """Stitches that it works off the needle."""
        return sum(OPERATIONS[one.op].takes * number for one, number in self.counts.items())

    @cached_property
    def leaves(self) -> int:
        """Stitches that it puts on the needle."""
        return sum(OPERATIONS[one.op].leaves * number for one, number in self.counts.items())

    @property
    def changes(self) -> bool:
        """Whether it leaves more or fewer stitches than it takes."""
        return self.takes != self.leaves


@dataclass(frozen=True)
class CastOn:
    """New stitches behind those on the needle. how: the method and why, a sentence or two."""

    stitches: int
    role: str
    structure: str
    how: Words | None = None


@dataclass(frozen=True)
class Bring:
    """So many live stitches of something that is knitted already come behind those on the needle, not yet worked.

    source: "the left sleeve" ..."""

    stitches: int
    source: Words


@dataclass(frozen=True)
class Join:
    """The row is closed to a round without twisting; a marker shows where it begins. how: where it is otherwise."""

    how: Words | None = None


@dataclass(frozen=True)
class Rest:
    """Every stitch of the needle waits on a holder of this name; the yarn is cut where `cut`."""

    holder: str
    cut: bool = True


@dataclass(frozen=True)
class TakeUp:
    """What waits on a holder comes behind the stitches of the needle, not yet worked; joined: in the round."""

    holder: str


@dataclass(frozen=True)
class PickUp:
    """So many new loops are picked up and knitted, behind the stitches of the needle. where: "along the gap" ..."""

    stitches: int
    role: str
    structure: str
    where: Words


@dataclass(frozen=True)
class Finish:
    """All stitches leave the needle.

    how: "bind off" (`loose` where the edge must stretch, `in_rib` each stitch as it shows), "draw through" (the end is
    drawn through them and pulled tight), "graft" (the first half of the needle to the second) or "three needles" (both
    halves bound off together).
    """

    how: str
    role: str
    structure: str
    loose: bool = False
    in_rib: bool = False


@dataclass(frozen=True)
class Remark:
    """Something to do or to know that leaves the stitches as they are: a fold, other needles, a seam."""

    words: Words


Step: TypeAlias = Course | CastOn | Bring | Join | Rest | TakeUp | PickUp | Finish | Remark


@dataclass(frozen=True)
class Section:
    """Steps under one heading. anew: its courses are numbered from 1, as of a thumb or a flap by itself.

    times: it is worked so often, as of flags alike that wait on one holder; such a section begins anew.
    """

    heading: Words
    steps: tuple[Step, ...]
    anew: bool = False
    times: int = 1


@dataclass(frozen=True)
class Piece:
    """Something that is cast on and finished by itself; `times` alike are knitted."""

    name: Words
    sections: tuple[Section, ...]
    times: int = 1

    def steps(self) -> Iterator[Step]:
        for section in self.sections:
            for _ in range(section.times):
                yield from section.steps

    def courses(self) -> Iterator[Course]:
        for step in self.steps():
            if isinstance(step, Course):
                yield step


@dataclass(frozen=True)
class Pattern:
    """A whole pattern. finishing: seams, ends, blocking, sentence by sentence. before: what to know first.

    learnt: how she knits, which its metres follow; None where that is not known.
    """

    accessory: Accessory
    fitted: Fitted
    pieces: tuple[Piece, ...]
    charts: tuple[Chart, ...] = ()
    before: tuple[Words, ...] = ()
    finishing: tuple[Words, ...] = ()
    needles: Needles | None = None
    learnt: Calibration | None = None

    @property
    def several(self) -> bool:
        """Whether it has more than one colour, so that a course must say which."""
        return len(self.fitted.roles) > 1

    def chart(self, name: str) -> Chart:
        return next(one for one in self.charts if one.name == name)


def letter_of(role: str) -> str:
    """What patterns of the trade call a role: MC the main colour, CC1, CC2 ... the contrasting ones."""
    word, _, number = role.partition(" ")
    if role == "main":
        return "MC"
    return f"CC{number}" if word == "contrast" and number.isdigit() else role

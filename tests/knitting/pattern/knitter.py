"""A knitter made of code: she reads the printed page of a pattern and knits it, stitch by stitch.

She knows the words of the trade and nothing of how the page was made. `knit` gives what came off her needles, or is
`Stuck` where the page does not come out: a round that uses up more or fewer stitches than are on the needle, a count
that isn't as said, a number left out, a chart that doesn't go round, something left on the needle or on hold.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

from printed_lines import WORTH, Act, ChartRows, Courses, Work, read_line
from printed_page import PrintedPage, PrintedPiece, Stuck, read_page

_SHOWS_FROM_BEHIND = {"k": "p", "p": "k"}
_SAID_LATER = -1


@dataclass(frozen=True)
class Knitted:
    """One round or row as it was knitted. works: in the order in which they were worked; shows: of each stitch that it
    left, "k" or "p" and its colour as the right side shows it, in the order of the row."""

    section: str
    number: int
    flat: bool
    wrong_side: bool
    before: int
    after: int
    works: tuple[Work, ...]
    shows: tuple[tuple[str, str], ...]
    held_from: int | None = None

    @cached_property
    def loops(self) -> Counter[str]:
        """Loops of each colour."""
        found: Counter[str] = Counter()
        for (op, colour), times in Counter((one.op, one.colour) for one in self.works).items():
            found[colour] += WORTH[op][2] * times if op in WORTH else 0
        return +found

    @cached_property
    def floats(self) -> Counter[str]:
        """Stitches that each colour passes behind."""
        loops = self.loops
        return +Counter({colour: loops.total() - own for colour, own in loops.items()} if len(loops) > 1 else {})

    @property
    def longest_floats(self) -> dict[str, int]:
        """Longest run that each colour passes behind, over the end of a round too."""
        colours = [one.colour for one in self.works for _ in range(WORTH[one.op][2] if one.op in WORTH else 0)]
        found = {}
        for colour in dict.fromkeys(colours):
            start = colours.index(colour)
            turned = [*colours[start:], *([] if self.flat else colours[:start])]
            runs = [len(list(run)) for own, run in groupby(one == colour for one in turned) if not own]
            found[colour] = max(runs, default=0)
        return found


@dataclass
class Off:
    """A piece off the needles. edges: yarn of cast-ons and bind-offs, in loops. held: for each holder, the round in
    which it was filled."""

    name: str
    times: int
    courses: list[Knitted] = field(default_factory=list)
    edges: Counter[str] = field(default_factory=Counter)
    remarks: list[str] = field(default_factory=list)
    closed: list[str] = field(default_factory=list)

    def sections(self) -> dict[str, list[Knitted]]:
        found: dict[str, list[Knitted]] = {}
        for course in self.courses:
            found.setdefault(course.section, []).append(course)
        return found


@dataclass
class Needles:
    """left: to be worked, the next stitch first; right: worked, the last one last. Each stitch is how it shows."""

    left: list[tuple[str, str]] = field(default_factory=list)
    right: list[tuple[str, str]] = field(default_factory=list)
    held: dict[str, list[tuple[str, str]]] = field(default_factory=dict)
    joined: bool = False
    wrong_side: bool = False  # of the row that was worked last
    rows: int = 0  # worked since the last cast-on or join
    turned: bool = False

    @property
    def live(self) -> int:
        return len(self.left) + len(self.right)

    def begin(self, flat: bool, side: str = "") -> None:
        """Ready for the next round or row. A row begins where the last one ended, with the other side in front; what a
        turn has left waits at the other tip. A round begins at the right edge of the right side."""
        if flat and self.rows:
            self.left, self.right = self.right[::-1], self.left[::-1]
            self.wrong_side = not self.wrong_side
        else:
            self.left, self.right = [*self.right, *self.left], []
            if self.wrong_side:
                self.left.reverse()
            self.wrong_side = flat and side == "wrong"
            if self.wrong_side:
                self.left.reverse()
        self.rows = self.rows + 1 if flat else 0
        self.turned = False

    def empty(self) -> None:
        """Nothing is on them, and they lie as at the beginning."""
        self.left, self.right = [], []
        self.rows, self.joined, self.wrong_side, self.turned = 0, False, False, False


def knit(text: str) -> list[Off]:
    """Knit every piece of a printed page."""
    page = read_page(text)
    return [Knitting(piece, page).knit() for piece in page.pieces]


class Knitting:
    """One piece while it is knitted."""

    def __init__(self, piece: PrintedPiece, page: PrintedPage) -> None:
        self.piece, self.page = piece, page
        self.needles = Needles()
        self.off = Off(piece.name, piece.times)
        self.number = 0
        self.said: dict[int, tuple[tuple[Work, ...], int | None]] = {}  # what a round or row of this number did
        self.section = ""
        self.times = 1  # the section is worked so often
        self.begun = False  # whether a section has begun, which may number anew

    def knit(self) -> Off:
        for section in self.piece.sections:
            self.section, self.times = section.heading, 1
            done = 0
            while done < self.times:
                done += 1
                self.begun = True
                for line in section.lines:
                    self._line(line)
        if self.needles.live:
            raise Stuck(f"{self.piece.name}: {self.needles.live} stitches are left on the needle")
        if self.needles.held:
            raise Stuck(f"{self.piece.name}: stitches are left on hold for {', '.join(self.needles.held)}")
        if not self.off.closed:
            raise Stuck(f"{self.piece.name}: never finished")
        return self.off

    def _line(self, line: str) -> None:
        try:
            said = read_line(line)
            if said is None:
                self.off.remarks.append(line)
            elif isinstance(said, Act):
                self._act(said)
            else:
                self._courses(said)
        except Stuck as fault:
            raise Stuck(f"{self.piece.name}, {self.section}: {line} -> {fault}") from None

    def _act(self, act: Act) -> None:
        needles = self.needles
        if act.what in ("rest", "finish") and act.stitches != needles.live:
            raise Stuck(f"{needles.live} stitches are on the needle, not {act.stitches}")
        if self._several and act.what in ("cast on", "pick up") and not act.colour and act.after is None:
            raise Stuck("in which colour?")
        if act.what == "times":
            self.times = act.stitches
        elif act.what == "bring":
            needles.right += [("k", "")] * act.stitches
        elif act.what == "cast on":
            if not needles.live:
                needles.empty()
            self._add(act.stitches, act.colour)
            self.off.edges[act.colour] += act.stitches
        elif act.what == "pick up":
            self._add(act.stitches, act.colour)
            self.off.edges[act.colour] += act.stitches
            needles.joined = True
        elif act.what == "join":
            if not needles.live:
                raise Stuck("there is nothing to join")
            needles.joined = True
        elif act.what == "rest":
            if act.holder in needles.held and self.times == 1:
                raise Stuck(f"the holder for {act.holder} is in use")
            needles.begin(flat=False)
            needles.held[act.holder] = [*needles.held.get(act.holder, []), *needles.left]
            needles.empty()
        elif act.what == "take up":
            if act.holder not in needles.held:
                raise Stuck(f"nothing waits for the {act.holder}")
            needles.right += needles.held.pop(act.holder)
            needles.joined = True
        else:
            self._finish(act)
        if act.after is not None and act.what != "finish" and act.after != needles.live:
            raise Stuck(f"{needles.live} stitches are on the needle, not {act.after}")

    def _finish(self, act: Act) -> None:
        live = self.needles.live
        if not live:
            raise Stuck("nothing is on the needle to finish")
        if act.how in ("graft", "three needles") and act.after != live / 2:
            raise Stuck(f"half of {live} is not {act.after}")
        if act.how != "draw":
            if self._several and not act.colour:
                raise Stuck("in which colour?")
            self.off.edges[act.colour] += live
        self.off.closed.append(act.how)
        self.needles.empty()

    @property
    def _several(self) -> bool:
        return len(self.page.colours) > 1

    def _add(self, stitches: int, colour: str) -> None:
        if not stitches:
            raise Stuck("no stitches")
        self.needles.right += [("k", colour)] * stitches

    def _courses(self, said: Courses) -> None:
        if self.begun and said.first == 1:
            self.number, self.said = 0, {}
        self.begun = False
        if said.first != self.number + 1:
            raise Stuck(f"the number after {self.number} is {self.number + 1}")
        for works, after in self._each(said):
            self.number += 1
            self.said[self.number] = works, after
            self._course(works, after, said)
        if said.after is not None and said.after != self.needles.live:
            raise Stuck(f"{self.needles.live} stitches are on the needle, not {said.after}")
        if self.number != said.last:
            raise Stuck(f"ends at {self.number}, not at {said.last}")

    def _each(self, said: Courses) -> Iterator[tuple[tuple[Work, ...], int | None]]:
        """What each of these rounds or rows does."""
        if said.repeat:
            first, last, times = said.repeat
            if not 1 <= first <= last < said.first:
                raise Stuck(f"there is no {first} to {last} to repeat")
            again = [self.said[number] for number in range(first, last + 1)]
            if said.after is not None:  # the count is said after the last one
                again = [(works, _SAID_LATER) for works, _ in again]
            yield from again * times
        else:
            rows = {part.last - part.first + 1 for part in said.parts if isinstance(part, ChartRows)}
            rounds = said.last - said.first + 1
            if rows - {1, rounds} or len(rows) > 1:
                raise Stuck(f"{rounds} rounds or rows cannot follow {rows} rows of a chart")
            for step in range(rounds):
                works: list[Work] = []
                for part in said.parts:
                    works += (
                        self._chart_row(part, min(part.first + step, part.last))
                        if isinstance(part, ChartRows)
                        else part
                    )
                yield tuple(works), said.after

    def _chart_row(self, part: ChartRows, row: int) -> Sequence[Work]:
        chart = self.page.charts.get(part.chart)
        if chart is None:
            raise Stuck(f"there is no chart {part.chart}")
        if row not in chart.rows:
            raise Stuck(f"chart {chart.name} has no row {row}")
        works = [Work(op, colour) for op, colour in chart.rows[row]] * part.times
        return works[part.less[0] : len(works) - part.less[1]]

    def _course(self, works: Sequence[Work], after: int | None, said: Courses) -> None:
        needles, section = self.needles, self.section
        if not said.flat and not needles.joined:
            raise Stuck("a round, and nothing was joined")
        needles.begin(said.flat, said.side)
        if said.side and (said.side == "wrong") != needles.wrong_side:
            raise Stuck(f"this row is not of the {said.side} side")
        before = needles.live
        done: list[Work] = []
        shows: list[tuple[str, str]] = []
        held_from = None
        for work, times in self._written_out(works):
            if work.op == "turn":
                needles.turned = True
                continue
            if work.op == "pm":
                # Rounds begin here: what is left comes first, and what was worked behind it.
                needles.right, needles.left = [*needles.left, *needles.right], []
                continue
            if needles.turned:
                raise Stuck("something is worked after the turn")
            if work.op == "hold":
                held_from = before - len(needles.left) if held_from is None else held_from
                if work.holder in needles.held and not any(one == work for one in done):
                    raise Stuck(f"the holder for {work.holder} is in use")
                needles.held.setdefault(work.holder, []).extend(self._next(times))
            else:
                shows += self._run(work, times)
            done += [work] * times
        if needles.left and not needles.turned:
            raise Stuck(f"{len(needles.left)} of {before} stitches are left at the end")
        live = needles.live
        if after not in (None, _SAID_LATER, live):
            raise Stuck(f"{live} stitches are on the needle, not {after}")
        if after is None and live != before:
            raise Stuck(f"the count goes from {before} to {live} and nobody says so")
        self.off.courses.append(
            Knitted(
                section, self.number, said.flat, needles.wrong_side, before, live, tuple(done), tuple(shows), held_from
            )
        )

    def _written_out(self, works: Sequence[Work]) -> Iterator[tuple[Work, int]]:
        """Each operation and how often it comes in a row."""
        for work, run in groupby(works):
            if not work.op.startswith("all "):
                yield work, len(list(run))
            elif (times := len(self.needles.left) - work.but) > 0:
                yield work._replace(op=work.op[4:], but=0), times

    def _run(self, work: Work, times: int) -> list[tuple[str, str]]:
        """Work one operation so often; what it leaves on the right needle, as the right side shows it."""
        takes, leaves, loops = WORTH[work.op]
        if loops and self._several and not work.colour:
            raise Stuck(f"{work.op} in which colour?")
        taken = self._next(takes * times)
        if work.op == "sl":
            left = taken
        else:
            shows = "p" if work.op.startswith("p") else "k"
            if self.needles.wrong_side:
                shows = _SHOWS_FROM_BEHIND[shows]
            left = [(shows, work.colour)] * (leaves * times)
        self.needles.right += left
        return left

    def _next(self, stitches: int) -> list[tuple[str, str]]:
        left = self.needles.left
        if len(left) < stitches:
            raise Stuck("more is worked than is on the needle")
        taken = left[:stitches]
        del left[:stitches]
        return taken

"""Socks from the cuff down: leg, heel flap, turned heel, gusset, foot and a toe that is grafted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from matcher.knitting.fit.fitted import FittedPart
from matcher.knitting.fit.heels import Heel, heel_of, parted, to_the_side
from matcher.knitting.pattern.constructions import parts, tube
from matcher.knitting.pattern.courses import ChartBook, changed_evenly, part_courses
from matcher.knitting.pattern.edges import bind_off, cast_on, edge_role
from matcher.knitting.pattern.making import Made, Making
from matcher.knitting.pattern.pattern import Course, Finish, Join, Piece, Remark, Section, Step
from matcher.knitting.pattern.stitches import Stitch
from matcher.reasons.quantities import Measure
from matcher.reasons.reason import Term, Words, reason


def build(making: Making, book: ChartBook) -> Made:
    """Two socks alike; what has no heel of a flap, a turn and a gusset is knitted part by part."""
    heel = heel_of(making.fitted)
    if heel is None:
        return parts.build(making, book)
    sock = _Sock(making, book, heel)
    piece = Piece(Term("sock"), tuple(sock.sections()), making.fitted.pieces)
    return Made((piece,), (sock.measured(),), tuple(sock.turned_over()))


@dataclass(frozen=True)
class _Sock:
    """One sock in the making."""

    making: Making
    book: ChartBook
    heel: Heel

    def sections(self) -> Iterator[Section]:
        """From the cuff to the grafted toe."""
        leg, foot = parted(self.making.fitted.parts, self.making.fitted.heel_at)
        yield from self._leg(leg)
        flap, turn = (self._beside(shape) for shape in ("flat", "triangle"))
        yield Section(Term("heel flap"), tuple(self._flap(flap)), anew=True)
        yield Section(Term("heel turn"), tuple(self._turn(turn)), anew=True)
        _, rest = parted(foot, len(self.heel.gusset))
        yield Section(Term("gusset"), tuple(self._gusset(foot[0])), anew=True)
        tubes = [course for part in rest if not part.decreases for course in self._rounds(part)]
        toe = self._toe(rest[-1])
        if tubes:
            yield Section(Term("foot"), (*tubes, *(() if rest[-1].decreases else toe)))
        if rest[-1].decreases:
            yield Section(Term("toe"), tuple(toe))

    def _leg(self, leg: Sequence[FittedPart]) -> Iterator[Section]:
        steps: list[Step]
        live, steps = leg[0].first, [cast_on(leg[0], self.making), Join()]
        for below, part, above in zip((None, *leg), leg, (*leg[1:], None), strict=False):
            steps = [*tube.needle_change(below, part, self.making), *steps]
            courses = tube.courses_of(part, live, above, self.making, self.book)
            heading = Term("cuff") if self.making.constants.ribbed(part.structure) else Term("leg")
            yield Section(heading, (*steps, *courses))
            live, steps = courses[-1].leaves, []

    def _beside(self, shape: str) -> FittedPart:
        return next(part for part, _ in self.making.fitted.extra if part.shape == shape)

    def _flap(self, part: FittedPart) -> Iterator[Step]:
        heel, role = self.heel, edge_role(part, self.making)
        waiting = heel.leg - heel.flap
        said = "Work to and fro on the first {flap} stitches of the round; the other {rest} wait: they are the instep"
        yield Remark(reason(said, flap=heel.flap, rest=waiting))
        for number in range(heel.flap_rows):
            yield _row(number, part, [("sl", 1), ("p" if number % 2 else "k", heel.flap - 1), ("turn", 1)], role)

    def _turn(self, part: FittedPart) -> Iterator[Step]:
        heel, role = self.heel, edge_role(part, self.making)
        said = "Each row takes in a stitch beyond the gap that the turn has left; counts include the {rest} that wait"
        yield Remark(reason(said, rest=heel.leg - heel.flap))
        first = (heel.flap + heel.middle - 1) // 2
        yield _row(0, part, [("sl", 1), ("k", first - 1), ("ssk", 1), ("k", 1), ("turn", 1)], role)
        for number in range(1, heel.beside + 2):
            knit, together = ("p", "p2tog") if number % 2 else ("k", "ssk")
            works = [("sl", 1), (knit, heel.middle + number - 1), (together, 1), (knit, 1), ("turn", 1)]
            yield _row(number, part, works, role)
        said = "The heel has {turned} stitches now; knit to its middle, and from there on go round again"
        yield Remark(reason(said, turned=heel.turned))
        yield _row(0, part, [("k", heel.turned // 2), ("pm", 1)], role)

    def _gusset(self, part: FittedPart) -> Iterator[Step]:
        heel, role = self.heel, edge_role(part, self.making)
        said = "Pick up a stitch in each slipped edge stitch of the flap, and the rest in the corner to the instep"
        yield Remark(reason(said))
        yield Remark(reason("Place a marker on either side of the instep"))
        first, last = heel.turned - heel.turned // 2, heel.turned // 2
        instep = changed_evenly(heel.leg - heel.flap, heel.top, role)
        picked = _stitches([("pu", heel.picked)], role)
        yield Course(
            (*_stitches([("k", first)], role), *picked, *instep, *picked, *_stitches([("k", last)], role)),
            part.structure,
        )
        gone = 0
        for before, after in pairwise(heel.gusset):
            if before == after:
                yield Course(_stitches([("k", after)], role), part.structure)
                continue
            ends = first + heel.picked - gone - 3, last + heel.picked - gone - 3
            top = heel.top + 2
            works = [("k", ends[0]), ("k2tog", 1), ("k", top), ("ssk", 1), ("k", ends[1])]
            yield Course(_stitches(works, role), part.structure)
            gone += 1

    def _rounds(self, part: FittedPart) -> Sequence[Course]:
        return part_courses(part, self.making.fitted, self.book, self.making.constants)

    def _toe(self, part: FittedPart) -> Iterator[Step]:
        heel, role = self.heel, edge_role(part, self.making)
        if not part.decreases:
            yield bind_off(part, self.making)
            return
        side = to_the_side(heel, part)
        live, gone = part.first, 0
        for after in part.counts:
            if side and after < live:
                ends = heel.sole - gone - 3, heel.foot - heel.top - heel.sole - gone - 3
                top = heel.top - 2 * gone - 6
                works = [("k", ends[0]), ("k2tog", 1), ("k", 2), ("ssk", 1), ("k", top), ("k2tog", 1), ("k", 2)]
                yield Course(_stitches([*works, ("ssk", 1), ("k", ends[1])], role), part.structure)
                gone += 1
            else:
                yield Course(changed_evenly(live, after, role), part.structure)
            live = after
        if side:
            yield Remark(reason("Knit to the side of the foot; sole and upper half are grafted together"))
            yield Course(_stitches([("k", side), ("pm", 1)], role), part.structure)
        yield Finish("graft" if side and not live % 2 else "draw through", role, part.structure)

    def measured(self) -> Words:
        """What it measures when it is finished."""
        fitted, heel = self.making.fitted, self.heel
        _, foot = parted(fitted.parts, fitted.heel_at)
        rounds = sum(part.rounds for part in foot) + len(tuple(heel.turn_loops()))
        long = Measure(10.0 * rounds / fitted.gauge.rows_10cm)
        said = "Finished, the foot measures {around} around, and {long} from heel to toe"
        return reason(said, around=Measure(10.0 * heel.foot / fitted.gauge.stitches_10cm), long=long)

    def turned_over(self) -> Iterator[Words]:
        """How the cuff is worn."""
        zone, cuff = self.making.accessory.zones[0], self.making.fitted.parts[0]
        if zone.turned:
            fold = round(cuff.rounds * zone.turned)
            yield reason("Turn the cuff down to the outside along round {fold}", fold=fold)


def _stitches(works: Sequence[tuple[str, int]], role: str) -> tuple[Stitch, ...]:
    """Operations and how often each."""
    return tuple(Stitch(op, "" if op in ("turn", "pm") else role) for op, times in works for _ in range(times))


def _row(number: int, part: FittedPart, works: Sequence[tuple[str, int]], role: str) -> Course:
    """A row of the heel; its odd ones, counted from 0, are of the wrong side."""
    return Course(_stitches(works, role), part.structure, flat=True, wrong_side=number % 2 == 1)

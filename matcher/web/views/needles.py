"""What is on the needles: the list, and a piece to knit from, row by row, until it is finished."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any
from weakref import WeakKeyDictionary

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.desk import Desk
from matcher.actions.keeping.done import Done, opened
from matcher.actions.looking.lines import WorkLine, work_lines
from matcher.actions.looking.listing import listing
from matcher.actions.progress.piece import place_words
from matcher.actions.progress.row import row
from matcher.actions.progress.standing import Standing, reached, standing
from matcher.actions.progress.works import abandon, finish
from matcher.errors import BadInput, MatcherError, NotFound
from matcher.knitting.pattern.head import COUNTED
from matcher.knitting.pattern.pattern import letter_of
from matcher.knitting.pattern.place import sections_of
from matcher.reasons.reason import Words, reason
from matcher.web.changes import change, text, typed_before
from matcher.web.figures import whole
from matcher.web.files import picture
from matcher.web.knitted import Knitted, knitted
from matcher.web.page import desks_of, page, style_of
from matcher.web.route import get, post

WEIGHED = "left of "
"""What the fields begin with in which she types what a lot weighs."""


def show(request: Request) -> Response:
    """Everything on the needles, and what came off them."""
    desks = desks_of(request)
    if not desks.there:
        return RedirectResponse("/", 303)
    works: Sequence[WorkLine] = ()
    places: dict[int, Words] = {}
    if desks.is_store:
        with desks.shared() as desk:
            works = [one for one in listing("works", desk).lines if isinstance(one, WorkLine)]
            places = dict(reached(desk))
    begun = [one for one in works if one.state == "begun"]
    ended = [one for one in works if one.state != "begun"]
    return page(request, "needles.html", "On the needles", begun=begun, ended=ended, places=places)


def one(request: Request) -> Response:
    """A piece to knit from; of one that came off the needles what it used."""
    with desks_of(request).shared() as desk:
        line, recipe = line_of(request)
        if line.state != "begun":
            return page(request, "work_ended.html", line.name, work=line, pattern=bool(recipe))
        why: Words = ""
        drawn: Knitted | None = None
        stands: Standing | None = None
        try:
            stands = _stands(line.name, desk)
            drawn = knitted(recipe, desk, style_of(request))
        except MatcherError as fault:
            why = fault.said
        lots = {lot.name: lot for lot in desk.bin.lots}
    names = stands.lots if stands else tuple(dict.fromkeys(part.lot for part in line.parts))
    held = [lots[name] for name in names if name in lots]
    known: dict[str, Any] = {"work": line, "held": held, "weighed": WEIGHED, "typed": typed_before(request)}
    if stands is None or drawn is None:
        return page(request, "work_bare.html", line.name, why=why, **known)
    now, made = Now(stands, drawn), drawn.made
    said = made.weighed
    yarns = [(letter_of(role), role, said[role]) for role in made.pattern.fitted.roles if role in said]
    return page(
        request, "work.html", line.name, stands=stands, knitted=drawn, now=now, yarns=yarns, counted=COUNTED, **known
    )


_known: WeakKeyDictionary[Desk, dict[str, Standing]] = WeakKeyDictionary()


def _stands(work: str, desk: Desk) -> Standing:
    """How a piece stands, worked out once for a desk: another one is laid as soon as anything is changed."""
    known = _known.setdefault(desk, {})
    if work not in known:
        known[work] = standing(work, desk)
    return known[work]


class Now:
    """Where she is, as the page shows it: steps that say nothing by themselves go with the one before."""

    def __init__(self, stands: Standing, drawn: Knitted) -> None:
        piece, places = stands.piece, drawn.places
        self.stage, self.steps = piece.stage, len(piece.stages)
        self.done = self.stage >= self.steps
        self.place = place_words(piece.stages, piece.stage)
        spoken = [at for at, one in enumerate(places) if one.words]
        self.next = next((at for at in spoken if at > self.stage), self.steps)
        self.back = next((at for at in reversed(spoken) if at < self.stage), 0)
        at = next((at for at in spoken if at >= self.stage), None)
        self.at = None if at is None else places[at]
        self.of_row = at is not None and piece.stages[at].course is not None
        self.flat = bool(at is not None and (course := piece.stages[at].course) and course.flat)
        self.section: Words = piece.stages[at].section if at is not None else ""
        self.after = places[self.next] if self.next < self.steps else None
        self.copies = piece.stages[-1].copy if piece.stages else 1
        self.copy = piece.stages[min(self.stage, self.steps - 1)].copy if piece.stages else 1
        self.sections = sections_of(piece.stages)
        self.share = self.stage / self.steps if self.steps else 0.0


def line_of(request: Request) -> tuple[WorkLine, str]:
    """The work of the address, and its recipe as the store keeps it. Raises NotFound."""
    desks, number = desks_of(request), int(request.path_params["number"])
    if desks.is_store:
        with opened(desks.given) as store, store.reading():
            line = next((one for one in work_lines(store) if one.number == number), None)
            kept = store.row("works", number) if line else None
        if line is not None and kept is not None:
            return line, str(kept["recipe"])
    raise NotFound(reason("there is no such piece"), "", todo=reason("look at what is on the needles"))


def _changed(request: Request, form: FormData, act: Callable[[WorkLine], Done], lots: Sequence[str] = ()) -> Response:
    line, _ = line_of(request)
    about = [("works", str(line.number)), *(("lots", lot) for lot in lots)]
    if line.state != "begun":
        raise BadInput(reason("{work} isn't on the needles any more", work=line.name), "", "")
    return change(request, form, about, lambda: act(line), f"/work/{line.number}")


def stepped(request: Request, form: FormData) -> Response:
    """A row further, or a row back: so many steps are done."""
    steps = whole(text(form, "steps"), "round")
    desk = desks_of(request).fresh()
    # What it says stands on the page anyhow; said again at each round it would be in the way.
    return _changed(request, form, lambda line: replace(row(line.name, steps=steps, bin=desk), said=()))


def elsewhere(request: Request, form: FormData) -> Response:
    """She is at another round, section or piece."""
    desk = desks_of(request).fresh()

    def act(line: WorkLine) -> Done:
        course, piece = whole(text(form, "round"), "round"), whole(text(form, "piece"), "piece")
        return row(line.name, course, done=text(form, "done") or None, piece=piece, bin=desk)

    return _changed(request, form, act)


def weighed(request: Request, form: FormData) -> Response:
    """What its lots weigh in the middle of it."""
    desk, given = desks_of(request).fresh(), _weights(form)

    def act(line: WorkLine) -> Done:
        if not given:
            raise BadInput(reason("nothing was weighed"), "", reason("type what the scale says of one lot or more"))
        return row(line.name, weighed=given, bin=desk)

    return _changed(request, form, act, tuple(given))


def finished(request: Request, form: FormData) -> Response:
    """It is done: what is left of its lots."""
    given, bin = _weights(form), desks_of(request).given
    return _changed(request, form, lambda line: finish(line.name, given, bin=bin), tuple(given))


def given_up(request: Request, form: FormData) -> Response:
    """It will not be knitted."""
    bin = desks_of(request).given
    return _changed(request, form, lambda line: abandon(line.name, bin=bin))


def _weights(form: FormData) -> dict[str, str]:
    """Lot and what it weighs, of the fields that were filled in."""
    fields = (name for name in form if name.startswith(WEIGHED))
    return {name.removeprefix(WEIGHED): said for name in fields if (said := text(form, name))}


def drawn(request: Request) -> Response:
    """The finished thing, or one of its charts, as a picture."""
    from matcher.drawing.scene import svg

    with desks_of(request).shared() as desk:
        _, recipe = line_of(request)
        found = knitted(recipe, desk, style_of(request))
        number = request.path_params.get("chart")
        if number is None:
            return picture(svg(found.picture))
        with suppress(IndexError):
            return picture(svg(found.charts[int(number)][1]))
    raise NotFound(reason("there is no such chart"), "", "")


ROUTES = [
    get("/needles", show),
    get("/work/{number:int}", one),
    get("/work/{number:int}/picture", drawn),
    get("/work/{number:int}/chart/{chart:int}", drawn),
    post("/work/{number:int}/step", stepped),
    post("/work/{number:int}/row", elsewhere),
    post("/work/{number:int}/weigh", weighed),
    post("/work/{number:int}/finish", finished),
    post("/work/{number:int}/abandon", given_up),
]

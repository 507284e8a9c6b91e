"""Colours from a photograph: the picture, boxes on it, what is seen in them, and into which lots that goes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.colours import photo_words
from matcher.actions.colours.photo import SeenPhoto, photo
from matcher.actions.colours.take import take_colours
from matcher.actions.colours.upright import Upright, upright
from matcher.actions.keeping.add_several import add_several
from matcher.actions.keeping.done import Done
from matcher.errors import BadInput, MatcherError, NotFound
from matcher.reasons.reason import Field, reason
from matcher.web.changes import change, text, typed_before
from matcher.web.desks import Desks
from matcher.web.jobs import Job, Jobs, result_of
from matcher.web.page import desks_of, page, session_of, style_of
from matcher.web.route import get, post
from matcher.web.sent import Sent, files_in, sent_in, sent_of
from matcher.web.views.working import shown

_KIND = "photograph"
_MOST_BOXES = 24  # a choice: more yarns than lie on a table at once
_NEW = ("grams", "class", "lot")


@dataclass(frozen=True)
class Asked:
    """Where she says that yarn and paper lie."""

    boxes: tuple[str, ...] = ()
    white: str = ""
    card: bool = False

    def query(self) -> str:
        """As a part of an address."""
        pairs = [("box", one) for one in self.boxes]
        pairs += [("white", self.white)] if self.white else []
        return urlencode(pairs + ([("card", "yes")] if self.card else []))


@dataclass(frozen=True)
class Looked:
    """A photograph as far as it could be read. error: why no colours were found in it."""

    picture: Upright
    found: SeenPhoto | None
    error: MatcherError | None


def begin(request: Request) -> Response:
    """Choose a picture or take one."""
    sent = sent_in(request).of(session_of(request).name, _KIND)
    return page(request, "photograph.html", "Colours from a photograph", sent=sent)


def send(request: Request, form: FormData) -> Response:
    """A picture comes in."""
    files = files_in(form, "files") + files_in(form, "camera")
    try:
        if len(files) > 1:
            raise BadInput(reason("those are {n} files", n=len(files)), Field("picture"), reason("send one at a time"))
        sent = sent_in(request).keep(session_of(request).name, _KIND, files)
    except MatcherError as error:
        session_of(request).tell("wrong", error.shown(style_of(request)))
        return RedirectResponse("/photograph", 303)
    return RedirectResponse(f"/photograph/{sent.name}", 303)


def show(request: Request) -> Response:
    """The picture with its boxes, and the colours that were found."""
    sent, query = sent_of(request, _KIND), request.query_params
    asked = _asked(query.getlist("box"), query.get("white", ""), query.get("card", ""))
    return shown(request, _job(request, sent, asked), lambda looked: _page(request, sent, asked, looked))


def picture(request: Request) -> Response:
    """The picture itself, as it is looked at."""
    looked = sent_of(request, _KIND).kept.get("picture")
    if not isinstance(looked, Upright):
        raise NotFound(reason("that picture isn't ready"))
    return Response(looked.jpeg, media_type="image/jpeg")


def taken(request: Request, form: FormData) -> Response:
    """Colours into lots that are there, all of them as one action."""
    sent, asked, looked = _again(request, form)
    into = {one: text(form, f"into-{one}") for one in looked}
    takes = [(one, lot) for one, lot in into.items() if lot]
    bin, rules = desks_of(request).given, desks_of(request).catalogue.contrast

    def act() -> Done:
        if not takes:
            raise BadInput(reason("no lot is chosen"), Field("take"), reason("choose one for a colour at least"))
        return take_colours(looked, takes, bin, rules)

    return change(request, form, [("lots", lot) for _, lot in takes], act, _at(sent, asked))


def added(request: Request, form: FormData) -> Response:
    """Colours as new lots, all of them as one action."""
    sent, asked, looked = _again(request, form)
    bin, rows = desks_of(request).given, []
    for number, colour in looked.items():
        cells = {name: text(form, f"{name}-{number}") for name in _NEW}
        rows.append({**cells, "colour": colour.words()} if any(cells.values()) else {})

    return change(request, form, (), lambda: add_several(rows, bin=bin), _at(sent, asked))


def dropped(request: Request, _: FormData) -> Response:
    """Keep it no longer."""
    sent_in(request).drop(sent_of(request, _KIND))
    return RedirectResponse("/photograph", 303)


def _job(request: Request, sent: Sent, asked: Asked) -> Job:
    desks, jobs = desks_of(request), request.app.state.jobs
    assert isinstance(jobs, Jobs)
    key = ("photograph", sent.name, asked, str(desks.place), desks.state())
    return jobs.of(key, reason("Looking at {file}", file=sent.title), lambda job: _looked(sent, desks, asked, job))


def _looked(sent: Sent, desks: Desks, asked: Asked, job: Job) -> Looked:
    try:
        picture = sent.kept.get("picture")
        if not isinstance(picture, Upright):
            picture = sent.kept["picture"] = upright(sent.place, desks.catalogue)
    except MatcherError as error:
        raise _called(error, sent) from None
    job.progress(1, 2)
    bin = desks.fresh() if desks.there else None
    try:
        found = photo(
            sent.place, asked.boxes, catalog=desks.catalogue, bin=bin, white=asked.white or None, grey_card=asked.card
        )
    except MatcherError as error:
        return Looked(picture, None, _called(error, sent))
    return Looked(picture, found, None)


def _called(error: MatcherError, sent: Sent) -> MatcherError:
    """The error with her name for the file."""
    if error.where in (sent.place.name, str(sent.place)):
        error.where = sent.title
    return error


def _page(request: Request, sent: Sent, asked: Asked, looked: Looked) -> Response:
    found, desks = looked.found, desks_of(request)
    lots: list[str] = []
    if desks.there:
        with desks.shared() as desk:
            lots = [one.name for one in desk.bin.lots]
    return page(
        request,
        "photograph_read.html",
        sent.title,
        sent=sent,
        asked=asked,
        looked=looked,
        found=found,
        error=looked.error.shown(style_of(request)) if looked.error is not None else "",
        lots=lots,
        words=photo_words,
        typed=typed_before(request),
    )


def _again(request: Request, form: FormData) -> tuple[Sent, Asked, dict[int, Any]]:
    """The picture that a form is about, and the colours by their numbers as they stood on its page."""
    sent = sent_of(request, _KIND)
    boxes = [one for one in form.getlist("box") if isinstance(one, str)]
    asked = _asked(boxes, text(form, "white"), text(form, "card"))
    job = _job(request, sent, asked)
    job.ended.wait()
    looked: Looked = result_of(job)
    if looked.error is not None or looked.found is None:
        raise looked.error or NotFound(reason("no colours were found"))
    return sent, asked, {one.number: one.region.colour for one in looked.found.regions}


def _asked(boxes: list[str], white: str, card: str) -> Asked:
    given = tuple(one.strip() for one in boxes if one.strip())
    if len(given) > _MOST_BOXES:
        what = reason("those are {n} boxes", n=len(given))
        raise BadInput(what, Field("yarn box"), reason("give at most {n} at once", n=_MOST_BOXES))
    return Asked(given, white.strip(), bool(card))


def _at(sent: Sent, asked: Asked) -> str:
    query = asked.query()
    return f"/photograph/{sent.name}{f'?{query}' if query else ''}"


ROUTES = [
    get("/photograph", begin),
    post("/photograph", send),
    get("/photograph/{name}", show),
    get("/photograph/{name}/picture", picture),
    post("/photograph/{name}/take", taken),
    post("/photograph/{name}/add", added),
    post("/photograph/{name}/drop", dropped),
]

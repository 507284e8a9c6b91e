"""A workbook that she sends in: how it is read, what is asked, what it adds and changes, and the taking in."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from typing import Any, cast

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.keeping import intake_words
from matcher.actions.keeping.done import Done
from matcher.actions.keeping.intake import TAKES, Intake, intake
from matcher.actions.keeping.look import Look, answer, look
from matcher.actions.keeping.questions import Question
from matcher.actions.reading import alike, first_few, grouped, told_headings
from matcher.actions.reading_words import cells_said, column_said, heading_guessed, left_out_said
from matcher.errors import BadInput, BadSheets, Fault, MatcherError, NotFound
from matcher.reasons.reason import Words, reason
from matcher.web.changes import change, text
from matcher.web.desks import Desks
from matcher.web.files import to_keep
from matcher.web.jobs import Job, Jobs
from matcher.web.page import desks_of, page, session_of, style_of
from matcher.web.route import get, post
from matcher.web.sent import Sent, files_in, sent_in, sent_of
from matcher.web.views.working import shown

_KIND, _KINDS = "workbook", ".xlsx,.xlsm,.ods,.csv,.tsv,.txt"
_REFUSED = "refused.xlsx"


@dataclass(frozen=True)
class Seen:
    """A workbook as it stands with her. found: what it would do; None while there is something to ask or to mend."""

    look: Look
    found: Intake | None
    faults: tuple[Fault, ...]


def begin(request: Request) -> Response:
    """Choose a workbook, or go on with one."""
    return page(
        request,
        "intake.html",
        "Take in a workbook",
        sent=sent_in(request).of(session_of(request).name, _KIND),
        kinds=_KINDS,
    )


def send(request: Request, form: FormData) -> Response:
    """A workbook comes in."""
    try:
        sent = sent_in(request).keep(session_of(request).name, _KIND, files_in(form, "files"))
    except MatcherError as error:
        session_of(request).tell("wrong", error.shown(style_of(request)))
        return RedirectResponse("/intake", 303)
    sent.kept |= {"passed": set(), "wrong": {}}
    return RedirectResponse(f"/intake/{sent.name}", 303)


def show(request: Request) -> Response:
    """How it is read, and what comes next: what is asked, what must be mended, or what it adds and changes."""
    sent, desks = sent_of(request, _KIND), desks_of(request)
    done = cast(Intake | None, sent.kept.get("done"))
    if done is not None:
        return page(request, "intake_done.html", sent.title, found=done, words=intake_words, sent=sent)
    jobs: Jobs = request.app.state.jobs
    key = ("intake", sent.name, sent.turn, str(desks.place), desks.state())
    job = jobs.of(key, reason("Reading {file}", file=sent.title), lambda job: _seen(sent, desks, job))
    return shown(request, job, lambda seen: _page(request, sent, seen))


def answered(request: Request, form: FormData) -> Response:
    """Her answers, one after another; those that make no sense are told beside their question, the others kept."""
    sent, desks, style = sent_of(request, _KIND), desks_of(request), style_of(request)
    passed: set[Question] = sent.kept["passed"]
    wrong: dict[str, tuple[str, str]] = {}
    with desks.changing:
        desks.check()
        seen = look(sent.place, bin=desks.given, passed=passed, catalog=desks.catalogue, called=sent.called)
        for one in seen.questions:
            place = mark(one)
            if f"asked-{place}" not in form:
                continue
            said = text(form, f"say-{place}") or text(form, f"yes-{place}")
            try:
                if not answer(seen, one, said):
                    passed.add(one)
            except (BadInput, NotFound) as fault:
                wrong[place] = (said, style.sentence(fault.said))
    sent.kept["wrong"] = wrong
    sent.turn += 1
    if wrong:
        session_of(request).tell("wrong", style.say(reason("Some answers make no sense there; the others are kept.")))
    return RedirectResponse(f"/intake/{sent.name}", 303)


def ask_again(request: Request, _: FormData) -> Response:
    """What she left open is asked once more."""
    sent = sent_of(request, _KIND)
    sent.kept["passed"], sent.kept["wrong"] = set(), {}
    sent.turn += 1
    return RedirectResponse(f"/intake/{sent.name}", 303)


def taken(request: Request, form: FormData) -> Response:
    """Take it in: what is sure of it, and of rows that differ what she said."""
    sent, desks, style = sent_of(request, _KIND), desks_of(request), style_of(request)
    take = text(form, "take")
    about = [(sheet, name) for _, sheet, name in (one.split(" ", 2) for one in form if re.match("row .* ", one))]

    def act() -> Done:
        found = intake(
            sent.place,
            bin=desks.given,
            yes=True,
            take=take if take in TAKES else "ask",
            ask=lambda one: text(form, f"row {one.sheet} {one.name}") == "file",
            refused=sent.folder / _REFUSED,
            catalog=desks.catalogue,
            called=sent.called,
            style=style,
        )
        sent.kept["done"] = found
        words: list[Words] = [things for things, _ in intake_words.added_said(found)]
        words += filter(None, (intake_words.changed_said(found), intake_words.end_said(found)))
        return Done(tuple(map(style.sentence, words)), {}, grouped(found.compared.notes))

    return change(request, form, about, act, f"/intake/{sent.name}")


def refused_sheet(request: Request) -> Response:
    """The rows that were left out, with why, to be mended."""
    sent = sent_of(request, _KIND)
    file = sent.folder / _REFUSED
    if not file.is_file():
        raise NotFound(reason("no rows were left out"))
    return to_keep(file.read_bytes(), "rows-left-out.xlsx")


def dropped(request: Request, _: FormData) -> Response:
    """Keep it no longer."""
    sent_in(request).drop(sent_of(request, _KIND))
    return RedirectResponse("/intake", 303)


def mark(one: Question) -> str:
    """The name of a question's field: the same for as long as it is the same question."""
    return hashlib.sha256(repr((one.about, one.place)).encode("utf-8", "backslashreplace")).hexdigest()[:16]


def _seen(sent: Sent, desks: Desks, job: Job) -> Seen:
    with_: dict[str, Any] = {"bin": desks.given, "catalog": desks.catalogue, "called": sent.called}
    seen = look(sent.place, passed=sent.kept["passed"], **with_)
    job.progress(1, 2)
    if seen.questions:
        return Seen(seen, None, seen.faults)
    try:
        return Seen(seen, intake(sent.place, dry_run=True, yes=True, **with_), ())
    except BadSheets as error:
        return Seen(seen, None, error.faults)


def _page(request: Request, sent: Sent, seen: Seen) -> Response:
    groups = alike(seen.look.understood.cells)
    guessed = [one for one in seen.look.understood.headings if one.column and not one.sure]
    return page(
        request,
        "intake_read.html",
        sent.title,
        sent=sent,
        seen=seen,
        found=seen.found,
        remarks=first_few(seen.found.compared.notes) if seen.found else (),
        faults=seen.faults,
        left_out=list(left_out_said(seen.look.understood)),
        headings=[(one.where, one.heading, column_said(one)) for one in told_headings(seen.look.understood)],
        read=[cells_said(one) for one in groups if one.example.sure],
        guesses=[*map(heading_guessed, guessed), *(cells_said(one) for one in groups if not one.example.sure)],
        wrong=sent.kept["wrong"],
        passed=len(sent.kept["passed"]),
        mark_of=mark,
        words=intake_words,
    )


ROUTES = [
    get("/intake", begin),
    post("/intake", send),
    get("/intake/{name}", show),
    post("/intake/{name}/answer", answered),
    post("/intake/{name}/again", ask_again),
    post("/intake/{name}/take", taken),
    get("/intake/{name}/refused", refused_sheet),
    post("/intake/{name}/drop", dropped),
]

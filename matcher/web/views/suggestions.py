"""What her yarn could become, as pictures in its colours; narrowed as she asks, liked or hidden with a tap."""

from __future__ import annotations

from contextlib import suppress
from typing import Any

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from matcher.actions.beginning.begin import begin
from matcher.actions.desk import Desk
from matcher.actions.keeping.opinions import HIDDEN, LIKED, Opinion, mark_of_recipe, opinions_in, think
from matcher.actions.ranking.last_list import last_list
from matcher.actions.whom.everyone import everyone
from matcher.errors import BadInput, MatcherError, NotFound
from matcher.knitting.accessory import KINDS
from matcher.matching.ranking.score import PARTS
from matcher.materials.colours.vision import WHOSE
from matcher.materials.rules import CONTRASTS
from matcher.reasons.quantities import Chance, Number
from matcher.reasons.reason import Action, reason
from matcher.reasons.style import Style
from matcher.store.recipes import Recipe
from matcher.web.asked import Asked
from matcher.web.changes import change, text, typed_before
from matcher.web.files import picture
from matcher.web.jobs import result_of
from matcher.web.page import desks_of, page, style_of
from matcher.web.ranked import Listed, Ranked, list_job
from matcher.web.route import get, post
from matcher.web.views.working import shown

_SURE = ("0.8", "0.9", "0.95", "0.99")  # chances to choose from; choices
_TITLE = "What it could become"
_TOP = ("10", "20", "40")
_PATIENT_S = 20.0  # the page before has waited for the list already, so that it is mostly there
_EYES_WORDS = ("ordinary ones alone", "red-blind", "green-blind", "red- or green-blind", "blue-blind", "any of these")
_EYES = tuple(zip(WHOSE, _EYES_WORDS, strict=True))


def show(request: Request) -> Response:
    """The list."""
    if not desks_of(request).there:
        return RedirectResponse("/", 303)
    asked = Asked.of(request)
    try:
        return shown(request, list_job(request, asked), lambda listed: _list(request, asked, listed))
    except MatcherError as fault:
        wrong = fault.shown(style_of(request))
    with desks_of(request).shared() as desk:
        known = _choices(desk, style_of(request))
    return page(request, "suggestions.html", _TITLE, 400, asked=asked, found=None, wrong=wrong, notes=(), **known)


def _list(request: Request, asked: Asked, listed: Listed) -> Response:
    desks, style = desks_of(request), style_of(request)
    notes = (*listed.found.notes, *listed.keep())
    with desks.shared() as desk:
        opinions = opinions_in(desk.store)
        choices = _choices(desk, style)
    thought = {mark: one.opinion for mark, one in opinions.items()}
    found = listed.found
    first = [listed.ranked[one.rank] for one in (*found.suggestions, *found.small)]
    small = {one.rank for one in found.small}
    seen = {one.mark for one in listed.ranked.values()}
    return page(
        request,
        "suggestions.html",
        _TITLE,
        asked=asked,
        found=found,
        liked=[one for one in first if thought.get(one.mark) == LIKED],
        others=[one for one in first if thought.get(one.mark) is None and one.one.rank not in small],
        small=[one for one in first if thought.get(one.mark) is None and one.one.rank in small],
        hidden=[one for one in first if thought.get(one.mark) == HIDDEN],
        liked_before=[one for one in opinions.values() if one.opinion == LIKED and one.thing not in seen],
        near=[(listed.ranked[one.suggestion.rank], one.lacks) for one in found.near_misses],
        thought=thought,
        notes=dict.fromkeys(notes),
        stands=listed.stands,
        **choices,
    )


def _choices(desk: Desk, style: Style) -> dict[str, Any]:
    """What can be asked for of this bin."""
    return {
        "sure_words": [(one, style.say(reason("{sure} sure", sure=Chance(float(one))))) for one in _SURE],
        "tops": [(one, one) for one in _TOP],
        "people": [one.name for one in everyone(desk.bin, desk.catalogue)],
        "kinds": KINDS,
        "sizes": desk.catalogue.sizes.names,
        "garments": [(name, name) for name in sorted(desk.bin.garments)],
        "lots": sorted(lot.name for lot in desk.bin.lots),
        "contrasts": [(one, one) for one in CONTRASTS],
        "eyes": _EYES,
    }


def one(request: Request) -> Response:
    """One suggestion at length."""
    asked = Asked.of(request)
    return shown(request, list_job(request, asked), lambda listed: _one(request, asked, listed))


def _one(request: Request, asked: Asked, listed: Listed) -> Response:
    found = of_address(request, listed)
    listed.keep()
    thought = thought_of(request, found.mark)
    suggestion, catalogue = found.one, listed.desk.catalogue
    number = Number
    score = [
        (name, number(suggestion.parts[name], 2, True), number(getattr(catalogue.ranking, f"weight_{name}"), 2, True))
        for name in PARTS
    ]
    near = next((lack.lacks for lack in listed.found.near_misses if lack.suggestion is suggestion), ())
    return page(
        request,
        "suggestion.html",
        style_of(request).say(suggestion.called),
        asked=asked,
        ranked=found,
        one=suggestion,
        lacks=near,
        opinion_now=thought.opinion if thought else "",
        score=score,
        whole=number(suggestion.score, 3, True),
        called={name: known.words for name, known in catalogue.fabric.structures.items()},
        stands=listed.stands,
        typed=typed_before(request),
    )


def of_address(request: Request, listed: Listed) -> Ranked:
    """The suggestion that an address means. Raises NotFound where the list doesn't have it any more."""
    accessory, mark = request.path_params["accessory"], request.path_params["mark"]
    found = listed.known(accessory, mark)
    if found is None:
        what = reason("that suggestion isn't in the list any more: the bin has changed, or something else is asked")
        todo = reason("{suggest} has the list, {why} says what stands against it", suggest=_LIST, why=Action("why"))
        raise NotFound(what, accessory, todo=todo)
    return found


_LIST = Action("suggest")


def drawn(request: Request) -> Response:
    """Its picture, small."""
    job = list_job(request, Asked.of(request), _PATIENT_S)
    return shown(request, job, lambda listed: _drawn(request, listed))


def _drawn(request: Request, listed: Listed) -> Response:
    found = of_address(request, listed)
    if found.picture is None:
        raise NotFound(found.unseen)
    return picture(found.picture.svg)


def say(request: Request, form: FormData) -> Response:
    """She likes it, or wants it hidden, or neither any more."""
    asked, mark, desks = Asked.read(text(form, "asked")), request.path_params["mark"], desks_of(request)
    recipe, called = _meant(request, asked, mark)
    opinion = text(form, "opinion")
    to = asked.at("/suggestions")
    if text(form, "from") == "one":
        to = asked.at(_at(recipe, mark))
    return change(request, form, [("opinions", mark)], lambda: think(recipe, called, opinion, bin=desks.given), to)


def _meant(request: Request, asked: Asked, mark: str) -> tuple[Recipe, str]:
    """What a mark means, in the list or among what she thought of before. Raises NotFound."""
    known = thought_of(request, mark)
    if known is not None:
        return known.recipe, known.words
    found = _in_list(request, asked, mark)
    return found.recipe, style_of(request).say(found.one.called)


def begun(request: Request, form: FormData) -> Response:
    """Put it on the needles, just as it was shown; of what she liked before, as it was then."""
    desks, mark = desks_of(request), request.path_params["mark"]
    asked = Asked.read(text(form, "asked"))
    recipe = _recipe(request, asked, mark)
    named, anyway = text(form, "name") or None, bool(text(form, "too_little"))
    return change(
        request,
        form,
        [("lots", lot) for lot in recipe.lots],
        lambda: begin(recipe=recipe, name=named, anyway=anyway, bin=desks.fresh()),
        asked.at(f"/pattern/suggestion/{recipe.accessory}/{mark}" if text(form, "from") else _at(recipe, mark)),
        then=lambda done: f"/work/{done.values['work']}",
    )


def _at(recipe: Recipe, mark: str) -> str:
    return f"/suggestion/{recipe.accessory}/{mark}"


def thought_of(request: Request, mark: str) -> Opinion | None:
    """What she thinks of the suggestion of that mark, if she said so."""
    with desks_of(request).shared() as desk:
        return opinions_in(desk.store).get(mark)


def _recipe(request: Request, asked: Asked, mark: str) -> Recipe:
    """What a suggestion is made from: as the last list has it, where it does, since that need not be worked out again.

    Raises NotFound.
    """
    place = desks_of(request).place
    assert place is not None
    with suppress(BadInput):  # none was made yet
        for recipe in last_list(place).recipes.values():
            if mark_of_recipe(recipe) == mark:
                return recipe
    return _meant(request, asked, mark)[0]


def _in_list(request: Request, asked: Asked, mark: str) -> Ranked:
    """The suggestion of that mark in the list that is asked for. Raises NotFound."""
    job = list_job(request, asked, _PATIENT_S)
    if job.done:
        listed: Listed = result_of(job)
        found = listed.known(request.path_params["accessory"], mark)
        if found is not None:
            listed.keep()
            return found
    what = reason("the list has changed since")
    raise NotFound(what, "", todo=reason("{suggest} has it as it is now", suggest=_LIST))


ROUTES = [
    get("/suggestions", show),
    get("/suggestion/{accessory}/{mark}", one),
    get("/suggestion/{accessory}/{mark}/picture", drawn),
    post("/suggestion/{accessory}/{mark}/say", say),
    post("/suggestion/{accessory}/{mark}/begin", begun),
]

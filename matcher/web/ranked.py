"""The list of suggestions as pages need it: worked out beside, kept as long as what it follows from stays as it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from weakref import WeakKeyDictionary

from starlette.requests import Request

from matcher.actions.desk import Desk
from matcher.actions.keeping.opinions import mark_of_recipe
from matcher.actions.ranking.last_list import keep_last, recipe_of_suggestion
from matcher.actions.ranking.pictures import card_of
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.suggestion import Suggestion, Suggestions
from matcher.drawing.scene import svg
from matcher.reasons.reason import Words, reason
from matcher.store.recipes import Recipe
from matcher.web.asked import Asked
from matcher.web.jobs import Job, Jobs
from matcher.web.page import desks_of

_digests: WeakKeyDictionary[Desk, str] = WeakKeyDictionary()


@dataclass(frozen=True)
class Drawn:
    """A picture as it is sent, which takes far less room than its shapes; its size, and what it shows in words."""

    svg: str
    width: float
    height: float
    description: str


@dataclass(frozen=True)
class Ranked:
    """One of the list. mark: by which it is known again; picture: None where none can be drawn, then `unseen` says
    why."""

    one: Suggestion
    recipe: Recipe
    mark: str
    picture: Drawn | None
    unseen: Words = ""

    @property
    def address(self) -> str:
        """Its own address, to which what was asked is added."""
        return f"/suggestion/{self.recipe.accessory}/{self.mark}"


@dataclass(frozen=True)
class Listed:
    """The list with what each of it is made from, on the desk that it was found on. stands: a mark of the bin then."""

    found: Suggestions
    ranked: Mapping[int, Ranked]
    desk: Desk
    stands: str

    def known(self, accessory: str, mark: str) -> Ranked | None:
        """The one of that mark."""
        every = (one for one in self.ranked.values() if one.recipe.accessory == accessory and one.mark == mark)
        return next(every, None)

    def keep(self) -> tuple[Words, ...]:
        """Keep it as the last list that she was shown, so that its numbers mean what she sees."""
        assert self.found.catalogue is not None
        return keep_last(self.found.numbered, self.desk, self.found.catalogue.sizes)


def list_job(request: Request, asked: Asked, patience_s: float | None = None) -> Job:
    """The list that answers what is asked, or the work that makes it. Raises BadInput for what can't be asked."""
    options = asked.options()
    desks, jobs = desks_of(request), _jobs(request)
    with desks.shared() as shared:
        desk, stands = apart(shared), stands_at(shared)

    def work(job: Job) -> Listed:
        found = suggest(desk, **options, progress=job.progress, stage=job.begin)
        job.begin(reason("drawing what was found"))
        return Listed(found, {one.rank: _ranked(one, found, desk) for one in found.numbered}, desk, stands)

    key = ("suggestions", str(desks.given), stands, asked)
    told = reason("Looking for what your yarn could become.")
    return jobs.of(key, told, work) if patience_s is None else jobs.of(key, told, work, patience_s)


def apart(desk: Desk) -> Desk:
    """A desk of one's own with the same bin as it was read, for work that goes on beside."""
    return desk.with_(bin=desk.bin, wishes=desk.wishes)


def stands_at(desk: Desk) -> str:
    """A mark of all in a bin that a list of suggestions follows from: of opinions and rows that are done nothing."""
    if desk not in _digests:
        held = (desk.bin, desk.wishes, desk.history.learnt, desk.mending)
        _digests[desk] = sha256(repr(held).encode("utf-8", "replace")).hexdigest()[:16]
    return _digests[desk]


def _jobs(request: Request) -> Jobs:
    found: Jobs = request.app.state.jobs
    return found


def _ranked(one: Suggestion, found: Suggestions, desk: Desk) -> Ranked:
    assert found.catalogue is not None
    recipe = recipe_of_suggestion(one, desk, found.catalogue.sizes)
    card = card_of(one, (), found.catalogue)
    scene, picture = card.picture, None
    if scene is not None:
        picture = Drawn(svg(scene), scene.width, scene.height, scene.description)
    return Ranked(one, recipe, mark_of_recipe(recipe), picture, card.lines[0] if card.lines else "")

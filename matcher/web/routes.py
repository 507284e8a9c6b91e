"""Every address of the page: the routes of all views, of which the first page needs few at once."""

from __future__ import annotations

import threading

from starlette.routing import BaseRoute, Match, Route
from starlette.types import Receive, Scope, Send

from matcher.web.views import done, door, manner, today, working

_LATER = "matcher.later"


def at_once() -> list[Route]:
    """Those that are quickly there."""
    return [route for view in (today, done, door, manner, working) for route in view.ROUTES]


def later() -> list[Route]:
    """Those that bring along all that the tool reckons with."""
    from matcher.web.views import (
        begin,
        buying,
        colours,
        garment,
        intake,
        knitting,
        lot,
        match,
        match_more,
        motifs,
        needles,
        pattern,
        people,
        photograph,
        pile,
        printing,
        several,
        suggestions,
        why,
        yarn,
    )

    views = (
        suggestions,
        yarn,
        lot,
        photograph,
        intake,
        pile,
        people,
        knitting,
        printing,
        begin,
        several,
        match,
        match_more,
        motifs,
        buying,
        needles,
        pattern,
        why,
        garment,
        colours,
    )
    return [route for view in views for route in view.ROUTES]


def routes() -> list[Route]:
    """All of them."""
    return [*at_once(), *later()]


class Later(BaseRoute):
    """The other views. To load them takes longer than the first page: so it is done beside, once that has been shown,
    or when the first of them is asked for."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._routes: list[Route] = []
        self._begun = False

    def load(self) -> list[Route]:
        """Their routes."""
        with self._lock:
            self._routes = self._routes or later()
        return self._routes

    def load_beside(self) -> None:
        """Begin to load them, and come back at once."""
        if not self._begun:
            self._begun = True
            threading.Thread(target=self.load, daemon=True, name="later views").start()

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """The best match among them, which `handle` then finds in the scope."""
        if scope["type"] != "http":
            return Match.NONE, {}
        partly: tuple[Match, Scope] = (Match.NONE, {})
        for route in self.load():
            match, child = route.matches(scope)
            found = match, {**child, _LATER: route}
            if match is Match.FULL:
                return found
            if match is Match.PARTIAL and partly[0] is Match.NONE:
                partly = found
        return partly

    async def handle(self, scope: Scope, receive: Receive, send: Send) -> None:
        """The route that matched."""
        scope["route"] = route = scope[_LATER]
        await route.handle(scope, receive, send)

"""The whole application: her bin, the demo, the browsers, the views, and the guard round all of it."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Mount
from starlette.staticfiles import StaticFiles

from matcher.web.desks import Desks, Shelved
from matcher.web.guard import Guard
from matcher.web.home import Door
from matcher.web.jobs import Jobs
from matcher.web.page import STATIC
from matcher.web.routes import Later, at_once
from matcher.web.sent import SentIn
from matcher.web.session import Sessions


class _Static(StaticFiles):
    """Our own files: a browser may keep them, and asks each time whether they are still the same."""

    def file_response(self, *given: Any, **named: Any) -> Response:
        found: Response = super().file_response(*given, **named)
        found.headers["Cache-Control"] = "no-cache"
        return found


def make_app(
    bin: Path | str | None = None,
    *,
    hosts: Iterable[str],
    catalog: Path | str | None = None,
    scheme: str = "http",
    door: Door | None = None,
    home: str = "",
) -> Starlette:
    """The page of a bin.

    bin: a store, a folder, a workbook, "demo"; None is her own. hosts: as `Guard` has them. door, home: of the
    home network, and the address there. Raises CatalogueError.
    """
    catalogue = Shelved(catalog)
    if catalog is not None:  # one of hers may have faults, which are said at once
        catalogue()
    later = Later()
    # What is tried with the demo is done in a copy, and goes with the server.
    trial = Path(tempfile.mkdtemp(prefix="matcher-demo-"))
    sessions, sent = Sessions(), SentIn()

    @asynccontextmanager
    async def alive(_: Starlette) -> AsyncIterator[None]:
        try:
            yield
        finally:
            shutil.rmtree(trial, ignore_errors=True)
            sent.close()

    async def refused(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 400
        said = "There is no such page." if status in (404, 405) else "That can't be read as a form of ours."
        return PlainTextResponse(said, status)

    made = Starlette(
        routes=[*at_once(), Mount("/static", _Static(directory=STATIC), name="static"), later],
        middleware=[Middleware(Guard, hosts=tuple(hosts), sessions=sessions, scheme=scheme, door=door)],
        exception_handlers={HTTPException: refused},
        lifespan=alive,
    )
    made.state.own = Desks(bin, catalogue)
    made.state.demo = Desks(trial / "demo.sqlite", catalogue)
    made.state.later = later
    made.state.jobs, made.state.sessions, made.state.sent = Jobs(), sessions, sent
    made.state.door, made.state.home = door, home
    return made

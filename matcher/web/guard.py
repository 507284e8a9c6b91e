"""Who may ask, and how much: before any view sees a request.

- The Host must be one that this server was started under, so that no other site can put its name on our address.
- What another site's page lays into itself is refused: no work and no session is begun for it.
- A change must come from a page of ours: its Origin is ours, and it brings the token of its session.
- A body is counted while it comes in, and must come in steadily.
- What goes out tells the browser to run nothing that is not ours and to show us inside nothing else.
"""

from __future__ import annotations

import asyncio
import hmac
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from typing import Any

from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from matcher.web.session import COOKIE, Session, Sessions

LARGEST_BODY = 40_000_000  # bytes of one request: a choice, two large photographs of a phone
_SMALL_BODY = 1_000_000  # of a form without files
_LONGEST_PATH = 4_000  # letters: Python reads no whole number of more than 4,300 figures; a choice
_STEADY_S = 20.0  # for the next piece of a body; a choice
_WHOLE_S = 180.0  # for the whole of it; a choice
SAFE = ("GET", "HEAD", "OPTIONS")
HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; "
    "connect-src 'self'; font-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), screen-wake-lock=(self), geolocation=(), microphone=()",
    "Cache-Control": "no-store",
}


class TooLarge(Exception):
    """More came than may come."""


class TooSlow(Exception):
    """It stopped coming."""


class Guard:
    """Middleware round the whole application.

    hosts: names with port that this server is reached under, such as "127.0.0.1:8020"; scheme: "http" or "https".
    door: for the home network, whether a session may look at a path; None where only this machine can reach us.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        hosts: Iterable[str],
        sessions: Sessions,
        scheme: str = "http",
        door: Callable[[Scope, Session], bool] | None = None,
    ) -> None:
        self.app, self.sessions, self.scheme, self.door = app, sessions, scheme, door
        self.hosts = frozenset(one.casefold() for one in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request: looked at, then let through with its session, or refused in one sentence."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # no view of ours speaks anything else
            if scope["type"] == "websocket":
                await send({"type": "websocket.close", "code": 1008})
            return
        request = Request(scope)
        refused = self._refusal(request)
        if refused is not None:
            await _with_headers(refused, scope, receive, send)
            return
        session = self.sessions.find(request.cookies.get(COOKIE))
        new = session is None
        session = session or self.sessions.begin()
        scope.setdefault("state", {})["session"] = session
        if self.door is not None and not self.door(scope, session):
            back = RedirectResponse("/door", status_code=303)
            await _with_headers(back, scope, receive, send, session if new else None, self.scheme)
            return
        body = _Counted(receive, _largest(request))
        answered = False

        async def sending(message: Message) -> None:
            nonlocal answered
            if message["type"] == "http.response.start":
                answered = True
                _dress(message, session if new else None, self.scheme)
            await send(message)

        try:
            await self.app(scope, body, sending)
        except (TooLarge, TooSlow) as fault:
            if not answered:
                many = isinstance(fault, TooLarge)
                said = "That is more than can be taken in at once." if many else "It stopped coming; try again."
                answer = PlainTextResponse(said, 413 if many else 408, {"Connection": "close"})
                await _with_headers(answer, scope, receive, send)

    def _refusal(self, request: Request) -> Response | None:
        host = request.headers.get("host", "").casefold()
        if host not in self.hosts:
            return PlainTextResponse("This page is reached by the address that matcher printed, and no other.", 421)
        if len(request.scope["path"]) > _LONGEST_PATH:
            return PlainTextResponse("No page has so long an address.", 414)
        if _beside(request):
            return PlainTextResponse("Only pages of matcher's own may ask for that.", 403)
        if request.method in SAFE:
            return None
        if request.method != "POST":
            return PlainTextResponse("Pages are looked at or sent in; nothing else.", 405)
        if request.headers.get("origin", "").casefold() != f"{self.scheme}://{host}":
            return PlainTextResponse("A change must come from a page of matcher's own.", 403)
        return None


def right_token(session: Session, given: str) -> bool:
    """Whether a change brought its session's token; compared in the same time whatever it is."""
    return hmac.compare_digest(session.token.encode(), given.encode("utf-8", "surrogatepass"))


def _beside(request: Request) -> bool:
    """Whether another site's page asks for it, as a picture or a frame of its own; browsers say so unasked. A link that
    she follows is none."""
    came, of = (request.headers.get(f"sec-fetch-{name}") for name in ("site", "dest"))
    return came not in (None, "none", "same-origin") and of != "document"


def _largest(request: Request) -> int:
    files = request.headers.get("content-type", "").startswith("multipart/form-data")
    return LARGEST_BODY if files else _SMALL_BODY


class _Counted:
    """A body that is counted as it comes in, and must not stop."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive, self._most, self._seen, self._ends = receive, most, 0, 0.0
        self._over = False

    async def __call__(self) -> Message:
        """The next piece."""
        if self._over:  # what comes after the body is only that the browser has gone
            return await self._receive()
        now = asyncio.get_running_loop().time()
        self._ends = self._ends or now + _WHOLE_S
        try:
            async with asyncio.timeout(min(_STEADY_S, max(0.0, self._ends - now))):
                message = await self._receive()
        except TimeoutError:
            raise TooSlow from None
        if message["type"] == "http.request":
            self._seen += len(message.get("body", b""))
            self._over = not message.get("more_body", False)
            if self._seen > self._most:
                raise TooLarge
        return message


def _dress(message: MutableMapping[str, Any], new: Session | None, scheme: str) -> None:
    """Put our headers on an answer, but where a view knew better, and the cookie of a new session."""
    there = {name.lower() for name, _ in message.get("headers", [])}
    headers = list(message.get("headers", []))
    headers += [
        (name.lower().encode(), value.encode()) for name, value in HEADERS.items() if name.lower().encode() not in there
    ]
    if new is not None:
        cookie = f"{COOKIE}={new.name}; Path=/; HttpOnly; SameSite=Strict"
        headers.append((b"set-cookie", (cookie + ("; Secure" if scheme == "https" else "")).encode()))
    message["headers"] = headers


async def _with_headers(
    answer: Response,
    scope: Scope,
    receive: Receive,
    send: Callable[[Message], Awaitable[None]],
    new: Session | None = None,
    scheme: str = "http",
) -> None:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            _dress(message, new, scheme)
        await send(message)

    await answer(scope, receive, sending)

"""Too much, too slow, too often: uploads without an end or without a pause, thousands of requests, open connections that
say nothing. Each is refused in a sentence, and what the server holds in memory stays bounded.
"""

from __future__ import annotations

import asyncio
import socket
import threading
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from typing import Any

import httpx
import pytest
from markup import read
from raw import answered, request, status
from server import Served
from visitor import HERE, HOST, Visitor

from matcher.errors import BadInput
from matcher.web import guard
from matcher.web.jobs import Jobs

BOUNDARY = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\n\r\n'
Piece = dict[str, Any]


def sent_in(visitor: Visitor, receive: Callable[[], Awaitable[Piece]], kind: bytes) -> tuple[int, int]:
    """Send a body piece by piece into the application itself: the answer's status, and how many pieces it took."""
    found: list[int] = []
    pieces = 0

    async def counting() -> Piece:
        nonlocal pieces
        pieces += 1
        return await receive()

    async def send(message: Piece) -> None:
        if message["type"] == "http.response.start":
            found.append(message["status"])

    headers = [(b"host", HOST.encode()), (b"origin", HERE.encode()), (b"content-type", kind)]
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "POST", "path": "/intake",
        "raw_path": b"/intake", "query_string": b"", "root_path": "", "scheme": "http", "headers": headers,
        "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 8020),
    }  # fmt: skip

    def run() -> None:
        asyncio.run(visitor.app(scope, counting, send))

    with ThreadPoolExecutor(1) as beside:  # this thread may have the browser's loop
        beside.submit(run).result(60)
    return found[0], pieces


FORM, FILES = b"application/x-www-form-urlencoded", b"multipart/form-data; boundary=x"


@pytest.mark.parametrize(("kind", "most"), [(FORM, 1_000_000), (FILES, guard.LARGEST_BODY)])
def test_an_endless_body_is_cut_off(demo: Visitor, kind: bytes, most: int):
    first = True

    async def endless() -> Piece:
        nonlocal first
        body = (BOUNDARY if first and kind is FILES else b"") + b"a" * 1_000_000
        first = False
        return {"type": "http.request", "body": body, "more_body": True}

    code, pieces = sent_in(demo, endless, kind)
    assert code == 413
    assert pieces <= most / 1_000_000 + 2


def test_a_body_that_stops_coming_is_given_up(demo: Visitor, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(guard, "_STEADY_S", 0.05)

    async def silent() -> Piece:
        await asyncio.sleep(60)
        raise AssertionError

    assert sent_in(demo, silent, FORM)[0] == 408


def test_a_body_that_comes_in_drops_is_given_up(demo: Visitor, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(guard, "_WHOLE_S", 0.2)

    async def drops() -> Piece:
        await asyncio.sleep(0.01)
        return {"type": "http.request", "body": b"a", "more_body": True}

    code, pieces = sent_in(demo, drops, FORM)
    assert code == 408
    assert pieces < 100


def test_a_form_of_very_many_fields_is_refused(demo: Visitor):
    token = demo.read("/manner").form("/manner").fields["token"]
    body = f"token={token}&" + "&".join(f"a{number}=1" for number in range(20_000))
    kind = {"content-type": FORM.decode()}
    assert demo.post("/manner", content=body.encode(), headers=kind).status_code == 400
    long = {"token": token, **{f"a{number}": "a" * 900_000 for number in range(3)}}
    assert demo.post("/motif/look", data=long, files={"file": b""}).status_code == 400
    files = [("file", (f"{number}.csv", b"lot,grams\n")) for number in range(100)]
    assert demo.post("/intake", data={"token": token}, files=files).status_code == 400


def test_who_says_nothing_keeps_nobody_out(own_server: Served):
    """Open connections, one with half a request: others are served all the same, and are told if it is too many."""
    with ExitStack() as held:
        for number in range(40):
            one = held.enter_context(socket.create_connection(("127.0.0.1", own_server.port), timeout=10))
            if number % 2:
                one.sendall(b"GET / HTTP/1.1\r\nHost: 127")
        lines = (f"Host: 127.0.0.1:{own_server.port}", "Connection: close")
        assert status(answered(own_server.port, request("/bin", *lines))) == 200
    assert status(answered(own_server.port, request("/bin", *lines))) == 200


def flood(served: Served, times: int) -> int:
    """So many requests of all kinds, one after another; how much more memory the server holds after the first tenth."""
    here, grown = served.address, 0
    with httpx.Client(base_url=here, timeout=30, headers={"origin": here}) as to:
        form = read(to.get("/lot/petrol").text).form("/move/petrol").fields

        def one(number: int) -> httpx.Response:
            kind = number % 10
            if kind == 0:
                return to.get(f"/lot/nothing {number}")
            if kind == 1:
                return to.post("/move/petrol", data={**form, "token": f"wrong {number}"})
            if kind == 2:
                return to.get("/static/page.css")
            if kind == 3:
                return to.get("/manner", headers={"cookie": f"matcher-session=nobody{number}"})
            if kind == 4:
                return to.post("/manner", data={"token": "a" * 2000}, headers={"origin": "http://evil.example"})
            if kind == 5:
                return to.get(f"/no/such/page/{number}", params={"a": "b" * 500})
            if kind == 6:
                return to.request("PUT", f"/lot/{number}")
            if kind == 7:
                return to.get("/static/../../errors.py")
            if kind == 8:
                return to.get("/", headers={"host": f"{number}.example"})
            return to.get(f"/working/{number}")

        for number in range(times):
            answer = one(number)
            assert answer.status_code < 500, (number, answer.text[:200])
            if number == times // 10:
                grown = served.memory_kb()
        assert to.get("/lot/petrol").status_code == 200
    return served.memory_kb() - grown


def test_many_requests(own_server: Served):
    assert flood(own_server, 300) < 12_000


@pytest.mark.long(whole_of="test_many_requests")  # so many requests of a real server, one after another
@pytest.mark.timeout(900)  # a busy machine takes ten times as long as a quiet one
def test_2_000_requests(own_server: Served):
    assert flood(own_server, 2_000) < 12_000


def test_browsers_that_never_come_again_are_forgotten(demo: Visitor):
    """Sessions and what they keep are bounded in number."""
    for _ in range(260):
        demo.get("/static/icon.svg", headers={"cookie": ""})
    assert len(demo.app.state.sessions._by_name) <= 200


def test_work_that_is_asked_for_without_end_is_refused():
    """However many things are asked for, only so many wait; when those are done, others are taken."""
    jobs, go_on = Jobs(), threading.Event()
    begun = [jobs.of(number, "waiting", lambda _: go_on.wait(60), 0.0) for number in range(40)]
    threads = threading.active_count()
    for number in range(40, 100):
        with pytest.raises(BadInput, match="too much"):
            jobs.of(number, "waiting", lambda _: None, 0.0)
    assert threading.active_count() <= threads
    assert jobs.of(7, "waiting", lambda _: None, 0.0) is begun[7]  # who looks how far hers is, is let in
    go_on.set()
    for one in begun:
        one.ended.wait(60)
    assert jobs.of("another", "waiting", lambda _: "done", 60.0).result == "done"

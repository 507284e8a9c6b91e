"""Who is let in: no other site under our address, no change from a page that is not ours, no file that is not a page.

Each refusal says nothing of hers and begins no session; after all of them the store is byte for byte what it was.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from addresses import EXAMPLES, sent_to
from raw import answered, request, status
from server import Served
from visitor import HERE, Visitor

HERS = (b"petrol", b"mid grey", b"blue box")


def strange_hosts(port: int) -> dict[str, tuple[str, ...]]:
    """Lines of the head that name us wrongly, or name us and another."""
    right = f"127.0.0.1:{port}"
    return {
        "none": (),
        "empty": ("Host:",),
        "another site": ("Host: evil.example",),
        "another site with our port": (f"Host: evil.example:{port}",),
        "no port": ("Host: 127.0.0.1",),
        "another port": (f"Host: 127.0.0.1:{port + 1}",),
        "our name inside": (f"Host: {right}.evil.example",),
        "our name as a user": (f"Host: {right}@evil.example",),
        "a path": (f"Host: {right}/",),
        "a dot at the end": (f"Host: localhost.:{port}",),
        "zero": (f"Host: 0.0.0.0:{port}",),
        "short": (f"Host: 127.1:{port}",),
        "as a number": (f"Host: 2130706433:{port}",),
        "six": (f"Host: [::1]:{port}",),
        "six around four": (f"Host: [::ffff:127.0.0.1]:{port}",),
        "two, ours first": (f"Host: {right}", "Host: evil.example"),
        "two, ours last": ("Host: evil.example", f"Host: {right}"),
        "both in one": (f"Host: {right}, evil.example",),
        "forwarded": ("Host: evil.example", f"X-Forwarded-Host: {right}", f"Forwarded: host={right}"),
    }


@pytest.mark.parametrize("kind", strange_hosts(80))
def test_no_other_name_reaches_us(served: Served, kind: str):
    lines = strange_hosts(served.port)[kind]
    answer = answered(served.port, request("/bin", *lines, "Connection: close"))
    assert status(answer) in (400, 421), answer[:200]
    assert b"set-cookie" not in answer.lower()
    assert not any(word in answer for word in HERS)


def test_our_own_names_reach_us(served: Served):
    for name in ("127.0.0.1", "localhost", "LOCALHOST"):
        answer = answered(served.port, request("/bin", f"Host: {name}:{served.port}", "Connection: close"))
        assert status(answer) == 200
        assert HERS[0] in answer


PATHS = (
    f"/work/{'9' * 5000}",
    "/static/../app.py",
    "/static/../../errors.py",
    "/static/%2e%2e/app.py",
    "/static/..%2fapp.py",
    "/static/%2e%2e%2f%2e%2e%2ferrors.py",
    "/static/..\\app.py",
    "/static/..%5capp.py",
    "/static//etc/passwd",
    "/static/%2fetc%2fpasswd",
    "/static/%00",
    "/static/page.css%00.html",
    "/static",
    "/static/",
    "/static/%c0%ae%c0%ae/app.py",
    "/lot/../../../../etc/passwd",
    "/lot/..%2f..%2f..%2fetc%2fpasswd",
    "/lot/%00",
    "/lot/%ff%fe",
    "/lot/%ed%a0%80",
    "/lot/" + "a" * 20_000,
    "/lot/%",
    "/lot/%zz",
    "//evil.example/",
    "/\\evil.example/",
    "/lot/petrol/../../bin/%2e%2e",
    "/%2e%2e/%2e%2e/etc/passwd",
    "/bin?sort=" + "x" * 20_000,
    "/bin?sort=%00&sort=%ff",
    "/bin?place=" + "%F0%9F%A7%B6" * 2000,
    "/bin?" + "&".join(f"a{n}=1" for n in range(3000)),
    "http://evil.example/bin",
    "*",
    "",
    "evil",
)


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path[:40])
def test_a_path_is_never_a_file(served: Served, path: str):
    answer = answered(served.port, request(path, f"Host: 127.0.0.1:{served.port}", "Connection: close"))
    assert status(answer) < 500, answer[:300]
    for inside in (b"root:", b"from __future__", b"import ", b"Traceback", b"site-packages"):
        assert inside not in answer.replace(b"@import ", b"")


STRANGE = (
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",  # somebody speaks of certificates
    b"GET / HTTP/9.9\r\n\r\n",
    b"\r\n" * 200,
    b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n folded: yes\r\n\r\n",
    b"GET /bin HTTP/1.1\r\n" + b"X: " + b"a" * 200_000 + b"\r\n\r\n",
    b"POST /manner HTTP/1.1\r\nHost: {host}\r\nContent-Length: -5\r\n\r\n",
    b"POST /manner HTTP/1.1\r\nHost: {host}\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /bin",
    b"POST /manner HTTP/1.1\r\nHost: {host}\r\nTransfer-Encoding: chunked\r\n\r\nZZ\r\n",
    b"PUT /bin HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n",
    b"DELETE /lot/petrol HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n",
    b"TRACE / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n",
    b"CONNECT evil.example:443 HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n",
    b"OPTIONS /bin HTTP/1.1\r\nHost: {host}\r\nOrigin: http://evil.example\r\nConnection: close\r\n\r\n",
    b"GET / HTTP/1.1\r\nHost: {host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: eA==\r\n"
    b"Sec-WebSocket-Version: 13\r\nOrigin: http://evil.example\r\nConnection: close\r\n\r\n",
)


@pytest.mark.parametrize("number", range(len(STRANGE)))
def test_what_is_no_request_is_refused(served: Served, number: int):
    sent = STRANGE[number].replace(b"{host}", f"127.0.0.1:{served.port}".encode())
    answer = answered(served.port, sent, no_more=True)  # the other side may wait for more
    assert status(answer) < 500, answer[:200]
    assert b"access-control-allow" not in answer.lower()
    assert served.process.poll() is None


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_no_other_page_lays_ours_into_itself(demo: Visitor, site: str):
    """It would begin sessions, until hers was forgotten, and work without end."""
    sessions = dict(demo.app.state.sessions._by_name)
    for dest in ("image", "iframe", "script", "empty", "object"):
        answer = demo.get("/bin", headers={"sec-fetch-site": site, "sec-fetch-dest": dest, "cookie": ""})
        assert (answer.status_code, answer.headers.get("set-cookie")) == (403, None)
        assert HERS[0].decode() not in answer.text
    assert demo.app.state.sessions._by_name == sessions
    linked = {"sec-fetch-site": site, "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert demo.get("/bin", headers=linked).status_code == 200
    assert demo.get("/bin", headers={"sec-fetch-site": "same-origin", "sec-fetch-dest": "image"}).status_code == 200


def test_what_goes_out_lets_nothing_in(demo: Visitor):
    for address in ("/", "/bin", "/lot/petrol", "/static/page.css", "/no/such/page", "/print/tags"):
        had = demo.get(address).headers
        policy = had["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe-inline" not in policy
        assert "unsafe-eval" not in policy
        assert "frame-ancestors 'none'" in policy
        assert had["x-content-type-options"] == "nosniff"
        assert had["referrer-policy"] == "same-origin"
        assert "server" not in had
        assert "access-control-allow-origin" not in had


def test_a_cookie_is_for_this_server_alone(store: Path):
    with Visitor(store) as visitor:
        cookies = visitor.get("/").headers.get_list("set-cookie")
    assert cookies
    for one in cookies:
        assert re.search("; HttpOnly", one)
        assert re.search("; SameSite=[Ss]trict", one)


def changes() -> list[str]:
    """Every address that changes something, with names of the demo in it."""
    names = {name: of[0].rsplit("/", 1)[1] for name, of in EXAMPLES.items() if of}
    numbered = [(one.path, re.sub(r"\{\w+:int\}", "1", one.path)) for one in sent_to()]
    return [re.sub(r"\{[^}]*\}", names.get(of, "petrol"), path) for of, path in numbered]


ORIGINS = (
    None,
    "",
    "null",
    "http://evil.example",
    "https://127.0.0.1:8020",
    "http://127.0.0.1",
    "http://127.0.0.1:8021",
    "http://127.0.0.1:8020.evil.example",
    "http://localhost:8020",
    "http://127.0.0.1:8020/",
    "http://127.0.0.1:8020, http://evil.example",
    "file://",
)


def test_no_change_comes_from_elsewhere(changing: Visitor, store: Path):
    before = store.read_bytes()
    form = changing.read("/lot/petrol").form("/weigh/petrol")
    for origin in ORIGINS:
        headers = {} if origin is None else {"origin": origin}
        sent = changing.build_request("POST", "/weigh/petrol", data={**form.fields, "grams": "20"}, headers=headers)
        if origin is None:
            del sent.headers["origin"]
        assert changing.send(sent).status_code == 403, origin
    assert store.read_bytes() == before
    # And with the right one it is done, so that the refusals above were for the origin.
    assert changing.fill(form, grams="20").status_code == 200
    assert store.read_bytes() != before


@pytest.mark.parametrize("address", changes())
def test_no_change_is_made_without_its_token(address: str, changing: Visitor, store: Path):
    before = store.read_bytes()
    with Visitor(app=changing.app) as other:
        theirs = other.read("/manner").form("/manner").fields["token"]
    changing.get("/")
    fields = {"grams": "20", "place": "attic", "mark": "0", "name": "x", "to": "/"}
    for token in ({}, {"token": ""}, {"token": theirs}, {"token": "é" * 32}, {"token": ["", theirs]}):
        answer = changing.post(address, data={**fields, **token})
        assert answer.status_code == 403, (address, token)
    assert changing.post(f"{address}?token={theirs}", data=fields).status_code == 403
    assert changing.post(address, data=fields, files={"token": ("token", theirs)}).status_code == 403
    assert changing.post(address, content=b"{}", headers={"content-type": "application/json"}).status_code in (400, 403)
    broken = {"content-type": "multipart/form-data; boundary=x"}
    assert changing.post(address, content=b"--y\r\n\r\n", headers=broken).status_code in (400, 403)
    assert changing.get(address, headers={"origin": HERE}).status_code in (200, 400, 404, 405)
    assert store.read_bytes() == before


def test_nobody_is_led_to_another_site(changing: Visitor):
    fields = changing.read("/manner").form("/manner").fields
    token = fields["token"]
    for to in ("https://evil.example", "//evil.example", "/\\evil.example", "\\\\evil.example", "/\t/evil.example", ""):
        for address in ("/undo", "/working/none/stop"):
            answer = changing.post(address, data={"token": token, "to": to, "mark": "0"}, follow_redirects=False)
            where = answer.headers.get("location", "/")
            assert re.match(r"/(?![/\\])", where), (to, where)
            assert not re.search(r"[\t\r\n]", where), (to, where)

"""The home network: nothing is seen before the pass phrase, tries are few, and https is its own."""

from __future__ import annotations

import asyncio
import re
import socket
import ssl
import stat
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
import pytest
from cryptography import x509
from markup import read
from server import serving
from starlette.testclient import TestClient
from visitor import Visitor

from matcher.errors import BadInput
from matcher.web.app import make_app
from matcher.web.certificate import certificate
from matcher.web.home import Door, folded, home_address, new_phrase, words
from matcher.web.qr import qr_lines
from matcher.web.run import listening
from matcher.web.session import COOKIE, Sessions

LAN = "192.168.7.20:8020"
PHRASE = "maple otter quilt raven thimble"


class Clock:
    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def phone(store: Path, clock: Clock) -> Iterator[TestClient]:
    """A browser in the home network, before the door; its application knows the phrase."""
    app = make_app(store, hosts=[LAN, "127.0.0.1:8020"], door=Door(PHRASE, clock), home=f"http://{LAN}/")
    with TestClient(app, base_url=f"http://{LAN}", headers={"origin": f"http://{LAN}"}) as client:
        yield client


def knock(phone: TestClient, phrase: str) -> httpx.Response:
    form = read(phone.get("/door").text).form("/door")
    return phone.post("/door", data={**form.fields, "phrase": phrase}, follow_redirects=False)


@pytest.mark.parametrize(
    "address", ["/", "/bin", "/lot/petrol", "/done", "/export.xlsx", "/working/x", "/nothing", "/door/leave"]
)
def test_before_the_door_nothing_is_seen(phone: TestClient, address: str):
    answer = phone.get(address, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/door")


def test_the_door_itself_tells_nothing_of_hers(phone: TestClient):
    shown = phone.get("/door").text
    assert "intake demo" not in shown  # what was done last
    assert "<nav" not in shown
    assert "/undo" not in shown
    assert phone.get("/static/page.css").status_code == 200
    stale = phone.post("/door", data={"token": "x", "phrase": PHRASE})
    assert stale.status_code == 403
    assert "intake demo" not in stale.text


def test_changes_from_outside_do_nothing(phone: TestClient):
    form = read(phone.get("/door").text).form("/door")
    for address in ("/undo", "/weigh/petrol", "/intake", "/demo"):
        answer = phone.post(address, data=form.fields, follow_redirects=False)
        assert (answer.status_code, answer.headers["location"]) == (303, "/door")


def test_the_phrase_opens_and_the_session_is_a_new_one(phone: TestClient):
    phone.get("/door")
    before = phone.cookies[COOKIE]
    answer = knock(phone, "  Maple-OTTER quilt,raven thimble ")
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    assert phone.cookies[COOKIE] != before
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert "petrol" in phone.get("/bin").text
    phone.cookies.set(COOKIE, before, domain="192.168.7.20")
    phone.cookies.clear()
    assert phone.get("/bin", headers={"cookie": f"{COOKIE}={before}"}, follow_redirects=False).status_code == 303


def test_it_can_be_locked_again(phone: TestClient):
    knock(phone, PHRASE)
    form = read(phone.get("/intake").text).form("/intake")
    phone.post("/intake", data=form.fields, files=[("files", ("a.csv", b"lot,grams\n"))])
    form = read(phone.get("/door").text).form("/door/leave")
    phone.post("/door/leave", data=form.fields)
    assert not phone.app.state.sent._all
    assert phone.get("/bin", follow_redirects=False).status_code == 303


def test_waits_grow_and_even_the_right_phrase_waits(phone: TestClient, clock: Clock):
    waits = []
    for _ in range(6):
        answer = knock(phone, "wrong words")
        assert answer.status_code == 403
        waits.append(int(answer.headers["retry-after"]))
        early = knock(phone, PHRASE)
        assert early.status_code == 429
        assert "Too many tries" in early.text
        clock.now += waits[-1] + 0.01
    assert waits == [1, 2, 4, 8, 16, 32]
    assert knock(phone, PHRASE).status_code == 303


def test_all_addresses_together_wait_too_and_few_are_kept(clock: Clock):
    door = Door(PHRASE, clock)
    for number in range(10):
        door._failed(f"10.0.0.{number}")
    assert door.wait_s("10.9.9.9") > 0
    assert not door.right(PHRASE, "10.9.9.9")
    for number in range(600):
        clock.now += 61.0
        door._failed(f"10.1.{number // 200}.{number % 200}")
    assert len(door._tries) == 500
    assert door.wait_s("10.9.9.9") <= 60.0
    clock.now += 61.0
    assert door.right(PHRASE, "10.9.9.9")


def test_on_this_machine_there_is_no_door(phone: TestClient):
    here = TestClient(phone.app, base_url="http://127.0.0.1:8020", headers={"origin": "http://127.0.0.1:8020"})
    assert "petrol" in here.get("/bin").text
    shown = here.get("/door").text
    assert f"http://{LAN}/" in shown
    assert PHRASE not in shown
    assert 'class="qr"' in shown


def test_without_home_the_way_to_it_is_told(demo: Visitor):
    assert "matcher page --home" in read(demo.look("/door").text).words


def test_many_outside_push_nobody_out_who_is_inside():
    sessions = Sessions()
    inside = sessions.begin()
    inside.inside = True
    for _ in range(500):
        sessions.begin()
    assert sessions.find(inside.name) is inside
    assert len(sessions._by_name) == 200


def test_phrases_are_long_enough_and_easily_typed():
    assert len(set(words())) == len(words()) >= 250
    assert all(re.fullmatch("[a-z]{3,9}", word) for word in words())
    phrases = {new_phrase() for _ in range(200)}
    assert len(phrases) == 200
    assert all(folded(one) == one and len(one.split()) == 5 for one in phrases)


def test_the_code_for_scanning_is_as_wide_as_a_terminal_allows():
    lines = qr_lines("https://192.168.178.255:65535/")
    assert {len(line) for line in lines} == {len(lines[0])}
    assert len(lines[0]) <= 80


def test_a_certificate_is_kept_for_its_addresses_and_for_its_owner(tmp_path: Path):
    made = certificate(tmp_path, ("127.0.0.1", "192.168.7.20"))
    assert certificate(tmp_path, ("192.168.7.20", "127.0.0.1")) == made
    assert stat.S_IMODE(made.file.stat().st_mode) == 0o600
    read_ = x509.load_pem_x509_certificate(made.file.read_bytes())
    assert made.fingerprint.replace(":", "").lower() == read_.fingerprint(read_.signature_hash_algorithm).hex()
    other = certificate(tmp_path, ("127.0.0.1", "192.168.7.21"))
    assert other.fingerprint != made.fingerprint
    made.file.write_text("torn")
    assert certificate(tmp_path, ("127.0.0.1",)).fingerprint
    assert [one.name for one in tmp_path.iterdir()] == ["page-certificate.pem"]


def test_a_port_is_free_at_every_address_or_not_taken():
    with listening(None)[0] as one:
        with pytest.raises(BadInput, match="can't be used"):
            listening(one.getsockname()[1], ("127.0.0.2", "127.0.0.1"))
        other = listening(None)
        assert other[0].getsockname()[1] != one.getsockname()[1]
        other[0].close()


def test_what_is_answered_is_sent_at_once():
    """Else the system holds a page back until its headers are heard of, which takes 40 ms."""

    async def at_once(one: socket.socket) -> bool:
        told = asyncio.get_running_loop().create_future()
        server = await asyncio.start_server(lambda _, to: told.set_result(to), sock=one)
        async with server:
            _, ours = await asyncio.open_connection(*one.getsockname())
            theirs = await told
            said = theirs.get_extra_info("socket").getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY)
            for end in (ours, theirs):
                end.close()
        return bool(said)

    with ThreadPoolExecutor(1) as thread:  # this one may have a loop already
        assert thread.submit(lambda: asyncio.run(at_once(listening(None)[0]))).result()


def test_the_whole_of_it_by_https(store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    try:
        lan = home_address()
    except BadInput:
        # A server for the home is at the machine's address there, and one without a network has none.
        pytest.skip("this machine is on no home network")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    with serving(store, "--home", "--certificate", anew=True) as served:
        phrase = re.search(r"Pass phrase: ([a-z ]+)", served.printed)
        mark = "".join(re.findall(r"^[0-9A-F:]{30,}$", served.printed, re.MULTILINE)).replace(":", "")
        seen = ssl.get_server_certificate((lan, served.port))
        assert phrase is not None
        assert x509.load_pem_x509_certificate(seen.encode()).fingerprint(_sha256()).hex().upper() == mark
        (kept,) = tmp_path.rglob("page-certificate.pem")
        trusted = ssl.create_default_context(cafile=str(kept))
        at = f"https://{lan}:{served.port}"
        assert at in served.printed
        with httpx.Client(base_url=at, verify=trusted, headers={"origin": at}) as phone:
            assert phone.get("/bin").headers["location"] == "/door"
            form = read(phone.get("/door").text).form("/door")
            answer = phone.post("/door", data={**form.fields, "phrase": phrase[1]})
            assert "Secure" in answer.headers["set-cookie"]
            assert "petrol" in phone.get("/bin").text
        with httpx.Client(base_url=served.address, verify=trusted) as here:
            assert "petrol" in here.get("/bin").text


def _sha256() -> object:
    from cryptography.hazmat.primitives import hashes

    return hashes.SHA256()


def test_a_certificate_alone_is_for_nobody(tmp_path: Path):
    from matcher.web.run import serve

    with pytest.raises(BadInput, match="a certificate is for the home network"):
        serve(tmp_path / "x.db", port=None, own_certificate=True, begun=lambda _: None)

"""The server itself: its address, its browser, its end."""

from __future__ import annotations

import contextlib
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason
from matcher.store.places import own_folder
from matcher.web.certificate import Certificate, certificate
from matcher.web.home import Door, home_address, new_phrase

if TYPE_CHECKING:
    import uvicorn

USUAL_PORT = 8020  # a choice; another is taken where it is in use and none was asked for
HERE = "127.0.0.1"
_TRIED = 20
_AT_ONCE = 64  # requests that are served at once; further ones are told to come again


@dataclass(frozen=True)
class Begun:
    """What she is told when the page answers. here: its address on this machine; home: on the home network, "" where it
    is not open to that; phrase: what the door asks for; fingerprint: of the certificate."""

    here: str
    home: str = ""
    phrase: str = ""
    fingerprint: str = ""


def listening(port: int | None, hosts: Sequence[str] = (HERE,)) -> list[socket.socket]:
    """A socket for each address, on that port, or on the usual one or one of the next.

    Raises BadInput for one that is in use.
    """
    if port is not None and not 1 <= port <= 65535:
        raise BadInput(reason("{port} isn't a port", port=port), Field("port"), reason("give 1024 to 65535"))
    for number in (port,) if port is not None else range(USUAL_PORT, USUAL_PORT + _TRIED):
        made: list[socket.socket] = []
        try:
            for host in hosts:
                # Named as TCP, so that asyncio sends all at once: else a page waits 40 ms for its headers to be heard.
                made.append(socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP))
                made[-1].setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                made[-1].bind((host, number))
        except OSError:
            for one in made:
                one.close()
            continue
        for one in made:
            one.listen(128)
        return made
    what = reason("port {port} can't be used", port=port) if port else reason("no port is free")
    raise BadInput(what, Field("port"), reason("give another; the page may be open already"))


def serve(
    bin: Path | str | None,
    *,
    port: int | None,
    catalog: Path | str | None = None,
    home: bool = False,
    own_certificate: bool = False,
    begun: Callable[[Begun], None],
) -> None:
    """Show the page until she stops it. begun: told where, as soon as it answers.

    home: open it to the home network as well, behind a door; own_certificate: by https with a certificate of its own.
    Raises BadInput for a port that is in use and for what can't be opened, CatalogueError.
    """
    import uvicorn

    from matcher.web.app import make_app

    if own_certificate and not home:
        what, todo = reason("a certificate is for the home network"), reason("give {home} too", home=Field("home"))
        raise BadInput(what, Field("certificate"), todo)
    addresses = (HERE, home_address()) if home else (HERE,)
    own = _certificate(addresses) if own_certificate else None
    phrase, scheme = new_phrase() if home else "", "https" if own else "http"
    sockets = listening(port, addresses)
    number = sockets[0].getsockname()[1]
    at = [f"{scheme}://{address}:{number}/" for address in addresses]
    app = make_app(
        bin,
        hosts=[f"{name}:{number}" for name in (*addresses, "localhost")],
        catalog=catalog,
        scheme=scheme,
        door=Door(phrase) if home else None,
        home=at[-1] if home else "",
    )
    config = uvicorn.Config(
        app,
        log_level="error",
        access_log=False,  # no log says what she looked at
        server_header=False,
        date_header=False,
        proxy_headers=False,
        limit_concurrency=_AT_ONCE,
        timeout_keep_alive=15,
        timeout_graceful_shutdown=3,
        h11_max_incomplete_event_size=64 * 1024,
        ssl_certfile=own.file if own else None,
    )
    server = _server(config)

    def tell() -> None:
        while not server.started and not server.should_exit:
            time.sleep(0.01)
        if server.started:
            begun(Begun(at[0], at[-1] if home else "", phrase, own.fingerprint if own else ""))

    threading.Thread(target=tell, daemon=True).start()
    try:
        server.run(sockets=sockets)
    finally:
        for one in sockets:
            one.close()


def _certificate(addresses: Sequence[str]) -> Certificate:
    try:
        return certificate(own_folder(), addresses)
    except OSError as fault:
        what = reason("the certificate can't be kept ({why})", why=(fault.strerror or "no reason given").lower())
        raise BadInput(what, str(own_folder()), reason("check that folder")) from None


def _server(config: uvicorn.Config) -> uvicorn.Server:
    import uvicorn

    class Ending(uvicorn.Server):
        """To be stopped is its usual end, and no signal is passed on after it."""

        @contextlib.contextmanager
        def capture_signals(self) -> Iterator[None]:
            kept = {one: signal.signal(one, self.handle_exit) for one in (signal.SIGINT, signal.SIGTERM)}
            try:
                yield
            finally:
                for one, handler in kept.items():
                    signal.signal(one, handler)

    return Ending(config)

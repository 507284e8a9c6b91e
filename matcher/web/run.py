"""The server itself: its address, its browser, its end."""

from __future__ import annotations

import contextlib
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.errors import BadInput
from matcher.reasons.reason import Field, reason

if TYPE_CHECKING:
    import uvicorn

USUAL_PORT = 8020  # a choice; another is taken where it is in use and none was asked for
HERE = "127.0.0.1"
_TRIED = 20
_AT_ONCE = 64  # requests that are served at once; further ones are told to come again


def listening(port: int | None, host: str = HERE) -> socket.socket:
    """A socket on that port, or on the usual one or one of the next. Raises BadInput for one that is in use."""
    if port is not None and not 1 <= port <= 65535:
        raise BadInput(reason("{port} isn't a port", port=port), Field("port"), reason("give 1024 to 65535"))
    for number in (port,) if port is not None else range(USUAL_PORT, USUAL_PORT + _TRIED):
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((host, number))
        except OSError:
            made.close()
            continue
        made.listen(128)
        return made
    what = reason("port {port} can't be used", port=port) if port else reason("no port is free")
    raise BadInput(what, Field("port"), reason("give another; the page may be open already"))


def serve(
    bin: Path | str | None,
    *,
    port: int | None,
    catalog: Path | str | None = None,
    begun: Callable[[str], None],
) -> None:
    """Show the page until she stops it. begun: told the address as soon as it answers.

    Raises BadInput for a port that is in use, CatalogueError.
    """
    import uvicorn

    from matcher.web.app import make_app

    door = listening(port)
    number = door.getsockname()[1]
    hosts = [f"{name}:{number}" for name in (HERE, "localhost")]
    app = make_app(bin, hosts=hosts, catalog=catalog)
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
    )
    server = _server(config)

    def tell() -> None:
        while not server.started and not server.should_exit:
            time.sleep(0.01)
        if server.started:
            begun(f"http://{HERE}:{number}/")

    threading.Thread(target=tell, daemon=True).start()
    with contextlib.closing(door):
        server.run(sockets=[door])


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

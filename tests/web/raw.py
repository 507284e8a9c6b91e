"""Requests as no browser would send them, written onto a socket."""

from __future__ import annotations

import socket
from contextlib import suppress

_PATIENCE_S = 15


def request(target: str, *headers: str, method: str = "GET", version: str = "HTTP/1.1") -> bytes:
    """A request's head, as it is given: nothing is added but the line's ends."""
    return "\r\n".join([f"{method} {target} {version}", *headers, "", ""]).encode("latin-1", "replace")


def answered(port: int, sent: bytes, most: int = 1_000_000, *, no_more: bool = False) -> bytes:
    """What comes back until the other side closes, or has said `most` bytes. no_more: it is told that this was all."""
    found = b""
    with socket.create_connection(("127.0.0.1", port), timeout=_PATIENCE_S) as to, suppress(ConnectionError):
        to.sendall(sent)
        if no_more:
            with suppress(OSError):  # the other side may have closed already
                to.shutdown(socket.SHUT_WR)
        while len(found) < most and (piece := to.recv(65536)):
            found += piece
    return found


def status(answer: bytes) -> int:
    """The status of an answer; 0 where the connection was closed without one."""
    return int(answer.split(b" ", 2)[1]) if answer.startswith(b"HTTP/") else 0

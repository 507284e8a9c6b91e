"""Real servers, each a fork of one process that has loaded the program already: to load it takes longer than to begin.

A fork runs the whole of `matcher page`, from its first word to its last, as whoever types it; only that Python and the
program's modules are there. Run as a program, this is that process: for each line on a socket, what was typed and two
pipes, one is born, and its process id is said. One pipe is for what the fork prints; the other closes when it ends,
which tells of it whoever is not its parent.
"""

from __future__ import annotations

import json
import os
import select
import signal
import socket
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import IO

_PIECE = 1 << 16  # bytes of a message that are read at once


@dataclass
class Born:
    """A fork, with as much of what `subprocess.Popen` has as tests ask for. The exit code is not known here: 0 stands
    for any."""

    pid: int
    stdout: IO[str]
    life: int

    def poll(self) -> int | None:
        return 0 if select.select([self.life], [], [], 0)[0] else None

    def wait(self, timeout: float | None = None) -> int:
        if not select.select([self.life], [], [], timeout)[0]:
            raise subprocess.TimeoutExpired("matcher page", timeout or 0.0)
        return 0

    def terminate(self) -> None:
        self._told(signal.SIGTERM)

    def kill(self) -> None:
        self._told(signal.SIGKILL)

    def communicate(self) -> tuple[str, None]:
        return self.stdout.read(), None

    def close(self) -> None:
        self.stdout.close()
        os.close(self.life)

    def _told(self, what: signal.Signals) -> None:
        if self.poll() is None:  # another may have its number else
            os.kill(self.pid, what)


@cache
def _nursery() -> socket.socket:
    """The process that has loaded all, which goes on until the socket is closed: with this process."""
    ours, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_STREAM)
    with theirs:
        subprocess.Popen(
            [sys.executable, __file__, str(theirs.fileno())],
            pass_fds=[theirs.fileno()],
            stdin=subprocess.DEVNULL,
        )
    return ours


def born(typed: Sequence[str], soon_content: bool) -> Born:
    """A fork that runs this command in today's folder and environment. soon_content: where a set is looked for no longer
    than a second if nobody says how long."""
    read, print_to = os.pipe()
    life, lives = os.pipe()
    told = {"typed": list(typed), "soon": soon_content, "folder": str(Path.cwd()), "environment": dict(os.environ)}
    socket.send_fds(_nursery(), [json.dumps(told).encode() + b"\n"], [print_to, lives])
    for one in (print_to, lives):
        os.close(one)
    return Born(int(_nursery().recv(_PIECE)), os.fdopen(read, encoding="utf-8"), life)


def main() -> None:
    # Read for the forks, which need not read them again, and so unused here (F401).
    import uvicorn  # noqa: F401

    import matcher.cli.commands
    import matcher.web.app  # noqa: F401  # likewise
    from matcher.store.catalogue.catalogue import load_catalogue
    from matcher.web.routes import later

    later()
    load_catalogue()  # kept once it is read
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # those that ended leave nothing behind
    there = socket.socket(fileno=int(sys.argv[1]))
    while True:
        message, pipes, _, _ = socket.recv_fds(there, _PIECE, 2)
        while message and not message.endswith(b"\n"):
            message += there.recv(_PIECE)
        if not message:
            return
        child = os.fork()
        if child == 0:
            there.close()
            _begin(json.loads(message), *pipes)
        for one in pipes:
            os.close(one)
        there.send(str(child).encode())


def _begin(told: dict[str, object], print_to: int, lives: int) -> None:
    """In the fork: what a shell and Python do before a command, and the command. lives: stays open to the end."""
    from matcher.cli.main import main as run
    from matcher.web.views import several

    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    for stream in (1, 2):
        os.dup2(print_to, stream)
    os.close(print_to)
    sys.stdout, sys.stderr = (os.fdopen(one, "w", 1, "utf-8", closefd=False) for one in (1, 2))
    os.environ.clear()
    os.environ.update(told["environment"])
    os.chdir(told["folder"])
    if told["soon"]:
        several.TIMES_S = (1, 1)
    sys.argv = ["matcher", *told["typed"]]
    run()


if __name__ == "__main__":
    main()

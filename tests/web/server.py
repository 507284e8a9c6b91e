"""The real server, `matcher page`, in a process of its own: a fork of one that has loaded it, or from Python's first word."""

from __future__ import annotations

import os
import select
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from nursery import Born, born

COMMAND = (sys.executable, "-m", "matcher", "page")
_PATIENCE_S = 60


@dataclass
class Served:
    """A server that answers: where, its process, and what it printed when it began."""

    address: str
    port: int
    process: subprocess.Popen[str] | Born
    printed: str

    def memory_kb(self) -> int:
        """What it holds in memory now; 0 where the system does not say."""
        status = Path(f"/proc/{self.process.pid}/status")
        lines = status.read_text().splitlines() if status.exists() else []
        return next((int(line.split()[1]) for line in lines if line.startswith("VmRSS:")), 0)


def free_port() -> int:
    """A port that nobody uses now."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


def start(
    bin: Path | str | None, *more: str, port: int | None = None, soon_content: bool = False, anew: bool = False
) -> Served:
    """Start it, and wait until it says its address. soon_content: as in `born`; anew: not as a fork."""
    port = port or free_port()
    given = () if bin is None else ("--bin", str(bin))
    typed = (*given, "--port", str(port), *more)
    process = _anew(typed) if anew else born(("page", *typed), soon_content)
    assert process.stdout is not None
    printed, ends = "", time.monotonic() + _PATIENCE_S
    while "Ctrl-C" not in printed:
        ready, _, _ = select.select([process.stdout], [], [], max(0.0, ends - time.monotonic()))
        piece = os.read(process.stdout.fileno(), 65536) if ready else b""  # past the buffer, which select can't see
        if not piece:
            process.kill()
            raise AssertionError(f"the server did not begin: {printed}")
        printed += piece.decode()
    scheme = "https" if "https://" in printed else "http"
    return Served(f"{scheme}://127.0.0.1:{port}", port, process, printed)


def _anew(typed: Sequence[str]) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [*COMMAND, *typed],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )


@contextmanager
def serving(
    bin: Path | str | None, *more: str, port: int | None = None, soon_content: bool = False, anew: bool = False
) -> Iterator[Served]:
    """It, until the end; it must end as it is asked to."""
    served = start(bin, *more, port=port, soon_content=soon_content, anew=anew)
    try:
        yield served
        assert served.process.poll() is None, served.process.communicate()[0]
    finally:
        served.process.terminate()
        try:
            served.process.wait(20)
        finally:
            served.process.kill()
            served.process.wait()
            if isinstance(served.process, Born):
                served.process.close()

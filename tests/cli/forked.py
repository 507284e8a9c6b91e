"""The whole program, from its first word to its last, in a fork of a process that has loaded it already."""

from __future__ import annotations

import os
import resource
import signal
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

NOT_FLUSHED = 120  # what Python leaves with when it cannot write what is left on stdout


@dataclass(frozen=True)
class Ended:
    """How a run ended. code: its exit code, minus the signal that killed it; out, err: bytes."""

    code: int
    out: bytes
    err: bytes

    @property
    def told(self) -> str:
        return self.err.decode("utf-8", "backslashreplace")

    @property
    def words(self) -> str:
        """What was said on stderr, wherever a line was broken."""
        return " ".join(self.told.split())

    @property
    def unbroken(self) -> str:
        """The same without any blanks: a path longer than a line is broken after a stroke."""
        return "".join(self.told.split())


def run(
    *arguments: str,
    out: str = "file",
    encoding: str = "utf-8",
    environment: Mapping[str, str] | None = None,
    without: Sequence[str] = (),
    folder: Path | None = None,
    stdin: str = "empty",
    before: Callable[[], None] = lambda: None,
) -> Ended:
    """Run a command. out: "file", "full", "closed", or "gone" for a pipe whose reader has gone; stdin: "empty" or
    "closed"; without: names that the environment shall lack; before: what is done in the child first."""
    with tempfile.TemporaryFile() as said, tempfile.TemporaryFile() as told:
        child = os.fork()
        if child == 0:
            code = NOT_FLUSHED
            try:
                os.environ.update(environment or {})
                for name in without:
                    os.environ.pop(name, None)
                if folder is not None:
                    os.chdir(folder)
                _streams(said.fileno(), told.fileno(), out, encoding, stdin)
                before()
                code = _main(arguments)
                for stream in (sys.stdout, sys.stderr):
                    if stream is not None:
                        stream.flush()
            finally:
                os._exit(code)
        try:
            ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        except BaseException:  # the test's time is up
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            raise
        said.seek(0)
        told.seek(0)
        return Ended(ended, said.read(), told.read())


def _main(arguments: Sequence[str]) -> int:
    import traceback

    from matcher.cli.main import main
    from matcher.store import changes

    changes._places.clear()  # what the tests have written themselves

    sys.argv = ["matcher", *arguments]
    try:
        main()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 1
    except BaseException:
        os.write(2, traceback.format_exc().encode("utf-8", "backslashreplace"))
        return 1
    return 0


def _streams(said: int, told: int, out: str, encoding: str, stdin: str) -> None:
    os.dup2(told, 2)
    os.dup2({"full": lambda: os.open("/dev/full", os.O_WRONLY), "gone": _gone}.get(out, lambda: said)(), 1)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    if out == "closed":
        os.close(1)
    if stdin == "closed":
        os.close(0)
    sys.stdin = None if stdin == "closed" else os.fdopen(0, encoding="utf-8", closefd=False)
    sys.stdout = None if out == "closed" else os.fdopen(1, "w", encoding=encoding, closefd=False)
    sys.stderr = os.fdopen(2, "w", encoding=encoding, errors="backslashreplace", closefd=False)


def _gone() -> int:
    signal.signal(signal.SIGPIPE, signal.SIG_IGN)  # as Python itself has it
    read, write = os.pipe()
    os.close(read)
    return write


def limit_memory(gigabytes: float) -> None:
    """No more memory than that, for the child."""
    size = int(gigabytes * 2**30)
    resource.setrlimit(resource.RLIMIT_AS, (size, size))

"""A command at a terminal of its own: what it shows, with what is typed when it asks."""

from __future__ import annotations

import os
import pty
import select
import sys
import time
from collections.abc import Sequence
from pathlib import Path

LEAVE, CLOSE = "\x03", "\x04"  # Ctrl-C; the end of what is typed
PATIENCE_S = 60.0
RUN = "from matcher.cli.main import main; main()"


def at_terminal(*arguments: object, answers: Sequence[str] = (), store: Path, kill: bool = False) -> tuple[int, str]:
    """The exit code and all that the terminal showed. answers: what is typed, one at each prompt; then Enter alone.
    kill: at the prompt after the last answer the process is killed without a word."""
    child, terminal = pty.fork()
    if child == 0:
        os.environ.update({"MATCHER_BIN": str(store), "COLUMNS": "80", "TERM": "dumb"})
        os.chdir(store.parent)
        os.execv(sys.executable, [sys.executable, "-c", RUN, *map(str, arguments)])
    shown, answered, waiting = b"", 0, list(answers)
    while select.select([terminal], [], [], PATIENCE_S)[0]:
        try:
            piece = os.read(terminal, 65536)
        except OSError:  # the other end is closed
            break
        if not piece:
            break
        shown += piece
        if shown[answered:].endswith(b"]: "):
            answered = len(shown)
            if kill and not waiting:
                os.kill(child, 9)
                break
            typed = waiting.pop(0) if waiting else ""
            if typed in (LEAVE, CLOSE):
                time.sleep(0.3)  # nobody is so quick that the program isn't listening yet
            os.write(terminal, typed.encode() if typed in (LEAVE, CLOSE) else f"{typed}\n".encode())
    else:
        os.kill(child, 9)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    os.close(terminal)
    return code, shown.decode("utf-8").replace("\r\n", "\n")

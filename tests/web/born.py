"""A server that is begun again and again, quickly: everything is read once, and each one is a fork of it.

Run with a store; for each line on stdin, a port, one is born, and its process id is said when it answers.
"""

from __future__ import annotations

import os
import sys


def main() -> None:
    # Read for the forks, which need not read it again, and so unused here (F401).
    import uvicorn  # noqa: F401

    import matcher.web.app  # noqa: F401  # likewise
    from matcher.actions.desk import Desk
    from matcher.web.run import serve

    store = sys.argv[1]
    Desk(store).catalogue  # noqa: B018  # kept once it is read, and so ready in each fork
    os.setpgrp()
    print("ready", flush=True)
    for line in sys.stdin:
        child = os.fork()
        if child == 0:
            serve(store, port=int(line), begun=lambda _: print(os.getpid(), flush=True))
            os._exit(0)


if __name__ == "__main__":
    import signal

    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # those that were killed leave nothing behind
    main()

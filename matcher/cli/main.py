"""The program's first and last word: whatever happens in between, she gets one sentence, never a traceback.

What is not needed for that is imported only when it is under guard, so that Ctrl-C is answered from the beginning.
"""

from __future__ import annotations

import gc
import signal
import sys
from types import FrameType

FAULT = 3
"""The exit code for a fault of the tool itself."""
_NEW_BEFORE_A_LOOK = 100_000
"""How many new objects are let be before garbage is looked for among them. What a run imports and reads stays to its
end: a look at each 700, as Python has it, takes 0.07 to 0.1 s and finds next to nothing. It changes how long a run
takes, never what it finds."""


class _Stopped(BaseException):
    """Ctrl-C. Not KeyboardInterrupt, which libraries catch for reasons of their own."""


def main() -> None:
    """Run the command line. Leaves with 0, 1, 2; or with 3 where the tool itself is at fault."""
    code = 2
    try:
        signal.signal(signal.SIGINT, _stop)
        gc.set_threshold(_NEW_BEFORE_A_LOOK)
        code = _run()
        signal.signal(signal.SIGINT, signal.SIG_IGN)
    except _Stopped:  # in the moments before and after, in which nothing is done
        pass
    gc.freeze()  # it all goes with the process; one more look for garbage on the way out would take up to 0.2 s
    sys.exit(code)


def _stop(number: int, frame: FrameType | None) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # once is enough: what was under way is now being taken back
    raise _Stopped


def _run() -> int:
    from matcher.cli.terminal import Unheard, note, prepare
    from matcher.reasons.reason import reason
    from matcher.store.changes import changed

    prepare()
    try:
        from matcher.cli.commands import run

        try:
            run(sys.argv[1:])
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 0
        sys.stdout.flush()
        return code
    except Unheard as fault:
        if fault.reason:
            said = "matcher: the answer can't be written ({why}); {changed}"
            note(reason(said, why=fault.reason, changed=changed()))
        return 2 if fault.reason else 0
    except _Stopped:
        note(reason("matcher: stopped; {changed}", changed=changed()))
        return 2
    except Exception as fault:
        from matcher.cli.net import catch

        note(reason("matcher: {said}", said=catch(fault, changed())))
        return FAULT

"""The last net: a fault of the tool itself, said as such, with details in a local file that hold nothing of hers."""

from __future__ import annotations

import platform
import sys
from pathlib import Path
from traceback import TracebackException

from matcher.reasons.reason import Words, reason


def catch(fault: Exception, changed: Words) -> Words:
    """The sentence for an error that nothing expected; the details are written to a file in her data folder."""
    said = reason(
        "this is a fault of the tool, not yours ({kind}); {changed}", kind=type(fault).__name__, changed=changed
    )
    try:
        file = _written(_details(fault))
    except Exception:  # nothing may escape the last net
        return reason("{said}. The details could not be kept", said=said)
    return reason("{said}. The details, without your data: {file}", said=said, file=str(file))


def _details(fault: Exception) -> str:
    """Where in the program it happened. What an error says may quote her cells, so that only its kind is kept."""
    from importlib.metadata import version

    told: TracebackException | None = TracebackException.from_exception(fault)
    lines = [f"matcher {version('matcher')}, Python {platform.python_version()}, {platform.system()}\n"]
    lines.append(f"options and command: {' '.join(_ours(sys.argv[1:]))}\n")
    while told is not None:
        lines += ["\n", *told.stack.format(), f"{getattr(told.exc_type, '__name__', 'an error')}\n"]
        told = told.__cause__ or told.__context__
    return "".join(lines)


def _ours(arguments: list[str]) -> list[str]:
    """The command and the names of the options: what she gave them is hers."""
    return [*arguments[:1], *(one.partition("=")[0] for one in arguments[1:] if one.startswith("--"))]


def _written(details: str) -> Path:
    from matcher.store.files import write_out
    from matcher.store.places import own_folder

    (file,) = write_out({own_folder() / "fault.txt": details.encode("utf-8", "backslashreplace")}, replace=True)
    return file

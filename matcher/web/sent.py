"""Files that a browser sent in: kept in a folder that only this account may open, under names of ours.

What she calls a file is shown, and says of what kind it is; no place is made of it. They go with the server, with her
wish, or when others need their room.
"""

from __future__ import annotations

import re
import secrets
import shutil
import tempfile
import threading
import weakref
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Field, reason
from matcher.reasons.visible import visible
from matcher.web.page import session_of

_MOST, _MOST_BYTES = 24, 400_000_000  # that are kept in all; both choices
_LONGEST = 120  # letters of a name that are shown


@dataclass
class Sent:
    """What was sent at once. kind: what it is for; place: the file, or the folder of several; called: her names by
    ours; turn: rises with every change of what she said about it; kept: what its view keeps between pages."""

    owner: str
    kind: str
    name: str
    folder: Path
    place: Path
    called: dict[str, str]
    size: int
    turn: int = 0
    kept: dict[str, Any] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """What she calls it."""
        return self.called[self.place.name]


class SentIn:
    """All that is kept; the longest unused goes first."""

    def __init__(self) -> None:
        self._all: OrderedDict[str, Sent] = OrderedDict()
        self._lock = threading.Lock()
        self._root = Path(tempfile.mkdtemp(prefix="matcher-sent-"))  # for its owner only
        self.close = weakref.finalize(self, shutil.rmtree, self._root, True)

    def keep(self, owner: str, kind: str, files: Sequence[UploadFile]) -> Sent:
        """Keep files of a form. owner: the session that sent them. Raises BadInput for none, and for like names."""
        if not files:
            raise BadInput(reason("no file was chosen"), Field("files"), reason("choose one"))
        names = [shown_name(one.filename or "") for one in files]
        twice = next((name for name in names if names.count(name) > 1), None)
        if twice is not None:
            raise BadInput(
                reason("two files are called {name}", name=twice), Field("files"), reason("send one of them")
            )
        name = secrets.token_urlsafe(12)
        folder = self._root / secrets.token_hex(12)
        inside = folder / "sheets"
        inside.mkdir(parents=True, mode=0o700)
        called, size = {inside.name: ", ".join(sorted(names))}, 0
        for number, (file, hers) in enumerate(zip(files, names, strict=True), 1):
            path = inside / f"sent{number}"
            with path.open("wb") as kept:
                shutil.copyfileobj(file.file, kept)
            called[path.name] = hers
            size += path.stat().st_size
        sent = Sent(owner, kind, name, folder, inside / "sent1" if len(files) == 1 else inside, called, size)
        with self._lock:
            self._all[name] = sent
            while len(self._all) > _MOST or sum(one.size for one in self._all.values()) > _MOST_BYTES:
                self._drop(next(iter(self._all)))
        return sent

    def find(self, owner: str, kind: str, name: str) -> Sent:
        """What that session sent for that under that name. Raises NotFound for what is not kept any more."""
        with self._lock:
            found = self._all.get(name)
            if found is None or (found.owner, found.kind) != (owner, kind):
                todo = reason("choose it once more; what was taken in stays, and so do your answers")
                raise NotFound(reason("that file is no longer kept here"), "", (), todo)
            self._all.move_to_end(name)
            return found

    def of(self, owner: str, kind: str = "") -> list[Sent]:
        """All that a session sent, of one kind or of any, the last first."""
        with self._lock:
            return [one for one in reversed(self._all.values()) if one.owner == owner and kind in ("", one.kind)]

    def drop(self, sent: Sent) -> None:
        """Keep it no longer."""
        with self._lock:
            self._drop(sent.name)

    def _drop(self, name: str) -> None:
        gone = self._all.pop(name, None)
        if gone is not None:
            shutil.rmtree(gone.folder, ignore_errors=True)


def sent_in(request: Request) -> SentIn:
    """All that is kept by this server."""
    found: SentIn = request.app.state.sent
    return found


def sent_of(request: Request, kind: str) -> Sent:
    """What the address names, of this browser and kind. Raises NotFound."""
    return sent_in(request).find(session_of(request).name, kind, request.path_params["name"])


def files_in(form: FormData, name: str) -> list[UploadFile]:
    """The files of a field; a browser sends an empty one where none was chosen."""
    return [one for one in form.getlist(name) if isinstance(one, UploadFile) and (one.filename or one.size)]


def shown_name(given: str) -> str:
    """A file's name to be shown: the last part of what a browser sent, of a length that can be read."""
    last = visible(re.split(r"[/\\]", given)[-1]).strip()
    if len(last) > _LONGEST:  # its ending says what it is
        last = f"{last[: _LONGEST - 12]}…{last[-11:]}"
    return last or "without a name"

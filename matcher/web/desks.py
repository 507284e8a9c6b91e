"""Her bin, read once and kept until its file changes."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.place import own_bin, store_of
from matcher.errors import NotFound
from matcher.reasons.reason import reason

if TYPE_CHECKING:  # what a desk brings along is loaded when one is laid
    from matcher.actions.desk import Desk
    from matcher.store.catalogue.catalogue import Catalogue

State = tuple[tuple[str, int, int], ...]


class Shelved:
    """The catalogue, with her own folder added to it where one is given; read once, when it is first needed."""

    def __init__(self, catalog: Path | str | None) -> None:
        self._catalog = catalog
        self._read: Catalogue | None = None
        self._lock = threading.Lock()

    def __call__(self) -> Catalogue:
        """Raises CatalogueError."""
        from matcher.actions.desk import Desk

        with self._lock:
            if self._read is None:
                self._read = Desk(None, self._catalog).catalogue
            return self._read


class Desks:
    """One bin for all who ask: a desk that they share, one at a time, laid out anew when the bin's file has changed.

    bin: a store, a folder, a workbook, "demo"; None is her own, which may be begun later. catalogue: read once.
    """

    def __init__(self, bin: Path | str | None, catalogue: Shelved) -> None:
        self.given, self._catalogue = bin, catalogue
        self._lock = threading.RLock()
        self._desk: Desk | None = None
        self._state: State = ()
        self._found: Path | None = None
        self.changing = threading.RLock()
        """Held while a change is compared with what she saw and made, so that of two the later is told."""

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue that its desks have."""
        return self._catalogue()

    @property
    def there(self) -> bool:
        """Whether there is a bin at all. Raises NotFound where MATCHER_BIN names what isn't there, or it is gone."""
        return self.place is not None

    @property
    def place(self) -> Path | None:
        """Where the bin lies; None while there is none. Raises NotFound where it was here and is gone: a new one begun
        in its place would hide the old one."""
        place = own_bin() if self.given is None else Path(self.given)
        if place is not None and str(self.given) != "demo" and not place.exists():
            place = None
        if place is None and self._found is not None:
            todo = reason("put it back there and load the page again; to begin a new one, start the page anew")
            raise NotFound(reason("your bin is no longer where it was"), str(self._found), (), todo)
        self._found = place
        return place

    def check(self) -> None:
        """Raises NotFound where the bin was here and is gone, so that nothing is begun in its place unasked."""
        _ = self.place

    @property
    def is_store(self) -> bool:
        """Whether it remembers what is done."""
        return self.there and store_of(self.given) is not None

    def state(self) -> State:
        """What the bin's files look like from outside; another one after every change."""
        place = self.place
        if place is None:
            return ()
        files = sorted(place.iterdir()) if place.is_dir() else [place, place.with_name(f"{place.name}-wal")]
        found = []
        for file in files:
            try:
                seen = file.stat()
            except OSError:
                continue
            found.append((file.name, seen.st_mtime_ns, seen.st_size))
        return tuple(found)

    def fresh(self) -> Desk:
        """A desk of one's own, for work that takes long."""
        from matcher.actions.desk import Desk

        return Desk(self.given, self.catalogue)

    @contextmanager
    def shared(self) -> Iterator[Desk]:
        """The desk that is kept; nobody else has it meanwhile."""
        with self._lock:
            state = self.state()
            if self._desk is None or state != self._state:
                self._desk, self._state = self.fresh(), state
            yield self._desk

"""Her bin, read once and kept until its file changes."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from matcher.actions.desk import Desk
from matcher.actions.place import own_bin, store_of
from matcher.store.catalogue.catalogue import Catalogue

State = tuple[tuple[str, int, int], ...]


class Desks:
    """One bin for all who ask: a desk that they share, one at a time, laid out anew when the bin's file has changed.

    bin: a store, a folder, a workbook, "demo"; None is her own, which may be begun later. catalogue: read once.
    """

    def __init__(self, bin: Path | str | None, catalogue: Catalogue) -> None:
        self.given, self.catalogue = bin, catalogue
        self._lock = threading.RLock()
        self._desk: Desk | None = None
        self._state: State = ()
        self.changing = threading.RLock()
        """Held while a change is compared with what she saw and made, so that of two the later is told."""

    @property
    def there(self) -> bool:
        """Whether there is a bin at all. Raises NotFound where MATCHER_BIN names what is not there."""
        return self.place is not None

    @property
    def place(self) -> Path | None:
        """Where the bin lies; None while there is none."""
        if self.given is None:
            return own_bin()
        place = Path(self.given)
        return place if str(self.given) == "demo" or place.exists() else None

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
        return Desk(self.given, self.catalogue)

    @contextmanager
    def shared(self) -> Iterator[Desk]:
        """The desk that is kept; nobody else has it meanwhile."""
        with self._lock:
            state = self.state()
            if self._desk is None or state != self._state:
                self._desk, self._state = self.fresh(), state
            yield self._desk

"""What this run has changed on disk, so that a face can say it when something cuts the run short."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from matcher.reasons.reason import Words, listed, reason

_places: dict[str, bool] = {}  # whether the change is surely made, by place


@contextmanager
def changing(*places: Path) -> Iterator[None]:
    """The moment in which a change that is made whole or not at all is put in its place."""
    before = dict(_places)
    _places.update({str(one): _places.get(str(one), False) for one in places})
    try:
        yield
    except Exception:
        _places.clear()
        _places.update(before)
        raise
    _places.update(dict.fromkeys(map(str, places), True))


def changed() -> Words:
    """In words, what has been changed by now."""
    done, open_ = ([place for place, sure in _places.items() if sure is made] for made in (True, False))
    if open_:
        return reason("{files} may be changed already, and is whole either way", files=listed([*done, *open_], "and"))
    return reason("changed and whole: {files}", files=listed(done, "and")) if done else reason("nothing was changed")

"""Where a file that she asked for is to go: refused before anything is read or written."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from matcher.errors import BadInput
from matcher.reasons.reason import Field, listed, reason
from matcher.store.files import may_write
from matcher.store.places import expanded


def target(path: Path | str, endings: Sequence[str], field: Field, source: Path | str | None = None) -> Path:
    """The place, if its name ends so, in a folder that is there; no link, and never the `source`. Raises BadInput."""
    place = expanded(path)
    if place.suffix.casefold() not in endings:
        ends = listed(endings, "or")
        raise BadInput(
            reason("{file} doesn't end in {endings}", file=place.name, endings=ends),
            field,
            reason("let its name end in {endings}", endings=ends),
        )
    if place.is_dir():
        raise BadInput(reason("{file} is a folder", file=str(place)), field, reason("name a file in it"))
    if not place.parent.is_dir():
        raise BadInput(
            reason("there is no folder {folder}", folder=str(place.parent)),
            field,
            reason("make it first, or name another"),
        )
    if source is not None and place.exists() and Path(source).exists() and place.samefile(source):
        raise BadInput(
            reason("{file} is what is read", file=str(place)), field, reason("give another name, so that it is kept")
        )
    may_write(place)
    return place

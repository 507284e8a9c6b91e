"""Rows that cannot be taken in, written where she can mend them: in her own columns, with one that says why."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from itertools import count
from pathlib import Path

from matcher.errors import BadInput, BadSheets
from matcher.reasons.reason import Field, reason
from matcher.reasons.style import Style
from matcher.store.intake import Comparison, refused_sheets
from matcher.store.places import expanded
from matcher.store.sheets.write import write_sheets

_REFUSED = re.compile(r" refused(?: \d+)?$")  # of a file that comes back mended


class Refusing:
    """What becomes of refused rows. place: where they go, None for nowhere; good_rows: whether the others are taken in
    all the same; own: a place beside the sheets is found for them, where nothing else stands."""

    def __init__(self, place: Path | str | None, good_rows: bool, style: Style, own: Path | None = None) -> None:
        if good_rows and place is None and own is None:
            todo = reason("name a place for them with {field}", field=Field("refused"))
            raise BadInput(reason("the refused rows would be lost"), Field("good rows"), todo)
        self.good_rows, self.style, self._own = good_rows, style, own
        self._named = expanded(place) if place is not None else None

    def stop_at_faults(self, found: Comparison) -> tuple[Path, ...]:
        """Write them; go on only where there are none or she wants the good ones. Raises BadSheets."""
        written = self.write(found)
        if found.faults and not self.good_rows:
            raise BadSheets(found.faults, found.file)
        return written

    def write(self, found: Comparison) -> tuple[Path, ...]:
        """Write them; over what is there only where she named the place, and else once, however often it is tried."""
        if not found.refused:
            return ()
        sheets = refused_sheets(found, self.style)
        for place in (self._named,) if self._named else _beside(self._own) if self._own else ():
            if place.resolve() == Path(found.file).resolve():
                what = reason("the refused rows would overwrite the file itself")
                raise BadInput(what, Field("refused"), reason("name another place"))
            if self._named or not place.exists():
                return write_sheets(place, sheets, replace=bool(self._named))
            with suppress(BadInput):  # other rows stand there
                return write_sheets(place, sheets)
        return ()


def _beside(source: Path) -> Iterator[Path]:
    """Places beside the sheets, one after the other without end."""
    kind = source.suffix.casefold() if source.is_file() else ""
    stem, ending = (source.stem, kind if kind == ".ods" else ".xlsx") if kind else (source.name, "")
    stem = _REFUSED.sub("", stem)
    tries = (source.with_name(f"{stem} refused{f' {number}' if number > 1 else ''}{ending}") for number in count(1))
    return (place for place in tries if place != source)

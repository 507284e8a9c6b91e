"""Rows that cannot be taken in, written where she can mend them: in her own columns, with one that says why."""

from __future__ import annotations

import re
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
    all the same; own: a place beside the sheets is found for them, where nothing stands yet."""

    def __init__(self, place: Path | str | None, good_rows: bool, style: Style, own: Path | None = None) -> None:
        if good_rows and place is None and own is None:
            todo = reason("name a place for them with {field}", field=Field("refused"))
            raise BadInput(reason("the refused rows would be lost"), Field("good rows"), todo)
        self.good_rows, self.style, self._named = good_rows, style, place is not None
        self._place = expanded(place) if place is not None else _beside(own) if own is not None else None

    def stop_at_faults(self, found: Comparison) -> tuple[Path, ...]:
        """Write them; go on only where there are none or she wants the good ones. Raises BadSheets."""
        written = self.write(found)
        if found.faults and not self.good_rows:
            raise BadSheets(found.faults, found.file)
        return written

    def write(self, found: Comparison) -> tuple[Path, ...]:
        """Write them, in place of what is there only where she named the place; the files."""
        if self._place is None or not found.refused:
            return ()
        if self._place.resolve() == Path(found.file).resolve():
            what = reason("the refused rows would overwrite the file itself")
            raise BadInput(what, Field("refused"), reason("name another place"))
        return write_sheets(self._place, refused_sheets(found, self.style), replace=self._named)


def _beside(source: Path) -> Path:
    kind = source.suffix.casefold() if source.is_file() else ""
    stem, ending = (source.stem, kind if kind == ".ods" else ".xlsx") if kind else (source.name, "")
    stem = _REFUSED.sub("", stem)
    tries = (source.with_name(f"{stem} refused{f' {number}' if number > 1 else ''}{ending}") for number in count(1))
    return next(place for place in tries if not place.exists())

"""What lengths in a list tell where nothing else does: with grams how thick a yarn is, alone how much is left."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.materials.reading.bands import whole_band
from matcher.reasons.reason import Column, Words, reason
from matcher.store.sheets.as_meant import LONGEST
from matcher.store.sheets.columns import LOTS
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import AS_NAMED, OTHERWISE, Fit, heading_readers
from matcher.store.sheets.placing import OF_ROW, Placed

_LENGTHS = frozenset(("#length", "length", "total", "left"))


def thickness_by_row(
    found: Found, placed: Mapping[str, tuple[Placed, ...]], notes: list[Words]
) -> Mapping[str, tuple[Placed, ...]]:
    """The columns, the length of what is left as its tex where no column tells that; a remark where a heading such as
    Metres may mean the ball's."""
    if found.plain or found.sheet != LOTS.sheet:
        return placed
    if "grams" not in placed and not placed.keys() & {"ball_grams", "tex"}:
        return _length_left(found, placed, notes)
    if placed.keys() & {"class", "tex", "ball_grams"}:
        return placed
    grams = placed.get("grams", ())
    weights = [one for one in grams if one.unit not in ("length", "balls")]
    lengths = [one for one in grams if one.unit == "length"]
    whole = [one for one in placed.get("ball_metres", ()) if not one.fit.span and _is_length(found, one)]
    if not weights or len(lengths) + len(whole) != 1:
        return placed
    one = (lengths + whole)[0]
    unit = one.fit.span if one in lengths else one.unit
    tex = Placed("tex", one.position, Fit("tex", OTHERWISE, span=OF_ROW), unit or "m")
    if one in whole:
        said = '{sheet}: "{heading}" is taken for the length of the grams beside it, so for how thick a yarn is; {mend}'
        mend = reason("if it is that of a full ball, add {grams}", grams=Column("ball_grams"))
        notes.append(reason(said, sheet=found.grid.where, heading=found.headings[one.position], mend=mend))
    kept = {column: tuple(other for other in several if other is not one) for column, several in placed.items()}
    return {column: several for column, several in kept.items() if several} | {"tex": (tex,)}


def _length_left(
    found: Found, placed: Mapping[str, tuple[Placed, ...]], notes: list[Words]
) -> Mapping[str, tuple[Placed, ...]]:
    """The only length of a list that tells no other amount is what is left of each lot; a remark says so."""
    lengths = placed.get("ball_metres", ())
    if len(lengths) != 1 or lengths[0].fit.span or not _is_length(found, lengths[0]):
        return placed
    (one,) = lengths
    unit = one.unit or one.fit.unit or "m"
    said = '{sheet}: "{heading}" is taken for how much is left, since nothing else says it'
    notes.append(reason(said, sheet=found.grid.where, heading=found.headings[one.position]))
    left = Placed("grams", one.position, Fit("grams", OTHERWISE, unit="length", span=unit), "length", one.sure)
    return {column: several for column, several in placed.items() if column != "ball_metres"} | {"grams": (left,)}


def _is_length(found: Found, one: Placed) -> bool:
    """Whether a column holds lengths, and no whole ball bands such as "220 yds per 100 g"."""
    cells = (cells[one.position] for _, cells in found.rows if one.position < len(cells))
    if any("ball_grams" in whole_band({"ball_metres": cell[:LONGEST]}) for cell in cells if cell.strip()):
        return False
    return one.fit.fits != AS_NAMED and heading_readers()[found.sheet].words(found.headings[one.position]) <= _LENGTHS

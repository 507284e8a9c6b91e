"""Which column each heading of a table is, and what bare numbers below it count in; told by the cells where the
heading alone leaves it open."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from matcher.errors import Fault
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import NUMBER, Unreadable, parse_number
from matcher.reasons.reason import Words, reason
from matcher.store.catalogue.headings import SheetGuesses, load_headings
from matcher.store.sheets.as_meant import LONGEST, OVER, UNITED
from matcher.store.sheets.bought import without_bought
from matcher.store.sheets.columns import LISTED, LOTS, WHY, Columns
from matcher.store.sheets.comes_off import ask_what_is_left, weight_of_each, without_balls_bought
from matcher.store.sheets.fates import tells_fate
from matcher.store.sheets.find import Found
from matcher.store.sheets.headings import AS_NAMED, Fit, Meant, fold_heading, heading_readers, usual_unit
from matcher.store.sheets.readers import label

_LOOKED_AT = 200  # cells of a column that are looked at where its heading leaves something open; a choice
_IMPERIAL = ("yd", "oz", "in", "ft", "lb")
_BARE = re.compile(NUMBER)
_SIZE = re.compile(
    r"(?:size )?(?:\d?x*[sml]|(?:s|m|l)/(?:m|l|xl)|(?:adult|child|women|men|kid|age|baby)\b.*"
    r"|\d+ ?(?:years?|yrs?|months?))"
)
_AMOUNT = re.compile(
    r"%|^\W*\d+(?:[.,/]\d+)?\W*(?:g|oz|balls?|skeins?)\b|^(?:about )?(?:a )?(?:half|third|quarter|most|all|none)\b"
)
_NOW = re.compile(r"\b(?:now|current|currently)\b", re.IGNORECASE)
_ROWS_TOO = re.compile(r"(?<=\d)\s*[x×/]\s*\d+(?:[.,]\d+)?$")  # behind the stitches of a whole gauge


@dataclass(frozen=True)
class Placed:
    """One column of the table: where it stands, and how its cells are read. unit: of bare numbers, "" as usual; sure:
    False where the cells or nothing told it."""

    column: str
    position: int
    fit: Fit
    unit: str = ""
    sure: bool = True

    @property
    def as_it_stands(self) -> bool:
        """Whether cells are read to the letter."""
        return not (self.unit or self.fit.yes or self.fit.span)


def place(
    found: Found, columns: Columns, told: Mapping[str, Meant], faults: list[Fault], notes: list[Words]
) -> dict[str, tuple[Placed, ...]]:
    """The columns by name, each with the headings that tell it: what the first leaves empty the next may fill in.

    told: what she said herself, by folded heading.
    """
    below = _Below(found)
    open_: list[tuple[int, list[Fit]]] = []
    fates = columns is LOTS and not found.plain
    for position, heading in enumerate(found.headings):
        known = _fits(heading, found, columns, told)
        if fates and fold_heading(heading) not in told and tells_fate(heading, below(position)):
            continue  # what became of a lot is looked at row by row
        if known and (chosen := _chosen(known, position, below, found.plain)):
            if _NOW.search(heading):  # "Weight now" is what is left, whatever another column of weights may be
                chosen = [fit for fit in chosen if fit.column == "grams"] or chosen
            open_.append((position, chosen))
    open_ = without_bought(found, open_, told, faults, notes)
    open_ = without_balls_bought(found, open_, told, notes)
    open_ = weight_of_each(found, open_, told, notes)
    ask_what_is_left(found, open_, told, faults)
    # What is one column only goes before what may be several.
    open_.sort(key=lambda one: (-one[1][0].fits, len({fit.column for fit in one[1]}), one[0]))
    placed: dict[str, list[Placed]] = {}
    for position, fits in open_:
        free = next((fit for fit in fits if fit.column not in placed), None)
        if free is not None:
            placed[free.column] = [Placed(free.column, position, free)]
            continue
        fit, first = fits[0], placed[fits[0].column][0]
        apart = fit.unit != first.fit.unit or (
            columns[fit.column].kind in LISTED
            and fold(found.headings[position]) != fold(found.headings[first.position])
        )
        if apart and not found.plain:
            placed[fit.column].append(Placed(fit.column, position, fit))
            continue
        heading, other = found.headings[position], found.headings[first.position]
        if fit.fits == first.fit.fits == AS_NAMED or fold(heading) == fold(other):
            twice = reason("{column} twice", column=heading)
            once = reason('the column "{column}" once', column=fit.column)
            mend = reason("delete one of them; if these are two lists side by side, put one below the other")
            faults.append(Fault(found.grid.where, found.header_row, fit.column, twice, once, mend))
    if "colour" not in placed and _says_colour(placed.get("colour_name", ()), found, told):
        # A name says what colour it is where no other column does.
        names = placed.pop("colour_name")
        placed["colour"] = [replace(one, column="colour", fit=replace(one.fit, column="colour")) for one in names]
    imperial = any(one.fit.unit in _IMPERIAL for many in placed.values() for one in many)
    guessed = _Guesser(below, imperial or found.grid.country == "US", load_headings().guesses, columns)
    guessed.classed = "class" in placed
    for several in placed.values():
        several.sort(key=lambda one: one.fit.unit in ("balls", "length"))
    return {column: tuple(map(guessed.unit, several)) for column, several in placed.items()}


def _says_colour(names: Sequence[Placed], found: Found, told: Mapping[str, Meant]) -> bool:
    """Whether these are headings of a colour's name: not of a maker's number, nor what she said holds the name only."""
    headings = [found.headings[one.position] for one in names]
    fits = [heading_readers()[found.sheet].fits(heading) for heading in headings if fold_heading(heading) not in told]
    return any(fit.column == "colour" for several in fits for fit in several)


def _fits(heading: str, found: Found, columns: Columns, told: Mapping[str, Meant]) -> tuple[Fit, ...]:
    if not heading or heading.casefold() == WHY:
        return ()
    fits = heading_readers()[found.sheet].fits(heading)
    hers = told.get(fold_heading(heading))
    if hers is not None:
        return _as_told(hers, fits) if hers.column in columns else ()
    return fits[:1] if found.plain else fits


def _as_told(hers: Meant, fits: Sequence[Fit]) -> tuple[Fit]:
    """What she said, with the unit that the heading says beside it."""
    fit = next((one for one in fits if one.column == hers.column), Fit(hers.column, AS_NAMED))
    span = hers.unit.removeprefix(OVER) if hers.unit.startswith(OVER) else fit.span
    unit = fit.unit if hers.unit.startswith(OVER) else hers.unit or fit.unit
    return (replace(fit, fits=AS_NAMED, unit=unit, when="", span=span),)


def _chosen(fits: Sequence[Fit], position: int, below: _Below, plain: bool) -> list[Fit]:
    """The fits that the cells allow; those that they speak for come first."""
    cells = below(position)
    fits = [fit for fit in fits if fit.when not in _ONLY or plain or _WHEN[fit.when](cells)]
    if len(fits) <= 1 or plain:
        return [] if not plain and fits and fits[0].when == "classes" and _most(cells, _SIZE.fullmatch) else fits
    spoken = [fit for fit in fits if fit.when and _WHEN[fit.when](cells)]
    return spoken + [fit for fit in fits if not fit.when] or [fits[-1]]


class _Below:
    """Cells below a heading, as far as they are looked at."""

    def __init__(self, found: Found) -> None:
        self.rows = [cells for _, cells in found.rows[:_LOOKED_AT]]

    def __call__(self, position: int) -> list[str]:
        cells = (cells[position].strip().casefold() for cells in self.rows if position < len(cells))
        return [cell[:LONGEST] for cell in cells if cell]


def _bare(cells: Sequence[str]) -> list[float]:
    numbers = []
    for cell in cells:
        if _BARE.fullmatch(cell):
            try:
                numbers.append(parse_number(cell))
            except Unreadable:
                continue
    return numbers


def _most(cells: Sequence[str], is_so: Callable[[str], object]) -> bool:
    return bool(cells) and 2 * sum(1 for cell in cells if is_so(cell)) > len(cells)


def _worded(cell: str) -> bool:
    """Whether a cell holds words, and no figure with its unit."""
    return bool(re.search(r"[^\W\d_]", cell)) and not UNITED.search(cell)


def _classes(cells: Sequence[str]) -> bool:
    """Words such as DK or 4 ply, or the numbers of the classes; no sizes of clothes."""
    if _most(cells, _SIZE.fullmatch):
        return False
    if _most(cells, _worded):
        return True
    return bool(cells) and all(cell in "01234567" for cell in cells)


def _balls(cells: Sequence[str]) -> bool:
    """Small numbers, halves, and words of balls."""
    bare = _bare(cells)
    if any(number > load_headings().guesses.balls_up_to for number in bare):
        return False
    return bool(cells) and not _most(cells, UNITED.search)


def _parts(cells: Sequence[str]) -> bool:
    """Small numbers that are quarters of balls and no grams: "0.5" and "2", or "1.5"."""
    bare = _bare(cells)
    if not bare or not _balls(cells):
        return False
    return min(bare) < 1.0 or (all((4 * one).is_integer() for one in bare) and not all(map(float.is_integer, bare)))


def _repeated(cells: Sequence[str]) -> bool:
    return any(number > 1 for number in Counter(map(fold, cells)).values())


def _answers(cell: str) -> bool:
    """Whether a cell says if there is a ball band."""
    try:
        return bool(label(cell))
    except Unreadable:
        return False


_WHEN: dict[str, Callable[[Sequence[str]], bool]] = {
    "classes": _classes,
    "weighed": lambda cells: _most(cells, UNITED.search),
    "masses": lambda cells: not _classes(cells),
    "balls": _balls,
    "parts": _parts,
    "worded": lambda cells: not _bare(cells),
    "named": lambda cells: _most(
        cells, lambda cell: not (_answers(cell) or UNITED.search(cell) or _BARE.fullmatch(cell))
    ),
    "owner": lambda cells: not _bare(cells) and not _most(cells, _AMOUNT.search),
    "unique": lambda cells: not _repeated(cells),
    "repeated": _repeated,
}
OF_ROW = "grams of the row"
"""What a length is that of, in place of so many grams, where it is that of the lot itself."""
_ONLY = ("worded", "owner")  # without which a heading is none
_TOLD_BY_CELLS = ("masses", "balls", "parts", "repeated")


class _Guesser:
    """What bare numbers count in, where the heading does not say so."""

    def __init__(self, below: _Below, imperial: bool, guesses: SheetGuesses, columns: Columns) -> None:
        self.below, self.imperial, self.guesses, self.columns = below, imperial, guesses, columns
        self.classed = False

    def unit(self, placed: Placed) -> Placed:
        """The same with its unit."""
        fit = placed.fit
        sure = fit.when not in _TOLD_BY_CELLS
        if fit.when == "classes":  # a bare 4 among words such as DK is a class as well
            sure = _most(self.below(placed.position), _worded)
        elif fit.when == "masses" and (fit.unit or self.weighed(placed.position)):  # "Weight (g)" is no class
            sure = True
        elif fit.when == "balls" and not _bare(self.below(placed.position)):  # each cell says what it counts in
            fit, sure = replace(fit, unit=""), True
        placed = replace(placed, unit=fit.unit, sure=sure)
        kind = self.columns[placed.column].kind
        if kind in ("stitches", "rows"):
            return self._gauge(placed, fit.span or (f"1 {fit.unit}" if fit.unit else ""))
        if fit.unit == usual_unit(self.columns, placed.column):
            placed = replace(placed, unit="")
        if fit.unit or fit.fits == AS_NAMED:
            return placed
        bare = _bare(self.below(placed.position))
        if not bare:
            return placed
        if placed.column == "ball_grams" and max(bare) <= self.guesses.ball_oz_up_to:
            return replace(placed, unit="oz", sure=False)
        if kind == "amount" and max(bare) <= self.guesses.balls_up_to:  # or balls
            return replace(placed, unit="g", sure=False)
        if kind == "ball metres":
            return replace(placed, unit="yd" if self.imperial else "", sure=False)
        return placed

    def weighed(self, position: int) -> bool:
        """Whether bare numbers under Weight can be grams only: another column has the class, and they are no ounces."""
        return self.classed and max(_bare(self.below(position)), default=0.0) > self.guesses.ball_oz_up_to

    def _gauge(self, placed: Placed, span: str) -> Placed:
        if span:
            return replace(placed, unit="" if span == "10 cm" else f"in {span}")
        cells = [_ROWS_TOO.sub("", cell) for cell in self.below(placed.position)]
        bare = [] if placed.fit.fits == AS_NAMED else _bare(cells)
        if bare and max(bare) <= self.guesses.gauge_in_up_to:
            return replace(placed, unit="in 1 in", sure=False)
        return placed

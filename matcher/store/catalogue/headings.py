"""What people head the columns of their sheets with, and what they call the sheets: read by themselves, once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.rows import Reader, Row, read_csv, read_values, settings

_WORDS, _TITLES, _GUESSES = (f"standards/{name}.csv" for name in ("headings", "sheet_titles", "sheet_guesses"))


@dataclass(frozen=True)
class Phrase:
    """What a column may be headed with. unit: what bare numbers count in; when: what the cells below must look like;
    yes, no: what these words mean there."""

    sheet: str
    column: str
    words: tuple[str, ...]
    unit: str = ""
    when: str = ""
    yes: str = ""
    no: str = ""


@dataclass(frozen=True)
class SheetGuesses:
    """From which numbers a unit is guessed where nothing says it; choices."""

    ball_oz_up_to: float
    balls_up_to: float
    gauge_in_up_to: float


@dataclass(frozen=True)
class HeadingWords:
    """phrases: of all sheets; same: a word and what it is taken for, "" where it changes nothing, or itself where it is
    no slip of another; units: words that hold a unit; titles: what sheets are called, by sheet."""

    phrases: tuple[Phrase, ...]
    same: Mapping[str, str]
    units: Mapping[str, str]
    titles: Mapping[str, frozenset[str]]
    guesses: SheetGuesses


@lru_cache(maxsize=1)
def load_headings() -> HeadingWords:
    """Those of the catalogue that comes with the program; their sources are looked at with the whole catalogue."""
    folder = catalogue_folder()
    return _made(
        read_csv(folder / _WORDS, _WORDS, ("sheet", "column", "words")),
        read_csv(folder / _TITLES, _TITLES, ("sheet", "words")),
        settings(SheetGuesses, _GUESSES, read_values(folder, _GUESSES)),
    )


def headings(reader: Reader) -> HeadingWords:
    """The same of a catalogue, with its sources looked at."""
    needed = ("sheet", "column", "words", "unit", "when", "yes", "no", "source", "how_obtained")
    guesses = settings(SheetGuesses, _GUESSES, reader.values(_GUESSES))
    titles = reader.table(_TITLES, ("sheet", "words", "source", "how_obtained"))
    return _made(reader.table(_WORDS, needed), titles, guesses)


def _made(words: list[Row], titles: list[Row], guesses: SheetGuesses) -> HeadingWords:
    phrases: list[Phrase] = []
    same: dict[str, str] = {}
    units: dict[str, str] = {}
    for row in words:
        cells, said = row.cells, tuple(row.cells["words"].split("|"))
        if cells["sheet"] == "word":
            same |= {word: word if cells["column"] == "=" else cells["column"] for word in said}
        elif cells["sheet"] == "unit":
            units |= dict.fromkeys(said, cells["column"])
        else:
            more = (cells[name] for name in ("unit", "when", "yes", "no"))
            phrases.append(Phrase(cells["sheet"], cells["column"], said, *more))
    called = {row.cells["sheet"]: frozenset(row.cells["words"].split("|")) for row in titles}
    return HeadingWords(tuple(phrases), same, units, called, guesses)

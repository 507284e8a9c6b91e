"""Words that leave a bin, without the people who are known in it: what would name one of them is left out whole."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import TYPE_CHECKING

from matcher.actions.desk import Desk
from matcher.materials.reading.names import LONGEST_NAME
from matcher.store.database.store import open_store
from matcher.store.recipes import NoRecipe, parse_recipe

if TYPE_CHECKING:
    from matcher.store.sheets.headings import HeadingReader

# Words of a name that are no name: "my sister", "the friend of a friend"; and those of sizes, which wearers may be.
_NO_NAME = frozenset(
    (
        *(
            "an",
            "the",
            "my",
            "our",
            "your",
            "his",
            "her",
            "their",
            "of",
            "for",
            "and",
            "to",
            "from",
            "in",
            "with",
            "me",
        ),
        *("us", "small", "medium", "large", "adult", "child", "baby", "toddler", "years", "year", "months", "month"),
        *("size", "none", "nobody", "someone", "gone", "given", "worn"),
    )
)
_OWNER = re.compile(r"([\w.-]+)['\u2019]s?\b", re.UNICODE)
_FOUND_INSIDE = 4  # letters of a name that is found inside another word, too; a choice


class Unnamed:
    """Takes out words that name somebody. names : everybody whom a bin knows."""

    def __init__(self, names: Iterable[str]) -> None:
        words = {word for name in names for word in _words(name)}
        self._alone = words - _NO_NAME
        self._inside = tuple(one for one in self._alone if len(one) >= _FOUND_INSIDE or not one.isascii())

    def told(self, text: str) -> str:
        """The text on one line, "" where it names somebody."""
        folded = _folded(text)
        words = set(_words(text))
        bare = {word.removesuffix("s") for word in words}
        if (words | bare) & self._alone or any(one in folded for one in self._inside):
            return ""
        return " ".join(text.split())[:LONGEST_NAME].rstrip()


def _folded(text: str) -> str:
    """Without case and accents."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def _words(text: str) -> list[str]:
    return [word for word in re.split(r"[\W\d_]+", _folded(text)) if len(word) > 1]


def people_in(desk: Desk) -> Iterator[str]:
    """Names of everybody whom a bin knows: those written down, wearers, whom pieces are for, whose things are there."""
    bin = desk.bin
    yield from bin.people
    yield from (one.wearer for one in bin.garments.values())
    for lot in bin.lots:
        texts = (lot.name, lot.note, lot.place, lot.colour_name, lot.garment)
        yield from _owners(_but(lot.yarn.name, text) for text in texts if text)
    for one in bin.garments.values():
        yield from _owners((one.name, one.note))
    if desk.store is not None:
        with open_store(desk.store) as store:
            yield from (name for row in store.rows("works") for name in _people_of(row["recipe"]))
            rows = store.select("SELECT heading, cell FROM written WHERE of_column = ''")
            yield from _of_others([(row["heading"], row["cell"]) for row in rows])
    elif desk.place is not None:
        for table in desk.reading.tables.values():
            yield from _of_others(item for row in table.rows for item in row.left.items())


def _owners(texts: Iterable[str]) -> Iterator[str]:
    """Whose something is: "Ann's jumper"."""
    return (found[1] for text in texts if text for found in _OWNER.finditer(text))


def _but(yarn: str, text: str) -> str:
    """A text without the name of a yarn in it: "Miller's DK" is a name in trade far more often than somebody's."""
    return re.sub(re.escape(yarn), " ", text, flags=re.IGNORECASE) if yarn else text


def _people_of(recipe: str) -> tuple[str, ...]:
    try:
        return parse_recipe(recipe).people if recipe else ()
    except NoRecipe:
        return ()


def _of_others(cells: Iterable[tuple[str, str]]) -> Iterator[str]:
    """Cells below headings that ask for somebody, such as "for", in a sheet that has no such column."""
    return (cell for heading, cell in cells if _asks_for_somebody(heading))


@lru_cache(maxsize=1024)
def _asks_for_somebody(heading: str) -> bool:
    return any(fit.column == "wearer" for fit in _reader().fits(heading, nearly=False))


@lru_cache(maxsize=1)
def _reader() -> HeadingReader:
    from matcher.store.catalogue.headings import load_headings
    from matcher.store.sheets.columns import GARMENTS
    from matcher.store.sheets.headings import HeadingReader

    return HeadingReader(GARMENTS, load_headings())

"""Words for amounts and the range that each stands for; read by itself, weighing loads no more of the catalogue."""

from __future__ import annotations

from functools import lru_cache

from matcher.errors import CatalogueError
from matcher.materials.reading.amounts import MEANINGS, OF, AmountWord, AmountWords
from matcher.reasons.reason import listed, reason
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.catalogue.rows import Reader, Row, read_csv

_FILE = "standards/amounts.csv"
_NEEDED = ("meaning", "words", "of", "low", "high", "guess", "source", "how_obtained")


@lru_cache(maxsize=1)
def load_amounts() -> AmountWords:
    """The words of the catalogue that comes with the program; raises CatalogueError as `load_catalogue` does.

    Their sources are looked at when the whole catalogue is loaded.
    """
    return _words(read_csv(catalogue_folder() / _FILE, _FILE, _NEEDED))


def amounts(reader: Reader) -> AmountWords:
    """The words of a catalogue."""
    return _words(reader.table(_FILE, _NEEDED))


def _words(rows: list[Row]) -> AmountWords:
    found: dict[str, AmountWord] = {}
    spelled: set[str] = set()
    for row in rows:
        meaning = row.one_of("meaning", MEANINGS)
        words = tuple(word for word in row.cells["words"].split("|") if word)
        if meaning in found or spelled & set(words):
            raise CatalogueError(_FILE, row.key, reason("this meaning, or one of its words, stands twice"))
        low, high = row.number("low", 0.0), row.number("high", 0.0)
        if low > high:
            raise CatalogueError(_FILE, f"{row.key}, low", reason("is more than {high}", high="high"))
        found[meaning] = AmountWord(meaning, words, row.one_of("of", OF), low, high, row.yes("guess"))
        spelled.update(words)
    missing = [meaning for meaning in MEANINGS if meaning not in found]
    if missing:
        raise CatalogueError(_FILE, "meaning", reason("missing: {words}", words=listed(missing)))
    return AmountWords(found)

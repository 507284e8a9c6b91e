"""Reading catalogue files: text, CSV rows and key-value tables, each fault named by file, key and reason."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Mapping
from dataclasses import Field, dataclass, field, fields
from pathlib import Path
from typing import Any, ClassVar, Protocol, TypeVar

from matcher.errors import CatalogueError
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, listed, reason
from matcher.store.files import read_file

HOW_OBTAINED = ("opened", "abstract", "common practice", "derived", "memory", "choice")
OWN = "own"
_LARGEST_FILE = 2_000_000
_MOST_DOTS = 200  # a choice; each dot of a key can be a table in a table, and reading thousands takes minutes


class _Dataclass(Protocol):
    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


T = TypeVar("T", bound=_Dataclass)


@dataclass(frozen=True)
class Source:
    """Where figures come from: an entry of sources.toml."""

    key: str
    title: str
    note: str = ""
    where: str = ""


@dataclass(frozen=True)
class Figure:
    """One figure or entry of the catalogue, for the report on where figures come from."""

    file: str
    key: str
    source: str
    how_obtained: str


@dataclass
class Reader:
    """Reads files below one folder and remembers every figure's source while doing so."""

    folder: Path
    sources: Mapping[str, Source]
    own: bool = False
    figures: list[Figure] = field(default_factory=list)

    def table(self, file: str, needed: tuple[str, ...]) -> list[Row]:
        """Rows of a CSV file; every row's `source` and `how_obtained` are checked."""
        rows = read_csv(self.folder / file, file, needed)
        for row in rows:
            self.cite(file, row.key, row.cells["source"], row.cells["how_obtained"])
        return rows

    def values(self, file: str) -> dict[str, float]:
        """A table of `key,value` as numbers."""
        return _numbers(self.table(file, ("key", "value", "unit", "source", "how_obtained")))

    def cite(self, file: str, key: str, source: str, how_obtained: str) -> None:
        """Check a source key and remember the figure."""
        if not source:
            raise CatalogueError(file, key, reason("no source is given; name a key of sources.toml"))
        if source not in self.sources and not (self.own and source == OWN):
            raise CatalogueError(file, key, reason('source "{source}" isn\'t a key of sources.toml', source=source))
        if how_obtained not in HOW_OBTAINED:
            raise CatalogueError(
                file,
                key,
                reason(
                    'how_obtained is "{how_obtained}"; expected one of {known}',
                    how_obtained=how_obtained,
                    known=listed(HOW_OBTAINED),
                ),
            )
        self.figures.append(Figure(file, key, source, how_obtained))


@dataclass(frozen=True)
class Row:
    """One row of a CSV file; `key` says where it stands."""

    file: str
    key: str
    cells: dict[str, str]

    def number(self, column: str, least: float = -math.inf) -> float:
        """The cell as a finite number, at least `least`."""
        text = self.cells[column]
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not math.isfinite(value) or value < least:
            said = 'found "{text}", expected a number of at least {least}'
            if least == -math.inf:
                said = 'found "{text}", expected a number'
            raise self._error(column, reason(said, text=text, least=Number(least, 2)))
        return value

    def optional(self, column: str, least: float = -math.inf) -> float | None:
        """The cell as a number, or None when it is empty."""
        return self.number(column, least) if self.cells[column] else None

    def whole(self, column: str, least: int = 0) -> int:
        """The cell as a whole number."""
        value = self.number(column, least)
        if value != int(value):
            raise self._error(column, reason("found {value}, expected a whole number", value=Number(value, 2)))
        return int(value)

    def one_of(self, column: str, known: tuple[str, ...]) -> str:
        """The cell as one of the words that are known."""
        text = self.cells[column]
        if text not in known:
            said = 'found "{text}", expected one of {known}'
            raise self._error(column, reason(said, text=text, known=listed(one for one in known if one)))
        return text

    def yes(self, column: str) -> bool:
        """The cell as yes or no."""
        text = self.cells[column]
        if text not in ("yes", "no"):
            raise self._error(column, reason('found "{text}", expected yes or no', text=text))
        return text == "yes"

    def _error(self, column: str, why: Words) -> CatalogueError:
        return CatalogueError(self.file, f"{self.key}, {column}", why)


def read_values(folder: Path, file: str) -> dict[str, float]:
    """A table of `key,value` as numbers, whose sources are looked at elsewhere."""
    return _numbers(read_csv(folder / file, file, ("key", "value")))


def _numbers(rows: Iterable[Row]) -> dict[str, float]:
    found: dict[str, float] = {}
    for row in rows:
        key = row.cells["key"]
        if key in found:
            raise CatalogueError(row.file, key, reason("this key stands twice"))
        found[key] = row.number("value")
    return found


def settings(kind: type[T], file: str, values: Mapping[str, Any]) -> T:
    """Fill a dataclass of numbers from a key-value table; a key too many or too few is refused.

    Fields marked as asked are her wishes.
    """
    names = [field.name for field in fields(kind) if "asked" not in field.metadata]
    for name in values:
        if name not in names:
            raise CatalogueError(file, name, reason("nothing uses this key; the keys are {known}", known=listed(names)))
    missing = [name for name in names if name not in values]
    if missing:
        raise CatalogueError(file, missing[0], reason("this key is missing"))
    return kind(**values)


def read_text(path: Path, file: str) -> str:
    """Text of a file. Raises CatalogueError when it is missing, too large, or not UTF-8."""
    try:
        raw = read_file(path, _LARGEST_FILE)
    except OSError as fault:
        raise CatalogueError(
            file, "", reason("the file can't be read ({why})", why=fault.strerror or "no such file")
        ) from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        raise CatalogueError(file, f"line {line}", reason("the file isn't UTF-8 text; save it as UTF-8")) from None


def read_toml(path: Path, file: str) -> dict[str, Any]:
    """A TOML file as plain values."""
    import tomllib  # tables need none

    text = read_text(path, file)
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > _MOST_DOTS:
            raise CatalogueError(file, f"line {number}", reason("a line with more than {n} dots", n=_MOST_DOTS))
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as fault:  # ValueError: a number of thousands of digits, too
        why = "nested too deep" if isinstance(fault, RecursionError) else str(fault)
        raise CatalogueError(file, "", reason("the file can't be read as TOML: {why}", why=why)) from None


def read_csv(path: Path, file: str, needed: tuple[str, ...]) -> list[Row]:
    """Rows of a CSV file whose header holds the needed columns; short and long rows are refused."""
    text = read_text(path, file)
    rows = csv.reader(io.StringIO(text))
    header = next(rows, [])
    missing = [column for column in needed if column not in header]
    if missing:
        raise CatalogueError(
            file, "line 1", reason("column {columns} is missing from the header", columns=listed(missing))
        )
    found: list[Row] = []
    try:
        for cells in rows:
            if not cells:
                continue
            where = f"line {rows.line_num}"
            if len(cells) != len(header):
                raise CatalogueError(
                    file, where, reason("{cells} cells, but the header has {wide}", cells=len(cells), wide=len(header))
                )
            named = {column: cell.strip() for column, cell in zip(header, cells, strict=True)}
            first = next(iter(named.values()))
            found.append(Row(file, f"{where}, {first}" if first else where, named))
    except csv.Error as fault:
        raise CatalogueError(
            file, f"line {rows.line_num}", reason("the row can't be read as CSV: {why}", why=str(fault))
        ) from None
    return found


def read_sources(path: Path, file: str = "sources.toml") -> dict[str, Source]:
    """All sources by key; each needs a title."""
    found: dict[str, Source] = {}
    for key, entry in read_toml(path, file).items():
        if not isinstance(entry, dict) or not str(entry.get("title", "")).strip():
            raise CatalogueError(file, key, reason("a source needs a title"))
        found[key] = Source(key, str(entry["title"]), str(entry.get("note", "")), str(entry.get("where", "")))
    return found

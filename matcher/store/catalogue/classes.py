"""The yarn weight classes: names, gauges and needles of the published standard, and how thick several tables say."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.errors import CatalogueError
from matcher.materials.yarn import WeightClass, tex_of_tables
from matcher.reasons.reason import reason
from matcher.store.catalogue.rows import Reader


def weight_classes(reader: Reader) -> tuple[WeightClass, ...]:
    """The weight classes, by number."""
    file = "standards/yarn_weight.csv"
    types = ("type_1", "type_2", "type_3")
    numbers = ("gauge_min_4in", "gauge_max_4in", "needle_mm_min", "needle_mm_max")
    needed = ("class", "name", *numbers, "source", "how_obtained")
    lengths = _class_lengths(reader)
    found = []
    for row in reader.table(file, needed):
        for low, high in zip(numbers[::2], numbers[1::2], strict=True):
            if row.number(low, 0.0) > row.number(high, 0.0):
                raise CatalogueError(file, f"{row.key}, {low}", reason("is more than {high}", high=high))
        number = row.whole("class")
        if number not in lengths:
            raise CatalogueError(file, row.key, reason("no table of class_lengths.csv says how thick this class is"))
        tables = lengths[number]
        ends = list(tables.values())
        found.append(
            WeightClass(
                number=number,
                name=row.cells["name"],
                tex_min=min(low for low, _ in ends),
                tex_max=max(high for _, high in ends),
                tex=tex_of_tables(ends),
                tables=tables,
                types=tuple(row.cells[column] for column in types if row.cells.get(column)),
                **{column: row.number(column, 0.0) for column in numbers},
            )
        )
    return tuple(sorted(found, key=lambda one: one.number))


def yarn_names(reader: Reader) -> dict[str, tuple[int, ...]]:
    """What yarns of a thickness are called, and the classes that each name may mean."""
    file = "standards/yarn_names.csv"
    found: dict[str, tuple[int, ...]] = {}
    for row in reader.table(file, ("name", "class", "region", "source", "how_obtained")):
        name, number = row.cells["name"].casefold(), row.whole("class")
        if number in found.get(name, ()):
            raise CatalogueError(file, row.key, reason("this name stands twice"))
        found[name] = tuple(sorted((*found.get(name, ()), number)))
    return found


def _class_lengths(reader: Reader) -> dict[int, dict[str, tuple[float, float]]]:
    """Thinnest and thickest yarn of each class by every table [tex]; an end that is left open goes as far as any."""
    file = "standards/class_lengths.csv"
    found: dict[int, dict[str, tuple[float | None, float | None]]] = {}
    for row in reader.table(file, ("class", "table", "tex_min", "tex_max", "source", "how_obtained")):
        low, high = row.optional("tex_min", 1.0), row.optional("tex_max", 1.0)
        if low is not None and high is not None and low > high:
            raise CatalogueError(file, f"{row.key}, tex_min", reason("is more than {high}", high="tex_max"))
        found.setdefault(row.whole("class"), {})[row.cells["table"]] = low, high
    return {number: _closed(file, number, tables) for number, tables in found.items()}


def _closed(
    file: str, number: int, tables: Mapping[str, tuple[float | None, float | None]]
) -> dict[str, tuple[float, float]]:
    lows = [low for low, _ in tables.values() if low is not None]
    highs = [high for _, high in tables.values() if high is not None]
    if not lows or not highs:
        raise CatalogueError(file, str(number), reason("all tables leave an end of this class open"))
    thinnest, thickest = min(lows), max(highs)
    return {table: (low or thinnest, high or thickest) for table, (low, high) in tables.items()}

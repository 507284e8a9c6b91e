"""A recipe: what a piece is made from, kept with the work in a store, in her last list, and in a pattern's file.

It holds what the catalogue and the bin may have otherwise later (gauge, motifs, a body's measures, lots by name), so
that the same pattern comes out of it again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from matcher.errors import CatalogueError
from matcher.knitting.bodies import DIMENSIONS, Sizes
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import CastOn
from matcher.knitting.fit.measured import with_body
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST, Motif, parse_motif
from matcher.materials.reading.names import readable_name
from matcher.materials.reading.numerals import Unreadable
from matcher.store.motifs.files import write_motif_text

VERSION = 1
MOST_BYTES = 4_000_000  # a choice, far above what the largest motifs take
# Beyond anything that is knitted (choices): a file from elsewhere asks for no endless work.
_MOST_10CM, _MOST_CM, _MOST_FIRM, _MOST_STITCHES = 200.0, 300.0, 10.0, 5_000
_MOST_STRANDS, _MOST_LOTS = 9, 500


@dataclass(frozen=True)
class Strand:
    """One strand of a thread: lots used up one after the other, by name, held so many times."""

    lots: tuple[str, ...]
    count: int = 1


@dataclass(frozen=True)
class Body:
    """Somebody's own measures [cm] that a piece is knitted to; wearer: "adult", "child" or "baby"."""

    measures: Mapping[str, float]
    wearer: str


class NoRecipe(ValueError):
    """What was read is no recipe, or one of a later version (`later`)."""

    def __init__(self, later: bool = False) -> None:
        super().__init__()
        self.later = later


@dataclass(frozen=True)
class Recipe:
    """One accessory, by its key, in a size at a gauge, with the strands of each role that lots fill.

    size : of the catalogue, or what `body` is called. people : whom it is for. motifs : what it is knitted in.
    cast_on : set where a motif was fitted to it in place of its own.
    """

    accessory: str
    size: str
    gauge: Gauge
    roles: Mapping[str, tuple[Strand, ...]]
    people: tuple[str, ...] = ()
    body: Body | None = None
    motifs: tuple[Motif, ...] = ()
    cast_on: CastOn | None = None

    @property
    def lots(self) -> tuple[str, ...]:
        """Names of all lots, in the order of their roles."""
        return tuple(dict.fromkeys(lot for role in self.roles.values() for strand in role for lot in strand.lots))

    def sizes(self, known: Sizes) -> Sizes:
        """The table of sizes with the body that it is knitted to."""
        if self.body is None:
            return known
        like = next((size for size in known.names if known.wearer(size) == self.body.wearer), known.names[-1])
        return with_body(known, self.size, self.body.measures, like)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON; a motif stands there as the text of its file."""
        gauge, body, cast_on = self.gauge, self.body, self.cast_on
        return {
            "version": VERSION,
            "accessory": self.accessory,
            "size": self.size,
            "for": list(self.people),
            "body": None if body is None else {"wearer": body.wearer, "measures_cm": dict(body.measures)},
            "gauge": {
                "stitches_10cm": gauge.stitches_10cm,
                "rows_10cm": gauge.rows_10cm,
                "loop_cm": gauge.loop_cm,
                "from_swatch_rows": gauge.from_swatch_rows,
                "firmness": gauge.firmness,
            },
            "motifs": [{"key": one.key, "text": write_motif_text(one)} for one in self.motifs],
            "cast_on": None if cast_on is None else cast_on._asdict(),
            "roles": [
                {"role": role, "strands": [{"lots": list(one.lots), "count": one.count} for one in strands]}
                for role, strands in self.roles.items()
            ],
        }

    def text(self) -> str:
        """As it is kept in a store."""
        return json.dumps(self.as_dict(), ensure_ascii=False, separators=(",", ":"))


def parse_recipe(text: str) -> Recipe:
    """A recipe from its text. Raises NoRecipe."""
    try:
        return recipe_of(json.loads(text))
    except (ValueError, RecursionError) as fault:
        raise fault if isinstance(fault, NoRecipe) else NoRecipe() from None


def recipe_of(found: object) -> Recipe:
    """A recipe from plain values, whoever wrote them: what is not as `as_dict` makes it is refused. Raises NoRecipe."""
    try:
        told = _Told(found)
        if told.whole("version", 1, int(1e9)) > VERSION:
            raise NoRecipe(later=True)
        gauge, body, cast_on = told.of("gauge"), told.maybe("body"), told.maybe("cast_on")
        return Recipe(
            told.name("accessory"),
            told.name("size"),
            Gauge(
                gauge.figure("stitches_10cm", _MOST_10CM),
                gauge.figure("rows_10cm", _MOST_10CM),
                gauge.figure("loop_cm", _MOST_CM),
                gauge.value("from_swatch_rows") is True,
                gauge.figure("firmness", _MOST_FIRM),
            ),
            {
                one.name("role"): tuple(map(_strand, one.several("strands", _MOST_STRANDS)))
                for one in told.several("roles")
            },
            tuple(map(_name, told.items("for"))),
            None if body is None else _body(body),
            motifs := tuple(map(_motif, told.several("motifs"))),
            None if cast_on is None else _cast_on(cast_on, motifs),
        )
    except (KeyError, TypeError, ValueError, CatalogueError, Unreadable) as fault:
        raise fault if isinstance(fault, NoRecipe) else NoRecipe() from None


def _strand(told: _Told) -> Strand:
    lots = tuple(map(_name, told.items("lots", _MOST_LOTS)))
    if not lots:
        raise ValueError
    return Strand(lots, told.whole("count", 1, _MOST_STRANDS))


def _body(told: _Told) -> Body:
    measures = told.of("measures_cm")
    return Body(
        {one: measures.figure(one, _MOST_CM) for one in DIMENSIONS if one in measures.held}, told.name("wearer")
    )


def _motif(told: _Told) -> Motif:
    key, text = told.value("key"), told.value("text")
    if not isinstance(key, str) or not isinstance(text, str):
        raise TypeError
    return parse_motif(text, "", readable_name(key), (OWN_WIDEST, OWN_TALLEST))


def _cast_on(told: _Told, motifs: tuple[Motif, ...]) -> CastOn:
    """Of the one motif that was fitted."""
    found = CastOn(*(told.whole(one, 0, _MOST_STITCHES) for one in CastOn._fields))
    (motif,) = motifs
    if not 0 < found.stitches == found.repeats * (motif.width + found.plain_columns):
        raise ValueError
    return found


def _name(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError
    name = readable_name(value)
    if not name:
        raise ValueError
    return value


def _figure(value: object, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.001 < value <= most:
        raise ValueError
    return float(value)


class _Told:
    """An object of the JSON, asked for what it should hold; each question raises where it does not."""

    def __init__(self, held: object) -> None:
        if not isinstance(held, dict):
            raise TypeError
        self.held: dict[str, object] = held

    def value(self, key: str) -> object:
        return self.held[key]

    def of(self, key: str) -> _Told:
        return _Told(self.held[key])

    def maybe(self, key: str) -> _Told | None:
        return None if self.held[key] is None else _Told(self.held[key])

    def items(self, key: str, most: int = _MOST_LOTS) -> list[object]:
        found = self.held[key]
        if not isinstance(found, list) or len(found) > most:
            raise TypeError
        return found

    def several(self, key: str, most: int = _MOST_LOTS) -> list[_Told]:
        return list(map(_Told, self.items(key, most)))

    def name(self, key: str) -> str:
        return _name(self.held[key])

    def figure(self, key: str, most: float) -> float:
        return _figure(self.held[key], most)

    def whole(self, key: str, least: int, most: int) -> int:
        found = self.held[key]
        if isinstance(found, bool) or not isinstance(found, int) or not least <= found <= most:
            raise ValueError
        return found

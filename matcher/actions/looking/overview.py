"""The whole in a few lines: what she has, what is begun, what wants doing. A store is asked without loading numpy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.place import names_store, own_bin
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.store.database.rows import Rows
from matcher.store.database.store import open_store

_NO_LABEL = ("no", "partly")
_MOST_NAMED = 3  # pieces and lots that are named; of more their number is told


@dataclass(frozen=True)
class Overview:
    """What a bin holds. place: "" where she has none yet; statuses: garments by what became of them.

    unlabelled: lots whose label is gone, the heaviest first; unweighed: how many were not weighed since they came in;
    begun: names of what is on the needles with the day; last: words and day of the last action.
    """

    place: str
    lots: int = 0
    mass_g: float = 0.0
    places: int = 0
    statuses: Mapping[str, int] | None = None
    people: int = 0
    begun: tuple[tuple[str, str], ...] = ()
    unlabelled: tuple[str, ...] = ()
    unweighed: int = 0
    last: tuple[str, str] | None = None

    @property
    def has(self) -> Words:
        """What she has: lots and what they weigh, garments, people."""
        return listed(_has(self), "and")

    @property
    def to_do(self) -> tuple[Words, ...]:
        """What wants doing before figures can be trusted."""
        return tuple(_to_do(self))

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "place": self.place,
            "lots": self.lots,
            "grams": round(self.mass_g, 2),
            "places": self.places,
            "garments": dict(self.statuses or {}),
            "people": self.people,
            "begun": [{"work": name, "begun_on": day} for name, day in self.begun],
            "unlabelled": list(self.unlabelled),
            "unweighed": self.unweighed,
            "last": {"what": self.last[0], "done_at": self.last[1]} if self.last else None,
        }


def some(names: Sequence[Words]) -> Words:
    """The first few; her names may hold commas, so semicolons part them."""
    more = len(names) - _MOST_NAMED
    said = listed(names[:_MOST_NAMED], between="; ")
    return said if more <= 0 else reason("{names}; {more} more", names=said, more=more)


def _has(found: Overview) -> Iterator[Words]:
    yield _lots(found)
    garments = sum((found.statuses or {}).values())
    if garments:
        worn = (found.statuses or {}).get("worn", 0)
        yield counted(garments, "{n} garment ({worn} worn)", "{n} garments ({worn} worn)", worn=worn)
    if found.people:
        yield counted(found.people, "{n} person to knit for", "{n} people to knit for")


def _lots(found: Overview) -> Words:
    if not found.lots:
        return reason("no yarn yet")
    lots = counted(found.lots, "{n} lot, {mass}", "{n} lots, {mass}", mass=Mass(found.mass_g))
    if not found.places:
        return lots
    return counted(found.places, "{lots} in {n} place", "{lots} in {n} places", lots=lots)


def _to_do(found: Overview) -> Iterator[Words]:
    without = len(found.unlabelled)
    if without:
        yield counted(without, "label {lots}", "label {n} lots ({lots})", lots=some(found.unlabelled))
    if found.unweighed:
        one, many = "{n} lot was not weighed since it came in", "{n} lots were not weighed since they came in"
        yield counted(found.unweighed, one, many)


def overview(bin: Path | None = None) -> Overview:
    """A bin; without one her own: her store, or what MATCHER_BIN names. Raises NotFound, BadInput, BadSheets."""
    place = bin if bin is not None else own_bin()
    if place is None:
        return Overview("")
    return _of_store(place) if names_store(place) else _of_sheets(place)


def _of_store(place: Path) -> Overview:
    with open_store(place) as store, store.reading():
        lots = store.select("SELECT lot, label, place, mass_g, weighed_on FROM lots ORDER BY mass_g DESC, lot")
        last = store.select("SELECT words, done_at FROM actions ORDER BY id DESC LIMIT 1")
        return Overview(
            str(place),
            begun=tuple(
                (row["name"], row["begun_on"])
                for row in store.select("SELECT name, begun_on FROM works WHERE state = 'begun' ORDER BY id")
            ),
            last=(last[0]["words"], last[0]["done_at"]) if last else None,
            **_counted(lots, _statuses(store), _number(store, "people")),
        )


def _of_sheets(place: Path) -> Overview:
    from matcher.actions.desk import Desk  # sheets are read whole, with all that this loads

    read = Desk(place).bin
    lots: list[dict[str, Any]] = [
        {"lot": one.name, "label": one.label, "place": one.place, "mass_g": one.mass_g, "weighed_on": one.weighed_on}
        for one in sorted(read.lots, key=lambda one: (-one.mass_g, one.name))
    ]
    statuses = Counter(one.status for one in read.garments.values())
    return Overview(str(place), **_counted(lots, statuses, len(read.people)))


def _counted(lots: Sequence[Mapping[str, Any]], statuses: Mapping[str, int], people: int) -> dict[str, Any]:
    return {
        "lots": len(lots),
        "mass_g": sum(row["mass_g"] for row in lots),
        "places": len({fold(row["place"]) for row in lots if row["place"]}),
        "statuses": statuses,
        "people": people,
        "unlabelled": tuple(row["lot"] for row in lots if fold(row["label"]) in _NO_LABEL),
        "unweighed": sum(not row["weighed_on"] for row in lots),
    }


def _statuses(store: Rows) -> Mapping[str, int]:
    return Counter(fold(row["status"]) for row in store.select("SELECT status FROM garments"))


def _number(store: Rows, table: str) -> int:
    return int(store.select(f"SELECT count(*) AS number FROM {table}")[0]["number"])

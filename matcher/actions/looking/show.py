"""What a name means: a lot, a garment, a person, an accessory of the catalogue, a work; and all that is known of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.keeping.done import opened
from matcher.actions.looking.lines import garment_lines, lot_lines, person_lines, work_lines
from matcher.actions.looking.things import (
    Shown,
    ShownAccessory,
    ShownGarment,
    ShownLot,
    ShownPerson,
    ShownWork,
    accessory_shown,
    first,
    garment_shown,
    lot_shown,
    named,
    person_shown,
    work_shown,
)
from matcher.actions.names import near_names
from matcher.actions.pattern.files import out_asked, write_pattern
from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Action, Field, Term, listed, reason
from matcher.reasons.style import PLAIN, Style

_OF: dict[str, type[Shown]] = {
    "lots": ShownLot,
    "garments": ShownGarment,
    "people": ShownPerson,
    "works": ShownWork,
    "accessories": ShownAccessory,
}
KINDS = ("lot", "garment", "person", "work", "accessory")


@dataclass(frozen=True)
class Found:
    """Everything that is called so; more than one where a name fits several kinds of things."""

    name: str
    things: tuple[Shown, ...]
    files: tuple[Path, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        of = {key: [one.as_dict() for one in self.things if isinstance(one, kind)] for key, kind in _OF.items()}
        return {"name": self.name, **of, "files": [str(path) for path in self.files]}


def show(
    name: str,
    bin: DeskLike = None,
    *,
    what: str | None = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
    out: Path | str | None = None,
    replace: bool = False,
    style: Style = PLAIN,
) -> Found:
    """Show what a name means.

    Parameters
    ----------
    name : of a lot (or the code on its tag), a garment, a person, an accessory (or its key), a work (or its number).
    what : only one of `KINDS`.
    out, replace, style : where to write the pattern of something on the needles, as `pattern` does.

    Raises NotFound with the nearest names; BadInput, BadSheets.
    """
    if what is not None and what not in KINDS:
        todo = reason("give {known}", known=listed(map(Term, KINDS), "or"))
        raise BadInput(reason('"{what}" can\'t be shown', what=what), Field("what"), todo)
    if not name.strip():
        raise BadInput(reason("no name is given"), "", reason("name a lot, a garment, an accessory or a work"))
    place = None if out is None else out_asked(out)
    desk = desk_of(bin, catalog, mending)
    wanted = KINDS if what is None else (what,)
    things = tuple(one for kind in wanted for one in _things(desk, kind, name))
    if things:
        return Found(name, things, _written(name, things, place, style, replace) if place is not None else ())
    every = [one for kind in wanted for one in _names(desk, kind)]
    where = str(desk.place) if desk.place is not None else ""
    raise NotFound(reason('nothing is called "{name}"', name=name), where, near_names(name, every))


def _written(name: str, things: Iterable[Shown], place: Path, style: Style, replace: bool) -> tuple[Path, ...]:
    """Write the pattern of the first of them that has one. Raises BadInput where none has."""
    works = [one for one in things if isinstance(one, ShownWork)]
    made = next((one.pattern for one in works if one.pattern is not None), None)
    if made is not None:
        return write_pattern(made, place, style, replace)
    why = next((one.no_pattern for one in works if one.no_pattern), reason("{name} has no pattern", name=name))
    raise BadInput(why, Field("out"), reason("{pattern} writes one of any accessory", pattern=Action("pattern")))


def _things(desk: Desk, kind: str, name: str) -> Iterator[Shown]:
    if kind == "lot":
        yield from (lot_shown(desk, one) for one in lot_lines(desk) if named(name, one.lot.name, one.lot.code))
    elif kind == "garment":
        lines = garment_lines(desk, lot_lines(desk))
        yield from (garment_shown(desk, one) for one in lines if named(name, one.garment.name))
    elif kind == "person":
        people = person_lines(desk, garment_lines(desk, lot_lines(desk)))
        yield from (person_shown(desk, one) for one in people if named(name, one.person.name))
    elif kind == "accessory":
        entries = desk.catalogue.accessories.values()
        yield from (accessory_shown(desk, one) for one in entries if named(name, one.key, one.name))
    elif desk.store is not None:
        with opened(desk.store) as store:
            known = [one for one in work_lines(store) if named(name, one.name, one.accessory, str(one.number))]
            yield from (work_shown(desk, one, store) for one in first(known))


def _names(desk: Desk, kind: str) -> Iterator[str]:
    if kind == "lot":
        yield from (one.name for one in desk.bin.lots)
    elif kind == "garment":
        yield from desk.bin.garments
    elif kind == "person":
        yield from desk.bin.people
    elif kind == "accessory":
        for entry in desk.catalogue.accessories.values():
            yield from (entry.name, entry.key)
    elif desk.store is not None:
        with opened(desk.store) as store:
            yield from (one.name for one in work_lines(store))

"""What all actions on the store share: opening it, finding a lot by name, saying what was done.

Weighing, moving and undoing must be quick with any number of lots, so nothing here loads numpy or more of the
catalogue than the limits of cells; the actions that need them load them themselves.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from matcher.actions.names import near_names, read_as, typed_name, unreadable
from matcher.actions.place import OnDesk, Place, store_file
from matcher.errors import BadInput, NotFound
from matcher.materials.estimate import Estimate
from matcher.materials.reading.bands import ball_mass_g
from matcher.materials.reading.names import fold, readable
from matcher.materials.reading.units import MASS_DECIMALS, Unreadable, parse_count, parse_length_m
from matcher.materials.rules import SheetLimits
from matcher.reasons.quantities import Band, Kilograms, Mass
from matcher.reasons.reason import Action, Field, Term, Words, counted, listed, reason
from matcher.store.database.act import Act
from matcher.store.database.claims import claims_of, fit_claims
from matcher.store.database.rows import Rows
from matcher.store.database.store import Store, open_store
from matcher.store.weights import heard_weight


@dataclass(frozen=True)
class Done:
    """What an action did: sentences for a person, values for a program, remarks that stop nothing.

    short : whether it found that a piece on the needles may run out of yarn, so that nobody takes it for good news.
    """

    said: tuple[Words, ...]
    values: Mapping[str, Any]
    notes: tuple[Words, ...] = ()
    short: bool = False

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; the sentences are reasons still."""
        return {**self.values, "said": list(self.said), "notes": list(self.notes)}


@contextmanager
def opened(bin: Place, create: bool = False) -> Iterator[Store]:
    """The store of a bin, or her own when none is named; closed again afterwards. `create` begins one where there is
    none. A desk forgets what it had read."""
    with open_store(store_file(bin), create=create) as store:
        yield store
    if isinstance(bin, OnDesk):
        bin.forget()


def lot_row(store: Rows, name: str) -> dict[str, Any]:
    """The lot of that name or code; raises NotFound with the nearest names."""
    return _row(store, "lots", "lot", name)


def garment_row(store: Rows, name: str, todo: Words = "") -> dict[str, Any]:
    """The garment of that name; raises NotFound with the nearest names."""
    return _row(store, "garments", "garment", name, todo)


def person_row(store: Rows, name: str, todo: Words = "") -> dict[str, Any]:
    """The person of that name; raises NotFound with the nearest names."""
    return _row(store, "people", "person", name, todo)


def _row(store: Rows, table: str, what: str, name: str, todo: Words = "") -> dict[str, Any]:
    found = store.named(table, name)
    if found is not None:
        return found
    near = near_names(name, (row[what] for row in store.select(f"SELECT {what} FROM {table} ORDER BY {what}")))
    there = reason('there is no {what} "{name}"', what=Term(what), name=name)
    raise NotFound(there, str(store.path), near, "" if near else todo)


def free_name(store: Rows, name: str, table: str = "lots", what: str = "lot") -> str:
    """A new name, as it is kept; raises BadInput as `typed_name`, and for one that is taken already."""
    found = typed_name(name, what)
    if store.select(f"SELECT 1 FROM {table} WHERE folded = ?", fold(found)):
        taken = reason('there is already a {what} "{name}"', what=Term(what), name=found)
        raise BadInput(taken, str(store.path), reason("give another name"))
    return found


def _limits() -> SheetLimits:
    from matcher.store.catalogue.limits import load_limits  # most actions type no new weight or name

    return load_limits()


@dataclass(frozen=True)
class Weight:
    """A weight that was typed: the text as a cell, its mass [g] with its deviation, and remarks on how it was read."""

    cell: str
    mass: Estimate
    notes: tuple[Words, ...] = ()

    @property
    def grams(self) -> float:
        """Its mean."""
        return self.mass.mean


def read_weight(text: str, where: Words, row: Mapping[str, Any]) -> Weight:
    """A lot's weight as the sheets read it, from 0 to what a weight can mean; raises BadInput.

    row: the lot, whose band says what a ball of it weighs.
    """
    try:
        heard = heard_weight({**row, "grams": readable(text)})
    except Unreadable as fault:
        raise unreadable(fault, where) from None
    most = _limits().most_grams
    if heard.value.mass.mean > most:
        said = reason('"{text}" is more than {most}', text=text, most=Kilograms(most / 1000))
        raise BadInput(said, where, reason("check the unit"))
    return Weight(text.strip(), heard.value.mass, read_as(text.strip(), heard.taken, heard.sure))


def mass_of(row: Mapping[str, Any]) -> Estimate:
    """What a lot weighs as its cell has it [g]."""
    return heard_weight(row).value.mass


def weight_cell(mass: Estimate) -> str:
    """A weight with its deviation [g] as a sheet's cell: "36.2", "36.2 ± 3.46"."""
    if mass.sd < 0.005:
        return figure_cell(mass.mean)
    return " ± ".join(figure_cell(one) for one in (mass.mean, round(mass.sd, 2)))


def read_metres(text: str, where: Words) -> float:
    """Metres as the sheets read them, above 0; raises BadInput."""
    try:
        metres = parse_length_m(readable(text))
    except Unreadable as fault:
        raise unreadable(fault, where) from None
    if metres <= 0:
        todo = reason("give metres such as 12 m, or 13 yd")
        raise BadInput(reason('"{text}" isn\'t a length', text=text), where, todo)
    return metres


def figure_cell(value: float) -> str:
    """Grams or metres as a sheet's cell, to the last digit that is counted and no further: "36.2"."""
    return f"{value:.{MASS_DECIMALS}f}".rstrip("0").rstrip(".")


def set_aside(name: str, works: Mapping[str, None]) -> Words:
    """Why a lot cannot be taken: pieces on the needles have it."""
    return reason("{lot} is set aside for {works}", lot=name, works=listed(works, "and", " and "))


def went_elsewhere(act: Act, lot: str, grams: float) -> None:
    """Yarn left the lot for another purpose: what works on the needles take is counted from that much less."""
    for claim in claims_of(act.store, lot):
        act.update("claims", claim["id"], {"from_g": max(1e-6, claim["from_g"] - grams)})


def claims_fitted(act: Act, lot: str, mass_g: float) -> tuple[Words, ...]:
    """Cut what is claimed of a lot down to what it weighs; returns the sentences that say so."""
    works = fit_claims(act, lot, mass_g)
    return (reason("All of it is set aside for {works}.", works=listed(works, "and", " and ")),) if works else ()


def weight_change(before_g: float, after_g: float) -> Words:
    """How a weight changed: "41 g, was 50 g"."""
    if before_g == after_g:
        return reason("{weight} as before", weight=Mass(after_g))
    return reason("{after}, was {before}", after=Mass(after_g), before=Mass(before_g))


def refuse_slip(row: Mapping[str, Any], grams: float) -> None:
    """Refuse a weight that is hardly anything but a slip, such as kg for g; raises BadInput."""
    limits, before = _limits(), row["mass_g"]
    if grams > limits.slip_grams and grams > limits.slip_ratio * before:
        said = "{lot} would weigh {after}, and weighed {before}"
        todo = "check the number and its unit; if it really is so much, write it down with {change}"
        words = reason(said, lot=row["lot"], after=Mass(grams), before=Mass(before))
        raise BadInput(words, Field("weight"), reason(todo, change=Action("change")))


def weight_doubts(row: Mapping[str, Any], grams: float) -> tuple[Words, ...]:
    """Why a lot may not weigh what was typed: more than its balls do, or clearly more than before."""
    ratio, before = _limits().agreement_ratio, row["mass_g"]
    if ball_g := ball_mass_g(row):
        balls = parse_count(row["pieces"]) if row["pieces"] else math.ceil(before / ball_g)
        if grams > balls * ball_g * ratio:
            one = "{after} is more than one {ball} ball weighs: check the scale, or the number of pieces"
            many = "{after} is more than {n} balls of {ball} weigh: check the scale, or the number of pieces"
            return (counted(balls, one, many, after=Mass(grams), ball=Band(ball_g)),)
    if grams > before * ratio:
        said = "{after} is clearly more than before ({before}): check the scale, or the number of pieces"
        return (reason(said, after=Mass(grams), before=Mass(before)),)
    return ()

"""What all actions on the store share: opening it, finding a lot by name, saying what was done.

Weighing, moving and undoing must be quick with any number of lots, so nothing here loads the catalogue, numpy or
pydantic; the actions that need them load them themselves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from matcher.errors import BadInput, Fault, NotFound
from matcher.materials.reading.units import Unreadable, parse_length_m, parse_mass_g, show_mass
from matcher.store.database import claims
from matcher.store.database.claims import claims_of as claims_of
from matcher.store.database.store import Act, Store, open_store, store_path

MOST_G = 20_000.0  # as in the sheets: beyond it a weight is a slip


@dataclass(frozen=True)
class Done:
    """What an action did: sentences for a person, values for a program, remarks that stop nothing."""

    said: tuple[str, ...]
    values: Mapping[str, Any]
    notes: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {**self.values, "said": list(self.said), "notes": list(self.notes)}


@contextmanager
def opened(bin: Path | str | None, create: bool = False) -> Iterator[Store]:
    """Her store, closed again afterwards; `create` begins one where there is none."""
    with open_store(store_path(Path(bin) if bin is not None else None), create=create) as store:
        yield store


def lot_row(store: Store, name: str) -> dict[str, Any]:
    """The lot of that name or code; raises NotFound with the nearest names."""
    return _row(store, "lots", "lot", name)


def garment_row(store: Store, name: str, todo: str = "") -> dict[str, Any]:
    """The garment of that name; raises NotFound with the nearest names."""
    return _row(store, "garments", "garment", name, todo)


def _row(store: Store, table: str, what: str, name: str, todo: str = "") -> dict[str, Any]:
    found = store.named(table, name)
    if found is not None:
        return found
    from difflib import get_close_matches

    known = [row[what] for row in store.select(f"SELECT {what} FROM {table} ORDER BY {what}")]
    folded = " ".join(name.casefold().split())
    near = [one for one in known if folded and folded in one.casefold()][:3]
    near = near or get_close_matches(folded, known, n=3, cutoff=0.5)
    raise NotFound(f'there is no {what} "{name}"', str(store.path), near, "" if near else todo)


def read_mass(text: str, where: str) -> float:
    """Grams as the sheets read them, from 0 to 20 kg; raises BadInput."""
    try:
        grams = parse_mass_g(text.strip())
    except Unreadable as fault:
        raise unreadable(fault, where) from None
    if grams > MOST_G:
        raise BadInput(f'"{text}" is more than 20 kg', where, "check the unit")
    return grams


def read_metres(text: str, where: str) -> float:
    """Metres as the sheets read them, above 0; raises BadInput."""
    try:
        metres = parse_length_m(text.strip())
    except Unreadable as fault:
        raise unreadable(fault, where) from None
    if metres <= 0:
        raise BadInput(f'"{text}" is no length', where, "give metres such as 12 m, or 13 yd")
    return metres


def unreadable(fault: Unreadable, where: str) -> BadInput:
    """A cell that cannot be read, as an error of the command line."""
    return BadInput(f'"{fault.found}" is not {fault.expected}', where, fault.mend or "type it as in that example")


def refuse_faults(faults: list[Fault]) -> None:
    """Raise what the sheets' own checks found in cells that were typed as options."""
    if not faults:
        return
    told = [str(_as_option(one)) for one in faults]
    what = "a cell cannot be read" if len(told) == 1 else f"{len(told)} cells cannot be read"
    raise BadInput(what, "", "nothing was changed\n  " + "\n  ".join(told))


_SHORTER = {"chest_cm": "--chest", "stitches_10cm": "--stitches", "rows_10cm": "--rows"}


def _as_option(fault: Fault) -> Fault:
    """A fault of a cell with the option's name wherever the column's stands."""

    def option(column: str) -> str:
        return _SHORTER.get(column, f"--{column.replace('_', '-')}")

    expected, mend = (
        re.sub(r"\b[a-z]+_[a-z0-9]+\b", lambda found: option(found[0]), text)
        for text in (str(fault.expected), str(fault.mend))
    )
    return replace(fault, where=option(fault.column or ""), row=None, column=None, expected=expected, mend=mend)


def grams_cell(mass_g: float) -> str:
    """Grams as a sheet's cell, to a tenth: "36.2"."""
    return f"{mass_g:.1f}".removesuffix(".0")


def went_elsewhere(act: Act, lot: str, grams: float) -> None:
    """Yarn left the lot for another purpose: what works on the needles take is counted from that much less."""
    for claim in claims_of(act.store, lot):
        act.update("claims", claim["id"], {"from_g": max(1e-6, claim["from_g"] - grams)})


def fit_claims(act: Act, lot: str, mass_g: float) -> tuple[str, ...]:
    """Cut what is claimed of a lot down to what it weighs; returns the sentences that say so."""
    names = claims.fit_claims(act, lot, mass_g)
    return (f"All of it is claimed by {names}.",) if names else ()


def weight_words(before_g: float, after_g: float, units: str) -> str:
    """How a weight changed: "41 g, was 50 g"."""
    if before_g == after_g:
        return f"{show_mass(after_g, units)} as before"
    return f"{show_mass(after_g, units)}, was {show_mass(before_g, units)}"

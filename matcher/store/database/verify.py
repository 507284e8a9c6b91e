"""Is a store whole? The file's pages, its links, and sums that must hold whatever was done."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from typing import Any

from matcher.materials.reading.units import parse_mass_g
from matcher.store.codes import fold
from matcher.store.database.store import KEYS, Store


@dataclass(frozen=True)
class StoreFault:
    """One thing wrong: where (a lot, a work, the file), and what."""

    where: str
    what: str


def faults_of(store: Store) -> tuple[StoreFault, ...]:
    """Everything that is wrong; empty when the store is whole."""
    try:
        pages = [StoreFault("file", row["integrity_check"]) for row in store.raw("PRAGMA integrity_check(20)")]
        pages = [one for one in pages if one.what != "ok"]
        if pages:
            return tuple(pages)  # what else would be said rests on pages that cannot be trusted
        with store.reading():
            return (*_links(store), *_cells(store), *_sums(store), *_journal(store))
    except sqlite3.DatabaseError as error:
        return (StoreFault("file", str(error)),)


def _links(store: Store) -> list[StoreFault]:
    found = store.raw("PRAGMA foreign_key_check")
    return [
        StoreFault(row["table"], f"row {row['rowid']} names a row of {row['parent']} that is not there")
        for row in found
    ]


def _cells(store: Store) -> list[StoreFault]:
    """What stands beside the cells must be what they say."""
    found = []
    for row in store.raw("SELECT * FROM lots ORDER BY lot"):
        where = f"lot {row['lot']}"
        try:
            mass_g = parse_mass_g(row["grams"])
        except ValueError as error:
            found.append(StoreFault(where, str(error)))
            continue
        if abs(mass_g - row["mass_g"]) > 1e-6:
            found.append(StoreFault(where, f"grams say {row['grams']}, but {row['mass_g']:g} g are counted"))
        if row["folded"] != fold(row["lot"]) or (row["of_garment"] or "") != fold(row["garment"]):
            found.append(StoreFault(where, "its name and the name it is found by differ"))
    for row in store.raw("SELECT * FROM garments ORDER BY garment"):
        if row["folded"] != fold(row["garment"]):
            found.append(StoreFault(f"garment {row['garment']}", "its name and the name it is found by differ"))
    return found


def _sums(store: Store) -> list[StoreFault]:
    found = [
        StoreFault(
            f"lot {row['lot']}", f"{row['claimed_g']:.1f} g of it are claimed, but it weighs {row['mass_g']:g} g"
        )
        for row in store.raw(
            "SELECT lots.lot, mass_g, SUM(metres * claims.tex) / 1000 AS claimed_g FROM claims JOIN lots USING (lot) "
            "GROUP BY lots.lot HAVING claimed_g > mass_g * (1 + 1e-9) + 1e-6 ORDER BY lots.lot"
        )
    ]
    found += [
        StoreFault(f"work {row['name']}", f"it is {row['state']} and still claims yarn")
        for row in store.raw(
            "SELECT DISTINCT name, state FROM claims JOIN works ON works.id = work WHERE state <> 'begun' ORDER BY name"
        )
    ]
    found += [
        StoreFault(f"work {row['name']}", f"yarn is written down as used, but it is {row['state']}")
        for row in store.raw(
            "SELECT DISTINCT name, state FROM used JOIN works ON works.id = work WHERE state <> 'finished'"
        )
    ]
    found += [
        StoreFault(f"work {row['name']}", f"{row['role']}: metres and grams used disagree")
        for row in store.raw(
            "SELECT name, role FROM used JOIN works ON works.id = work "
            "WHERE abs(used_m * used.tex / 1000 - used_g) > 1e-6 + used_g * 1e-9"
        )
    ]
    return found


def _journal(store: Store) -> list[StoreFault]:
    """The last image of a row must be the row: then undo puts back what was there."""
    found = [
        StoreFault(f"action {row['id']}", "it has no rows in the journal")
        for row in store.raw("SELECT id FROM actions WHERE id NOT IN (SELECT action FROM journal)")
    ]
    last: dict[tuple[str, str | int], dict[str, Any] | None] = {}
    for line in store.raw("SELECT of_table, before, after FROM journal ORDER BY id"):
        key = KEYS[line["of_table"]]
        for text, gone in ((line["before"], True), (line["after"], False)):
            if text is not None:
                image = json.loads(text)
                last[line["of_table"], image[key]] = None if gone else image
    for table, key in KEYS.items():
        rows = {row[key]: row for row in store.raw(f"SELECT * FROM {table}")}
        for (of_table, name), image in last.items():
            if of_table != table:
                continue
            now = rows.get(name)
            if (now is None) != (image is None) or (
                now is not None and image is not None and any(now[column] != value for column, value in image.items())
            ):
                found.append(StoreFault(f"{table} {name}", "it was changed by something else than matcher"))
    return found

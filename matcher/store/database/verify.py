"""Is a store whole? The file's pages, its links, and sums that must hold whatever was done."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Term, Words, reason
from matcher.store.database.journal import BadImage, image_of
from matcher.store.database.rows import KEYS, NAMED, Rows, can_be
from matcher.store.weights import weight_g


@dataclass(frozen=True)
class StoreFault:
    """One thing wrong: where (a lot, a work, the file), and what."""

    where: Words
    what: Words


FILE = Term("file")
# What a row of a table is called.
_ROW_OF = {"lots": "lot", "garments": "garment", "people": "person", "works": "work"}
_MOST_TOLD = 20  # faults of one kind: more tell no more


def faults_of(store: Rows) -> tuple[StoreFault, ...]:
    """Everything that is wrong; empty when the store is whole."""
    try:
        # What comes later rests on what comes before: sums of damaged pages or figures say nothing.
        for looks in ((_pages,), (_values,), (_links, _cells, _wishes, _written, _sums, _journal)):
            store.raw("BEGIN")
            try:
                found = [one for look in looks for one in look(store)]
            finally:
                store.raw("ROLLBACK")
            if found:
                return tuple(found)
    except sqlite3.Error as error:
        return (StoreFault(FILE, str(error)),)
    except UnicodeDecodeError:  # an error of the database that names what it cannot read
        return (StoreFault(FILE, reason("it holds something that isn't text")),)
    return ()


def _pages(store: Rows) -> list[StoreFault]:
    found = (row["integrity_check"] for row in store.raw(f"PRAGMA integrity_check({_MOST_TOLD})"))
    return [StoreFault(FILE, what) for what in found if what != "ok"]


def _values(store: Rows) -> list[StoreFault]:
    """Text that is none, and figures that no yarn has."""
    found = []
    for table in (*KEYS, "actions", "journal", "migrations"):
        for row in store.undecoded(table):
            for column, value in row.items():
                if can_be(value):
                    continue
                if isinstance(value, str):
                    what = reason("{column} holds something that isn't text", column=Term(column))
                else:
                    what = reason("{column} is {figure}", column=Term(column), figure=str(value))
                found.append(StoreFault(reason("{table}, row {row}", table=Term(table), row=row["rowid"]), what))
                if len(found) == _MOST_TOLD:
                    return found
    return found


def _lot(name: str) -> Words:
    return reason("lot {lot}", lot=name)


def _work(name: str) -> Words:
    return reason("work {work}", work=name)


def _links(store: Rows) -> list[StoreFault]:
    found = store.raw("PRAGMA foreign_key_check")
    what = "row {row} names a row of {parent} that isn't there"
    return [StoreFault(row["table"], reason(what, row=row["rowid"], parent=row["parent"])) for row in found]


def _cells(store: Rows) -> list[StoreFault]:
    """What stands beside the cells must be what they say."""
    found = []
    differ = reason("its name and the name it is found by don't match")
    for row in store.raw("SELECT * FROM lots ORDER BY lot"):
        where = _lot(row["lot"])
        try:
            mass_g = weight_g(row)
        except ValueError as error:
            found.append(StoreFault(where, str(error)))
            continue
        if abs(mass_g - row["mass_g"]) > 1e-6:
            what = reason(
                "its cell says {cell}, but {mass} is what counts", cell=row["grams"], mass=Mass(row["mass_g"])
            )
            found.append(StoreFault(where, what))
        if row["folded"] != fold(row["lot"]) or (row["of_garment"] or "") != fold(row["garment"]):
            found.append(StoreFault(where, differ))
    for table, said in (("garments", "garment {name}"), ("people", "person {name}")):
        for row in store.raw(f"SELECT * FROM {table} ORDER BY {KEYS[table]}"):
            if row["folded"] != fold(row[KEYS[table]]):
                found.append(StoreFault(reason(said, name=row[KEYS[table]]), differ))
    return found


def _wishes(store: Rows) -> list[StoreFault]:
    """A wish that no command could go by."""
    from matcher.materials.wishes import parse_wish  # brings numpy, which undo need not load

    found = []
    for row in store.raw("SELECT wish, wanted FROM wishes ORDER BY wish"):
        try:
            parse_wish(row["wish"], row["wanted"])
        except ValueError as error:
            found.append(StoreFault(Term("wishes"), str(error)))
    return found


def _written(store: Rows) -> list[StoreFault]:
    """What she wrote must be of a lot or garment that is there."""
    gone = "what you wrote about {name} is kept, but {name} isn't there"
    return [
        StoreFault(Term(sheet), reason(gone, name=row["name"]))
        for sheet in NAMED
        for row in store.raw(
            f"SELECT DISTINCT name FROM written WHERE sheet = '{sheet}' "
            f"AND name NOT IN (SELECT {KEYS[sheet]} FROM {sheet}) ORDER BY name"
        )
    ]


def _sums(store: Rows) -> list[StoreFault]:
    claimed = "{more} more of it is set aside than it weighs ({weighs})"
    found = [
        StoreFault(
            _lot(row["lot"]),
            reason(claimed, more=Mass(row["claimed_g"] - row["mass_g"]), weighs=Mass(row["mass_g"])),
        )
        for row in store.raw(
            "SELECT lots.lot, mass_g, SUM(metres * claims.tex) / 1000 AS claimed_g FROM claims JOIN lots USING (lot) "
            "GROUP BY lots.lot HAVING claimed_g > mass_g * (1 + 1e-9) + 1e-6 ORDER BY lots.lot"
        )
    ]
    found += [
        StoreFault(
            _work(row["name"]), reason("it is {state}, but yarn is still set aside for it", state=Term(row["state"]))
        )
        for row in store.raw(
            "SELECT DISTINCT name, state FROM claims JOIN works ON works.id = work WHERE state <> 'begun' ORDER BY name"
        )
    ]
    used = "yarn is noted as used, but it is {state}"
    found += [
        StoreFault(_work(row["name"]), reason(used, state=Term(row["state"])))
        for row in store.raw(
            "SELECT DISTINCT name, state FROM used JOIN works ON works.id = work WHERE state <> 'finished'"
        )
    ]
    found += [
        StoreFault(
            _work(row["name"]), reason("{role}: the length and the weight used don't agree", role=Term(row["role"]))
        )
        for row in store.raw(
            "SELECT name, role FROM used JOIN works ON works.id = work "
            "WHERE abs(used_m * used.tex / 1000 - used_g) > 1e-6 + used_g * 1e-9"
        )
    ]
    return found


def _journal(store: Rows) -> list[StoreFault]:
    """Each image of a row must be the one before it, and the last one the row: then undo puts back what was there."""
    found = [
        StoreFault(reason("action {number}", number=row["id"]), reason("it has no rows in the journal"))
        for row in store.raw("SELECT id FROM actions WHERE id NOT IN (SELECT action FROM journal)")
    ]
    columns = {table: store.columns(table) for table in KEYS}
    changed = reason("it was changed by something other than matcher")
    last: dict[tuple[str, str | int], dict[str, Any] | None] = {}
    # What an action found is mostly, letter by letter, what the one before it left, which has been read.
    left: dict[tuple[str, str], dict[str, Any]] = {}
    for line in store.raw("SELECT action, of_table, before, after FROM journal ORDER BY id"):
        table = line["of_table"]
        try:
            before = left.pop((table, line["before"]), None) or image_of(line["before"], table, columns)
            after = image_of(line["after"], table, columns)
            if after is not None:
                left[table, line["after"]] = after
        except BadImage as fault:
            found.append(StoreFault(reason("the journal of action {n}", n=line["action"]), fault.why))
            continue
        key = KEYS[table]
        # What one action left is what the next one found; every row was put in by one.
        # None is put in twice: that one of two has the other's name shows in no row, where neither was changed since.
        twice = before is None and after is not None and last.get((table, after[key])) is not None
        if twice or (before is not None and not _same(last.get((table, before[key])), before)):
            found.append(StoreFault(reason("the journal of action {n}", n=line["action"]), changed))
        for image, gone in ((before, True), (after, False)):
            if image is not None:
                last[table, image[key]] = None if gone else image
    for table, key in KEYS.items():
        rows = {row[key]: row for row in store.raw(f"SELECT * FROM {table}")}
        for (of_table, name), image in last.items():
            if of_table != table:
                continue
            if not _same(image, rows.get(name)):
                where = reason("{table} {name}", table=Term(_ROW_OF.get(table, table)), name=name)
                found.append(StoreFault(where, changed))
    return found


def _same(image: Mapping[str, Any] | None, row: Mapping[str, Any] | None) -> bool:
    """Whether two images agree in all columns that both know: an earlier version may have known fewer."""
    if image is row or image is None or row is None:
        return image is row
    return all(row[column] == value for column, value in image.items() if column in row)

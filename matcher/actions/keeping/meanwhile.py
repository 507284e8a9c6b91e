"""What others did since somebody looked: the last action by a mark, and what was done to a thing after it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from matcher.actions.keeping.done import opened
from matcher.actions.place import Place, store_of
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Words, reason
from matcher.store.database.rows import KEYS, Rows

About = Iterable[tuple[str, str]]
"""Tables of the store with the name of what is meant, such as ("lots", "navy")."""

NOTHING = "0"
"""The mark of a store in which nothing has been done."""


@dataclass(frozen=True)
class Last:
    """The last action: its words, and the mark by which this and no other is known."""

    words: str
    mark: str


@dataclass(frozen=True)
class Meanwhile:
    """Something that was done since: its words and when, "" where it is not known."""

    words: Words
    done_at: str = ""


def last_done(bin: Place = None) -> Last | None:
    """The last action of a store; None for sheets, and where nothing has been done yet. Raises BadInput, NotFound."""
    if store_of(bin) is None:
        return None
    with opened(bin) as store, store.reading():
        found = store.select("SELECT id, words FROM actions ORDER BY id DESC LIMIT 1")
        return Last(found[0]["words"], _mark(store, found[0]["id"])) if found else None


def since(mark: str, about: About, *, bin: Place = None) -> tuple[Meanwhile, ...]:
    """What was done to these things since the action of that mark was the last, the first thing first.

    Where that action itself was taken back, it is said and nothing else. Raises BadInput, NotFound.
    """
    number, _, _ = mark.partition("-")
    if not number.isdecimal() or len(number) > 18 or store_of(bin) is None:
        return ()
    seen = int(number)
    wanted = {(table, fold(name)) for table, name in about}
    with opened(bin) as store, store.reading():
        if seen and mark != _mark(store, seen):
            return (Meanwhile(reason("something was taken back")),)
        lines = store.select("SELECT action, of_table, before, after FROM journal WHERE action > ? ORDER BY id", seen)
        touched = {one["action"] for one in lines if _touches(one, wanted)}
        done = store.select("SELECT id, words, done_at FROM actions WHERE id > ? ORDER BY id", seen)
    return tuple(Meanwhile(one["words"], one["done_at"]) for one in done if one["id"] in touched)


def _mark(store: Rows, action: int) -> str:
    """An action by its number and by all that it did: after undo a number is given out again."""
    done = store.select("SELECT words, done_at FROM actions WHERE id = ?", action)
    lines = store.select("SELECT of_table, before, after FROM journal WHERE action = ? ORDER BY id", action)
    text = json.dumps([done, lines], sort_keys=True)
    return f"{action}-{hashlib.sha256(text.encode()).hexdigest()[:16]}"


def _touches(line: Mapping[str, Any], wanted: set[tuple[str, str]]) -> bool:
    table = line["of_table"]
    for image in (line["before"], line["after"]):
        row = json.loads(image) if image else {}
        if (table, fold(str(row.get(KEYS[table], "")))) in wanted:
            return True
        # Claims, decisions and what was used are about the lot that they name.
        if "lot" in row and ("lots", fold(str(row["lot"]))) in wanted:
            return True
    return False

"""What was done with a lot or a garment: its rows in the journal, back to when it came in, whatever it was called."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from matcher.reasons.reason import reason
from matcher.store.database.faults import damaged
from matcher.store.database.journal import BadImage, image_of
from matcher.store.database.rows import KEYS, LARGEST, Rows

# Tables whose rows name it, by its own.
_OF = {"lots": ("lots", "claims", "decisions"), "garments": ("garments",), "people": ("people",)}


@dataclass(frozen=True)
class Change:
    """A row before and after an action that `words` tell; None where it was not there."""

    action: int
    done_at: str
    words: str
    table: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any] | None


def past_of(store: Rows, table: str, name: str) -> tuple[Change, ...]:
    """All changes of a lot or a garment, the first one first; a name that it had before is followed.

    Raises BadInput where the journal is damaged.
    """
    key, of = KEYS[table], _OF[table]
    columns = {one: store.columns(one) for one in of}
    found: list[Change] = []
    until, called = LARGEST, name
    while called:
        mark = f'"{key}":{json.dumps(called, ensure_ascii=False)}'
        rows = store.select(
            "SELECT journal.id, action, done_at, words, of_table, before, after FROM journal JOIN actions "
            f"ON actions.id = action WHERE journal.id < ? AND of_table IN ({', '.join('?' * len(of))}) "
            "AND (instr(before, ?) OR instr(after, ?)) ORDER BY journal.id DESC",
            *(until, *of, mark, mark),
        )
        called = ""
        for row in rows:
            try:
                before, after = (image_of(row[side], row["of_table"], columns) for side in ("before", "after"))
            except BadImage as fault:
                why = reason("the journal of action {n}: {why}", n=row["action"], why=fault.why)
                raise damaged(store.path, why) from None
            found.append(Change(row["action"], row["done_at"], row["words"], row["of_table"], before, after))
            if row["of_table"] != table:
                continue
            if before is None:  # here it came in; one of the same name before it was another
                return tuple(reversed(found))
            if after is not None and before[key] != after[key]:
                called, until = str(before[key]), row["id"]
                break
    return tuple(reversed(found))

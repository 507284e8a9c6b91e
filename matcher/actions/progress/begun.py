"""A work that is on the needles, by what she calls it."""

from __future__ import annotations

from typing import Any

from matcher.errors import NotFound
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Action, listed, reason
from matcher.store.database.rows import Rows


def work_row(store: Rows, name: str) -> dict[str, Any]:
    """The work on the needles of that name or number; raises NotFound with those that are begun."""
    begun = store.select("SELECT * FROM works WHERE state = 'begun' ORDER BY id")
    for row in begun:
        if fold(row["name"]) == fold(name):
            return row
    for row in begun:
        if str(row["id"]) == name.strip():
            return row
    # The accessory's key, or some words of its name, where only one can be meant.
    meant = [row for row in begun if fold(row["accessory"]) == fold(name)]
    meant = meant or [row for row in begun if fold(name) and fold(row["name"]).startswith(fold(name))]
    meant = meant or [row for row in begun if fold(name) and fold(name) in fold(row["name"])]
    if len(meant) == 1:
        return meant[0]
    if begun:
        todo = reason("on the needles: {works}", works=listed(row["name"] for row in begun))
    else:
        todo = reason("{begin} puts something there", begin=Action("begin"))
    raise NotFound(reason('"{name}" isn\'t on the needles', name=name), str(store.path), todo=todo)

"""The last set of a bin that she was shown: what its things are made from, so that it can be begun without a file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from matcher.actions.desk import Desk
from matcher.actions.ranking.last_list import not_remembered
from matcher.actions.sets.in_file import SET, recipes_in
from matcher.errors import BadInput
from matcher.reasons.reason import Field, Words, reason
from matcher.store.last_lists import LAST_SET, keep_list, kept_list
from matcher.store.recipes import Recipe

_VERSION = 1


@dataclass(frozen=True)
class LastSet:
    """made_at: day and time; mending: which repairs yarn was kept for; recipes: of its things, in their order."""

    made_at: str
    mending: str
    recipes: tuple[Recipe, ...]

    @property
    def words(self) -> Words:
        """Which one it is."""
        return reason("This is the set that was planned on {when}.", when=self.made_at)


def keep_last_set(recipes: Sequence[Recipe], desk: Desk) -> tuple[Words, ...]:
    """Keep what a set is made from; returns what to tell her where that can't be done."""
    if desk.place is None:
        return ()
    kept = {
        "version": _VERSION,
        "made_at": f"{datetime.now():%Y-%m-%d %H:%M}",
        "mending": desk.mending,
        "accessories": [{"recipe": one.as_dict()} for one in recipes],
    }
    try:
        keep_list(desk.place, json.dumps(kept, ensure_ascii=False, separators=(",", ":")), LAST_SET)
    except (BadInput, OSError):
        said = "This set can't be remembered, so begin it from its file ({out}): {folder} can't be written to."
        return (not_remembered(said, out=Field("out")),)
    return ()


def last_set(place: Path) -> LastSet:
    """The last set of a bin. Raises BadInput where none was made, it can no longer be read, or it held nothing."""
    with suppress(AttributeError, KeyError, TypeError, ValueError, RecursionError):  # by another version, or damaged
        told: dict[str, Any] = json.loads(kept_list(place, LAST_SET))
        if told["version"] == _VERSION and not told["accessories"]:
            what = reason("the last set of this bin held nothing")
            raise BadInput(what, str(place), reason("{set} plans another", set=SET))
        if told["version"] == _VERSION:
            return LastSet(str(told["made_at"]), str(told["mending"]), recipes_in(told))
    todo = reason("{set} plans one; or give the file or the folder that it wrote", set=SET)
    raise BadInput(reason("no set of this bin has been planned yet"), str(place), todo)

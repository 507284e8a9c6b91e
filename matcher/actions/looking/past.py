"""What was done with a lot or a garment, in plain words and in her units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.database.past import Change, past_of
from matcher.store.database.rows import KEYS, Rows
from matcher.store.sheets.columns import SHEETS

# Actions whose own words say more than what they changed of one lot.
_SAY_MORE = ("intake", "split", "join", "mended", "finish", "abandon")


@dataclass(frozen=True)
class Event:
    """One thing that was done: the day and time of it, such as 2026-11-25T14:02:11, and what it did."""

    done_at: str
    what: Words

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {"done_at": self.done_at, "what": self.what}


def history_of(store: Rows, table: str, name: str) -> tuple[Event, ...]:
    """Everything that was done with it, the first thing first."""
    works = {row["id"]: row["name"] for row in store.select("SELECT id, name FROM works")} if table == "lots" else {}
    changes = past_of(store, table, name)
    return tuple(
        Event(group[0].done_at, said)
        for group in (list(lines) for _, lines in groupby(changes, key=lambda one: one.action))
        if (said := _told(group, works)) is not None
    )


def _told(group: list[Change], works: Mapping[int, str]) -> Words | None:
    """One action in words: what it changed, and by what it did so where that says more."""
    said = [words for one in group for words in _words(one, works)]
    action = group[0].words
    if not said:
        return None
    done = listed(said, between="; ")
    return reason("{done} ({action})", done=done, action=action) if action.startswith(_SAY_MORE) else done


def _words(one: Change, works: Mapping[int, str]) -> Iterator[Words]:
    if one.table == "claims":
        yield from _claimed(one, works)
    elif one.table == "decisions":
        if one.after is None:
            yield reason("your decision about it was taken back")
        else:
            yield reason("you decided: {advice}", advice=Term(str(one.after["advice"])))
    elif one.before is None:
        assert one.after is not None
        if one.table == "lots":
            yield reason("it came in with {mass}", mass=Mass(one.after["mass_g"]))
        elif one.table == "people":
            yield reason("written down")
        else:
            yield reason("it came in, {status}", status=Term(str(one.after["status"])))
    elif one.after is None:
        yield reason("it was taken out")
    else:
        yield from _changed(one.table, one.before, one.after)


def _claimed(one: Change, works: Mapping[int, str]) -> Iterator[Words]:
    claim = one.after or one.before
    assert claim is not None
    work = works.get(claim["work"], "")
    if one.before is None:
        yield reason("{length} set aside for {work}", length=Length(claim["metres"]), work=work)
    elif one.after is None:
        yield reason("no longer set aside for {work}", work=work)
    elif one.before["metres"] != claim["metres"]:
        yield reason("{length} of it still set aside for {work}", length=Length(claim["metres"]), work=work)


def _changed(table: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Words]:
    key, columns = KEYS[table], SHEETS[table].typed
    if before[key] != after[key]:
        yield reason("called {name}, was {before}", name=after[key], before=before[key])
    if table == "lots" and before["mass_g"] != after["mass_g"]:
        yield reason("{after}, was {before}", after=Mass(after["mass_g"]), before=Mass(before["mass_g"]))
    elif table == "lots" and before["weighed_on"] != after["weighed_on"]:
        yield reason("{mass} as before", mass=Mass(after["mass_g"]))
    for column in columns:
        old, new = before.get(column, ""), after.get(column, "")
        if column in (key, "grams") or old == new:
            continue
        cells = {"column": Term(SHEETS[table][column].said), "old": old, "new": new}
        if not old:
            yield reason("{column}: {new}", **cells)
        elif not new:
            yield reason("{column}: nothing, was {old}", **cells)
        else:
            yield reason("{column}: {new}, was {old}", **cells)

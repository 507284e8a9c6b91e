"""Take back what was done last, see what was done, and look the store over."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.keeping.done import Done, opened
from matcher.actions.place import Place
from matcher.errors import BadInput, BadSheets, Fault, found_expected
from matcher.reasons.reason import Column, Field, Words, counted, reason
from matcher.store.database.verify import FILE, StoreFault, faults_of


def undo(number: int = 1, *, bin: Place = None) -> Done:
    """Take back the last actions, the last one first; the store is exactly as it was before them.

    Raises BadInput when there are not so many.
    """
    if number < 1:
        raise BadInput(reason("say how many actions to take back"), Field("number of actions"), reason("1 or more"))
    with opened(bin) as store:
        undone = store.undo(number)
        left = store.select("SELECT count(*) AS number FROM actions")[0]["number"]
    said = [reason("Taken back: {action}.", action=words) for _, _, words in undone]
    return Done(tuple(said), {"undone": [{"what": words, "done_at": when} for _, when, words in undone], "left": left})


def done_lately(most: int = 20, *, bin: Place = None) -> Done:
    """The last actions, the last one first: what `undo` would take back."""
    with opened(bin) as store:
        found = store.select("SELECT done_at, words FROM actions ORDER BY id DESC LIMIT ?", most)
        of = store.select("SELECT count(*) AS number FROM actions")[0]["number"]
    said: list[Words] = [
        f"{place:>3}  {row['done_at'].replace('T', ' ')}  {row['words']}" for place, row in enumerate(found, 1)
    ]
    more = of - len(found)
    notes = (counted(more, "{n} earlier one isn't shown.", "{n} earlier ones aren't shown."),) if more else ()
    values = [{"what": row["words"], "done_at": row["done_at"]} for row in found]
    return Done(tuple(said or [reason("Nothing has been done yet.")]), {"actions": values, "left": of}, notes)


@dataclass(frozen=True)
class Verified:
    """Whether a store is whole, what is wrong with it, and how many lots it holds."""

    path: Path
    faults: tuple[StoreFault, ...]
    lots: int

    @property
    def ok(self) -> bool:
        return not self.faults

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "ok": self.ok,
            "faults": [{"where": one.where, "what": one.what} for one in self.faults],
            "lots": self.lots,
        }


def verify(*, bin: Place = None) -> Verified:
    """Look a store over: pages, links, sums, the journal, and every cell by the rules of the sheets.

    Raises NotFound or BadInput when the file cannot be opened as a store at all.
    """
    with opened(bin) as store:
        faults = faults_of(store)
        lots = 0
        if not faults:
            from matcher.store.catalogue.standards import load_standards
            from matcher.store.database.bin import bin_of

            try:
                lots = len(bin_of(store, load_standards()).lots)
            except BadSheets as error:
                lots = len(store.lots())
                faults = tuple(_of_a_cell(fault) for fault in error.faults)
            except BadInput as error:
                faults = (StoreFault(FILE, error.what),)
        return Verified(store.path, faults, lots)


def _of_a_cell(fault: Fault) -> StoreFault:
    said = found_expected(fault.found, fault.expected, fault.mend)
    if fault.column:
        said = reason("{column}: {said}", column=Column(fault.column), said=said)
    return StoreFault(fault.where, said)

"""Which garment a lot came from, where the lot names it nearly as its sheet does, or where no sheet lists it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from matcher.materials.reading.names import fold
from matcher.reasons.reason import reason
from matcher.store.sheets.headings import is_slip
from matcher.store.sheets.rows import Row
from matcher.store.sheets.tabulate import Table
from matcher.store.sheets.understood import CellRead, Understood

_NONE = frozenset(
    (
        *("-", "–", "—", "none", "n/a", "na", "no", "nothing", "never used", "not used", "unused", "new"),
        *("none yet", "not yet"),
    )
)
_LONGEST = 200  # letters: a name that is longer is refused where it stands
_COMPARED = 50  # garments that a slip is looked for among, of those that differ in one word; a choice
_TAKEN = reason("a garment that no sheet lists: worn, of unknown kind")
_WORN = reason("worn")


def settle_garments(
    lots: Table | None, garments: Table | None, others: Iterable[str], understood: Understood
) -> Table | None:
    """The garments with those that only lots name; lots that name one nearly are given its name.

    others: names of garments that are known elsewhere, such as in the store.
    """
    elsewhere = list(others)
    if garments is not None:
        _still_worn(garments, frozenset(map(fold, elsewhere)), understood)
    if lots is None:
        return garments
    rows = garments.rows if garments else []
    names = [" ".join(row.cells["garment"].split()) for row in rows if row.cells.get("garment")]
    known = {fold(name): name for name in (*elsewhere, *names)}
    near = _Near(known.values())
    unlisted: dict[str, str] = {}
    listed = set(names)  # as they are written most often
    for row in lots.rows:
        hers = row.cells.get("garment", "")
        if not hers or hers in listed:
            continue
        folded = fold(hers)
        if folded in known or len(hers) > _LONGEST:
            continue
        place = (lots.where, row.number, row.cells.get("lot", ""), "garment", hers)
        if folded in _NONE and not lots.plain:
            del row.cells["garment"]
            row.hers.setdefault("garment", hers)
        elif meant := near.to(folded):
            row.cells["garment"] = meant
            row.hers.setdefault("garment", hers)
            understood.add(CellRead(*place, meant, False))
        else:
            unlisted.setdefault(folded, " ".join(hers.split()))
            understood.add(CellRead(*place, _TAKEN, False))
    if not unlisted:
        return garments
    added = [Row(0, {"garment": name, "status": "worn"}) for name in unlisted.values()]
    if garments is None:
        return Table("garments", 0, frozenset(("garment", "status")), added)
    return replace(garments, rows=[*rows, *added])


def _still_worn(garments: Table, others: frozenset[str], understood: Understood) -> None:
    """A garment of which nothing is said, here or elsewhere, is worn: so its yarn stays with it."""
    for row in garments.rows if not (garments.plain and "status" in garments.columns) else ():
        name = fold(row.cells.get("garment", ""))
        if name and name not in others and "status" not in row.cells and "status" not in row.bad:
            row.cells["status"] = "worn"
            row.hers["status"] = ""
            place = (garments.where, row.number, row.cells["garment"], "status", "")
            understood.add(CellRead(*place, _WORN, False))


class _Near:
    """Names that differ in one word, which is a slip of the other."""

    def __init__(self, names: Iterable[str]) -> None:
        self.by_rest: dict[tuple[str, ...], list[tuple[str, str]]] = {}
        for name in sorted(set(names)):
            for rest, word in _one_out(fold(name)):
                self.by_rest.setdefault(rest, []).append((word, name))

    def to(self, folded: str) -> str:
        """The only name that this may be a slip of; "" where there is none, or several."""
        found = {
            name
            for rest, word in _one_out(folded)
            for other, name in self.by_rest.get(rest, ())[:_COMPARED]
            if is_slip(word, other)
        }
        return found.pop() if len(found) == 1 else ""


def _one_out(folded: str) -> Iterator[tuple[tuple[str, ...], str]]:
    """Each word of a name, and the rest with a gap."""
    words = folded.replace("-", " ").split()
    for at, word in enumerate(words):
        yield (*words[:at], "", *words[at + 1 :]), word

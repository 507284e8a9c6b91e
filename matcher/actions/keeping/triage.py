"""What to do with each lot: keep, let go, put away, or see to before it is lost."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.names import find, near_names
from matcher.errors import BadInput, NotFound
from matcher.matching.triage import ADVICE, BAG, Advice
from matcher.matching.triage import triage as advise
from matcher.materials.lots import Bin
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import normal_z
from matcher.store.database.store import open_store, store_path

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Triage:
    """Advice for every lot, what has most at stake first; cautions are sentences of the catalogue."""

    bin: Bin
    advice: tuple[Advice, ...]
    cautions: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {"advice": [_plain(one) for one in self.advice]}

    def frame(self) -> pd.DataFrame:
        """One row a lot, as a pandas frame."""
        import pandas as pd

        columns = ["lot", "advice", "because", "free_m", "by_hand", "place"]
        return pd.DataFrame([_plain(one) for one in self.advice], columns=columns)


def _plain(one: Advice) -> dict[str, Any]:
    return {
        "lot": one.lot.name,
        "advice": one.advice,
        "because": one.because,
        "free_m": round(one.free_m, 2),
        "by_hand": bool(one.decided_on),
        "place": one.lot.place,
    }


def triage(
    bin: DeskLike = None,
    *,
    lot: str | Sequence[str] = (),
    decide: str | None = None,
    undecide: bool = False,
    catalog: Path | str | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Triage:
    """One advice for each lot, with its reason from the data.

    Parameters
    ----------
    bin : a store, a folder, a spreadsheet, a `Bin`, or None for the usual store, else the demo.
    lot : only these; all when left out.
    decide : an advice (`ADVICE`) that holds for these lots from now on, whatever the figures say.
    undecide : forget what was decided about these lots.
    progress : called with the number of steps done, and of all.

    Raises
    ------
    BadSheets, NotFound; BadInput for a decision about a bin that is no store, or about no lot.
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.catalogue
    wanted = (lot,) if isinstance(lot, str) else tuple(lot)
    if decide is not None or undecide:
        _decide(desk, wanted, decide, undecide)
    with _uncollected():
        read, advice = _advised(desk, progress or (lambda done, of: None))
    if wanted:
        names = {find(one, (known.name for known in read.lots), "lot") for one in wanted}
        advice = tuple(one for one in advice if one.lot.name in names)
    bags = any(one.advice == BAG for one in advice)
    return Triage(read, advice, (catalogue.cautions["moth"],) if bags else ())


@contextmanager
def _uncollected() -> Iterator[None]:
    """Thousands of objects are made here and all of them stay: looking for garbage among them takes a fifth longer."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            # All of it counts as old now, or the first look for garbage would go through it after all.
            gc.freeze()
            gc.unfreeze()
            gc.enable()


def _advised(desk: Desk, progress: Callable[[int, int], None]) -> tuple[Bin, tuple[Advice, ...]]:
    progress(0, 3)
    read, catalogue = desk.bin, desk.catalogue
    progress(1, 3)
    shelf = desk.shelf
    progress(2, 3)
    held = {one.name: 0.0 for one in read.lots} | {name: m for group in shelf.groups for name, m in group.held.items()}
    advice = advise(
        read,
        shelf.free,
        held,
        shelf.pools,
        desk.variants,
        catalogue.fabric,
        normal_z(catalogue.ranking.sure_at_least),
        _decisions(desk),
        frozenset(size for size in catalogue.sizes.names if catalogue.sizes.wearer(size) == "baby"),
    )
    progress(3, 3)
    return read, advice


def which_advice(text: str) -> str:
    """The advice that is meant: its words or the first of them. Raises BadInput with all of them."""
    folded = fold(text)
    meant = [one for one in ADVICE if one == folded] or [one for one in ADVICE if folded and one.startswith(folded)]
    if len(meant) != 1:
        raise BadInput(f'"{text}" is no advice', "--decide", f"give one of: {'; '.join(ADVICE)}")
    return meant[0]


def _decisions(desk: Desk) -> dict[str, tuple[str, str]]:
    if desk.store is None:
        return {}
    with open_store(desk.store) as store:
        rows = {fold(row["lot"]): (row["advice"], row["made_on"]) for row in store.rows("decisions")}
    decided = {lot.name: rows[fold(lot.name)] for lot in desk.bin.lots if fold(lot.name) in rows}
    return {name: one for name, one in decided.items() if one[0] in ADVICE}


def _decide(desk: Desk, lots: Sequence[str], advice: str | None, undecide: bool) -> None:
    """Write the decision down, as one action."""
    if not lots:
        raise BadInput("no lot is named", "--decide" if advice else "--undecide", "name it with --lot")
    if advice is not None and undecide:
        raise BadInput("both at once make no sense", "--decide and --undecide", "give one of them")
    meant = which_advice(advice) if advice is not None else ""
    place = desk.store
    if place is None:
        raise BadInput(
            "only a store remembers what you decide",
            str(desk.place or store_path()),
            "take the bin in with matcher intake, then decide",
        )
    with open_store(place) as store:
        rows = []
        for name in lots:
            row = store.named("lots", name)
            if row is None:
                near = near_names(name, (one["lot"] for one in store.lots()))
                raise NotFound(f'there is no lot "{name}"', str(place), near)
            rows.append(row)
        named = ", ".join(row["lot"] for row in rows)
        with store.action(f"decide {named}: {meant}" if meant else f"decide no longer: {named}") as act:
            for row in rows:
                before = store.row("decisions", row["lot"])
                values = {"advice": meant, "made_on": act.today}
                if before is None and meant:
                    act.insert("decisions", {"lot": row["lot"], **values})
                elif before is not None and meant:
                    act.update("decisions", row["lot"], values)
                elif before is not None:
                    act.delete("decisions", row["lot"])

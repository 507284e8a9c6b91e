"""What to do with each lot: keep, let go, put away, or see to before it is lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.asked import several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.keeping.done import Done, lot_row, opened
from matcher.actions.names import find
from matcher.actions.place import BinLike
from matcher.actions.uncollected import uncollected
from matcher.actions.whom.everyone import not_thought_of
from matcher.errors import BadInput
from matcher.matching.triage import ADVICE, BAG, Advice
from matcher.matching.triage import triage as advise
from matcher.materials.lots import Bin
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import normal_z
from matcher.reasons.reason import Action, Field, Term, Words, listed, reason

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Triage:
    """Advice for every lot, what has most at stake first; cautions are sentences of the catalogue."""

    bin: Bin
    advice: tuple[Advice, ...]
    cautions: tuple[Words, ...] = ()

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
    mending: str | None = None,
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
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.
    progress : called with the number of steps done, and of all.

    Raises
    ------
    BadSheets, NotFound; BadInput for a decision about a bin that is no store, or about no lot.
    """
    desk = desk_of(bin, catalog, mending)
    catalogue = desk.catalogue
    wanted = several(lot)
    if decide is not None or undecide:
        _decide(desk, wanted, decide, undecide)
    with uncollected():
        read, advice = _advised(desk, progress or (lambda done, of: None))
    if wanted:
        names = {find(one, (known.name for known in read.lots), "lot") for one in wanted}
        advice = tuple(one for one in advice if one.lot.name in names)
    bags = any(one.advice == BAG for one in advice)
    return Triage(read, advice, (catalogue.cautions["moth"],) if bags else ())


def decide(lot: str, advice: str, *, bin: BinLike = None) -> Done:
    """Decide on one lot, "" to leave it to the figures again, and say so. Raises as `triage`, which advises besides."""
    _decide(Desk(bin), (lot,), advice or None, not advice)
    if not advice:
        return Done((reason("{lot} is open again", lot=lot),), {"lot": lot})
    return Done((reason("{lot}: {advice}", lot=lot, advice=Term(which_advice(advice))),), {"lot": lot})


def _advised(desk: Desk, progress: Callable[[int, int], None]) -> tuple[Bin, tuple[Advice, ...]]:
    progress(0, 3)
    read, catalogue = desk.bin, desk.catalogue
    progress(1, 3)
    shelf = desk.undecided
    progress(2, 3)
    held = {one.name: 0.0 for one in read.lots} | {name: m for group in shelf.groups for name, m in group.held.items()}
    advice = advise(
        read,
        shelf.free,
        held,
        shelf.pools,
        desk.variants,
        catalogue.fabric,
        catalogue.triage,
        normal_z(catalogue.ranking.sure_at_least),
        not_thought_of(desk.bin, catalogue),
    )
    progress(3, 3)
    return read, advice


def which_advice(text: str) -> str:
    """The advice that is meant: its words or the first of them. Raises BadInput with all of them."""
    folded = fold(text)
    meant = [one for one in ADVICE if one == folded] or [one for one in ADVICE if folded and one.startswith(folded)]
    if len(meant) != 1:
        todo = reason("give one of: {advice}", advice=listed(map(Term, ADVICE), between="; "))
        raise BadInput(reason('"{text}" isn\'t a decision', text=text), Field("decide"), todo)
    return meant[0]


def _decide(desk: Desk, lots: Sequence[str], advice: str | None, undecide: bool) -> None:
    """Write the decision down, as one action."""
    asked = Field("decide") if advice else Field("undecide")
    if not lots:
        raise BadInput(reason("no lot is named"), asked, reason("name it with {field}", field=Field("lot")))
    if advice is not None and undecide:
        both = listed((Field("decide"), Field("undecide")), "and")
        raise BadInput(reason("these two don't go together"), both, reason("give one of them"))
    meant = which_advice(advice) if advice is not None else ""
    if desk.store is None:
        todo = reason("take the bin in with {intake}, then decide", intake=Action("intake"))
        where = str(desk.place) if desk.place is not None else ""
        raise BadInput(reason("only a store remembers what you decide"), where, todo)
    with opened(desk) as store, store.action("decide") as act:
        rows = [lot_row(store, name) for name in lots]
        named = listed(row["lot"] for row in rows)
        undone = reason("take back your decision on {lots}", lots=named)
        act.words = reason("decide on {lots}: {advice}", lots=named, advice=Term(meant)) if meant else undone
        for row in rows:
            before = store.row("decisions", row["lot"])
            values = {"advice": meant, "made_on": act.today}
            if before is None and meant:
                act.insert("decisions", {"lot": row["lot"], **values})
            elif before is not None and meant:
                act.update("decisions", row["lot"], values)
            elif before is not None:
                act.delete("decisions", row["lot"])

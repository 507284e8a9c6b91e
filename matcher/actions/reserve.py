"""What is kept back for mending, from which pieces, for what; and what goes free."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.knitting.mending.reserve import ReserveGroup, reserves
from matcher.materials.lots import MENDING, Bin
from matcher.reasons.reason import Words

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Reserves:
    """The reserve of a whole bin, and what every lot keeps free.

    choices: for each group what each of `MENDING` would keep [m].
    """

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    choices: tuple[Mapping[str, float], ...]
    notes: tuple[Words, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {"groups": [_group(group, kept) for group, kept in zip(self.groups, self.choices, strict=True)]}

    def frame(self) -> pd.DataFrame:
        """One row a lot, as a pandas frame: metres held and metres freed."""
        import pandas as pd

        return pd.DataFrame(
            [
                {
                    "garment": group.garment,
                    "yarn": group.yarn,
                    "colour": group.colour,
                    "lot": lot,
                    "held_m": held,
                    "freed_m": group.freed[lot],
                }
                for group in self.groups
                for lot, held in group.held.items()
            ]
        )


def _group(group: ReserveGroup, choices: Mapping[str, float]) -> dict[str, Any]:
    return {
        "garment": group.garment,
        "yarn": group.yarn,
        "colour": group.colour,
        "reserve_m": round(group.reserve_m, 2),
        "sd_m": round(group.sd_m, 2),
        "missing_m": round(group.missing_m, 2),
        "mending": group.mending,
        "choices": {f"{choice}_m": round(metres, 2) for choice, metres in choices.items()},
        "because": group.because,
        "held": [{"lot": lot, "metres": round(metres, 2)} for lot, metres in group.held.items() if metres > 0],
        "freed": [{"lot": lot, "metres": round(metres, 2)} for lot, metres in group.freed.items() if metres > 0],
    }


def reserve(bin: DeskLike = None, *, mending: str | None = None, catalog: Path | str | None = None) -> Reserves:
    """Lay the reserve of every garment on its lots.

    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.

    Raises BadSheets with every fault of the files at once, BadInput, or NotFound.
    """
    desk = desk_of(bin, catalog, mending)
    return Reserves(desk.bin, desk.shelf.groups, _choices(desk), desk.shelf.notes)


def mending_choices(desk: Desk, garment: str) -> Mapping[str, float]:
    """What each of `MENDING` would keep for one garment [m], whatever is written down for it."""
    lots = tuple(lot for lot in desk.bin.lots if lot.garment == garment)
    of_group = _choices(desk.with_(bin=replace(desk.bin, lots=lots)))
    return {choice: sum(kept[choice] for kept in of_group) for choice in MENDING}


def _choices(desk: Desk) -> tuple[Mapping[str, float], ...]:
    """What each choice would keep of every group [m], whatever is written down for its garment."""
    rules = desk.catalogue.repairs, desk.catalogue.fabric, desk.catalogue.sizes
    of_choice = []
    for choice in MENDING:
        garments = {name: replace(one, mending=choice) for name, one in desk.bin.garments.items()}
        of_choice.append(reserves(replace(desk.bin, garments=garments), *rules, choice))
    return tuple(
        {choice: group.reserve_m for choice, group in zip(MENDING, groups, strict=True)}
        for groups in zip(*of_choice, strict=True)
    )

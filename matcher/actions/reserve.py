"""What is kept back for mending, from which pieces, for what; and what goes free."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.materials.lots import Bin
from matcher.reasons.reason import Words

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Reserves:
    """The reserve of a whole bin, and what every lot keeps free."""

    bin: Bin
    groups: tuple[ReserveGroup, ...]
    notes: tuple[Words, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {"groups": [_group(group) for group in self.groups]}

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


def _group(group: ReserveGroup) -> dict[str, Any]:
    return {
        "garment": group.garment,
        "yarn": group.yarn,
        "colour": group.colour,
        "reserve_m": round(group.reserve_m, 2),
        "sd_m": round(group.sd_m, 2),
        "missing_m": round(group.missing_m, 2),
        "because": group.because,
        "held": [{"lot": lot, "metres": round(metres, 2)} for lot, metres in group.held.items() if metres > 0],
        "freed": [{"lot": lot, "metres": round(metres, 2)} for lot, metres in group.freed.items() if metres > 0],
    }


def reserve(bin: DeskLike = None, *, catalog: Path | str | None = None) -> Reserves:
    """Lay the reserve of every garment on its lots.

    Raises BadSheets with every fault of the files at once, or NotFound.
    """
    desk = desk_of(bin, catalog)
    return Reserves(desk.bin, desk.shelf.groups, desk.shelf.notes)

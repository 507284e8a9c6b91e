"""Which lots look alike, and what tells them apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.matching.scraps.lookalikes import TAG, Alike, lookalikes_of
from matcher.materials.lots import Lot

if TYPE_CHECKING:
    import pandas as pd

# Further ones are left to her labels: a sentence that names them all would not be read.
_MOST_NAMED = 4
_TO_WEIGH_M = 20


@dataclass(frozen=True)
class Group:
    """Lots that look alike, and what to do about it, in words."""

    alike: Alike
    words: tuple[str, ...]

    @property
    def lots(self) -> tuple[Lot, ...]:
        return self.alike.lots

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "class": self.lots[0].yarn.weight_class,
            "lots": [lot.name for lot in self.lots],
            "largest_delta_e": round(self.alike.largest_delta_e, 2),
            "told_apart_by": list(self.alike.told_apart_by),
            "dye_lots": [
                {
                    "colour": colour,
                    "dye_lots": [{"dye_lot": dye_lot, "lots": list(names)} for dye_lot, names in baths.items()],
                }
                for colour, baths in self.alike.dye_lots
            ],
            "words": list(self.words),
        }


@dataclass(frozen=True)
class Lookalikes:
    """Every group of a bin; `limit` is the CIEDE2000 up to which two lots count as alike."""

    limit: float
    groups: tuple[Group, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {"limit_delta_e": round(self.limit, 2), "groups": [group.as_dict() for group in self.groups]}

    def frame(self) -> pd.DataFrame:
        """One row for each lot of each group, as a pandas frame."""
        import pandas as pd

        columns = ["group", "class", "lot", "largest_delta_e", "told_apart_by"]
        rows = []
        for place, group in enumerate(self.groups, 1):
            known = group.as_dict()
            told = ", ".join(known["told_apart_by"])
            rows += [(place, known["class"], name, known["largest_delta_e"], told) for name in known["lots"]]
        return pd.DataFrame(rows, columns=columns)


def lookalikes(bin: DeskLike = None, *, catalog: Path | str | None = None) -> Lookalikes:
    """Lots of one weight class that the eye cannot tell apart, and what does tell them apart.

    Raises BadSheets with every fault of the files at once, or NotFound.
    """
    desk = desk_of(bin, catalog)
    rules = desk.catalogue.identify
    found = lookalikes_of(desk.shelf.pools, rules)
    return Lookalikes(rules.alike_delta_e, tuple(Group(one, _words(one)) for one in found))


def _words(alike: Alike) -> tuple[str, ...]:
    lots, told = alike.lots, alike.told_apart_by
    words = []
    if "tex" in told:
        grams = _by(lots, lambda lot: f"{_TO_WEIGH_M * lot.yarn.tex.mean / 1000:.1f} g")
        words.append(f"tex: weigh {_TO_WEIGH_M} m of each: {grams}")
    if "fibre" in told:
        words.append(f"fibre: {_by(lots, lambda lot: str(lot.yarn.blend.words()))}")
    if "wash" in told:
        washed = {"hand": "washed by hand", "machine": "washed by machine"}
        words.append(f"wash: {_by(lots, lambda lot: washed.get(lot.yarn.wash, 'not known'))}")
    if "dye lot" in told:
        words.append(f"dye lot: {_by(lots, lambda lot: lot.dye_lot or 'not written down')}; only the band tells")
    for colour, baths in alike.dye_lots:
        words.append(
            f"{colour} is here in {len(baths)} dye lots: {', '.join(baths)}; "
            "keep them apart in one piece, or change over in alternate rows"
        )
    if alike.untold:
        a, b = alike.untold
        words.append(f"{TAG}: nothing that you wrote down tells {a} from {b}")
    return tuple(words)


def _by(lots: Sequence[Lot], of: Callable[[Lot], str]) -> str:
    """What a property is for which lots: "8.0 g navy and plum, 12.4 g rust"."""
    gathered: dict[str, list[str]] = {}
    for lot in lots:
        gathered.setdefault(of(lot), []).append(lot.name)
    named = [f"{value} ({_some(names)})" for value, names in list(gathered.items())[:_MOST_NAMED]]
    more = len(gathered) - _MOST_NAMED
    return "; ".join(named) + (f"; and {more} more" if more > 0 else "")


def _some(names: Sequence[str]) -> str:
    shown = list(names[:_MOST_NAMED])
    more = len(names) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more > 0 else "")

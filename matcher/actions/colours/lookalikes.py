"""Which lots look alike, and what tells them apart."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.matching.guessed import tell_for_sure
from matcher.matching.scraps.lookalikes import TAG, Alike, lookalikes_of
from matcher.materials.care import label_words
from matcher.materials.lots import Lot
from matcher.reasons.quantities import Length, Mass
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.reasons.style import Sayable

if TYPE_CHECKING:
    import pandas as pd

# Further ones are left to her labels: a sentence that names them all would not be read.
_MOST_NAMED = 4


@dataclass(frozen=True)
class Group:
    """Lots that look alike, and what to do about it."""

    alike: Alike
    words: tuple[Words, ...]

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
    found = lookalikes_of(desk.undecided.pools, rules)
    return Lookalikes(rules.alike_delta_e, tuple(Group(one, _words(one, rules.weigh_m)) for one in found))


def _words(alike: Alike, weigh_m: float) -> tuple[Words, ...]:
    lots, told = alike.lots, alike.told_apart_by
    guessed = tell_for_sure(lot.name for lot in lots if lot.colour.guessed)
    words: list[Words] = [guessed] if guessed else []
    if "tex" in told:
        each = _by(lots, lambda lot: Mass(round(weigh_m * lot.yarn.tex.mean / 1000, 1)))
        words.append(reason("tex: weigh {length} of each: {each}", length=Length(weigh_m), each=each))
    if "fibre" in told:
        words.append(reason("fibre: {each}", each=_by(lots, lambda lot: lot.yarn.blend.words())))
    if "wash" in told:
        words.append(reason("wash: {each}", each=_by(lots, lambda lot: label_words(lot.yarn.wash))))
    if "dye lot" in told:
        each = _by(lots, lambda lot: lot.dye_lot or reason("not written down"))
        words.append(reason("dye lot: {each}; check the ball band", each=each))
    for colour, baths in alike.dye_lots:
        said = "{colour}: {n} dye lots ({names}): keep them apart, or alternate every two rows"
        words.append(reason(said, colour=colour, n=len(baths), names=listed(baths)))
    if alike.untold:
        a, b = alike.untold
        words.append(reason("{tag}: your notes don't tell {a} from {b}", tag=Term(TAG), a=a, b=b))
    return tuple(words)


def _by(lots: Sequence[Lot], of: Callable[[Lot], Sayable | str]) -> Words:
    """What a property is for which lots: "8 g (navy, plum); 12.4 g (rust)"."""
    gathered: dict[Sayable | str, list[str]] = {}
    for lot in lots:
        gathered.setdefault(of(lot), []).append(lot.name)
    each = [reason("{value} ({names})", value=value, names=_some(names)) for value, names in gathered.items()]
    more = len(each) - _MOST_NAMED
    return listed([*each[:_MOST_NAMED], *([reason("and {n} more", n=more)] if more > 0 else [])], between="; ")


def _some(names: Sequence[str]) -> Words:
    more = len(names) - _MOST_NAMED
    some = listed(names[:_MOST_NAMED])
    return reason("{some} and {n} more", some=some, n=more) if more > 0 else some

"""What could stand in for a yarn, as a person and a program get it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from matcher.matching.instead.beside import Asked
from matcher.matching.instead.changes import look_verdict
from matcher.matching.instead.mending import Mends
from matcher.matching.instead.way import Way, Weigher
from matcher.reasons.quantities import Chance, Length, Tex
from matcher.reasons.reason import Term, Words, counted, listed, reason

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class StandIn:
    """A way to stand in, what it changes and what stays, and whether it would mend the garment.

    lacks: why it is not good enough, where it is only near.
    """

    way: Way
    weigher: Weigher
    changes: tuple[Words, ...]
    stays: tuple[Words, ...]
    mends: Mends | None
    lacks: tuple[Words, ...] = ()

    @property
    def how(self) -> str:
        """In which way."""
        if sum(self.way.strands) > 1 and not self.way.joined:
            return "held together"
        return "joined" if sum(len(one.pool.lots) for one in self.way.members) > 1 else "alone"

    @property
    def called(self) -> Words:
        """Such as "ink sock, two strands" or "mid grey + pale grey, one after the other"."""
        way = self.way
        if self.how == "held together" and not way.marl:
            return counted(way.strands[0], "{lot}", "{lot}, {n} strands held together", lot=self._lots(0))
        if self.how == "held together":
            each = [
                counted(count, "{lot}", "{n} strands of {lot}", lot=self._lots(place))
                for place, count in enumerate(way.strands)
            ]
            return reason("{lots} held together", lots=listed(each, between=" + "))
        names = listed((self._lots(place) for place in range(len(way.members))), between=" + ")
        return reason("{lots}, one after the other", lots=names) if self.how == "joined" else names

    def _lots(self, place: int) -> Words:
        return listed((lot.name for lot in self.way.members[place].pool.lots), between=" + ")

    @property
    def free_m(self) -> float:
        """Metres of the thread that what is free comes to, all strands together counted once [m]."""
        return min(
            free.mean * self.way.need_m / need for free, need in zip(self.way.free, self.way.needed_m, strict=True)
        )

    @property
    def takes(self) -> Words:
        """What it needs, what is free, and how sure it is enough."""
        said = "needs {need}, {free} are free; {sure} sure"
        if self.how == "held together":
            said = "needs {need} of each strand, {free} are free; {sure} sure"
        return reason(said, need=Length(self.way.need_m), free=Length(self.free_m), sure=Chance(self.way.sure))

    @property
    def stays_said(self) -> Words:
        """What stays as it was; for what keeps anything."""
        return counted(len(self.stays), "{what} stays", "{what} stay", what=listed(self.stays, "and"))

    def as_dict(self, rank: int) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        way, asked, rules = self.way, self.weigher.asked, self.weigher.rules
        seen = way.worst_seen
        before, after = self.weigher.gauge(asked.yarn.tex.mean), self.weigher.gauge(way.tex.mean)
        return {
            "rank": rank,
            "how": self.how,
            "called": self.called,
            "lots": [
                {
                    "lot": one.name,
                    "lots": [lot.name for lot in one.pool.lots],
                    "places": [lot.place for lot in one.pool.lots],
                    "dye_lot": one.pool.dye_lot,
                    "strands": count,
                    "free_m": round(one.pool.free.mean, 2),
                }
                for one, count in zip(way.members, way.strands, strict=True)
            ],
            "needed_m": round(way.need_m, 2),
            "free_m": round(self.free_m, 2),
            "sure": round(way.sure, 4),
            "score": round(way.score, 4),
            "parts": {name: round(part, 4) for name, part in way.parts.items()},
            "gauge": {
                "tex_before": round(asked.yarn.tex.mean, 1),
                "tex_after": round(way.tex.mean, 1),
                "stitches_10cm_before": round(before.stitches_10cm, 2),
                "stitches_10cm_after": round(after.stitches_10cm, 2),
            },
            "look": None
            if asked.colour is None
            else {
                "delta_e": round(seen.delta_e, 2),
                "delta_l": round(seen.delta_l, 2),
                "verdict": Term(look_verdict(seen, rules)),
                "marl": way.marl,
            },
            "changes": list(self.changes),
            "stays": list(self.stays),
            "mends": None
            if self.mends is None
            else {"garment": self.mends.garment, "serves": self.mends.serves, "why": self.mends.why},
            **({"lacks": list(self.lacks)} if self.lacks else {}),
        }


@dataclass(frozen=True)
class Instead:
    """What could stand in, best first; `nearest` comes closest where nothing can. sure: the chance that was asked."""

    asked: Asked
    sure: float
    stand_ins: tuple[StandIn, ...]
    nearest: tuple[StandIn, ...]
    notes: tuple[Words, ...]
    weigher: Weigher

    @property
    def wanted(self) -> Words:
        """How much of what is asked for."""
        asked = self.asked
        yarn = listed([asked.yarn.blend.words(), reason("{tex}", tex=Tex(asked.yarn.tex.mean))])
        said = (
            "{length} wanted, which is all that is free of it: {yarn}" if asked.all_free else "{length} wanted: {yarn}"
        )
        return reason(said, length=Length(asked.need_m), yarn=yarn)

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        asked, lot = self.asked, self.asked.lot
        return {
            "asked": {
                "lot": None if lot is None else lot.name,
                "garment": "" if lot is None else lot.garment,
                "dye_lot": "" if lot is None else lot.dye_lot,
                "class": asked.yarn.weight_class,
                "tex": round(asked.yarn.tex.mean, 1),
                "fibre": asked.yarn.blend.words(),
                "wash": asked.yarn.wash,
                "colour": None if asked.colour is None else asked.colour.words(),
                "needed_m": round(asked.need_m, 2),
                "sure": round(self.sure, 4),
            },
            "weights": dict(self.weigher.weights),
            "stand_ins": [one.as_dict(rank) for rank, one in enumerate(self.stand_ins, 1)],
            "nearest": [one.as_dict(rank) for rank, one in enumerate(self.nearest, 1)],
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """One row a way, as a pandas frame; those that are only near have what they lack."""
        import pandas as pd

        rows: list[dict[str, Any]] = []
        for one in (*self.stand_ins, *self.nearest):
            known = one.as_dict(len(rows) + 1)
            look = known["look"] or {"delta_e": None, "delta_l": None, "verdict": ""}
            rows.append(
                {key: known[key] for key in ("rank", "called", "how", "needed_m", "free_m", "sure", "score")}
                | {"stitches_10cm": known["gauge"]["stitches_10cm_after"]}
                | {key: look[key] for key in ("delta_e", "delta_l", "verdict")}
                | {"lacks": listed(one.lacks, "and")}
            )
        columns = ["rank", "called", "how", "needed_m", "free_m", "sure", "score", "stitches_10cm"]
        return pd.DataFrame(rows, columns=[*columns, "delta_e", "delta_l", "verdict", "lacks"])

"""What a collection could become, as a person and a program get it: every lot with whose it is and where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from matcher.actions.collection.gathered import LeftOut
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.sets.result import LotUse
from matcher.matching.collected import MembersLot
from matcher.reasons.quantities import Length, Memory
from matcher.reasons.reason import Term, Words, counted, listed, reason
from matcher.reasons.style import Units
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd


def lot_of(lot: MembersLot) -> dict[str, Any]:
    """Whose a lot is and where it lies: the keys of the JSON."""
    return {
        "member": lot.member,
        "place": lot.place or None,
        "number": lot.number,
        "colour": lot.colour_name,
        "guessed": lot.colour.guessed,
        "yarn": lot.yarn.name,
    }


def in_list(lot: MembersLot) -> Words:
    """A lot in its own member's list, as it is written there: "lot 12 (navy? soft wool)", whose colour is guessed."""
    colour = f"{lot.colour_name}?" if lot.colour_name and lot.colour.guessed else lot.colour_name
    told = f"{colour} {lot.yarn.name}".strip()
    return reason("lot {number} ({told})" if told else "lot {number}", number=lot.number, told=told)


def owner_of(member: str, place: str, what: Words) -> Words:
    """Before what is a member's: who, and where it lies."""
    return reason("{member} ({place}): {what}" if place else "{member}: {what}", member=member, place=place, what=what)


@dataclass(frozen=True)
class PooledThing:
    """A suggestion from lots of several members."""

    suggestion: Suggestion

    @property
    def lots(self) -> Iterator[tuple[str, MembersLot]]:
        """Each role with each of its lots."""
        return ((role, lot) for role, lot, _, _ in self.takes)

    @property
    def takes(self) -> Iterator[tuple[str, MembersLot, int, float]]:
        """The same, with how many strands of it are held together and the metres of all these: of lots that count as
        one the last gives what the others have not."""
        for role in self.suggestion.roles:
            named = {lot.name: lot for lot in role.lots if isinstance(lot, MembersLot)}
            for strand in role.held:
                metres = role.need.length_m * strand.count
                for name in strand.lots:
                    lot = named[name]
                    part = metres if name == strand.lots[-1] else min(metres, lot.length.mean)
                    metres -= part
                    yield role.role, lot, strand.count, part

    @property
    def guessed(self) -> bool:
        """Whether the colour of any of its lots is guessed."""
        return any(lot.colour.guessed for _, lot in self.lots)

    @property
    def members(self) -> tuple[str, ...]:
        """The members who give something, in the order of the roles."""
        return tuple(dict.fromkeys(lot.member for _, lot in self.lots))

    @property
    def sources(self) -> Words:
        """Whose lots it takes: "member 2 (north): lot 12 (navy soft wool); member 7: lot 3 (cream)"."""
        whose: dict[tuple[str, str], list[Words]] = {}
        for _, lot in self.lots:
            whose.setdefault((lot.member, lot.place), []).append(in_list(lot))
        said = (owner_of(member, place, listed(dict.fromkeys(lots))) for (member, place), lots in whose.items())
        return listed(said, between="; ")

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        lots = [
            {"role": role, "lot": lot.name, **lot_of(lot), "strands": strands, **_taken(lot, part)}
            for role, lot, strands, part in self.takes
        ]
        told = self.suggestion.as_dict()
        return {**told, "roles": [_of_free(one) for one in told["roles"]], "from": lots}


def _taken(lot: MembersLot, metres: float) -> dict[str, float]:
    """So much of a lot, and what is free of it."""
    grams = metres * lot.yarn.tex.mean / 1000.0
    return {"metres": round(metres, 2), "grams": round(grams, 2), "free_m": round(lot.length.mean, 2)}


def _of_free(role: dict[str, Any]) -> dict[str, Any]:
    """A role's keys. What its owners have besides, and what they keep, is not known."""
    named = {"on_hand_m": "free_m", "on_hand_sd_m": "free_sd_m"}
    return {named.get(key, key): value for key, value in role.items() if key != "reserve_m"}


@dataclass(frozen=True)
class Giver:
    """A like yarn of somebody's, for what a near miss lacks: so many metres, so far off in colour [CIEDE2000].

    other_shade : whether that is more than is hardly told apart in one fabric.
    """

    lot: MembersLot
    free_m: float
    delta_e: float
    other_shade: bool = False

    @property
    def said(self) -> Words:
        """Such as "member 7 (north) has 60 m of a like yarn: lot 12 (navy soft wool)"."""
        has = "{member} has {free} of a like yarn: {lot}"
        if self.other_shade:
            has = "{member} has {free} of a like yarn in another shade, to compare in daylight: {lot}"
        member, lot = self.lot.member, in_list(self.lot)
        whose = reason("{member} ({place})", member=member, place=self.lot.place) if self.lot.place else member
        return reason(has, member=whose, free=Length(self.free_m), lot=lot)

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still."""
        return {
            **lot_of(self.lot),
            "free_m": round(self.free_m, 2),
            "delta_e": round(self.delta_e, 2),
            "said": self.said,
        }


@dataclass(frozen=True)
class Lacks:
    """What a role of a near miss lacks, and who could give it, the likest yarn first."""

    role: str
    metres: float
    givers: tuple[Giver, ...]

    @property
    def said(self) -> Words:
        """Who could give it."""
        if not self.givers:
            return reason("{role}: nobody has a like yarn to spare", role=Term(self.role))
        return reason(
            "{role}: {givers}", role=Term(self.role), givers=listed([one.said for one in self.givers], "", "; ")
        )

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still."""
        return {
            "role": self.role,
            "metres": round(self.metres, 2),
            "givers": [one.as_dict() for one in self.givers],
        }


@dataclass(frozen=True)
class Nearly:
    """A near miss: what it would have been, what it lacks in words, and who could give what is short."""

    thing: PooledThing
    lacks: tuple[Words, ...]
    short: tuple[Lacks, ...]

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {
            **self.thing.as_dict(),
            "lacks": list(self.lacks),
            "short": [one.as_dict() for one in self.short],
        }


@dataclass(frozen=True)
class Group:
    """What the yarn of one member, or of one place, could become by itself. free_m : all metres that are free.
    cut_short : not all was tried."""

    name: str
    rows: int
    free_m: float
    things: tuple[PooledThing, ...]
    nearly: tuple[Nearly, ...] = ()
    cut_short: bool = False

    def as_dict(self, what: str) -> dict[str, Any]:
        """The keys of the JSON. what : "member" or "place"."""
        return {
            what: self.name or None,
            "lots": self.rows,
            "free_m": round(self.free_m, 1),
            "suggestions": [one.as_dict() for one in self.things],
            "near_misses": [one.as_dict() for one in self.nearly],
        }


@dataclass(frozen=True)
class PooledSet:
    """Things that can all be knitted, no metre promised twice, and that use most of the yarn.

    chosen_from : of so many rows, by their number. sure : that all of it lasts. used : which part of their weight goes
    into it; most : no set of them can use more, None where that is not known. lots : what each gives.
    """

    things: tuple[PooledThing, ...]
    sure: float
    used: float
    most: float | None
    chosen_from: int
    lots: tuple[LotUse, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still."""
        return {
            "things": [one.as_dict() for one in self.things],
            "sure": round(self.sure, 6),
            "used": round(self.used, 4),
            "most": None if self.most is None else round(self.most, 4),
            "chosen_from": self.chosen_from,
            "lots": [
                {
                    **lot_of(one.lot),
                    "free_m": round(one.on_hand_m, 2),
                    "used": [{"thing": number, "metres": round(metres, 2)} for number, metres in one.used],
                    "left_m": round(one.left_m, 2),
                }
                for one in self.lots
                if isinstance(one.lot, MembersLot)
            ],
        }


@dataclass(frozen=True)
class Cost:
    """What the answer took. parts : into so many the rows were cut; peak_bytes : the most memory of this process."""

    parts: int
    peak_bytes: int

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON."""
        return {"parts": self.parts, "memory_mb": round(self.peak_bytes / 1e6)}

    def said(self, by_workers: bool = False) -> Words:
        """The same in words; "" where the system does not say. by_workers : the parts were read on other machines."""
        if not self.peak_bytes:
            return ""
        memory = Memory(self.peak_bytes)
        if by_workers:
            return reason("This took at most {memory} of memory here, besides what the workers took.", memory=memory)
        one = "This took at most {memory} of memory."
        many = "This took at most {memory} of memory, reading {n} parts one after the other."
        return counted(self.parts, one, many, memory=memory)


LARGE = 20_000
"""Lots of a pool past which it is said on the screen what the answer took; a choice."""


@dataclass(frozen=True)
class Pooled:
    """All that `pool` found. Numbers run on through suggestions, small things and near misses.

    lots : rows of free yarn. places : by name, their rows; "" for nowhere in particular. who : each code with its file,
    passed_over : files that are no bins, and copies : each file with those that hold the same, which are not counted;
    all for whoever runs the pool and for no answer that is handed on. cut_short : not all was tried.
    """

    sure_at_least: float
    files: int
    members: tuple[str, ...]
    lots: int
    free_m: float
    places: Mapping[str, int]
    things: tuple[PooledThing, ...]
    small: tuple[PooledThing, ...]
    cost: Cost
    cut_short: bool = False
    nearly: tuple[Nearly, ...] | None = None
    by_member: tuple[Group, ...] | None = None
    by_place: tuple[Group, ...] | None = None
    planned: PooledSet | None = None
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[Words, ...] = ()
    who: tuple[tuple[str, str], ...] = ()
    passed_over: tuple[str, ...] = ()
    copies: tuple[tuple[str, ...], ...] = ()
    catalogue: Catalogue | None = field(default=None, repr=False, compare=False)

    def __iter__(self) -> Iterator[PooledThing]:
        return iter(self.things)

    def __len__(self) -> int:
        return len(self.things)

    @property
    def numbered(self) -> tuple[PooledThing, ...]:
        """Everything that has a number, in its order."""
        return (*self.things, *self.small, *(one.thing for one in self.nearly or ()))

    def as_dict(self, units: Units = "metric", *, who: bool = False) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say in these units. Figures are metric.

        who : say which file is which code.
        """
        asked: dict[str, Any] = {}
        if who:
            asked["who"] = [{"member": code, "file": file} for code, file in self.who]
        if self.nearly is not None:
            asked["near_misses"] = [one.as_dict() for one in self.nearly]
        if self.by_member is not None:
            asked["by_member"] = [one.as_dict("member") for one in self.by_member]
        if self.by_place is not None:
            asked["by_place"] = [one.as_dict("place") for one in self.by_place]
        if self.planned is not None:
            asked["set"] = self.planned.as_dict()
        return {
            "sure_at_least": self.sure_at_least,
            "units": units,
            "files": self.files,
            "members": list(self.members),
            "places": [{"place": place or None, "lots": rows} for place, rows in self.places.items()],
            "lots": self.lots,
            "free_m": round(self.free_m, 1),
            "suggestions": [one.as_dict() for one in self.things],
            "small": [one.as_dict() for one in self.small],
            **asked,
            "left_out": [one.as_dict() for one in self.left_out],
            "cost": self.cost.as_dict(),
            "notes": list(self.notes),
        }

    def frame(self) -> pd.DataFrame:
        """A row for each lot of each suggestion, as a pandas frame; list says in which of the answers it stands.

        "nearly" are the lots of a near miss, with what it needs of each; "gap" who could give what it lacks, with the
        metres of that, or a row without a member where nobody could.
        """
        import pandas as pd

        groups = [("member", self.by_member or ()), ("place", self.by_place or ())]
        lists: list[tuple[str, str, Sequence[PooledThing]]] = [("all", "", self.things), ("small", "", self.small)]
        lists += [(name, one.name, one.things) for name, several in groups for one in several]
        lists += [("set", "", self.planned.things)] if self.planned is not None else []
        nearly = [("", one) for one in self.nearly or ()]
        nearly += [(group.name, one) for _, several in groups for group in several for one in group.nearly]
        rows = [row for name, of, things in lists for thing in things for row in _rows(name, of, thing)]
        for of, near in nearly:
            rows += [*_rows("nearly", of, near.thing), *_gap_rows(of, near)]
        return pd.DataFrame(rows, columns=list(COLUMNS))


def _head(name: str, of: str, thing: PooledThing) -> dict[str, Any]:
    one = thing.suggestion
    told = {"rank": one.rank, "accessory": one.accessory, "size": one.size}
    return {"list": name, "of": of, **told, "score": round(one.score, 6), "sure": round(one.sure, 6)}


def _rows(name: str, of: str, thing: PooledThing) -> Iterator[dict[str, Any]]:
    for role, lot, strands, metres in thing.takes:
        yield {**_head(name, of, thing), "role": role, **lot_of(lot), "strands": strands, **_taken(lot, metres)}


def _gap_rows(of: str, near: Nearly) -> Iterator[dict[str, Any]]:
    for lack in near.short:
        head = {**_head("gap", of, near.thing), "role": lack.role}
        for giver in lack.givers:
            told = {**lot_of(giver.lot), "strands": "", **_taken(giver.lot, lack.metres)}
            yield {**head, **told, "free_m": round(giver.free_m, 2)}
        if not lack.givers:
            yield {**dict.fromkeys(COLUMNS, ""), **head, "metres": round(lack.metres, 2)}


COLUMNS: Sequence[str] = (
    *("list", "of", "rank", "accessory", "size", "score", "sure", "role"),
    *("member", "place", "number", "colour", "guessed", "yarn", "strands", "metres", "grams", "free_m"),
)

"""Lots as they are named for the roles of an accessory: "main=navy + navy 2", "fog & navy", "2 x fog"."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from matcher.actions.names import find
from matcher.errors import BadInput
from matcher.materials.colours.colour import Colour, marled
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.store.recipes import Strand

_TIMES = re.compile(r"([23])\s*[x×]\s+(.+)")
Strands = Mapping[str, tuple[Strand, ...]]
"""What each role is knitted with: lots by their names in the store."""


@dataclass(frozen=True)
class RoleLots:
    """What is on the needles for one role: strands held together, each of lots one after the other, held so often."""

    role: str
    strands: tuple[tuple[tuple[Lot, ...], int], ...]

    @property
    def lots(self) -> tuple[Lot, ...]:
        """All of them."""
        return tuple(lot for lots, _ in self.strands for lot in lots)

    @property
    def colour(self) -> Colour:
        """That of what is on the needles; each strand is of its first lot."""
        if len(self.strands) == 1:
            return self.strands[0][0][0].colour
        return marled([(lots[0].colour, lots[0].yarn.tex.mean * count) for lots, count in self.strands])

    @property
    def tex(self) -> float:
        """Linear density of what is on the needles [tex]."""
        return sum(count * lots[0].yarn.tex.mean for lots, count in self.strands)


def tex_of(strands: Sequence[Strand], there: Mapping[str, Lot]) -> float:
    """Linear density of strands held together [tex]. there: lots by folded name; the first of each strand counts."""
    return sum(one.count * there[fold(one.lots[0])].yarn.tex.mean for one in strands)


class LotNames(Protocol):
    """The lots there are, by their names and by the codes on their tags."""

    def known(self, name: str) -> str | None:
        """The name as it is kept, None for no such lot."""

    def found(self, name: str) -> str:
        """The same; raises NotFound with the nearest names."""


@dataclass(frozen=True)
class InBin:
    """Those of a bin that was read."""

    bin: Bin

    def known(self, name: str) -> str | None:
        for lot in self.bin.lots:
            if fold(lot.name) == fold(name) or (lot.code and lot.code == name.strip().upper()):
                return lot.name
        return None

    def found(self, name: str) -> str:
        return self.known(name) or find(name, (lot.name for lot in self.bin.lots), "lot")


def named_strands(
    roles: Sequence[str], called: str, lots: Sequence[str], there: LotNames, known: Strands, *, whole: bool = True
) -> Strands:
    """What each role that needs lots is knitted with.

    roles: those of the accessory, which is `called` so. lots: "main=navy", or in the order of the roles. known: what is
    settled for a role that is not named. whole: whether each must have lots. Raises BadInput, and NotFound for a lot
    that is not there.
    """
    found: dict[str, tuple[Strand, ...]] = {}
    for text in lots:
        before, sign, after = text.partition("=")
        # A name may hold an equals sign itself: what lies in the store goes first.
        if sign and there.known(text) is None:
            role, words = next((one for one in roles if fold(one) == fold(before)), ""), after
            if not role:
                no_role = '{accessory} has no role "{role}" to choose a lot for'
                what = reason(no_role, accessory=called, role=before.strip())
                raise BadInput(what, Field("lots"), reason("its roles are {roles}", roles=listed(map(Term, roles))))
        else:
            role, words = next((one for one in roles if one not in found), ""), text
        if not role or role in found:
            one, many = "{accessory} has no more than {n} role", "{accessory} has no more than {n} roles"
            too_many: Words = counted(len(roles), one, many, accessory=called)
            told = reason("{role} already has its lots", role=Term(role)) if role else too_many
            todo = reason("several lots of one role: {example}", example=Field("lots", '"main=navy + navy 2"'))
            raise BadInput(told, Field("lots", text), todo)
        found[role] = _strands(words, there)
    found = {role: found.get(role) or known.get(role, ()) for role in roles}
    missing = [role for role, strands in found.items() if not strands]
    if missing and whole:
        what = reason("no lot is named for {roles}", roles=listed(map(Term, missing), "and", " and "))
        example = Field("lots", f'"{missing[0]}=NAME"')
        raise BadInput(what, Field("lots"), reason("such as {example}", example=example))
    return found


def _strands(words: str, there: LotNames) -> tuple[Strand, ...]:
    """The strands of one role. A strand that is named again is one more of it; no lot is in two of them."""
    whole = there.known(words)
    if whole is not None:
        return (Strand((whole,)),)
    found: dict[tuple[str, ...], int] = {}
    for part in words.split(" & "):
        lots, count = _strand(part, there)
        taken = {lot for other in found if other != lots for lot in other}
        if left := tuple(lot for lot in lots if lot not in taken):
            found[left] = found.get(left, 0) + count
    return tuple(Strand(lots, count) for lots, count in found.items())


def _strand(part: str, there: LotNames) -> tuple[tuple[str, ...], int]:
    whole = there.known(part)
    if whole is not None:
        return (whole,), 1
    times = _TIMES.fullmatch(part.strip())
    names = (times[2] if times else part).split(" + ")
    return tuple(dict.fromkeys(map(there.found, names))), int(times[1]) if times else 1

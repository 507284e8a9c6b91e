"""Lots as they are named for the roles of an accessory: "main=navy + navy 2", "fog & navy", "2 x fog"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matcher.actions.keeping.done import lot_row
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.store.database.rows import Rows

_TIMES = re.compile(r"([23])\s*[x×]\s+(.+)")


@dataclass(frozen=True)
class RoleLots:
    """What is on the needles for one role: lots one after the other, or strands of them held together."""

    role: str
    lots: tuple[Lot, ...]
    strands: int  # of the one lot when it is doubled or trebled
    together: bool

    @property
    def tex(self) -> float:
        """Linear density of what is on the needles [tex]."""
        if self.together:
            return sum(lot.yarn.tex.mean for lot in self.lots)
        return self.strands * self.lots[0].yarn.tex.mean


def named_rows(entry: Accessory, lots: Sequence[str], store: Rows) -> dict[str, tuple[list[dict[str, Any]], int, bool]]:
    """For each role that needs a lot: rows of its lots, how many strands of one, whether they are held together."""
    fill = [role.name for role in entry.roles if not role.bring]
    found: dict[str, tuple[list[dict[str, Any]], int, bool]] = {}
    for text in lots:
        before, sign, after = text.partition("=")
        # A name may hold an equals sign itself: what lies in the store goes first.
        if sign and store.named("lots", text) is None:
            role, words = next((one for one in fill if fold(one) == fold(before)), ""), after
            if not role:
                no_role = '{accessory} has no role "{role}" to choose a lot for'
                what = reason(no_role, accessory=entry.name, role=before.strip())
                raise BadInput(what, Field("lots"), reason("its roles are {roles}", roles=listed(map(Term, fill))))
        else:
            role, words = next((one for one in fill if one not in found), ""), text
        if not role or role in found:
            one, many = "{accessory} has no more than {n} role", "{accessory} has no more than {n} roles"
            too_many: Words = counted(len(fill), one, many, accessory=entry.name)
            told = reason("{role} already has its lots", role=Term(role)) if role else too_many
            todo = reason("several lots of one role: {example}", example=Field("lots", '"main=navy + navy 2"'))
            raise BadInput(told, Field("lots", text), todo)
        found[role] = _rows(words, store)
    missing = [role for role in fill if role not in found]
    if missing:
        what = reason("no lot is named for {roles}", roles=listed(map(Term, missing), "and", " and "))
        example = Field("lots", f'"{missing[0]}=NAME"')
        raise BadInput(what, Field("lots"), reason("such as {example}", example=example))
    return {role: found[role] for role in fill}


def _rows(words: str, store: Rows) -> tuple[list[dict[str, Any]], int, bool]:
    whole = store.named("lots", words)
    if whole is not None:
        return [whole], 1, False
    times = _TIMES.fullmatch(words.strip())
    if times:
        return [lot_row(store, times[2])], int(times[1]), False
    sign = " & " if " & " in words else " + "
    rows = [lot_row(store, one) for one in words.split(sign)]
    return list({row["lot"]: row for row in rows}.values()), 1, sign == " & "

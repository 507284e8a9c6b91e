"""Which members' lists seem to be one bin in two forms, such as a store and a sheet of it: its wool would count twice.

Files that are the same to the letter are known before (`copies`), and count once. These are only told: two people who
bought one kit may have the same lots, and nobody but the owners knows.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from hashlib import blake2b
from itertools import combinations

import numpy as np

from matcher.materials.collection import Collection
from matcher.reasons.reason import Field, Words, counted, listed, reason

LEAST_ALIKE = 3
"""Lots that must be alike: one ball of a yarn that many buy is no sign. A choice."""
_SHARE = 0.5  # of the shorter list, since one may have been counted before the other; a choice
_MOST_HOLDERS = 50  # of one lot; what more have is a yarn that all of them bought. A choice
_MOST_TOLD = 4  # groups; a choice
_BYTES = 8


def signs_of(rows: Collection) -> tuple[int, ...]:
    """A sign for each lot: of yarn, colour, dye lot, thickness and free metres, whatever its number in the list."""
    return tuple(sorted({_sign(rows, at) for at in range(len(rows))}))


def _sign(rows: Collection, at: int) -> int:
    told = (rows.yarn.of(at), rows.colour.of(at), rows.dye_lot.of(at))
    figures = f"{rows.tex[at]:.4g} {rows.free_m[at]:.1f}"
    written = "\n".join((*told, figures)).encode("utf-8", "surrogatepass")
    return int.from_bytes(blake2b(written, digest_size=_BYTES).digest(), "big")


def seem_one(signs: Mapping[str, Sequence[int]]) -> list[tuple[str, ...]]:
    """Members whose lists seem to be one bin, in groups. signs : of each member's lots."""
    same: dict[tuple[int, ...], list[str]] = defaultdict(list)
    for member, several in signs.items():
        if len(several) >= LEAST_ALIKE:
            same[tuple(several)].append(member)
    lists = list(same)
    holders: dict[int, list[int]] = defaultdict(list)
    for at, several in enumerate(lists):
        for sign in several:
            holders[sign].append(at)
    shared = Counter(pair for few in holders.values() if len(few) <= _MOST_HOLDERS for pair in combinations(few, 2))
    pairs = [
        pair
        for pair, number in shared.items()
        if number >= max(LEAST_ALIKE, _SHARE * min(len(lists[one]) for one in pair))
    ]
    members: dict[int, list[str]] = defaultdict(list)
    for group, several in zip(_grouped(pairs, len(lists)), lists, strict=True):
        members[group] += same[several]
    order = {member: at for at, member in enumerate(signs)}
    groups = (tuple(sorted(one, key=order.__getitem__)) for one in members.values() if len(one) > 1)
    return sorted(groups, key=lambda one: order[one[0]])


def _grouped(pairs: Sequence[tuple[int, int]], number: int) -> list[int]:
    """The group of each of so many: those that a row of pairs joins are in one."""
    if not pairs:
        return list(range(number))
    # Seldom needed, and slow to import.
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    graph = coo_array((np.ones(len(pairs)), np.transpose(pairs)), shape=(number, number))
    groups: list[int] = connected_components(graph, directed=False)[1].tolist()
    return groups


def told_twice(groups: Sequence[Sequence[str]]) -> Iterator[Words]:
    """What to do about them; no file is named, since this is handed on."""
    if not groups:
        return
    said: Words = listed((listed(one, "and") for one in groups[:_MOST_TOLD]), between="; ")
    if len(groups) > _MOST_TOLD:
        said = counted(len(groups) - _MOST_TOLD, "{said}; and {n} more group", "{said}; and {n} more groups", said=said)
    yield reason(
        "These seem to be one bin in several files, and its yarn counts in each: {said}. If so, leave one of the files "
        "there and take the others out; {who} says which file is whose.",
        said=said,
        who=Field("who"),
    )

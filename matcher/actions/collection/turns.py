"""Members one after the other, out of files that are not kept: of a large one only the groups that hold her rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from matcher.actions.collection.codes import Part
from matcher.actions.collection.gathered import Held

# So many times a file is read group by group before the whole of it at once costs less; a choice.
_AGAIN = 2


@dataclass(frozen=True)
class Turn:
    """What is read at once. members : whose rows are all in it; None where that is everybody's."""

    part: Part
    members: frozenset[str] | None = None


def turns(held: Sequence[Held]) -> list[Turn]:
    """What to read so that everybody's rows stand together once.

    Groups are read from the first to the last of those members whose rows end there; where that reads all of the file,
    or much of it again and again, it is read at once.
    """
    return [turn for one in held for turn in (_by_groups(one) or [Turn(one.part)])]


def scattered(held: Sequence[Held]) -> int:
    """How many files in groups are read at once since members' rows do not lie together there."""
    return sum(not _by_groups(one) and not _together(one) for one in held if one.groups)


def _together(held: Held) -> bool:
    """Whether no two members have rows on both sides of the same place between two groups, as far as numbers tell."""
    return sum(last - first for first, last in held.spans) < len(held.groups)


def _by_groups(held: Held) -> list[Turn]:
    """None for a file that is better read at once."""
    ending: dict[int, list[int]] = {}
    for number, (_, last) in enumerate(held.spans):
        ending.setdefault(last, []).append(number)
    found = []
    for last, mine in sorted(ending.items()):
        first = min(held.spans[number][0] for number in mine)
        groups = tuple(range(first, last + 1))
        found.append(Turn(replace(held.part, groups=groups), frozenset(held.members[number] for number in mine)))
    read = [len(turn.part.groups or ()) for turn in found]
    return found if max(read, default=0) < len(held.groups) and sum(read) <= _AGAIN * len(held.groups) else []

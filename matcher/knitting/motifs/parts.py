"""What of a motif goes into so many rounds: whole repeats, the whole without its plain edges, or a part of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from matcher.knitting.motifs.motif import Motif

Rows = tuple[str, ...]


@dataclass(frozen=True)
class Placed:
    """Rows of a motif, bottom first, and how they were taken.

    how: "whole" (repeats of all its rows), "trimmed" (all but plain rows at its edges, which the plain rounds
    beside it stand for), "part" (cut alike below and above a row about which the motif is symmetrical), "bands"
    (cut between two rows of one colour) or "middle" (there is no such place to cut: its middle rows).
    """

    rows: Rows
    how: str
    repeats: int = 1


def ground_of(motif: Motif) -> str:
    """The character of the motif's ground: main, else the role with most stitches."""
    most = max(motif.stitches, key=lambda role: motif.stitches[role])
    wanted = "main" if "main" in motif.stitches else most
    return next(mark for mark, role in motif.roles.items() if role == wanted)


def with_plain_columns(rows: Rows, columns: int, ground: str) -> Rows:
    """Each row with plain stitches after its repeat: in the ground, or in its own colour where it has only one."""
    return tuple(row + (row[0] if len(set(row)) == 1 else ground) * columns for row in rows)


def without_plain_edges(rows: Rows, ground: str) -> Rows:
    """The rows without those below and above that show nothing but the ground; all of them when all do."""
    told = [place for place, row in enumerate(rows) if set(row) != {ground}]
    return rows[told[0] : told[-1] + 1] if told else rows


def symmetric_part(rows: Rows, most: int, ground: str) -> Rows:
    """The part of at most so many rows that reads alike from below and from above and shows most of the motif.

    The motif goes on above and below its edges, so a part may lie across them. Of the parts at least half as
    tall as the tallest: the one in most colours, then one cut where the next row is of one colour, then the
    tallest, then the lowest. Plain edges do not count and are left out. Empty when no row fits.
    """
    number = len(rows)
    stacked = rows * 2
    found: dict[Rows, tuple[int, bool, int, int]] = {}
    for low in range(number):
        for tall in range(1, min(most, number) + 1):
            part = stacked[low : low + tall]
            if part != part[::-1] or set(part[0]) == {ground}:
                continue
            beside = (rows[low - 1], rows[(low + tall) % number])
            clean = all(len(set(row)) == 1 for row in beside)
            mark = (len(set("".join(part))), clean, tall, -low)
            found[part] = max(mark, found.get(part, mark))
    tallest = max((len(part) for part in found), default=0)
    return max((part for part in found if 2 * len(part) >= tallest), key=lambda part: found[part], default=())


def whole_bands(rows: Rows, most: int, ground: str) -> Rows:
    """At most so many rows that lie between rows of one colour: in most colours, then tallest, then lowest."""
    cuts = [place for place, row in enumerate(rows) if len(set(row)) == 1]
    spans = [(low, high) for low in (-1, *cuts) for high in (*cuts, len(rows)) if low + 1 < high]
    parts = [(without_plain_edges(rows[low + 1 : high], ground), low) for low, high in spans]
    fitting = [(part, low) for part, low in parts if len(part) <= most and set("".join(part)) != {ground}]
    if not fitting:
        return ()
    return max(fitting, key=lambda one: (len(set("".join(one[0]))), len(one[0]), -one[1]))[0]


def all_over(rows: Rows, most: int, ground: str) -> Rows:
    """As many rows as go into `most`, at least one whole repeat, of a motif that goes on over all of a zone.

    Cut so that it reads alike from below and from above, or where a repeat ends, or the row beside is of one colour;
    never within a stripe that stands on the ground, of which a round alone would be left.
    """

    number, plain = len(rows), [len(set(row)) == 1 for row in rows]
    within = [plain[at] and rows[at] == rows[at - 1] and rows[at][0] != ground for at in range(number)]
    lows = [low for low in range(number) if not within[low]]
    stacked = rows * (most // number + 2)
    for tall in range(most, number, -1):
        ends = [(low, high) for low in lows if not within[high := (low + tall) % number]]
        for low, _ in ends:
            part = stacked[low : low + tall]
            if part == part[::-1]:
                return part
        for low, high in ends:
            if (low == 0 or plain[low - 1]) and (high == 0 or plain[high]):
                return stacked[low : low + tall]
    return rows


def shown(rows: Rows, ground: str, rounds: int, banded: bool = False) -> Placed:
    """What of an entry's own motif stands in a zone of so many rounds, whatever lies beside it; banded: whole bands."""
    if banded:
        return Placed(bands(rows, rounds, ground), "bands", rounds // len(rows))
    if len(rows) <= rounds:
        return Placed(all_over(rows, rounds, ground), "whole", rounds // len(rows))
    return place(rows, ground, rounds)


@lru_cache(maxsize=4096)
def shown_shares(motif: Motif, rounds: int, banded: bool = False) -> Mapping[str, tuple[float, float]]:
    """For each role of a motif in a zone of so many rounds, the shares of the zone's stitches that it knits and that it
    passes behind; what the motif leaves is in its ground. Those of the whole motif where a role would have no stitch,
    but not of bands, of which other zones show more.
    """
    ground = ground_of(motif)
    rows = shown(motif.grid, ground, rounds, banded).rows
    every, stitches = rounds * motif.width, "".join(rows)
    own = {role: stitches.count(mark) for mark, role in motif.roles.items()}
    beside = {role: motif.width * sum([mark in row for row in rows]) for mark, role in motif.roles.items()}
    passed = {role: beside[role] - own[role] for role in own}
    own[motif.roles[ground]] += (rounds - len(rows)) * motif.width
    if not banded and not all(own.values()):
        return {role: (motif.shares[role], motif.float_shares[role]) for role in motif.role_names}
    return {role: (own[role] / every, passed[role] / every) for role in motif.role_names}


def bands(rows: Rows, rounds: int, ground: str) -> Rows:
    """So many rounds of a motif that goes on and on: whole bands between a plain round first and last, where stitches
    may be lost.

    A band is what stands between rows of the ground alone. Of the rows that it may begin at the one that shows most
    roles, then the one that leaves least plain, then the lowest.
    """
    plain_row = ground * len(rows[0])
    number = len(rows)
    plain = [place for place, row in enumerate(rows) if row == plain_row]
    if not plain or rounds < 2:
        return (*(plain_row, *(rows * (rounds // number + 1)))[: max(0, rounds - 1)], plain_row)

    def whole(begin: int) -> Rows:
        shown = tuple(rows[(begin + step) % number] for step in range(rounds))
        return shown[: next(tall for tall in range(rounds, 0, -1) if shown[tall - 1] == plain_row)]

    def told(shown: Rows) -> tuple[int, int]:
        return len(set("".join(shown))), len(shown) - shown.count(plain_row)

    best = max((whole(begin) for begin in plain), key=told)
    return best + (plain_row,) * (rounds - len(best))


def place(rows: Rows, ground: str, rounds: int, spare: int = 0, margin: int = 0) -> Placed:
    """What of a motif goes into `rounds`, which may take `spare` plain rounds from beside them.

    As many whole repeats as there is room for; else all of it, plain edges apart; else a symmetrical part; else
    whole bands; else the middle rows. A part or bands count when they take half of the room there is. What is cut
    leaves `margin` rounds plain besides, to part it from what is knitted below and above.
    """
    repeats = rounds // len(rows)
    if repeats:
        return Placed(rows * repeats, "whole", repeats)
    told, room = without_plain_edges(rows, ground), rounds + spare
    if len(told) <= room:
        return Placed(told, "trimmed")
    room = max(1, room - margin)
    part = symmetric_part(rows, room, ground)
    if 2 * len(part) >= room:
        return Placed(part, "part")
    bands = whole_bands(told, room, ground)
    if 2 * len(bands) >= room:
        return Placed(bands, "bands")
    start = (len(told) - room) // 2
    return Placed(told[start : start + room], "middle")

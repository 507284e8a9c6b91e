"""What comes nearest where nothing can stand in, and what it lacks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from matcher.matching.instead.beside import Beside
from matcher.matching.instead.search import JOINED, STRANDS
from matcher.matching.instead.table import Table
from matcher.matching.instead.way import Way, Weigher
from matcher.materials.estimate import Estimate
from matcher.materials.uncertain import log_sd, normal_z
from matcher.reasons.quantities import SHOWN_M, Length, Number, Tex
from matcher.reasons.reason import Words, listed, reason


@dataclass(frozen=True)
class Near:
    """A way that is not good enough; missed: by how much it misses what is asked, as a part of it, all added up."""

    way: Way
    missed: float
    lacks: tuple[Words, ...]


def nearest(besides: Sequence[Beside], table: Table, sure: float) -> list[Near]:
    """The ways that miss what is asked by least, as many as the catalogue says.

    besides: all pools, also those of another colour, which stand in no table.
    Looked at are each pool alone, doubled and trebled, and each joined with the fullest that are like it. What is
    missed is the part of the metres that lack, and how far thickness and colour are beyond what can stand in.
    """
    weigher = table.weigher
    found = [_near(way, weigher, sure) for way in _ways(besides, table)]
    found.sort(key=lambda one: (round(one.missed, 9), one.way.place))
    taken: dict[tuple[str, ...], Near] = {}
    for one in found:  # each lot is named once, the way that misses least
        taken.setdefault(tuple(member.name for member in one.way.members), one)
    return list(taken.values())[: int(weigher.rules.instead.nearest)]


def _ways(besides: Sequence[Beside], table: Table) -> Iterator[Way]:
    weigher = table.weigher
    for one in besides:
        for count in range(1, STRANDS + 1):
            yield weigher.held((one,), (count,))
    fullest = np.argsort(-table.free_m, kind="stable")
    for place in range(len(table)):
        row, may = [place], table.alike[place].copy()
        may[place] = False
        while len(row) < JOINED and may.any():
            row.append(int(fullest[may[fullest]][0]))
            may &= table.alike[row[-1]]
            may[row[-1]] = False
        if len(row) > 1:
            yield weigher.joined([table.besides[one] for one in row])


def _near(way: Way, weigher: Weigher, sure: float) -> Near:
    lacks: list[Words] = []
    missed = 0.0
    rules, asked = weigher.rules, weigher.asked
    if way.sure < sure:
        short = sum(_short_m(free, need, way, sure) for free, need in zip(way.free, way.needed_m, strict=True))
        missed += short / (sum(way.needed_m) + short)
        much = reason("a little") if short < SHOWN_M else reason("{m}", m=Length(short))
        lacks.append(reason("{much} more of {lots}", much=much, lots=listed((one.name for one in way.members), "or")))
    if not weigher.suits(way.tex.mean):
        tex, own = way.tex.mean, asked.yarn.tex.mean
        missed += abs(math.log(tex / own)) / math.log(rules.together.tex_ratio_blocks) - 1.0
        said = "too thick: {tex} in place of {own}" if tex > own else "too thin: {tex} in place of {own}"
        lacks.append(reason(said, tex=Tex(tex), own=Tex(own)))
    seen = way.worst_seen
    if not weigher.seen_alike(seen):
        missed += seen.delta_e / rules.instead.most_delta_e - 1.0
        said = "another colour: CIEDE2000 {apart}, up to {most} can stand in"
        lacks.append(reason(said, apart=Number(seen.delta_e), most=Number(rules.instead.most_delta_e)))
    return Near(way, missed, tuple(lacks))


def _short_m(free: Estimate, need_m: float, way: Way, sure: float) -> float:
    """Metres that lack of one length to be as sure as asked, with the doubt that there is of it now."""
    spread = math.hypot(float(log_sd(np.array([free.mean]), np.array([free.sd]))[0]), way.need_sd)
    return max(0.0, need_m * math.exp(normal_z(sure) * spread) - free.mean)

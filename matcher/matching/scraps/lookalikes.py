"""Lots that the eye cannot tell apart, and what does tell them apart.

Groups are those of complete linkage cut at a limit: within a group no two lots differ by more than the limit. Two
lots that differ by more in lightness alone are never compared, and only lots that a chain of likenesses joins are
clustered together; since complete linkage takes the largest difference, that changes no group. The linkage is scipy's:
scikit-learn's gives the same groups from a square table, with three times the memory for 10,000 lots of one class.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Pool
from matcher.materials.clues import IdentifyRules
from matcher.materials.colours.apart import Shades
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.difference import ciede2000
from matcher.materials.lots import Lot

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# The weight that CIEDE2000 divides a difference of lightness by is at most this (at L* 0 and 100): Sharma, Wu and Dalal
# 2005, equation for S_L. Its chroma and hue part is never negative, so a CIEDE2000 is at least dL / this.
LARGEST_S_L = 1.0 + 0.015 * 50.0**2 / math.sqrt(20.0 + 50.0**2)
# Stands for any difference above the limit.
_FAR = 1000.0
_BATCH = 200_000
TELLS = ("tex", "fibre", "wash", "dye lot")
TAG = "tag these now"


@dataclass(frozen=True)
class Alike:
    """Lots that look alike, in order of their names.

    told_apart_by: what differs between some of them (`TELLS`), and "tag these now" where some two of them differ in
    nothing that is known; `untold` are the first such two. dye_lots: colours that are here in several dye lots, with
    the lots of each.
    """

    lots: tuple[Lot, ...]
    largest_delta_e: float
    told_apart_by: tuple[str, ...]
    untold: tuple[str, str] | None
    dye_lots: tuple[tuple[str, Mapping[str, tuple[str, ...]]], ...]


def lookalikes_of(pools: Sequence[Pool], rules: IdentifyRules) -> tuple[Alike, ...]:
    """Groups of lots of one weight class that cannot be told apart by eye, in the order of their first names.

    pools: lots that count as one anyway (one yarn, colour and dye lot) need no telling apart, so a group is of two
    pools or more.
    """
    found = []
    for number in sorted({pool.yarn.weight_class for pool in pools}):
        of_class = sorted((one for one in pools if one.yarn.weight_class == number), key=lambda one: one.name)
        for places, largest in groups_of([pool.colour for pool in of_class], rules.alike_delta_e):
            found.append(_alike([of_class[place] for place in places], largest, rules))
    return tuple(sorted(found, key=lambda one: one.lots[0].name))


def groups_of(colours: Sequence[Colour], limit: float) -> list[tuple[tuple[int, ...], float]]:
    """Complete-linkage groups of two or more at the limit [CIEDE2000]: places in order, and the largest difference.

    How far two are apart is said at `near_pairs`. Equal colours are joined first, as they would be at no difference.
    """
    same: dict[Colour, list[int]] = {}
    for place, colour in enumerate(colours):
        same.setdefault(colour, []).append(place)
    gathered, largest = _grouped(list(same), limit)
    owners = list(same.values())
    found = [
        (tuple(sorted(place for one in group for place in owners[one])), most)
        for group, most in zip(gathered, largest, strict=True)
    ]
    return sorted(one for one in found if len(one[0]) > 1)


def _grouped(colours: Sequence[Colour], limit: float) -> tuple[list[list[int]], list[float]]:
    """Every group, of one as well, and the largest difference in each; clustered within each block by itself."""
    from scipy.cluster.hierarchy import fcluster, linkage
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    first, second, apart = near_pairs(colours, limit)
    graph = coo_matrix((np.ones(len(first)), (first, second)), shape=(len(colours), len(colours)))
    blocks, block = connected_components(graph, directed=False)
    order = np.argsort(block[first], kind="stable")
    first, second, apart = first[order], second[order], apart[order]
    pair_starts = np.searchsorted(block[first], np.arange(blocks + 1))
    members = np.argsort(block, kind="stable")
    starts = np.searchsorted(block[members], np.arange(blocks + 1))
    place = np.zeros(len(colours), dtype=np.intp)
    groups: list[list[int]] = []
    largest: list[float] = []
    for number in range(blocks):
        inside = members[starts[number] : starts[number + 1]]
        size = len(inside)
        if size == 1:
            groups.append([int(inside[0])])
            largest.append(0.0)
            continue
        place[inside] = np.arange(size)
        span = slice(pair_starts[number], pair_starts[number + 1])
        low, high = np.sort(np.stack([place[first[span]], place[second[span]]]), axis=0)
        differences = np.full(size * (size - 1) // 2, _FAR)
        differences[low * size - low * (low + 1) // 2 + high - low - 1] = apart[span]
        label = fcluster(linkage(differences, "complete"), limit, "distance") - 1
        together = label[low] == label[high]
        most = np.zeros(label.max() + 1)
        np.maximum.at(most, label[low][together], apart[span][together])
        groups += [inside[label == one].tolist() for one in range(len(most))]
        largest += most.tolist()
    return groups, largest


def near_pairs(colours: Sequence[Colour], limit: float) -> tuple[Indexes, Indexes, Floats]:
    """All pairs at most `limit` apart: places of the one and of the other, and how far.

    Of one colour each it is CIEDE2000. Else it is the most that any colour of one differs from the nearest of the
    other, or that their means (in linear light) differ, whichever is more, so that other shares of the same colours
    count as well. A heather and a yarn with stretches of several colours are never alike.
    """
    means = np.array([one.mean() for one in colours])
    order = np.argsort(means[:, 0], kind="stable")
    means = means[order]
    shades = Shades([colours[place] for place in order])
    kind = np.array([colours[place].kind for place in order])
    solid = kind == "solid"
    ends = np.searchsorted(means[:, 0], means[:, 0] + limit * LARGEST_S_L + 1e-9, side="right")
    counts = ends - np.arange(len(order)) - 1
    # So many rows at a time that their pairs fit a small piece of memory.
    batch = np.cumsum(counts) // _BATCH
    found: list[tuple[Indexes, Indexes, Floats]] = []
    for number in np.unique(batch):
        rows = np.flatnonzero(batch == number)
        one = np.repeat(rows, counts[rows])
        begins = np.cumsum(counts[rows]) - counts[rows]
        other = one + 1 + np.arange(len(one)) - np.repeat(begins, counts[rows])
        keep = least_apart(means[one], means[other]) <= limit
        one, other = one[keep], other[keep]
        apart = ciede2000(means[one], means[other])
        many = np.flatnonzero((apart <= limit) & ~(solid[one] & solid[other]))
        if len(many):
            a, b = one[many], other[many]
            apart[many] = np.maximum(apart[many], shades.apart(a, b, "farthest"))
            apart[many[~solid[a] & ~solid[b] & (kind[a] != kind[b])]] = _FAR
        near = apart <= limit
        found.append((order[one[near]], order[other[near]], apart[near]))
    first, second, apart = (np.concatenate(column) for column in zip(*found, strict=True))
    return first, second, apart


def least_apart(labs: Floats, others: Floats) -> Floats:
    """A figure of each pair that its CIEDE2000 is never below, and quick: arrays (n, 3) and (n, 3) to (n,).

    Lightness is divided by S_L; chroma and hue together by at most 1 + 0.045 C', and the blue term R_T takes away
    at most R_T / 2 of them; a* is stretched by 1 to 1.5 times, so a' and C' are at most 1.5 times a* and C*.
    Source of the weights: Sharma, Wu and Dalal 2005.
    """
    (l1, a1, b1), (l2, a2, b2) = labs.T, others.T
    light = (l1 + l2) / 2.0 - 50.0
    s_l = 1.0 + 0.015 * light**2 / np.sqrt(20.0 + light**2)
    chroma = 0.75 * (np.hypot(a1, b1) + np.hypot(a2, b2))
    seventh = chroma**7
    r_t = 2.0 * np.sqrt(seventh / (seventh + 25.0**7)) * math.sin(math.radians(60.0))
    tint = (a2 - a1) ** 2 + (b2 - b1) ** 2
    squared = ((l2 - l1) / s_l) ** 2 + (1.0 - r_t / 2.0) * tint / (1.0 + 0.045 * chroma) ** 2
    return np.asarray(np.sqrt(squared), dtype=float)


def _alike(pools: Sequence[Pool], largest: float, rules: IdentifyRules) -> Alike:
    told, untold = tells_apart([pool.lots[0] for pool in pools], rules)
    lots = sorted((lot for pool in pools for lot in pool.lots), key=lambda one: one.name)
    return Alike(tuple(lots), largest, (*told, *((TAG,) if untold else ())), untold, _dye_lots(lots))


def tells_apart(lots: Sequence[Lot], rules: IdentifyRules) -> tuple[tuple[str, ...], tuple[str, str] | None]:
    """What is known to differ between some two of the lots, and the first two of which nothing is.

    tex counts where it differs by more than its errors; what is not known tells nothing. Dye lots of different yarns
    differ anyway, so they count only between two lots that nothing else tells apart.
    """
    tex = np.log([lot.yarn.tex.mean for lot in lots])
    sd = np.array([lot.yarn.tex.sd / lot.yarn.tex.mean for lot in lots])
    fibre = _numbered([str(lot.yarn.blend.words()) if lot.yarn.blend.known else "" for lot in lots])
    wash = _numbered([lot.yarn.wash if lot.yarn.wash in ("hand", "machine") else "" for lot in lots])
    dye_lot = _numbered([lot.dye_lot.casefold() for lot in lots])
    found: set[str] = set()
    untold: tuple[str, str] | None = None
    for one in range(len(lots) - 1):
        rest = slice(one + 1, None)
        ways = {"tex": np.abs(tex[rest] - tex[one]) > rules.told_apart_errors * np.hypot(sd[rest], sd[one])}
        for name, codes in (("fibre", fibre), ("wash", wash)):
            ways[name] = (codes[rest] != codes[one]) & (codes[rest] >= 0) & (codes[one] >= 0)
        alike = ~(ways["tex"] | ways["fibre"] | ways["wash"])
        ways["dye lot"] = alike & (dye_lot[rest] != dye_lot[one]) & (dye_lot[rest] >= 0) & (dye_lot[one] >= 0)
        found |= {name for name, differs in ways.items() if differs.any()}
        left = np.flatnonzero(alike & ~ways["dye lot"])
        if untold is None and len(left):
            untold = (lots[one].name, lots[one + 1 + left[0]].name)
    return tuple(name for name in TELLS if name in found), untold


def _numbered(words: Sequence[str]) -> Indexes:
    """Equal words as equal numbers; -1 for an empty one, of which nothing is known."""
    numbers: dict[str, int] = {"": -1}
    return np.array([numbers.setdefault(word, len(numbers)) for word in words], dtype=np.intp)


def _dye_lots(lots: Sequence[Lot]) -> tuple[tuple[str, Mapping[str, tuple[str, ...]]], ...]:
    """Colours of one yarn that are here in more than one dye lot: what she calls it, and the lots of each dye lot."""
    of_colour: dict[tuple[str, str], dict[str, list[str]]] = {}
    spelt: dict[tuple[str, str], str] = {}
    for lot in lots:
        name = lot.colour_name or lot.colour.words()
        if lot.yarn.name and lot.dye_lot:
            key = (lot.yarn.name.casefold(), name.casefold())
            of_colour.setdefault(key, {}).setdefault(lot.dye_lot, []).append(lot.name)
            spelt.setdefault(key, f"{name} ({lot.yarn.name})")
    return tuple(
        (spelt[key], {dye_lot: tuple(names) for dye_lot, names in baths.items()})
        for key, baths in of_colour.items()
        if len(baths) > 1
    )

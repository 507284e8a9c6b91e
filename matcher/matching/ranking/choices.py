"""Who could fill a role at one gauge: a pool alone, the same doubled or trebled, or strands of several pools."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
import numpy.typing as npt

from matcher.matching.pools import Stock
from matcher.materials.rules import TogetherRules

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# At most so many strands are held together: pairs and threes are written out below, and more are seldom handled.
STRANDS = 3
# So many combinations are the most that are held at once, for the sake of memory: some 340 MB of solid yarns.
_MOST = 3_000_000


@dataclass(frozen=True)
class Choices:
    """m ways to make one thread, as arrays. Strand places that are not needed repeat the first, counted 0.

    `strands` (m, 3) holds the different pools, `count` (m, 3) how many strands of each; `together` (m,) is
    the part of the score that the strands have among themselves, and `kindred` (m,) how far the least
    related two of them belong together.
    """

    strands: Indexes
    count: Floats
    tex: Floats
    part: Indexes
    share: Floats
    together: Floats
    kindred: Floats

    def __len__(self) -> int:
        return len(self.tex)

    @cached_property
    def solid(self) -> npt.NDArray[np.bool_]:
        """Which threads show one colour only, array (m,)."""
        return np.asarray(self.share[:, 0] > 1.0 - 1e-9)

    @cached_property
    def pools(self) -> int:
        """How many pools a thread has at most."""
        return int((self.count > 0).sum(axis=1).max(initial=1))


def threads(stock: Stock, pools: Indexes, count: Floats, rules: TogetherRules) -> Choices:
    """Make choices of strands. `pools` and `count` are (m, 3); see `Choices`."""
    tex_each = stock.tex[pools] * count
    tex = tex_each.sum(axis=1)
    # One colour table for the whole thread: every strand's colours by its part of the thickness.
    several = int((count > 0).sum(axis=1).max(initial=1))
    weight = (tex_each / tex[:, None])[:, :several]
    wide = several * stock.part.shape[1]
    part = stock.part[pools[:, :several]].reshape(len(pools), wide)
    share = (stock.share[pools[:, :several]] * weight[:, :, None]).reshape(len(pools), wide)
    together, kindred = np.ones(len(pools)), np.ones(len(pools))
    for a in range(STRANDS):
        for b in range(a + 1, STRANDS):
            both = count[:, b] > 0
            pair = stock.beside[stock.kind[pools[:, a]], stock.kind[pools[:, b]]]
            together = np.where(both, np.minimum(together, pair * rules.marl_factor), together)
            if both.any():
                kin = stock.kindred.of(pools[both, a], pools[both, b])
                kindred[both] = np.minimum(kindred[both], kin)
    return Choices(pools, count, tex, part, share, together, kindred)


def threads_of(stock: Stock, several: Sequence[Sequence[tuple[int, int]]], rules: TogetherRules) -> Choices:
    """The same of threads told as their strands: (pool, how many of it)."""
    full = [(*thread, *((thread[0][0], 0),) * (STRANDS - len(thread))) for thread in several]
    strands = np.array(full, dtype=np.intp)
    return threads(stock, strands[:, :, 0], strands[:, :, 1].astype(float), rules)


def alone(stock: Stock, tex_low: float, tex_high: float, most_strands: int, rules: TogetherRules) -> Choices:
    """Every pool whose yarn suits the gauge alone, doubled or trebled (the thinnest count that does)."""
    found = [
        (np.flatnonzero((stock.tex * strands >= tex_low) & (stock.tex * strands <= tex_high)), strands)
        for strands in range(1, most_strands + 1)
    ]
    pool = np.concatenate([pools for pools, _ in found])
    count = np.zeros((len(pool), STRANDS))
    count[:, 0] = np.concatenate([np.full(len(pools), float(strands)) for pools, strands in found])
    return threads(stock, np.repeat(pool[:, None], STRANDS, axis=1), count, rules)


def marls(
    stock: Stock,
    able: Indexes,
    worth: Floats,
    least: float,
    window: tuple[float, float],
    rules: TogetherRules,
    needed: npt.NDArray[np.bool_] | None = None,
) -> Choices:
    """Strands of two or three held together, of more than one pool, that suit the gauge.

    Parameters
    ----------
    able : pools that have enough for one strand.
    worth : (len(able),) what each adds to the score as one strand of this role.
    least : combinations whose mean worth is below this are left out; they could not win.
    window : least and most tex of the thread.
    needed : (len(able),), of which each thread must have one; None for any.

    Raises TooMany when there are more than memory should hold.
    """
    order = np.argsort(-worth, kind="stable")
    able, worth = able[order], worth[order]
    tex = stock.tex[able]
    if needed is not None:
        needed = needed[order]
        several = [_rows_with(place, tex, worth, needed, least, window) for place in np.flatnonzero(needed).tolist()]
        nothing = np.zeros((0, STRANDS), dtype=np.intp), np.zeros((0, STRANDS))
        return _made(stock, able, [nothing, *chain.from_iterable(several)], rules)
    return _made(
        stock,
        able,
        [
            _rows(tex, worth, (1, 1), least, window),
            _rows(tex, worth, (2, 1), least, window),
            _triples(tex, worth, least, window),
        ],
        rules,
    )


def marls_of_mates(
    stock: Stock,
    able: Indexes,
    worth: Floats,
    least: float,
    window: tuple[float, float],
    rules: TogetherRules,
    pairs: tuple[Indexes, Indexes],
) -> Choices:
    """The same of strands that all belong together: `pairs` are those of which each two do, as places in `able`, each
    both ways and in the order of the first."""
    tex = stock.tex[able]
    first, second = pairs
    # Twice the first and once the second; the strands of a thread of one each have an order.
    twice = _kept(tex, worth, np.stack([first, second, first], axis=1), (2, 1, 0), least, window)
    rising = first < second
    once = _kept(tex, worth, np.stack([first, second, first], axis=1)[rising], (1, 1, 0), least, window)
    could = rising & (worth[first] + worth[second] + worth.max(initial=-np.inf) >= 3 * least)
    could &= tex[first] + tex[second] + tex.min(initial=np.inf) <= window[1]
    one, two = first[could], second[could]
    low, high = np.searchsorted(first, two, side="left"), np.searchsorted(first, two, side="right")
    _refuse(int((high - low).sum()))
    three = np.stack([np.repeat(one, high - low), np.repeat(two, high - low), second[ranges(low, high - low)]], axis=1)
    three = three[three[:, 2] > three[:, 1]]
    known, wide = first * len(able) + second, three[:, 0] * len(able) + three[:, 2]
    at = np.minimum(np.searchsorted(known, wide), max(0, len(known) - 1))
    three = three[known[at] == wide] if len(known) else three
    return _made(stock, able, [once, twice, _kept(tex, worth, three, (1, 1, 1), least, window)], rules)


def _kept(
    tex: Floats,
    worth: Floats,
    rows: Indexes,
    count: tuple[int, int, int],
    least: float,
    window: tuple[float, float],
) -> tuple[Indexes, Floats]:
    """Of rows of strands, so many of each, those that suit the gauge and are worth enough."""
    _refuse(len(rows))
    counts = np.array(count, dtype=float)
    thick = tex[rows] @ counts
    keep = (thick >= window[0]) & (thick <= window[1]) & (worth[rows] @ counts >= counts.sum() * least)
    return rows[keep], np.tile(counts, (int(keep.sum()), 1))


def _made(stock: Stock, able: Indexes, several: Sequence[tuple[Indexes, Floats]], rules: TogetherRules) -> Choices:
    """The threads of rows of strands whose yarns go together."""
    pools = np.concatenate([able[rows] for rows, _ in several])
    made = threads(stock, pools, np.concatenate([counts for _, counts in several]), rules)
    return pick(made, np.flatnonzero(made.together > 0))


def pick(choices: Choices, at: Indexes) -> Choices:
    """The choices at these places."""
    return Choices(
        choices.strands[at],
        choices.count[at],
        choices.tex[at],
        choices.part[at],
        choices.share[at],
        choices.together[at],
        choices.kindred[at],
    )


def joined(several: Sequence[Choices]) -> Choices:
    """Choices one after the other, their colour tables padded to one width."""
    wide = max(one.part.shape[1] for one in several)

    def widened(array: npt.NDArray[np.generic], fill_first: bool) -> npt.NDArray[np.generic]:
        missing = wide - array.shape[1]
        pad = np.repeat(array[:, :1], missing, axis=1) if fill_first else np.zeros((len(array), missing))
        return np.concatenate([array, pad], axis=1)

    return Choices(
        np.concatenate([one.strands for one in several]),
        np.concatenate([one.count for one in several]),
        np.concatenate([one.tex for one in several]),
        np.concatenate([widened(one.part, True) for one in several]).astype(np.intp),
        np.concatenate([widened(one.share, False) for one in several]).astype(float),
        np.concatenate([one.together for one in several]),
        np.concatenate([one.kindred for one in several]),
    )


class TooMany(Exception):
    """More combinations than memory should hold or can be looked at; the caller goes on without them and says so."""


def _refuse(number: int) -> None:
    if number > _MOST:
        raise TooMany


def _rows(
    tex: Floats, worth: Floats, strands: tuple[int, int], least: float, window: tuple[float, float]
) -> tuple[Indexes, Floats]:
    """Pairs of different pools with the given number of strands of each, worth sorted downwards."""
    first_n, second_n = strands
    total = first_n + second_n
    symmetric = first_n == second_n
    reach = np.searchsorted(-worth, -((total * least - first_n * worth) / second_n), side="right")
    start = np.arange(1, len(tex) + 1) if symmetric else np.zeros(len(tex), dtype=np.intp)
    lengths = np.maximum(reach - start, 0)
    _refuse(int(lengths.sum()))
    first = np.repeat(np.arange(len(tex)), lengths)
    second = ranges(start, lengths)
    thick = first_n * tex[first] + second_n * tex[second]
    keep = (thick >= window[0]) & (thick <= window[1]) & (first != second)
    first, second = first[keep], second[keep]
    rows = np.stack([first, second, first], axis=1)
    return rows, np.tile(np.array([first_n, second_n, 0.0]), (len(rows), 1))


def _triples(tex: Floats, worth: Floats, least: float, window: tuple[float, float]) -> tuple[Indexes, Floats]:
    """Three different pools, one strand of each."""
    thinnest = tex.min(initial=np.inf)
    pairs, _ = _rows(tex, worth, (1, 1), (3 * least - worth.max(initial=0.0)) / 2, (0.0, window[1] - thinnest))
    first, second = pairs[:, 0], pairs[:, 1]
    reach = np.searchsorted(-worth, -(3 * least - worth[first] - worth[second]), side="right")
    lengths = np.maximum(reach - second - 1, 0)
    _refuse(int(lengths.sum()))
    third = ranges(second + 1, lengths)
    first, second = np.repeat(first, lengths), np.repeat(second, lengths)
    thick = tex[first] + tex[second] + tex[third]
    keep = (thick >= window[0]) & (thick <= window[1])
    rows = np.stack([first[keep], second[keep], third[keep]], axis=1)
    return rows, np.ones((len(rows), 3))


def _rows_with(
    one: int, tex: Floats, worth: Floats, needed: npt.NDArray[np.bool_], least: float, window: tuple[float, float]
) -> list[tuple[Indexes, Floats]]:
    """All of these with one pool, and none with a needed pool before it."""
    if worth[one] == -np.inf:
        return []
    others = np.flatnonzero((~needed | (np.arange(len(tex)) > one)) & (worth > -np.inf))
    mine = np.full_like(others, one)
    found = [
        _kept(tex, worth, np.stack([mine, others, mine], axis=1), count, least, window)
        for count in ((1, 1, 0), (2, 1, 0), (1, 2, 0))
    ]
    left = window[0] - float(tex[one]), window[1] - float(tex[one])
    pairs, _ = _rows(tex[others], worth[others], (1, 1), (3 * least - float(worth[one])) / 2, left)
    three = np.column_stack([np.full(len(pairs), one), others[pairs[:, :2]]])
    return [*found, (three, np.ones((len(three), 3)))]


def ranges(start: Indexes, lengths: Indexes) -> Indexes:
    """The numbers start[i], start[i] + 1, ... lengths[i] of them, one range after the other."""
    before = np.concatenate([[0], np.cumsum(lengths)[:-1]]) if len(lengths) else lengths
    return (np.arange(int(lengths.sum())) - np.repeat(before, lengths) + np.repeat(start, lengths)).astype(np.intp)

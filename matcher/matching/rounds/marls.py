"""How high assignments reach with strands of several pools held together in one role at least."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.choices import STRANDS
from matcher.matching.ranking.found import SLACK
from matcher.matching.rounds.ceiling import NEARLY, Ceiling
from matcher.matching.rounds.cells import Cells
from matcher.matching.rounds.threads import Heights, Threads, sum_of_others, top_of

Indexes = npt.NDArray[np.intp]


def marled(ceiling: Ceiling, cells: Cells, among: Indexes, threads: Threads | None = None) -> Heights:
    """With a thread of several pools in one role at least. threads : these cells as threads, where known."""
    threads = ceiling.threads(cells, among) if threads is None else threads
    thin = among[cells.least_tex[among] < ceiling.window[1]]
    alone, strands = threads.adds, ceiling.as_strands(cells, thin)
    traded = strands.traded + strands.looks
    tops, marl = np.maximum(top_of(alone.worth), top_of(strands.worth)), top_of(traded)
    if ceiling.beyond is not None:
        tops = np.maximum(tops, np.maximum(ceiling.beyond.worth, ceiling.beyond.strand_worth))
        marl = np.maximum(marl, ceiling.beyond.strand_whole)
    searcher = ceiling.searcher
    whole = searcher.w_together * searcher.rules.marl_factor + SLACK
    most, of = np.full(tops.shape[1], -np.inf), np.full(alone.worth.shape, -np.inf)
    as_strand = np.full(strands.worth.shape, -np.inf)
    for role in range(ceiling.roles):
        others = sum_of_others(tops, role)
        most = np.maximum(most, marl[role] + others)
        # One strand of three at least is of this pool, the others as good as any.
        mean = (traded[role] + (STRANDS - 1) * marl[role][:, None]) / STRANDS
        as_strand[role] = mean + others[:, None]
        for other in range(ceiling.roles):
            if other != role:
                rest = sum_of_others(tops, role, other) + marl[other]
                of[role] = np.maximum(of[role], alone.worth[role] + rest[:, None])
    both = np.concatenate([of, as_strand], axis=2)
    return Heights(most + whole, np.concatenate([threads.at, thin]), np.moveaxis(both, 2, 0) + whole)


def roughly_marled(ceiling: Ceiling, cells: Cells, threads: Threads) -> float:
    """As much as `marled` or more, without a look at the strands: as if one cell were of most use for everything,
    most kindred, and had just enough. threads : these cells as threads."""
    searcher, thin = ceiling.searcher, cells.least_tex < ceiling.window[1]
    rules, strand = searcher.ranking, np.full(ceiling.weight.shape[:2], -np.inf)
    if thin.any():
        need = np.exp(-(searcher.least_z - NEARLY) * np.sqrt(ceiling.shared**2 + ceiling.private**2)[:, :, 0])
        use = np.minimum(1.0, need) * (1.0 + cells.scarcity[thin].max()) / 2.0
        kindred = ceiling.pair_share / min(2, ceiling.roles) * cells.kin(max(1, ceiling.roles - 1))[thin].max()
        strand = ceiling.weight[:, :, 0] * (rules.weight_use * use + rules.weight_leftover) + kindred
    tops = np.maximum(strand, top_of(threads.adds.worth))
    if ceiling.beyond is not None:
        strand = np.maximum(strand, ceiling.beyond.strand_worth)
        tops = np.maximum(tops, np.maximum(ceiling.beyond.worth, strand))
    most = max(float((strand[role] + sum_of_others(tops, role)).max()) for role in range(ceiling.roles))
    looks = searcher.w_together * searcher.rules.marl_factor + searcher.w_contrast * ceiling.contrast
    return most + searcher.w_sure * (1.0 + NEARLY) + looks + SLACK


def most_marled(ceiling: Ceiling) -> float:
    """The most that any assignment of any bin could score with such a thread."""
    searcher = ceiling.searcher
    less = searcher.w_together * (1.0 - searcher.rules.marl_factor) + searcher.w_contrast * (1.0 - ceiling.contrast)
    return -np.inf if ceiling.most == -np.inf else 1.0 + NEARLY - less

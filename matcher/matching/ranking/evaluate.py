"""The score of one whole assignment, worked out plainly, role by role."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices, pick
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.score import leftover_value, total
from matcher.materials.uncertain import chance_of_all, margin

Indexes = npt.NDArray[np.intp]


def evaluate(block: Block, size: int, choices: Choices) -> Found:
    """Score one assignment, less what its yarn costs: `choices` holds one thread for each role to fill, in order."""
    searcher, variant, stock = block.searcher, block.variants[size], block.searcher.stock
    every = np.arange(len(choices))
    reads = [
        float(searcher.reads(choices, every[[a]], choices, every[[b]], block.hue_kept(a, b))[0]) for a, b in block.edges
    ]
    beside = [float(one) for one in searcher.own_together(choices, block.next_to_skin)]
    beside += searcher.beside(choices, *_pairs(choices)).tolist()
    threads, use, leftover = [], 0.0, 0.0
    spare, shared, private = [], [], []
    for role in range(len(choices)):
        strands = sorted(
            (int(pool), int(n)) for pool, n in zip(choices.strands[role], choices.count[role], strict=True) if n > 0
        )
        threads.append(tuple(strands))
        number = sum(n for _, n in strands)
        for pool, n in strands:
            taken = n * variant.length_m[role]
            left = stock.free_m[pool] - taken
            spare.append(margin(stock.free_m[pool], taken))
            shared.append(variant.shared_sd[role])
            private.append(np.hypot(stock.log_sd[pool], variant.own_sd[role]))
            part = float(variant.weight[role]) * n / number
            use += part * float(searcher.use(np.array([taken]), np.array([pool]), np.array([float(n)]))[0])
            leftover += part * float(leftover_value(np.maximum(left, 0.0), searcher.usable_m[pool]))
    sure = chance_of_all(np.array(spare), np.array(shared), np.array(private))
    parts = {
        "sure": sure,
        "contrast": min(reads) if reads else searcher.ranking.one_colour_contrast,
        "together": min(beside),
        "use": use,
        "leftover": leftover,
        "kindred": _kindred(block, choices),
    }
    score = total(parts, searcher.ranking)
    one_each = [pick(choices, np.array([role])) for role in range(len(choices))]
    if searcher.near:
        worth = sum(float(block.threads(role, one).worth[size, 0]) for role, one in enumerate(one_each))
        score = searcher.w_contrast * parts["contrast"] + searcher.w_together * parts["together"] + worth
    elif block.prices is not None:
        score -= sum(float(block.cost(role, slice(size, size + 1), one)[0, 0]) for role, one in enumerate(one_each))
    doubled = tuple(pool for thread in threads for pool, n in thread if n > 1 and searcher.carries[pool])
    return Found(score, parts, sure, variant, tuple(threads), doubled)


def _kindred(block: Block, choices: Choices) -> float:
    """How far its lots belong together by her own choice: over all pairs of roles, or of the strands of one."""
    searcher = block.searcher
    pairs: list[float] = searcher.kindred(choices, *_pairs(choices)).tolist()
    if not pairs and choices.count[0, 1] == 0:
        return searcher.ranking.one_lot_kindred
    pairs = pairs or [float(choices.kindred[0])]
    return float(sum(pairs) / (len(pairs) + searcher.ranking.strange_pairs))


def _pairs(choices: Choices) -> tuple[Indexes, Choices, Indexes]:
    """Every two of them, as places."""
    second, first = np.tril_indices(len(choices), -1)
    return first, choices, second

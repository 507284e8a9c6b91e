"""What no set can be worth where metres are the aim: known at once, from the lengths of the pools alone."""

from __future__ import annotations

import numpy as np

from matcher.matching.sets.risk import Risk
from matcher.matching.sets.rows import Rows
from matcher.matching.sets.selection import Rules


def most_of_metres(rules: Rules, risk: Risk, accessories: int) -> float:
    """What no set can be worth where metres are the aim, as if every metre could be used; without any columns.

    accessories : how many there are.
    """
    from scipy.optimize import linprog

    stock, aim, asked = rules.stock, rules.aim, rules.asked
    pools, number = np.flatnonzero(stock.free_m > 0), len(risk.nodes)
    size = len(pools)
    every, rows = np.arange(size), Rows()
    for node, tension in enumerate(risk.nodes):
        # The need that stretches least stands for all.
        needed = float(np.exp(risk.least_shared_sd * tension))
        risks = size * (node + 1) + every
        rows.add(every, every, np.full(size, needed), risk.most_m[node, pools])
        for offset, slope in zip(risk.offset, risk.slope, strict=True):
            rows.add(
                np.tile(every, 2),
                np.concatenate([every, risks]),
                np.concatenate([slope[pools] * needed, -np.ones(size)]),
                -offset[pools],
            )
        for group, most in zip(risk.groups[:, pools], risk.most_risk[:, node], strict=True):
            members = risks[group]
            rows.add(np.zeros(len(members), dtype=np.intp), members, np.ones(len(members)), np.array([most]))
    variables = size * (number + 1)
    cost = np.zeros(variables)
    cost[:size] = -aim.metre[pools]
    found = linprog(cost, A_ub=rows.matrix(variables), b_ub=np.concatenate(rows.limits), method="highs")
    things = asked.of_one * max(1, accessories)
    return np.inf if found.status != 0 else -float(found.fun) + aim.taste * things

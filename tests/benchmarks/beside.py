"""The search beside other ways to the same answer, where those finish. Run by hand:

    python tests/benchmarks/beside.py

One two-colour accessory in one size at one gauge, single strands. Plain enumeration scores every pair of lots in
Python. HiGHS (scipy.optimize.milp) solves an integer programme with one variable a lot and role and one for the
contrast; CP-SAT is given a table of all pairs that may stand together, and figures to a millionth. The chance that the
yarn is enough is not linear, so it is left out of their aim (the search is given weight 0 for it as well), and each role
must be sure enough by itself. All must then find the same best. None is given what it can't end within a minute.
"""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import permutations, product

import numpy as np
from bins import stock
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_array

from matcher.actions.desk import Desk
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import pick
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

# So many candidates each way ends with within a minute.
_MOST = {"by_enumeration": 600, "by_highs": 200, "by_cp_sat": 600}


def problem(kind: str, lots: int) -> Block:
    """A block of one variant over a generated bin, the chance weighing nothing."""
    catalogue = load_catalogue()
    variants = Desk(Bin(()), catalogue).variants
    scope = scope_of(variants, Wishes(held_together=False))
    rules = replace(catalogue, ranking=replace(catalogue.ranking, weight_sure=0.0))
    searcher = searcher_of(stock(kind, lots, catalogue, 3), scope, rules)
    hats = [one for one in variants["hat-stranded-band"] if one.size == "adult medium"]
    return max((Block(searcher, [one], 0.5) for one in hats), key=lambda block: len(block.base))


def by_search(block: Block) -> float:
    found = search(block.searcher, block.variants, block.least)
    return found[0].score if found else -np.inf


def by_enumeration(block: Block) -> float:
    """Every ordered pair of candidates, scored one by one."""
    able = [np.flatnonzero(np.isfinite(merit.worth[0])) for merit in block.merits]
    best = -np.inf
    for a, b in permutations(range(len(block.base)), 2):
        if a in able[0] and b in able[1] and block.base.strands[a, 0] != block.base.strands[b, 0]:
            found = evaluate(block, 0, pick(block.base, np.array([a, b])))
            if found.parts["contrast"] >= block.least and found.parts["together"] > 0 and found.sure >= 0.95:
                best = max(best, found.score)
    return best


def pairs(block: Block) -> tuple[np.ndarray, np.ndarray]:
    """How every pair of candidates reads, and what they share of going together: arrays (m, m)."""
    searcher, every, kept = block.searcher, np.arange(len(block.base)), block.hue_kept(0, 1)
    reads = np.stack([searcher.reads(block.base, every[[at]], block.base, every, kept) for at in every])
    return reads, searcher.table(block.base, block.next_to_skin).beside


def by_highs(block: Block) -> float:
    """An integer programme: x of every lot in every role, and the contrast and together parts as two numbers."""
    searcher, m = block.searcher, len(block.base)
    reads, beside = pairs(block)
    able = [np.isfinite(merit.worth[0]) for merit in block.merits]
    gain = np.concatenate([np.where(ok, merit.worth[0], 0.0) for ok, merit in zip(able, block.merits, strict=True)])
    aim = -np.concatenate([gain, [searcher.w_contrast, searcher.w_together]])
    rows, upper = [], []
    for a in np.flatnonzero(able[0]):
        for b in np.flatnonzero(able[1]):
            fine = a != b and reads[a, b] >= block.least and np.isfinite(beside[a, b])
            if not fine:
                rows.append({a: 1.0, m + b: 1.0})
                upper.append(1.0)
                continue
            for place, most in ((2 * m, reads[a, b]), (2 * m + 1, beside[a, b])):
                if most < 1.0:
                    rows.append({place: 1.0, a: 1.0 - most, m + b: 1.0 - most})
                    upper.append(most + 2.0 * (1.0 - most))
    table = lil_array((len(rows) + 2, 2 * m + 2))
    for at, row in enumerate(rows):
        for column, value in row.items():
            table[at, column] = value
    table[len(rows), :m] = 1.0
    table[len(rows) + 1, m : 2 * m] = 1.0
    lower = np.concatenate([np.full(len(rows), -np.inf), [1.0, 1.0]])
    bounds = Bounds(np.zeros(2 * m + 2), np.concatenate([*(ok.astype(float) for ok in able), [1.0, 1.0]]))
    whole = np.concatenate([np.ones(2 * m), np.zeros(2)])
    solved = milp(
        aim,
        constraints=LinearConstraint(table.tocsr(), lower, np.concatenate([upper, [1.0, 1.0]])),
        bounds=bounds,
        integrality=whole,
        options={"time_limit": 60.0},
    )
    return -float(solved.fun) if solved.success else -np.inf


def by_cp_sat(block: Block) -> float:
    """A choice of one line of a table: two candidates, and what they read and share, in millionths."""
    from ortools.sat.python import cp_model

    searcher, (reads, beside) = block.searcher, pairs(block)
    first, second = (merit.worth[0] for merit in block.merits)
    fine = (reads >= block.least) & (beside > 0) & np.isfinite(first)[:, None] & np.isfinite(second)
    np.fill_diagonal(fine, False)
    a, b = np.nonzero(fine)
    if not len(a):
        return -np.inf
    parts = np.rint(1e6 * np.stack([first[a], second[b], reads[a, b], beside[a, b]], axis=1)).astype(int)
    asked = cp_model.CpModel()
    one, other = (asked.new_int_var(0, len(block.base) - 1, name) for name in ("first", "second"))
    told = [asked.new_int_var(int(part.min()), int(part.max()), str(at)) for at, part in enumerate(parts.T)]
    asked.add_allowed_assignments([one, other, *told], np.column_stack([a, b, parts]).tolist())
    weights = [1.0, 1.0, searcher.w_contrast, searcher.w_together]
    asked.maximize(sum(weight * part for weight, part in zip(weights, told, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds, solver.parameters.num_workers = 60.0, 1
    return solver.objective_value / 1e6 if solver.solve(asked) == cp_model.OPTIMAL else np.nan  # time was up


def main() -> None:
    """Print the table."""
    print(
        "| bin | lots | at the gauge | search [s] | enumeration [s] | HiGHS [s] | CP-SAT [s] | best of the four |\n"
        "|---|---|---|---|---|---|---|---|"
    )
    for kind, lots in product(("many colours", "greys", "hardly any pair reads"), (60, 200, 500, 1500)):
        block = problem(kind, lots)
        taken, best = [], []
        for way in (by_search, by_enumeration, by_highs, by_cp_sat):
            if len(block.base) > _MOST.get(way.__name__, len(block.base)):
                taken.append("not tried")
                continue
            began = time.process_time()
            best.append(way(block))
            taken.append(f"{time.process_time() - began:.3f}")
        said = ", ".join(f"{one:.6f}" for one in best)
        print(f"| {kind} | {lots} | {len(block.base)} | {' | '.join(taken)} | {said} |")


if __name__ == "__main__":
    main()

"""Sets from one bin: most yarn used in 60 s, both solvers on the same columns, and the demo's people. By hand:

    python tests/benchmarks/sets.py                 all of it
    python tests/benchmarks/sets.py 60 [seconds [seed]]
                                                    one generated bin
    python tests/benchmarks/sets.py demo            something for each person of the demo

The bound is the less of two relaxations: no set uses more. Columns are those that the planner ended with; the full
model has the best `FULL` of every accessory beside it. Its lines hold for every set of the chance asked and do not ensure
it, so what a solver finds is a set without regard to that. The second solver needs `ortools` (in the dev extra).
"""

from __future__ import annotations

import sys
import time

import numpy as np
from bins import lots

from matcher.actions.desk import Desk
from matcher.actions.sets.plan import _of_one, plan_set
from matcher.matching.pools import stock_of
from matcher.matching.ranking.prices import free_of_charge
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.sets.aims import USE_UP, aim_of
from matcher.matching.sets.model import Model
from matcher.matching.sets.planner import Planner
from matcher.matching.sets.programme import Programme
from matcher.matching.sets.wants import Asked, Want
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

SIZES, SECONDS, FULL, SCALE = (60, 300), 60.0, 40, 1e6


def _model(programme: Programme) -> Model:
    return Model(programme.rules, programme.risk, programme.columns, None, programme.cuts)


def highs(programme: Programme, seconds: float) -> tuple[float, float, float]:
    """Objective, bound and seconds of scipy's solver."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    model, began = _model(programme), time.perf_counter()
    found = milp(
        model.cost,
        constraints=LinearConstraint(model.matrix, ub=model.limits),
        bounds=Bounds(*model.bounds),
        integrality=model.whole,
        options={"time_limit": seconds, "mip_rel_gap": 1e-6},
    )
    value = np.nan if found.x is None else -float(found.fun)
    bound = np.nan if found.mip_dual_bound is None else -float(found.mip_dual_bound)
    return value, bound, time.perf_counter() - began


def cp_sat(programme: Programme, seconds: float) -> tuple[float, float, float]:
    """The same of CP-SAT: all variables and coefficients as whole numbers, limits rounded up."""
    from ortools.sat.python import cp_model

    model = _model(programme)
    matrix, asked = model.matrix.tocsr(), cp_model.CpModel()
    variables, unit = [], np.where(model.whole > 0, 1.0, 1e-4)
    for place, (low, high) in enumerate(zip(*model.bounds, strict=True)):
        most = min(float(high), 1e4) / unit[place]
        variables.append(asked.new_int_var(int(low / unit[place]), int(np.ceil(most)), f"v{place}"))
    for row in range(matrix.shape[0]):
        span = slice(matrix.indptr[row], matrix.indptr[row + 1])
        at, values = matrix.indices[span], matrix.data[span]
        if not len(at):
            continue
        scale = SCALE / max(float(np.abs(values).max()), 1e-12)
        whole = np.floor(values * unit[at] * scale).astype(np.int64).tolist()
        limit = int(np.ceil(float(model.limits[row]) * scale))
        asked.add(cp_model.LinearExpr.weighted_sum([variables[one] for one in at], whole) <= limit)
    cost = np.rint(model.cost * unit * SCALE * 100).astype(np.int64).tolist()
    asked.minimize(cp_model.LinearExpr.weighted_sum(variables, cost))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds, solver.parameters.num_workers = seconds, 2
    began = time.perf_counter()
    status = solver.solve(asked)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    value = -solver.objective_value / (SCALE * 100) if found else np.nan
    return value, -solver.best_objective_bound / (SCALE * 100), time.perf_counter() - began


def generated(number: int, seconds: float, seed: int = 1) -> None:
    """One generated bin, with what each solver makes of the columns."""
    catalogue = load_catalogue()
    desk = Desk(Bin(lots("many colours", number, catalogue, seed)), catalogue)
    stock = stock_of(desk.shelf.pools, catalogue.together)
    scope = scope_of(desk.variants, Wishes())
    searcher = searcher_of(stock, scope, catalogue)
    aim = aim_of(USE_UP, stock, catalogue.ranking)
    asked = Asked([None], _of_one(stock, catalogue.ranking), [], searcher.usable_m, searcher.chance or 0.0)
    began, spent, first = time.perf_counter(), time.process_time(), np.nan

    def progress(objective: float, bound: float) -> None:
        nonlocal first
        if np.isnan(first) and objective > 0:
            first = time.perf_counter() - began

    planner = Planner(searcher, [Want(scope.variants, scope.least)], asked, aim, seconds, progress)
    plan = planner.plan()
    took, spent = time.perf_counter() - began, time.process_time() - spent
    print(
        f"| {number} lots, seed {seed} | {len(plan.columns)} things | {plan.objective:.4f} | {plan.bound:.4f} "
        f"| {plan.objective / plan.bound:.4f} | first {first:.2f} s | {took:.1f} s, {spent:.1f} of the processor "
        f"| {len(planner.programme.columns)} "
        f"columns | sure {plan.sure:.4f} |",
        flush=True,
    )
    planner.source.stop = lambda: False
    full = planner.programme.of(planner.programme.columns)
    free = free_of_charge(len(stock.free_m))
    for want, key in planner.source.accessories():
        full.add(planner.source.above(want, key, free, -np.inf, FULL, marls=False)[0])
    for name, programme in (("its columns", planner.programme), (f"the full model ({len(full.columns)})", full)):
        for solver in (highs, cp_sat):
            value, bound, took = solver(programme, seconds)
            print(f"|  {solver.__name__} on {name} | {value:.4f} | bound {bound:.4f} | {took:.1f} s |", flush=True)


def people(seconds: float = 20.0) -> None:
    """Something for each person of the demo."""
    began, first = time.perf_counter(), np.nan

    def progress(objective: float, bound: float) -> None:
        nonlocal first
        if np.isnan(first) and objective > 0:
            first = time.perf_counter() - began

    best = plan_set(None, people=True, time_limit=seconds, progress=progress).best
    took = time.perf_counter() - began
    print(
        f"| demo, people | {len(best)} things | {best.objective:.4f} | {best.bound:.4f} | gap {best.gap:.4f} "
        f"| proved {best.proved} | first {first:.2f} s | {took:.1f} s |",
        flush=True,
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["demo"]:
        people()
    elif len(sys.argv) > 1:
        number, *rest = sys.argv[1:]
        generated(int(number), float(rest[0]) if rest else SECONDS, *map(int, rest[1:]))
    else:
        people()
        for size in SIZES:
            generated(size, SECONDS)

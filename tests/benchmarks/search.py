"""The search alone: whole catalogue, top 10, on three kinds of generated bin. Run by hand:

    python tests/benchmarks/search.py                 all cases, then other ways to search beside it
    python tests/benchmarks/search.py greys 500       one case, held together
    python tests/benchmarks/search.py greys 500 1     one case, single strands

Every case runs in a process of its own, so that its peak memory is its own. Nothing is asserted about time.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from pathlib import Path

from bins import KINDS, stock

from matcher.actions.desk import Desk
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

CASES = [(kind, number) for kind in KINDS for number in (500, 5_000)] + [("many colours", 50_000)]
TARGET_S = {500: 0.5, 5_000: 3.0, 50_000: 20.0}
TARGET_MB = 1000


def measure(kind: str, number: int, strands: int = 3, seed: int = 1) -> dict[str, object]:
    """Seconds of the search, of what comes before it, and the peak memory of this process [MB]."""
    catalogue = load_catalogue()
    variants = Desk(Bin(()), catalogue).variants
    pools = stock(kind, number, catalogue, seed)
    before_mb = _peak_mb()
    began = time.perf_counter()
    scope = scope_of(variants, Wishes(top=10, held_together=strands > 1, varied=True))
    searcher = searcher_of(pools, scope, catalogue)
    ready = time.perf_counter()
    found = search_scope(searcher, scope).chosen
    done = time.perf_counter()
    return {
        "kind": kind,
        "lots": number,
        "strands": strands,
        "ready_s": ready - began,
        "search_s": done - ready,
        "before_mb": before_mb,
        "peak_mb": _peak_mb(),
        "best": [[one.variant.accessory.key, round(one.score, 6)] for one in found],
    }


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def child(kind: str, number: int, strands: int) -> dict[str, object]:
    """The same in a process of its own."""
    command = [sys.executable, str(Path(__file__).resolve()), kind, str(number), str(strands)]
    return json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)


def main() -> None:
    print("| bin | lots | strands | set-up [s] | search [s] | target [s] | peak memory [MB] | first | score |")
    print("|---|---|---|---|---|---|---|---|---|")
    for kind, number in CASES:
        for strands in (1, 3):
            got = child(kind, number, strands)
            first, score = got["best"][0] if got["best"] else ("nothing", 0.0)
            print(
                f"| {kind} | {number} | {'1 to 3' if strands > 1 else 'single'} | {got['ready_s']:.3f} "
                f"| {got['search_s']:.3f} | {TARGET_S[number]:g} | {got['peak_mb']:.0f} (target {TARGET_MB}) "
                f"| {first} | {score:.4f} |",
                flush=True,
            )


if __name__ == "__main__":
    if len(sys.argv) >= 3:
        print(json.dumps(measure(sys.argv[1], int(sys.argv[2]), int((*sys.argv, 3)[3]))))
    else:
        main()

"""The search alone: whole catalogue, top 10, on three kinds of generated bin. Run by hand:

    python tests/benchmarks/search.py                 all cases, then other ways to search beside it
    python tests/benchmarks/search.py greys 500       one case, held together
    python tests/benchmarks/search.py greys 500 1     one case, single strands
    python tests/benchmarks/search.py --drawn hardly 5000 13    one of the bins of `whole.py`, by its seed

Every case runs in a process of its own, so that its peak memory is its own; seconds are of the processor. Bins of
`whole.py` are drawn from garments by odd seeds, from nowhere by even ones. Nothing is asserted about time.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from unittest import mock

import whole
from bins import KINDS, stock

from matcher.actions.desk import Desk
from matcher.actions.ranking.question import Question
from matcher.matching.ranking.descent import Descent
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

CASES = [(kind, number) for kind in KINDS for number in (500, 5_000)] + [("many colours", 50_000)]
DRAWN = [
    (kind, number, seed) for number in (500, 5_000) for kind in ("colours", "greys", "hardly") for seed in (11, 12)
]
TARGET_S = {500: 0.5, 5_000: 1.0, 50_000: 20.0}
TARGET_MB = 1000


def measure(kind: str, number: int, strands: int = 3, seed: int = 1) -> dict[str, object]:
    """Seconds of the search, of what comes before it, and the peak memory of this process [MB]."""
    catalogue = load_catalogue()
    variants = Desk(Bin(()), catalogue).variants
    pools = stock(kind, number, catalogue, seed)
    before_mb = _peak_mb()
    began = time.process_time()
    scope = scope_of(variants, Wishes(top=10, held_together=strands > 1, varied=True))
    searcher = searcher_of(pools, scope, catalogue)
    ready = time.process_time()
    found = search_scope(searcher, scope).chosen
    done = time.process_time()
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


def drawn(kind: str, number: int, seed: int) -> dict[str, object]:
    """Seconds of the search of a bin of `whole.py`, the searches of one size in it, and the first and last score."""
    with tempfile.TemporaryDirectory() as place:
        whole.write(Path(place), kind, number, seed)
        laid = Question(Desk(place), Wishes(varied=True)).laid()
    began, searches = time.process_time(), 0
    run = Descent.run

    def counted(self: Descent) -> None:
        nonlocal searches
        searches += 1
        run(self)

    with mock.patch.object(Descent, "run", counted):
        scores = [one.score for one in search_scope(laid.searcher, laid.scope).chosen]
    return {"search_s": time.process_time() - began, "searches": searches, "scores": scores}


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def child(*asked: str | int) -> dict[str, object]:
    """A case in a process of its own."""
    command = [sys.executable, str(Path(__file__).resolve()), *map(str, asked)]
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
    print("\n| bin | lots | from | seed | search [s] | target [s] | of one size | first | last |\n" + "|---" * 9 + "|")
    for kind, number, seed in DRAWN:
        got = child("--drawn", kind, number, seed)
        row = (
            kind,
            number,
            "garments" if seed % 2 else "nowhere",
            seed,
            f"{got['search_s']:.2f}",
            TARGET_S[number],
            got["searches"],
            f"{got['scores'][0]:.4f}",
            f"{got['scores'][-1]:.4f}",
        )
        print(f"| {' | '.join(map(str, row))} |", flush=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--drawn"]:
        print(json.dumps(drawn(sys.argv[2], int(sys.argv[3]), int(sys.argv[4]))))
    elif len(sys.argv) >= 3:
        print(json.dumps(measure(sys.argv[1], int(sys.argv[2]), int((*sys.argv, 3)[3]))))
    else:
        main()

"""The search in two rounds over a stock given as arrays: whole catalogue, top 10. Run by hand:

    python tests/benchmarks/rounds.py                               all cases
    python tests/benchmarks/rounds.py nowhere 1000000 2             one case: lots from nowhere or from garments, seed
    python tests/benchmarks/rounds.py nowhere 50000 2 greys         the same of other colours: greys, or hardly any pair reads

Every case runs in a process of its own. Cells are made in the measured time; the arrays themselves are not. Seconds are
of the processor. Up to 50,000 lots the search that looks at all of them runs beside it, and must find the same.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from pathlib import Path

import numpy as np

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, kind_tables
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.matching.rounds import search
from matcher.matching.together import handling_of
from matcher.materials.fibre import Blend
from matcher.materials.lots import Bin
from matcher.materials.yarn import Yarn, tex_from_ball
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

COLOURS = ("colours", "greys", "hardly")
CASES = [(where, number, "colours") for number in (5_000, 50_000, 1_000_000) for where in ("nowhere", "garments")]
CASES += [("garments", number, kind) for number in (5_000, 50_000) for kind in COLOURS[1:]]
_PLAIN = 50_000


def stock(where: str, number: int, catalogue: Catalogue, seed: int, colours: str = "colours") -> Stock:
    """Lots of 8 to 90 g, classes 1 to 5; from garments: two in three from those of two to five colours.

    Of "greys" all are of a middling grey; of "hardly" all are of one lightness but six.
    """
    rng, rules = np.random.default_rng([seed, number]), catalogue.together
    blends = [Blend(), *(Blend(((fibre, 1.0),)) for fibre in catalogue.fibres)]
    tex = tex_from_ball(50.0, 150.0, catalogue.measuring)
    made = [
        handling_of(Yarn("", tex, "tex", 3, blend, wash), rules)
        for blend in blends
        for wash in ("hand", "machine", "unknown")
    ]
    kinds = tuple(dict.fromkeys((one, frozenset()) for one in made))
    owner = np.arange(number)
    home, yarn = np.full(number, -1), np.full(number, -1)
    if where == "garments":
        owner = np.repeat(np.arange(number), rng.integers(2, 6, number))[:number]
        home = np.where((rng.random(number) < 2 / 3)[owner], owner, -1)
        yarn = rng.integers(number // 4, size=number)[owner]
    weights = [one for one in catalogue.classes if 1 <= one.number <= 5]
    weight = rng.integers(len(weights), size=number)[owner]
    low, high = (np.array([getattr(one, end) for one in weights])[weight] for end in ("tex_min", "tex_max"))
    texes = low + rng.random(number)[owner] * (high - low)
    mass, hue = rng.uniform(8, 90, number), rng.uniform(0, 2 * np.pi, number)
    light, chroma = rng.uniform(12, 95, number), rng.uniform(0, 55, number)
    if colours == "greys":
        light, chroma = rng.uniform(30, 48, number), rng.uniform(0, 2, number)
    elif colours == "hardly":
        light = rng.uniform(47, 53, number)
        light[rng.choice(number, 6, replace=False)] = [14.0, 91.0] * 3
    labs = np.column_stack([light, chroma * np.cos(hue), chroma * np.sin(hue)])
    free = 1000 * mass / texes
    return Stock(
        (),
        free,
        free * np.hypot(0.03, 0.5 / mass),
        texes,
        np.arange(number)[:, None],
        np.ones((number, 1)),
        labs,
        np.zeros_like(labs),
        rng.integers(len(kinds), size=number)[owner],
        kinds,
        *kind_tables(kinds, rules),
        home[:, None],
        (),
        yarn,
        (),
        rules,
    )


def measure(where: str, number: int, seed: int, colours: str = "colours") -> dict[str, object]:
    """Seconds, peak memory [MB], and what each round left."""
    catalogue = load_catalogue()
    pools = stock(where, number, catalogue, seed, colours)
    scope = scope_of(Desk(Bin(()), catalogue).variants, Wishes(varied=True))
    left: list[int] = []
    among = search.among

    def counted(*asked: object) -> object:
        some = among(*asked)
        left.append(len(some.stock))
        return some

    search.among = counted
    before = _peak_mb()
    began = time.process_time()
    searcher = searcher_of(pools, scope, catalogue)
    ready = time.process_time()
    found = search.search_rounds(searcher, scope)
    done = time.process_time()
    rounds_mb = _peak_mb()
    plain_s = None
    if number <= _PLAIN:
        plain = search_scope(searcher, scope)
        plain_s = time.process_time() - done
        assert [round(one.score, 9) for one in plain.chosen] == [round(one.score, 9) for one in found.chosen]
    return {
        "ready": ready - began,
        "rounds": done - ready,
        "plain": plain_s,
        "left": left,
        "before_mb": before,
        "peak_mb": rounds_mb,
        "first": found.chosen[0].score,
    }


def _peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Print the table."""
    print(
        "| lots from | colours | lots | seed | set-up [s] | rounds [s] | all at once [s] | looked at in turn | peak [MB] | first |"
    )
    print("|---|---|---|---|---|---|---|---|---|---|")
    for where, number, colours in CASES:
        for seed in (2, 3):
            command = [sys.executable, str(Path(__file__).resolve()), where, str(number), str(seed), colours]
            got = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
            plain = "" if got["plain"] is None else f"{got['plain']:.1f}"
            left = ", ".join(f"{one:,}" for one in got["left"])
            print(
                f"| {where} | {colours} | {number:,} | {seed} | {got['ready']:.2f} | {got['rounds']:.1f} | {plain} | {left} "
                f"| {got['peak_mb']:.0f} | {got['first']:.4f} |",
                flush=True,
            )


if __name__ == "__main__":
    if len(sys.argv) > 3:
        print(json.dumps(measure(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), *sys.argv[4:])))
    else:
        main()

"""Look-alikes of large bins: seconds of finding the groups alone. Run by hand:

    python tests/benchmarks/lookalikes.py

Colours of three kinds (see bins.py), classes 1 to 5; then all in one class, and all of one colour. Target: 10,000
lots under 10 s. Nothing is asserted about time.
"""

from __future__ import annotations

import time
from dataclasses import replace

from bins import KINDS, lots

from matcher.actions.desk import Desk
from matcher.matching.scraps.lookalikes import lookalikes_of
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue

NUMBERS = (2_500, 10_000)


def main() -> None:
    """Print a table."""
    catalogue = load_catalogue()
    print(f"{'colours':28} {'lots':>6} {'groups':>7} {'largest':>7} {'seconds':>8}")
    for kind in (*KINDS, "many colours, one class", "one colour"):
        for number in NUMBERS:
            made = lots(kind.split(",")[0] if kind != "one colour" else "greys", number, catalogue)
            if "one" in kind:
                made = tuple(replace(one, yarn=replace(one.yarn, weight_class=3)) for one in made)
            if kind == "one colour":
                made = tuple(replace(one, colour=made[0].colour) for one in made)
            pools = Desk(Bin(made), catalogue).shelf.pools
            began = time.perf_counter()
            found = lookalikes_of(pools, catalogue.identify)
            taken = time.perf_counter() - began
            largest = max((len(one.lots) for one in found), default=0)
            print(f"{kind:28} {number:6} {len(found):7} {largest:7} {taken:8.2f}", flush=True)


if __name__ == "__main__":
    main()

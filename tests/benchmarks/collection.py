"""A million lots of many members in one Parquet file: written, read and laid out for the search. By hand:

    python tests/benchmarks/collection.py [lots]

Seconds are of the processor; the file is drawn here, and its lots are no objects at any time.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from matcher.matching.collected import stock_of_collection
from matcher.materials.collection import Collection, Once, Several
from matcher.materials.fibre import Blend
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue
from matcher.store.collection.parquet import read_parquet
from matcher.store.collection.writing import parquet_of


def drawn(number: int, catalogue: Catalogue, seed: int = 1, members: int = 0) -> Collection:
    """Lots of all colours, classes 1 to 5, of a member each hundred if not said; two in three from a garment."""
    rng = np.random.default_rng(seed)
    members = members or 1 + number // 100
    member = np.sort(rng.integers(members, size=number))
    first = np.searchsorted(member, member)
    several = np.where(rng.random(number) < 0.05, 3, 1)
    start = np.concatenate([[0], np.cumsum(several)])
    hue, chroma = rng.uniform(0, 2 * np.pi, start[-1]), rng.uniform(0, 55, start[-1])
    light = rng.uniform(12, 95, start[-1])
    classes = {one.number: one for one in catalogue.classes}
    of_class = rng.integers(1, 6, number)
    low, high = (np.array([getattr(classes[one], name) for one in range(1, 6)]) for name in ("tex_min", "tex_max"))
    tex = rng.uniform(low[of_class - 1], high[of_class - 1])
    grams = rng.uniform(8, 90, number)
    blends = (Blend(), *(Blend(((fibre, 1.0),)) for fibre in catalogue.fibres))
    owned = (rng.random(number) < 2 / 3).astype(np.intp)
    homes = np.concatenate([[0], np.cumsum(owned)])
    places, washes = ("north", "south", "east"), ("hand", "machine", "unknown")

    def nothing() -> Once[str]:
        return Once(np.zeros(number, dtype=np.intp), ("",))

    return Collection(
        file=np.zeros(number, dtype=np.intp),
        member=Once(member, tuple(f"M{one}" for one in range(members))),
        place=Once(member % len(places), places),
        number=Several(np.arange(number + 1), (np.arange(number) - first + 1).astype(np.str_)),
        yarn=Once(rng.integers(number // 4 + 1, size=number), tuple(f"yarn {one}" for one in range(number // 4 + 1))),
        colour=nothing(),
        dye_lot=nothing(),
        tex=tex,
        tex_sd=0.05 * tex,
        tex_from=Once(np.zeros(number, dtype=np.intp), ("ball band",)),
        weight_class=of_class,
        blend=Once(rng.integers(len(blends), size=number), blends),
        wash=Once(rng.integers(3, size=number), washes),
        lab=Several(start, np.column_stack([light, chroma * np.cos(hue), chroma * np.sin(hue)])),
        share=Several(start, np.repeat(1.0 / several, several)),
        lab_sd=Several(np.zeros(number + 1, dtype=np.intp), np.zeros((0, 3))),
        free_m=1000.0 * grams / tex,
        free_sd_m=60.0 * grams / tex,
        garment=Several(homes, (np.arange(homes[-1]) // 3) % 1000 + 1),
        ball_g=np.full(number, 50.0),
        apart=Several(np.zeros(number + 1, dtype=np.intp), np.zeros(0, dtype=np.intp)),
    )


def main() -> None:
    """Print the table."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    catalogue = load_catalogue()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "pool.parquet"
        collection = drawn(number, catalogue)
        steps = [("written", lambda: file.write_bytes(parquet_of(collection)))]
        steps.append(("read", lambda: read_parquet(file, catalogue.fibres)))
        steps.append(
            ("read and laid out", lambda: stock_of_collection(read_parquet(file, catalogue.fibres), catalogue.together))
        )
        for step, work in steps:
            before = time.process_time()
            work()
            print(f"{number} lots {step}: {time.process_time() - before:.2f} s", flush=True)
        print(
            f"file {file.stat().st_size / 1e6:.0f} MB, at most {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6:.2f} GB"
        )


if __name__ == "__main__":
    main()

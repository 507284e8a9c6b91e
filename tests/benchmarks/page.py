"""The page: how soon it answers after its start, every view of 1,000 lots, a role changed by a tap, the bytes of pages.

.venv/bin/python tests/benchmarks/page.py [lots]
"""

from __future__ import annotations

import re
import statistics
import sys
import tempfile
import time
from pathlib import Path

import httpx
from bin import write_bin

from matcher.actions.keeping.intake import intake

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[1] / "web")]

# What the tests share is found from here on, so these come after the line above (E402).
from addresses import addresses  # noqa: E402
from server import start  # noqa: E402  # likewise
from visitor import Visitor  # noqa: E402  # likewise

DEMO = HERE.parents[2] / "demo"
WARM = 20
FIT = "/match/fit?garment=grey%20yoke%20pullover&accessory=hat-stranded-band"
TAPS = ("navy", "cream", "petrol", "rust", "natural")


def first_page(store: Path) -> tuple[float, float]:
    """Seconds from the start of the process, and from its saying where it is, to the whole first page."""
    began = time.perf_counter()
    served = start(store, anew=True)
    ready = time.perf_counter()
    try:
        httpx.get(served.address).raise_for_status()
        ended = time.perf_counter()
    finally:
        served.process.terminate()
        served.process.wait()
    return ended - began, ended - ready


def warm(visitor: Visitor, address: str, headers: dict[str, str] | None = None) -> tuple[float, int]:
    """Median seconds of a view that was looked at before, and its bytes without pictures."""
    found = visitor.visit(address, headers=headers)
    took = []
    for _ in range(WARM):
        began = time.perf_counter()
        found = visitor.get(address, headers=headers)
        took.append(time.perf_counter() - began)
    return statistics.median(took), len(re.sub(r"<svg.*?</svg>", "", found.text, flags=re.DOTALL))


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        demo, many = folder / "demo.sqlite", folder / "many.sqlite"
        intake(DEMO, bin=demo, yes=True)
        starts = sorted(first_page(demo) for _ in range(5))
        print(f"first page of the demo: {starts[2][0]:.2f} s from the start, {starts[2][1]:.2f} s once it listens")
        with Visitor(demo) as visitor:
            taps = [f"{FIT}&lot%20contrast%201={lot}" for lot in TAPS]
            visitor.look(FIT)
            took = []
            for tap in taps:
                began = time.perf_counter()
                visitor.get(tap, headers={"hx-request": "true", "hx-target": "outcome"})
                took.append(time.perf_counter() - began)
            print(f"a role changed by a tap, never asked before: {statistics.median(took):.3f} s")
        sheets = folder / "sheets"
        sheets.mkdir()
        write_bin(sheets, number)
        intake(sheets, bin=many, yes=True)
        print(f"{number} lots: median of {WARM} warm, bytes without pictures")
        with Visitor(many) as visitor:
            for address in addresses():
                if re.search("petrol|grey|moss|father|/work/|navy|go=yes|why\\?", address):
                    continue  # of the demo's own names
                seconds, size = warm(visitor, address)
                print(f"{seconds:7.3f} s {size:8d} {address}", flush=True)


if __name__ == "__main__":
    main()

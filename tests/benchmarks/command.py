"""Whole commands against the clock: `--help` beside an empty Typer command, and the demo. Run by hand:

    python tests/benchmarks/command.py [runs]

Each is run in turn with the others, so that all see the same machine; medians and their ratio are printed.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

EMPTY = """
import typer
app = typer.Typer()
@app.command()
def one(): "One."
@app.command()
def two(): "Two."
app()
"""
MATCHER = [sys.executable, "-m", "matcher"]
COMMANDS = {
    "empty Typer command --help": [sys.executable, "-c", EMPTY, "--help"],
    "matcher --help": [*MATCHER, "--help"],
    "matcher suggest (demo)": [*MATCHER, "suggest"],
    "matcher suggest --single (demo)": [*MATCHER, "suggest", "--single"],
}


def seconds(command: list[str]) -> float:
    """Wall seconds of one run."""
    began = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - began


def main(runs: int) -> None:
    """Print the table."""
    for command in COMMANDS.values():
        seconds(command)  # once without counting, for the caches
    taken: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(runs):
        for name, command in COMMANDS.items():
            taken[name].append(seconds(command))
    empty = statistics.median(taken["empty Typer command --help"])
    print("| command | median [s] | least [s] | of an empty command |\n|---|---|---|---|")
    for name, all_of_it in taken.items():
        middle = statistics.median(all_of_it)
        print(f"| {name} | {middle:.2f} | {min(all_of_it):.2f} | {middle / empty:.2f} |")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)

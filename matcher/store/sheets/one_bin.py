"""Whether the files of a folder are one bin, although none is called as a sheet here: "my yarn.csv" and "jumpers.csv".

They are read as `check` reads the folder. Of several lists of yarn each may be another person's, and so may a list that
isn't understood; a list alone is the folder's own where its name says no more than that it lists yarn.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from matcher.errors import Fault
from matcher.store.catalogue.headings import load_headings
from matcher.store.sheets.find import find_tables, titled
from matcher.store.sheets.grid import AS_THEY_LIE, Grid
from matcher.store.sheets.read import grids_in

_PLAIN = frozenset(("my", "our", "own", "the", "all", "of", "list", "lists"))  # words of a name that tell nobody's


def reads_as_one(folder: Path) -> bool:
    """Whether there is a list of yarn, nobody else's beside it, and more than that list or a name that is only its."""
    faults: list[Fault] = []
    grids = grids_in(folder, faults, AS_THEY_LIE)
    found = {} if faults else find_tables(grids, folder.name, faults, [])
    if faults or "lots" not in found or any(grid.faults for grid in grids):
        return False
    used = {id(one.grid) for one in found.values()}
    others = [grid for grid in grids if id(grid) not in used]
    return all(titled(grid) == "other" for grid in others) and (len(used) > 1 or _only_lists(found["lots"].grid))


def _only_lists(grid: Grid) -> bool:
    """Whether a list's name says of it only that it lists yarn."""
    words = _words([Path(grid.where).stem])
    return titled(grid) == "lots" and words <= _PLAIN | _words(load_headings().titles["lots"])


def _words(several: Iterable[str]) -> frozenset[str]:
    return frozenset(word for one in several for word in re.findall(r"[^\W\d_]+", one.casefold()))

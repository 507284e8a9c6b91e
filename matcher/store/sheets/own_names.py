"""Files of text in a folder that are called as a sheet here: lots.csv, or lots.tsv or lots.txt with tabs in it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from matcher.store.sheets.columns import SHEETS

TEXTS = (".csv", ".tsv", ".txt")
"""How such a file may end; of two that are called alike the first goes first."""


def own_names(names: Iterable[str]) -> Mapping[str, str]:
    """The file of each sheet among the names of a folder, whatever their capitals; a sheet without one is left out."""
    folded = {name.casefold(): name for name in sorted(names, reverse=True)}
    found = ((sheet, f"{sheet}{ending}") for sheet in SHEETS for ending in reversed(TEXTS))
    return {sheet: folded[name] for sheet, name in found if name in folded}


def is_bin(names: Iterable[str]) -> bool:
    """Whether a folder of these names is a bin in sheets: one is a csv file, or it has the lots and another."""
    own = own_names(names)
    return any(name.casefold().endswith(".csv") for name in own.values()) or ("lots" in own and len(own) > 1)

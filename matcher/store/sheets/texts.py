"""Whether a text file is a list of yarn: notes and letters are called alike."""

from __future__ import annotations

from pathlib import Path

from matcher.store.sheets.csv_files import read_csv
from matcher.store.sheets.find import find_tables


def lists_yarn(path: Path) -> bool:
    """Whether a file of text has what a list of yarn can't be without, or is called as one is here: lots.txt."""
    found = find_tables([read_csv(path)], "", [], []).get("lots")
    return found is not None and (found.whole or not found.columns)

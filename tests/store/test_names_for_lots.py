"""Lots without a name are called by what their rows say, and the remark says by what."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import reading_of

CATALOGUE = load_catalogue()


@pytest.mark.parametrize(
    ("columns", "cells", "called"),
    [
        (("Yarn",), ("soft",), "yarn and colour, such as soft sky blue"),
        (("Fibre",), ("75% wool 25% nylon",), "fibre and colour, such as 75% wool 25% nylon sky blue"),
        (("Fibre", "Yarn"), ("wool", "soft"), "yarn and colour, such as soft sky blue"),
        (("Weight",), ("DK",), "class and colour, such as DK sky blue"),
    ],
)
def test_the_remark_says_by_what(tmp_path: Path, columns: tuple[str, ...], cells: tuple[str, ...], called: str):
    headings = [*columns, "Colour", "Grams", "Grams per ball", "Metres per ball"]
    rows = [[*cells, "sky blue", 41, 50, 125], [*cells, "navy", 20, 50, 125]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": [headings, *rows]}), CATALOGUE)
    assert f"Yarn: 2 lots have no name, and are called by {called}" in [*map(str, found.bin.notes)]

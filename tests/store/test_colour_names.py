"""A column of colours' names is the colour where no other column is."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, *headings: str, cells: tuple[str, ...]) -> Reading:
    return reading_of(
        lay(folder, "xlsx", {"Yarn": [["Yarn", *headings, "Grams", "Weight"], ["soft", *cells, 40, "DK"]]}), CATALOGUE
    )


@pytest.mark.parametrize(
    "heading", ["Colour name", "Color name", "colour_name", "Colourway name", "Colorway name", "Name of colour"]
)
def test_a_name_says_what_colour_it_is(tmp_path: Path, heading: str):
    found = read(tmp_path, heading, cells=("navy",))
    assert found.faults == ()
    assert [(one.heading, one.column) for one in found.understood.headings][1] == (heading, "colour")


@pytest.mark.parametrize("heading", ["Colour name", "Colourway name"])
@pytest.mark.parametrize("colour", ["Colour", "Hex"])
def test_beside_a_colour_it_is_the_name(tmp_path: Path, heading: str, colour: str):
    for order in (1, -1):
        given = ((heading, "midnight"), (colour, "#223a7a"))[::order]
        found = read(tmp_path, *(one for one, _ in given), cells=tuple(cell for _, cell in given))
        assert found.faults == ()
        assert found.bin.lots[0].colour_name == "midnight"


def test_a_makers_number_is_no_colour(tmp_path: Path):
    (fault,) = read(tmp_path, "Shade number", cells=("402",)).faults
    assert fault.column == "colour"
    assert not fault.found

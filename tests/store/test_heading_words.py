"""What headings in words of her own mean, and what they don't."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from laid import lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()


def read(folder: Path, *columns: tuple[str, str]) -> Reading:
    headings = ["Yarn", "Colour", "Grams", "Weight", *(heading for heading, _ in columns)]
    row = ["soft", "#223a7a", 40, "DK", *(cell for _, cell in columns)]
    return reading_of(lay(folder, "xlsx", {"Yarn": [headings, row]}), CATALOGUE)


def column_of(found: Reading, heading: str) -> tuple[str, str]:
    return next((one.column, one.unit) for one in found.understood.headings if one.heading == heading)


@pytest.mark.parametrize(
    ("heading", "cell", "column"),
    [
        *(("Made of", "wool", "fibre"), ("Made up of", "wool", "fibre"), ("Made from", "wool", "fibre")),
        *(("Made for", "Tom", ""), ("Made by", "Ann", ""), ("Made in", "2019", "")),
        *(("Used in", "yoke", "garment"), ("Main or contrast", "MC", "role"), ("Label", "Hill wool", "yarn")),
        *(("Used", "yoke", "garment"), ("Used", "half", ""), ("% used", "40%", ""), ("Used", "90 %", "")),
        *(("Farbe/Material", "wool", "fibre"), ("Ort/Place", "tin", "place")),
        *(("Label", "yes", "label"), ("Label", "torn", "label"), ("Label", "50g/125m", "ball_metres")),
    ],
)
def test_a_heading_is_what_it_says(tmp_path: Path, heading: str, cell: str, column: str):
    if column == "yarn":
        rows = [["Label", "Colour", "Grams", "Weight"], ["Hill wool", "#223a7a", 40, "DK"]]
        found = reading_of(lay(tmp_path, "xlsx", {"Yarn": rows}), CATALOGUE)
    else:
        found = read(tmp_path, (heading, cell))
    assert found.faults == ()
    assert column_of(found, heading) == (column, "")


@pytest.mark.parametrize("heading", ["Worn by", "Made for", "For whom", "Belongs to"])
def test_who_wears_it(tmp_path: Path, heading: str):
    yarn = [["Yarn", "Colour", "Grams", "Weight", "Jumper"], ["soft", "#223a7a", 40, "DK", "yoke"]]
    jumpers = [["Jumper", heading, "Gauge (4 in)"], ["yoke", "Ann", "20 sts"]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": yarn, "Jumpers": jumpers}), CATALOGUE)
    assert found.faults == ()
    garment = found.bin.garments["yoke"]
    assert (garment.wearer, garment.status, garment.stitches_10cm) == ("Ann", "worn", pytest.approx(19.685, abs=0.001))


def test_since_when_it_is_given_away(tmp_path: Path):
    yarn = [["Yarn", "Colour", "Grams", "Weight", "Jumper"], ["soft", "#223a7a", 40, "DK", "yoke"]]
    jumpers = [["Jumper", "Given away"], ["yoke", datetime.datetime(2021, 5, 1)], ["gansey", "no"]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": yarn, "Jumpers": jumpers}), CATALOGUE)
    assert found.faults == ()
    assert {name: one.status for name, one in found.bin.garments.items()} == {"yoke": "given", "gansey": "worn"}
    assert [(one.found, one.sure) for one in found.understood.cells if one.column == "status"] == [
        ("2021-05-01", False)
    ]


def test_a_gross_weight_is_not_said_to_be_what_is_left(tmp_path: Path):
    rows = [["Yarn", "Colour", "Weight class", "Gross weight"], ["soft", "#223a7a", "DK", 40]]
    (fault,) = reading_of(lay(tmp_path, "xlsx", {"Yarn": rows}), CATALOGUE).faults
    assert "Gross" not in str(fault)


def test_what_a_jumper_measures_is_its_chest(tmp_path: Path):
    yarn = [["Yarn", "Colour", "Grams", "Weight", "Jumper"], ["soft", "#223a7a", 40, "DK", "yoke"]]
    jumpers = [["Jumper", "To fit", "Actual chest"], ["yoke", "36 in", "40 in"]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": yarn, "Jumpers": jumpers}), CATALOGUE)
    assert found.bin.garments["yoke"].chest_cm == pytest.approx(101.6)


@pytest.mark.parametrize("size", ["L", "xl", "2XL", "S/M", "age 8", "adult M", "6 years"])
def test_a_size_of_clothes_is_no_thickness(tmp_path: Path, size: str):
    found = read(tmp_path, ("Size", size))
    assert found.faults == ()
    assert column_of(found, "Size") == ("", "")
    assert found.bin.lots[0].yarn.weight_class == 3


@pytest.mark.parametrize("cell", ["unknown", "Unknown", "not sure", "mystery", "?"])
@pytest.mark.parametrize("heading", ["Brand/yarn", "From which jumper", "Dye lot", "Where", "Pieces"])
def test_what_is_not_known_is_no_name_of_anything(tmp_path: Path, heading: str, cell: str):
    headings = ["Name", "Colour", "Grams", "Weight", heading]
    rows = [["a", "#223a7a", 40, "DK", cell], ["b", "#223a7a", 40, "DK", cell]]
    found = reading_of(lay(tmp_path, "xlsx", {"Yarn": [headings, *rows]}), CATALOGUE)
    assert found.faults == ()
    assert found.bin.garments == {}
    assert {(lot.yarn.name, lot.garment, lot.dye_lot, lot.place) for lot in found.bin.lots} == {("", "", "", "")}

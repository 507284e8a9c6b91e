"""Two lists side by side in one sheet."""

from __future__ import annotations

from pathlib import Path

import pytest
from laid import KINDS, lay

from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of

CATALOGUE = load_catalogue()
YARN = [
    ["Colour", "Grams", "Weight", "From"],
    ["navy", "55", "DK", "Sailor"],
    ["white", "22", "DK", "Sailor"],
    ["gold", "80", "aran", "Gold"],
]
JUMPERS = [["Jumper", "Gauge", "Status"], ["Sailor", "22x30", "worn"], ["Gold", "20x28", "given"]]


def beside(left: list[list[str]], right: list[list[str]]) -> list[list[object]]:
    rows = max(len(left), len(right))
    wide = len(left[0])
    whole = [table + [[]] * (rows - len(table)) for table in (left, right)]
    return [[*one, *[None] * (wide - len(one)), None, *other] for one, other in zip(*whole, strict=True)]


def read(folder: Path, kind: str, left: list[list[str]], right: list[list[str]]) -> Reading:
    return reading_of(lay(folder, kind, {"Stash": beside(left, right)}), CATALOGUE)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("turned", [False, True], ids=["yarn first", "jumpers first"])
def test_yarn_beside_jumpers(tmp_path: Path, kind: str, turned: bool):
    found = read(tmp_path, kind, *((JUMPERS, YARN) if turned else (YARN, JUMPERS)))
    assert found.faults == ()
    assert [lot.garment for lot in found.bin.lots] == ["Sailor", "Sailor", "Gold"]
    garments = found.bin.garments
    assert (garments["Sailor"].stitches_10cm, garments["Gold"].status) == (22.0, "given")
    assert not any("planned with" in str(note) for note in found.bin.notes)


def test_what_is_wrong_is_told_where_it_stands(tmp_path: Path):
    jumpers = [JUMPERS[0], ["Sailor", "many", "worn"], JUMPERS[2]]
    (fault,) = read(tmp_path, "xlsx", YARN, jumpers).faults
    assert (fault.row, fault.column) == (2, "stitches_10cm")


def test_an_empty_column_within_a_list_parts_nothing(tmp_path: Path):
    found = read(tmp_path, "xlsx", [row[:2] for row in YARN], [row[2:] for row in YARN])
    assert found.faults == ()
    assert [(lot.yarn.weight_class, lot.garment) for lot in found.bin.lots] == [
        (3, "Sailor"),
        (3, "Sailor"),
        (4, "Gold"),
    ]


@pytest.mark.parametrize("kind", KINDS)
def test_a_list_with_a_column_for_each_lot_is_to_be_turned_round(tmp_path: Path, kind: str):
    turned = [
        list(column) for column in zip(*[["Colour", "Grams", "Weight"], *(row[:3] for row in YARN[1:])], strict=True)
    ]
    (fault,) = reading_of(lay(tmp_path, kind, {"Stash": turned}), CATALOGUE).faults
    assert "a row for each lot" in str(fault)
    assert "transpose" in str(fault)

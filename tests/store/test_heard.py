"""What was made of a cell is kept beside its value, and told once for its row."""

from __future__ import annotations

from typing import Any

import pytest

from matcher.errors import Fault
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unclear
from matcher.store.catalogue.standards import load_standards
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.columns import GARMENTS
from matcher.store.sheets.tabulate import Row
from matcher.store.sheets.understood import CellRead, Understood


@pytest.fixture
def reader() -> CellReader:
    return CellReader(load_standards())


def test_a_tidy_cell_says_just_that(reader: CellReader):
    assert reader.heard("chest", "92 cm") == Heard(92.0)
    assert reader.value("chest", "92 cm") == 92.0
    with pytest.raises(Unclear):
        reader.heard("chest", "wide")


def test_what_was_made_of_a_cell_is_told_with_its_row(reader: CellReader, monkeypatch: pytest.MonkeyPatch):
    odd: dict[str, Any] = {"status": lambda text: Heard("given", "given away", sure=False)}
    monkeypatch.setattr(reader, "_readers", {**reader._readers, **odd})
    faults: list[Fault] = []
    understood = Understood()
    row = Row(3, {"garment": "blue", "status": "to my sister", "wearer": "me"})
    values = reader.row(row, GARMENTS, "garments", frozenset(), faults, understood)
    assert values is not None
    assert (values["status"], faults) == ("given", [])
    told = CellRead("garments", 3, "blue", "status", "to my sister", "given away", False)
    assert understood.cells == [told]
    assert list(understood.guesses()) == [told]

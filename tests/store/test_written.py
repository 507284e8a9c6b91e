"""What she wrote stays in the store beside what was made of it, and what she said of a workbook is known again."""

from __future__ import annotations

from pathlib import Path

import pytest
from hers import written

from matcher.actions.keeping.cells import change
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.cells import NOTHING, all_cells
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.intake import compare, take_in
from matcher.store.readings import Answer, book_of, keep, said_of
from matcher.store.sheets.headings import Meant
from matcher.store.sheets.read import read_sheets
from matcher.store.sheets.said import NOTHING_SAID, Said
from matcher.store.written import Written

CATALOGUE = load_catalogue()
HEADING = Answer("lots", heading="whose_was_it", column="garment")
CELL = Answer("lots", column="grams", name="navy", cell="most of it", taken="40 g")
SAID = Said({("lots", "whose_was_it"): Meant("garment")}, {("lots", "grams", "navy", "most of it"): "40 g"})


@pytest.fixture
def sheets(tmp_path: Path) -> Path:
    folder = tmp_path / "My Yarn"
    folder.mkdir()
    (folder / "lots.csv").write_text(
        "lot,whose was it,grams,colour,class,paid\nnavy,vest,most of it,#1f2a4a,3,4.50\nfog,,20,#c3c6c8,4,\n",
        encoding="utf-8",
    )
    (folder / "garments.csv").write_text("garment,status\nvest,worn\n", encoding="utf-8")
    return folder


@pytest.fixture
def store(tmp_path: Path):
    with open_store(tmp_path / "bin.sqlite", create=True) as opened:
        yield opened


def taken(store, sheets: Path, said: Said = SAID, goes_on: str = "") -> None:
    take_in(
        store, compare(sheets, all_cells(store), CATALOGUE, said), lambda _: True, "intake", lambda _: None, goes_on
    )


NAVY = (
    Written("garment", "whose was it", "vest", "vest"),
    Written("grams", "grams", "most of it", "40 g"),
    Written("", "paid", "4.50"),
)


def test_what_she_wrote_is_kept_where_it_is_otherwise(sheets: Path, store):
    taken(store, sheets)
    assert written("NAVY", bin=store.path) == NAVY
    assert written("fog", bin=store.path) == written("vest", bin=store.path, what="garment") == ()
    assert store.named("lots", "navy")["grams"] == "40 g"
    change("navy", {"grams": "33"}, name="ink", bin=store.path)
    assert written("ink", bin=store.path) == NAVY
    assert faults_of(store) == ()


def test_the_same_sheets_again_change_nothing_and_others_replace_it(sheets: Path, store):
    taken(store, sheets)
    taken(store, sheets)
    assert len(store.rows("written")) == 3
    text = (sheets / "lots.csv").read_text(encoding="utf-8")
    (sheets / "lots.csv").write_text(
        text.replace("most of it", "a bit").replace("whose was it", "from"), encoding="utf-8"
    )
    taken(store, sheets, Said({("lots", "from"): Meant("garment")}, {("lots", "grams", "navy", "a bit"): "5 g"}))
    assert written("navy", bin=store.path)[:2] == (
        Written("garment", "from", "vest", "vest"),
        Written("grams", "grams", "a bit", "5 g"),
    )


def test_a_workbook_is_known_by_its_name_or_by_its_headings(sheets: Path, store, tmp_path: Path):
    book = book_of(sheets, read_sheets(sheets).understood.headings)
    assert book.name == "my yarn"
    assert said_of(store, sheets) == NOTHING_SAID
    with store.action("answers") as act:
        keep(act, book, HEADING)
        keep(act, book, CELL)
    assert said_of(store, sheets) == SAID
    copy = sheets.rename(tmp_path / "yarn 2027")
    assert said_of(store, copy) == SAID
    text = (copy / "lots.csv").read_text(encoding="utf-8").replace("whose was it", "from").replace("paid", "price")
    (copy / "lots.csv").write_text(text, encoding="utf-8")
    assert said_of(store, copy) == NOTHING_SAID
    assert said_of(store, copy.rename(tmp_path / "MY YARN")) == SAID


def test_headings_of_the_stores_own_make_no_workbook_known(sheets: Path, store):
    (sheets / "lots.csv").write_text("lot,grams,colour,class\nnavy,a bit,navy,3\n", encoding="utf-8")
    assert book_of(sheets, read_sheets(sheets).understood.headings).shape == ""


def test_an_answer_given_anew_takes_the_place_of_the_old_one(sheets: Path, store):
    book = book_of(sheets, read_sheets(sheets).understood.headings)
    with store.action("answers") as act:
        for column in ("garment", ""):
            keep(act, book, Answer("lots", heading="whose_was_it", column=column))
    assert said_of(store, sheets).headings == {("lots", "whose_was_it"): Meant("")}
    assert len(store.rows("readings")) == 1


def test_undo_takes_an_intake_and_its_answers_back_as_one(sheets: Path, store):
    book = book_of(sheets, read_sheets(sheets).understood.headings)
    for answer in (HEADING, CELL):
        with store.action("answers", goes_on="answers") as act:
            keep(act, book, answer)
    assert [row["words"] for row in store.rows("actions")] == ["answers"]
    taken(store, sheets, goes_on="answers")
    assert [row["words"] for row in store.rows("actions")] == ["intake"]
    assert faults_of(store) == ()
    store.undo()
    assert all_cells(store) == NOTHING
    assert store.rows("written") == store.rows("readings") == store.rows("actions") == store.rows("journal") == []


def test_answers_that_are_not_the_last_action_stay(sheets: Path, store):
    book = book_of(sheets, read_sheets(sheets).understood.headings)
    with store.action("answers", goes_on="answers") as act:
        keep(act, book, HEADING)
    with store.action("garment") as act:
        act.insert("garments", {"garment": "cowl", "status": "worn"})
    taken(store, sheets, goes_on="answers")
    assert [row["words"] for row in store.rows("actions")] == ["answers", "garment", "intake"]
    store.undo()
    assert said_of(store, sheets).headings == SAID.headings


def test_only_what_is_sure(sheets: Path, monkeypatch: pytest.MonkeyPatch):
    """A guess that decides what goes with what is refused with the others; one that she confirmed is none."""
    from matcher.materials.reading.heard import Heard
    from matcher.store.sheets import cells

    real = cells.heard_thickness
    monkeypatch.setattr(
        cells,
        "heard_thickness",
        lambda text, *known: Heard(real(text, *known).value, "class 3 or 4", sure=text != "4"),
    )
    found = compare(sheets, NOTHING, CATALOGUE, SAID, only_sure=True)
    assert [one.name for one in found.incoming] == ["vest", "navy"]
    (refused,) = found.refused
    assert "class 3 or 4 is a guess" in str(refused.why)
    assert [one.column for one in found.understood.asked()] == ["class"]
    assert len(compare(sheets, NOTHING, CATALOGUE, SAID).incoming) == 3
    confirmed = Said(SAID.headings, {**SAID.cells, ("lots", "class", "", "4"): "4"})
    assert compare(sheets, NOTHING, CATALOGUE, confirmed, only_sure=True).refused == ()

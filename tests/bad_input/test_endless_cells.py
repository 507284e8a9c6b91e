"""Cells of endless words, and texts longer than any note: read or refused at once, never cut.

A reader that goes back and forth in such a text would outlast the time that every test has.
"""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.actions.keeping.cells import add, change
from matcher.actions.keeping.lots import join, move
from matcher.actions.keeping.people import person
from matcher.errors import BadInput, BadSheets, MatcherError
from matcher.materials.colours.colour import parse_colour
from matcher.materials.fibre import heard_blend
from matcher.materials.reading.numerals import Unclear
from matcher.materials.thickness import heard_thickness
from matcher.store.catalogue.limits import load_limits
from matcher.store.catalogue.standards import load_standards
from matcher.store.database.store import open_store
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.read import bin_from_sheets

NOTE, CELL = int(load_limits().longest_note), int(load_limits().longest_cell)
CELLS = {"grams": "40", "colour": "#1f2a4a", "class": "3", "dye_lot": "7"}
PIECES = [
    *("1/", "2 x ", "9", "1,", "a ", "about ", "(", "wool ", "80% wool ", "blue ", "bluish ", "dark ", "light dark "),
    *(
        "1 ball + ",
        "one half ",
        "to ",
        "50g/125m ",
        "(50 g) ",
        "fingering ",
        "dk/",
        "; ",
        "22 st x ",
        "\u2153",
        "100% ",
    ),
    *("merino silk ", "red-", "lengthen body 5 cm; ", "g ", " ", "-", "half of ", "minus ", "a b c d e f g h i j k,"),
]
KINDS = sorted(CellReader(load_standards())._readers)


def read(text: str) -> None:
    reader = CellReader(load_standards())
    for kind in KINDS:
        with suppress(Unclear):
            reader.heard_in(kind, text, {"ball_grams": "50"})


# What is far longer than a cell may be is refused before its words are looked at: some of the pieces stand for all.
@pytest.mark.parametrize(
    ("piece", "length"),
    [*((one, length) for one in PIECES for length in (60, CELL)), *((one, 300_000) for one in PIECES[::6])],
)
def test_every_reader_is_through_at_once(piece: str, length: int):
    read((piece * length)[:length])
    read(f"{(piece * length)[: length - 1]}!")


@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from(PIECES) | st.text(max_size=4), max_size=40).map("".join), st.integers(1, 30))
def test_any_words_over_and_over(text: str, times: int):
    read(text * times)


def test_options_of_commands_are_as_quick():
    """They reach a reader without the limit of cells."""
    standards = load_standards()
    for piece in PIECES:
        text = piece * 50_000
        with pytest.raises(Unclear):
            parse_colour(text, standards.colour_words)
        with pytest.raises(Unclear):
            heard_thickness(text, standards.classes, standards.yarn_names)
        with pytest.raises(Unclear):
            heard_blend(text, standards.fibres)


def test_a_colour_of_many_words_takes_no_time():
    words = load_standards().colour_words
    assert parse_colour("dark blue green with dark dark blue green", words)
    parse_colour(" ".join(["dark", "blue", "green"] * 4), words)


def test_texts_longer_than_any_note_are_refused_where_they_are_typed(tmp_path: Path):
    place = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "note": "n" * NOTE}, bin=place)
    tries = (
        lambda: add("fog", {**CELLS, "note": "n" * (NOTE + 1)}, bin=place),
        lambda: change("navy", {"note": "n" * (NOTE + 1)}, bin=place),
        lambda: change("navy", {"place": "n" * (NOTE + 1)}, bin=place),
        lambda: move("navy", "n" * (NOTE + 1), bin=place),
        lambda: person("Ann", {"note": "n" * (NOTE + 1)}, bin=place),
        lambda: person("Ann", {"likes": "n" * (CELL + 1)}, bin=place),
    )
    for attempt in tries:
        with pytest.raises(MatcherError, match=rf"at most ({NOTE}|{CELL}) characters") as refused:
            attempt()
        assert len(str(refused.value)) < 400
    with open_store(place) as store:
        assert (len(store.rows("lots")), store.rows("people")) == (1, [])


def test_notes_that_are_too_long_together_are_not_cut(tmp_path: Path):
    place = tmp_path / "bin.sqlite"
    for name in ("navy", "dusk"):
        add(name, {**CELLS, "note": name[0] * (NOTE // 2)}, bin=place)
    with pytest.raises(BadInput, match="the notes of navy and dusk are longer than 10000 characters together"):
        join(["navy", "dusk"], bin=place)
    change("dusk", {"note": "d" * (NOTE // 2 - 2)}, bin=place)
    join(["navy", "dusk"], bin=place)
    with open_store(place) as store:
        (row,) = store.rows("lots")
    assert row["note"] == f"{'n' * (NOTE // 2)}; {'d' * (NOTE // 2 - 2)}"


def test_sheets_are_held_to_the_same(tmp_path: Path):
    sheet = tmp_path / "lots.csv"
    sheet.write_text(f"lot,grams,colour,class,note\nnavy,40,#1f2a4a,3,{'n' * NOTE}\n", encoding="utf-8")
    assert len(bin_from_sheets(sheet, load_standards()).lots[0].note) == NOTE
    sheet.write_text(f"lot,grams,colour,class,note\nnavy,40,#1f2a4a,3,{'n' * (NOTE + 1)}\n", encoding="utf-8")
    with pytest.raises(BadSheets, match="at most 10000 characters"):
        bin_from_sheets(sheet, load_standards())

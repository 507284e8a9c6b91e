"""Chests, gauges, pieces and other single cells as people write them, against tables written apart."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.errors import Fault
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unclear
from matcher.store.catalogue.standards import load_standards
from matcher.store.sheets.cells import CellReader
from matcher.store.sheets.columns import LOTS, Kind
from matcher.store.sheets.lots import build_bin
from matcher.store.sheets.read import reading_of
from matcher.store.sheets.tabulate import Row, Table

READER = CellReader(load_standards())


@pytest.mark.parametrize(
    ("cell", "beside", "cm", "sure", "taken"),
    [
        ("96", {}, 96, True, ""),
        ("96 cm", {}, 96, True, ""),
        ("38 in", {}, 96.52, True, ""),
        ('38"', {}, 96.52, True, ""),
        ("38”", {}, 96.52, True, ""),
        ("38''", {}, 96.52, True, ""),
        ("38", {}, 96.52, False, "38 inches, 96.5 cm"),
        ("38", {"kind": "jumper", "wearer": "me"}, 96.52, False, "38 inches, 96.5 cm"),
        ("59", {}, 149.86, False, "59 inches, 149.9 cm"),
        ("60", {}, 60, True, "60 cm"),
        ("65.5", {"kind": "vest", "wearer": "me"}, 65.5, True, "65.5 cm"),
        ("66", {}, 66, True, ""),
        ("58-62", {}, 152.4, False, "60 inches, 152.4 cm"),
        ("60-64", {}, 62, True, "62 cm"),
        ("38-40", {}, 99.06, False, "39 inches, 99.1 cm"),
        ("38-40 in", {}, 99.06, True, "99.1 cm"),
        ("96-102", {}, 99, True, "99 cm"),
        ("96cm/38in", {}, 96, True, "96 cm"),
        ("38 in (96 cm)", {}, 96, True, "96 cm"),
        ("about 96", {}, 96, True, "96 cm"),
        ("to fit 38 in", {}, 96.52, True, "96.5 cm"),
        ("M", {}, 107.8, False, "adult medium, about 107.8 cm"),
        ("size M", {"kind": "vest"}, 105.8, False, "adult medium, about 105.8 cm"),
        ("M", {"person": "Tom"}, 99.8, False, "adult medium, about 99.8 cm"),
        ("62", {"wearer": "child"}, 62, True, ""),
        ("60", {"kind": "child jumper"}, 60, True, ""),
        ("58", {"wearer": "Mia (3 years)"}, 58, True, ""),
        ("24", {"kind": "baby cardigan"}, 60.96, False, "24 inches, 61 cm"),
        ("age 5", {}, None, False, "5 years, whose chest isn't known here: a usual one is taken"),
    ],
)
def test_a_chest_among_the_other_cells(cell: str, beside: dict[str, str], cm: float | None, sure: bool, taken: str):
    heard = READER.heard_in("chest", cell, beside)
    assert heard.value == (None if cm is None else pytest.approx(cm))
    assert (heard.sure, str(heard.taken)) == (sure, taken)


@pytest.mark.parametrize(
    ("kind", "cell", "value", "sure", "taken"),
    [
        ("stitches", "22", 22, True, ""),
        ("stitches", "22 sts", 22, True, ""),
        ("stitches", "22x30", 22, True, ""),
        ("stitches", "22 sts/10cm", 22, True, ""),
        ("stitches", "5.5 sts/in", 21.6535, True, ""),
        ("stitches", "5.5", 21.6535, False, "5.5 stitches an inch, 21.7 in 10 cm"),
        ("stitches", "7", 27.559, False, "7 stitches an inch, 27.6 in 10 cm"),
        ("stitches", "about 22", 22, True, "22 stitches in 10 cm"),
        ("stitches", "22-24 sts", 23, True, "23 stitches in 10 cm"),
        ("stitches", "22 (blocked)", 22, True, "22 stitches in 10 cm"),
        ("stitches", "5.5/7.5", 21.6535, False, "5.5 stitches an inch, 21.7 in 10 cm"),
        ("rows", "5.5 sts x 7.5 rows", 29.5276, False, "7.5 rows an inch, 29.5 in 10 cm"),
        ("stitches", "22/30", 22, True, ""),
        ("stitches", "22 sts and 26 rows on 3.5 mm", 22, True, "22 stitches in 10 cm"),
        ("rows", "22x26 on US 6 needles", 26, True, "26 rows in 10 cm"),
        ("stitches", "22 sts in stocking stitch", 22, True, "22 stitches in 10 cm"),
        ("stitches", "22?", 22, False, "22 stitches in 10 cm"),
        ("stitches", '18/4"', 17.7165, True, "17.7 stitches in 10 cm"),
        ("rows", "30", 30, True, ""),
        ("rows", "22x30", 30, True, ""),
        ("rows", "22 st, 30 r", 30, True, ""),
        ("rows", "8 rows/in", 31.496, True, ""),
        ("rows", "7.5", 29.528, False, "7.5 rows an inch, 29.5 in 10 cm"),
        ("pieces", "3", 3, True, ""),
        ("pieces", "3 balls", 3, True, "3 pieces"),
        ("pieces", "2 + bits", 2, False, "2 pieces"),
        ("pieces", "2-3", 3, False, "3 pieces"),
        ("role", "Contrast 1", "contrast 1", True, ""),
        ("role", "contrast", "contrast", True, ""),
        ("role", "MC", "main", True, "main"),
        ("role", "Main colour", "main", True, "main"),
        ("role", "CC", "contrast", True, "contrast"),
        ("role", "CC2", "contrast 2", True, "contrast 2"),
        ("role", "contrast color 3", "contrast 3", True, "contrast 3"),
        ("role", "pocket", "pocket", True, ""),
        ("label", "yes", "yes", True, ""),
        ("label", "yes - in my book", "yes", True, "yes"),
        ("label", "?", "no", True, ""),
        ("reserve", "none", 0, True, "nothing held back"),
        ("day", "2026-11-25", "2026-11-25", True, ""),
        ("day", "25 Nov 2026", "2026-11-25", True, ""),
        ("day", "Nov 25, 2026", "2026-11-25", True, ""),
        ("day", "25th November 2026", "2026-11-25", True, ""),
        ("day", "25.11.2026", "2026-11-25", True, ""),
        ("day", "04.05.2026", "2026-05-04", True, ""),
        ("day", "11/25/2026", "2026-11-25", True, ""),
        ("day", "04/05/2026", "", True, ""),
    ],
)
def test_a_cell_against_the_table(kind: Kind, cell: str, value: object, sure: bool, taken: str):
    heard = READER.heard(kind, cell)
    assert heard.value == (pytest.approx(value, rel=1e-4) if isinstance(value, float) else value)
    assert (heard.sure, str(heard.taken)) == (sure, taken)


@pytest.mark.parametrize(
    ("kind", "cell"),
    [
        ("chest", "wide"), ("chest", "5"), ("chest", "XXXXL"), ("chest", "38 in/80 cm"), ("stitches", "twenty"),
        ("stitches", "22 in rib"), ("stitches", "22 sts in pattern"),
        ("stitches", "28 rows"), ("rows", "none"), ("pieces", "several"), ("label", "maybe"), ("reserve", "some"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_stays_a_fault(kind: Kind, cell: str):
    with pytest.raises(Unclear):
        READER.heard_in(kind, cell, {})


@pytest.mark.parametrize("cell", ["yes", "for Anna's mittens"])
def test_what_holds_back_no_length_says_what_to_write(cell: str):
    with pytest.raises(Unclear) as refused:
        READER.heard("reserve", cell)
    assert "what mending takes is kept without it" in str(refused.value)


@given(
    st.sampled_from(["chest", "stitches", "rows", "pieces", "label", "wash", "reserve", "day"]), st.text(max_size=30)
)
def test_any_text_is_read_or_refused(kind: Kind, text: str):
    try:
        assert isinstance(READER.heard_in(kind, text, {}), Heard)
    except Unclear:
        return


def test_a_messy_sheet_says_what_a_tidy_one_says(tmp_path: Path):
    """Lots and garments in words give the same figures as figures, and each odd cell is told."""
    tidy, messy = tmp_path / "tidy", tmp_path / "messy"
    for folder in (tidy, messy):
        folder.mkdir()
    head = "lot,garment,colour,grams,ball_grams,ball_metres,class,wash,pieces\n"
    (tidy / "lots.csv").write_text(head + "a,blue,#1f2a4a,100,50,125,3,machine,2\n")
    (messy / "lots.csv").write_text(head + "a,blue,#1f2a4a,2 x 50g,50g/125m,,double knitting,machine ok,2 balls\n")
    head = "garment,kind,status,chest_cm,stitches_10cm,rows_10cm\n"
    (tidy / "garments.csv").write_text(head + "blue,jumper,given,96.52,22,30\n")
    (messy / "garments.csv").write_text(head + "blue,jumper,given to my sister,38,22 x 30,\n")
    catalogue = load_standards()
    one, other = reading_of(tidy, catalogue), reading_of(messy, catalogue)
    assert not one.faults
    assert not other.faults
    assert one.understood.cells == []
    assert other.bin.lots == one.bin.lots
    assert other.bin.garments["blue"] == one.bin.garments["blue"]
    told = {(read.column, read.sure) for read in other.understood.cells}
    assert told == {
        *(("grams", True), ("ball_grams", True), ("ball_metres", True), ("class", True), ("wash", True)),
        *(("pieces", True), ("status", True), ("chest_cm", False)),
    }


# The same said tidily and as people write it.
PAIRS = {
    "grams": [("100", "2 x 50g"), ("50", "1 ball (50 g)"), ("41.5", "41,5 gms"), ("80", "50g + 30g")],
    "class": [("3", "DK"), ("3", "double knitting"), ("1", "4-ply"), ("4", "Aran weight"), ("6", "super-chunky")],
    "fibre": [("75% merino 25% nylon", "75/25 merino/nylon"), ("wool", "BFL"), ("lyocell", "Tencel"), ("unknown", "?")],
    "wash": [("machine", "superwash, 30°"), ("hand", "Handwash only!"), ("unknown", "label lost")],
    "pieces": [("2", "2 balls"), ("3", "3 pcs")],
    "reserve": [("0", "none"), ("30", "30 m")],
}


@given(
    st.lists(
        st.fixed_dictionaries({column: st.sampled_from(pairs) for column, pairs in PAIRS.items()}),
        min_size=1,
        max_size=4,
    ),
    st.permutations(list(PAIRS)),
)
@settings(max_examples=40, deadline=None)
def test_tidy_and_messy_cells_give_the_same_lots(rows: list[dict[str, tuple[str, str]]], order: list[str]):
    def lots(which: int):
        named = [{"lot": f"lot {number}", "colour": "#1f2a4a"} for number in range(len(rows))]
        cells = [name | {one: row[one][which] for one in order} for name, row in zip(named, rows, strict=True)]
        table = Table("lots", 1, frozenset(LOTS), [Row(number + 2, row) for number, row in enumerate(cells)])
        faults: list[Fault] = []
        bin_ = build_bin(table, None, False, load_standards(), "", faults, [])
        assert not faults
        return bin_.lots

    assert lots(1) == lots(0)


@pytest.mark.parametrize(
    ("cell", "mending"),
    [
        ("none", "little"),
        ("yes", "usual"),
        ("enough for an elbow", "usual"),
        ("cuffs and elbows", "all"),
        ("lots", "all"),
    ],
)
def test_mending_in_other_words_is_a_guess(cell: str, mending: str):
    heard = READER.heard("mending", cell)
    assert (heard.value, heard.sure) == (mending, False)


@pytest.mark.parametrize("cell", ["no elbows", "keep 10 g", "ask Jo"])
def test_other_words_for_mending_are_refused(cell: str):
    with pytest.raises(Unclear):
        READER.heard("mending", cell)


def test_grams_to_hold_back_are_metres_of_that_yarn(tmp_path: Path):
    rows = (
        "Name,Colour,Left,Ball,Class,Keep back",
        "moss,green,95 g,50g/125m,,10 g",
        "fog,grey,95 g,,DK,keep 1 oz",
        "sky,blue,95 g,,DK,10 m",
    )
    (tmp_path / "lots.csv").write_text("\n".join(rows), encoding="utf-8")
    reading = reading_of(tmp_path, load_standards())
    assert not reading.faults
    moss, fog, sky = (lot.reserve_m for lot in reading.bin.lots)
    tex = reading.bin.lots[1].yarn.tex.mean
    assert (moss, fog, sky) == (pytest.approx(25.0), pytest.approx(28349.5 / tex, abs=0.1), 10.0)

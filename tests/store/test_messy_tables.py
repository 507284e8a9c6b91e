"""Sheets as knitters keep them: wherever the table lies and whatever its columns are called, the lots are the same."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from laid import KINDS, lay

from matcher.materials.lots import Lot
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.sheets.read import Reading, reading_of
from matcher.store.sheets.understood import HeadingRead

CATALOGUE = load_catalogue()
TIDY = [
    ["lot", "yarn", "garment", "colour", "grams", "ball_grams", "ball_metres", "class", "place"],
    ["navy", "soft wool", "grey yoke", "navy", "41", "50", "137 yd", "3", "tin"],
    ["cream", "soft wool", "grey yoke", "cream", "37.5", "50", "137 yd", "3", "tin"],
    ["rust", "old tweed", "gansey", "rust", "120", "100", "180 yd", "4", "loft"],
    ["fog", "old tweed", None, "grey", "80", "100", "180 yd", "4", "loft"],
]
GARMENTS = [
    ["garment", "kind", "status", "chest_cm", "stitches_10cm"],
    ["grey yoke", "yoke pullover", "worn", "38 in", "22 in 4 in"],
    ["gansey", "pullover", "gone", "44 in", "18 in 4 in"],
]
HERS = [
    ["Jumper", "Type", "Still worn?", "Chest (inches)", "Sts per 4in"],
    ["grey yoke", "yoke pullover", "yes", 38, 22],
    ["gansey", "pullover", "gone", 44, 18],
]


def read(folder: Path, kind: str, sheets: dict[str, list[list[object]]], separator: str = ",") -> Reading:
    found = reading_of(lay(folder, kind, sheets, separator), CATALOGUE)
    assert found.faults == (), "\n".join(map(str, found.faults))
    return found


def lots(found: Reading) -> dict[str, Lot]:
    return {lot.name: lot for lot in found.bin.lots}


@pytest.fixture(scope="module")
def tidy(tmp_path_factory) -> Reading:
    return read(tmp_path_factory.mktemp("tidy"), "csv", {"lots": TIDY, "garments": GARMENTS})


def numbered(rows: list[list[object]]) -> list[list[object]]:
    """Numbers as a workbook holds them, and yards as bare numbers under a heading that says so."""
    return [[_cell(cell) for cell in row] for row in rows]


def _cell(cell: object) -> object:
    text = str(cell).removesuffix(" yd")
    return float(text) if text.replace(".", "", 1).isdigit() else cell


HEADINGS = [
    "Name",
    "Yarn",
    "From which jumper",
    "Colour",
    "Left (g)",
    "Ball weight (g)",
    "Yards per ball",
    "Thickness",
    "Where",
]
BODY = numbered(TIDY[1:])
TITLE: list[list[object]] = [["My leftover yarn"], ["weighed in spring", None, 2024], []]


def grouped() -> list[list[object]]:
    """Two rows of headings: Ball over grams and yards."""
    upper: list[object] = ["Name", "Yarn", "Jumper", "Color", "Amount left", "Ball", None, "Weight", "Box"]
    lower: list[object] = [None, None, None, None, "g", "grams", "yards", None, None]
    return [upper, lower, *BODY]


def columns_apart(rows: list[list[object]]) -> list[list[object]]:
    """An empty column before the table and one inside it."""
    return [[None, *row[:3], None, *row[3:]] for row in rows]


WORDED = [["DK" if cell == 3.0 else "worsted" if cell == 4.0 else cell for cell in row] for row in BODY]
MESSY: dict[str, dict[str, list[list[object]]]] = {
    "other headings": {"Wool": [HEADINGS, *BODY], "Jumpers": HERS},
    "American headings": {
        "stash": [
            ["Name", "Yarn", "Sweater", "Color", "Grams left", "Skein weight (g)", "Yardage", "Weight class", "Bin"],
            *BODY,
        ],
        "sweaters": HERS,
    },
    "titles above": {"Sheet1": [*TITLE, HEADINGS, *BODY], "Sheet2": [*TITLE, *HERS]},
    "a title beside": {"Sheet1": [["Yarn", None, "as of May"], HEADINGS, *BODY], "Sheet2": HERS},
    "two rows of headings": {"Sheet1": grouped(), "Sheet2": HERS},
    "two rows of headings below titles": {"Sheet1": [*TITLE, *grouped()], "Sheet2": HERS},
    "units in a row of their own": {
        "Sheet1": [
            ["Name", "Yarn", "Jumper", "Colour", "Weight left", "Ball weight", "Ball length", "Thickness", "Box"],
            [None, None, None, None, "(g)", "(g)", "(yds)", None, None],
            *BODY,
        ],
        "Sheet2": HERS,
    },
    "empty rows": {"Sheet1": [[], HEADINGS, [], *BODY[:2], [], [], *BODY[2:]], "Sheet2": [[], [], *HERS]},
    "empty columns": {"Sheet1": columns_apart([HEADINGS, *BODY]), "Sheet2": columns_apart(HERS)},
    "totals below": {
        "Sheet1": [HEADINGS, *BODY, ["Total", None, None, None, 278.5]],
        "Sheet2": [*HERS, ["Total: 2"]],
    },
    "totals within, and a sum without a word": {
        "Sheet1": [HEADINGS, *BODY[:2], ["Subtotal", None, None, None, 78.5], *BODY[2:], [], [None] * 4 + [278.5]],
        "Sheet2": HERS,
    },
    "notes below": {
        "Sheet1": [HEADINGS, *BODY, [], ["* the rust wants washing"], ["counted twice"]],
        "Sheet2": [*HERS, [], ["given ones are with my sister"]],
    },
    "headings within": {
        "Sheet1": [HEADINGS, ["SOFT"], *BODY[:2], ["TWEEDS"], *BODY[2:]],
        "Sheet2": HERS,
    },
    "the headings again, as printed": {"Sheet1": [HEADINGS, *BODY[:2], HEADINGS, *BODY[2:]], "Sheet2": HERS},
    "another table below": {
        "Sheet1": [HEADINGS, *BODY, [], ["Needles", "Length"], ["4 mm", "80 cm"], ["5 mm", "40 cm"]],
        "Sheet2": HERS,
    },
    "spaces": {
        "Sheet1": [
            [f" {one}  " for one in HEADINGS],
            *[[f"  {c} " if isinstance(c, str) else c for c in r] for r in BODY],
        ],
        "Sheet2": [[f"{cell}\u00a0" if isinstance(cell, str) else cell for cell in row] for row in HERS],
    },
    "misspelt headings": {
        "Sheet1": [
            [
                "Name",
                "Yarn",
                "From which jumpr",
                "Colur",
                "Gramms left",
                "Ball wieght (g)",
                "Yrads per ball",
                "Thicknes",
                "Where",
            ],
            *BODY,
        ],
        "Sheet2": [["Jumpper", "Tpye", "Still worn?", "Chest (inchs)", "Sts per 4in"], *HERS[1:]],
    },
    "other sheets beside": {
        "Sheet1": [HEADINGS, *BODY],
        "Shopping list": [["Yarn", "Colour", "Weight", "Thickness"], ["soft wool", "red", 100, "DK"]],
        "Ideas": [["knit more hats"]],
        "Sheet2": HERS,
    },
    "both tables in one sheet": {"Sheet1": [["Yarn"], HEADINGS, *BODY, [], ["Jumpers"], *HERS]},
    "other columns beside": {
        "Sheet1": [[*HEADINGS, "Price", "My rating", "Brand"], *[[*row, 4.5, 5, "mill"] for row in BODY]],
        "Sheet2": [[*row, cell] for row, cell in zip(HERS, ("Finished", 2019, 2021), strict=True)],
    },
    "weight as a class, in words": {
        "Sheet1": [["Name", "Yarn", "Jumper", "Colour", "Grams", "Ball (g)", "Yds/ball", "Weight", "Kept in"], *WORDED],
        "Sheet2": HERS,
    },
    "ditto": {
        "Sheet1": [HEADINGS, BODY[0], ["cream", '"', '"', "cream", 37.5, '"', '"', "ditto", "do."], *BODY[2:]],
        "Sheet2": HERS,
    },
    "a garment spelled otherwise": {
        "Sheet1": [HEADINGS, *[["gansy" if cell == "gansey" else cell for cell in row] for row in BODY]],
        "Sheet2": HERS,
    },
    "nothing for no garment": {
        "Sheet1": [HEADINGS, *BODY[:3], ["fog", "old tweed", "-", *BODY[3][3:]]],
        "Sheet2": HERS,
    },
    "used up": {
        "Sheet1": [HEADINGS, *BODY, ["old pink", "soft wool", None, "pink", 0, 50, 137, 3, "tin"]],
        "Sheet2": HERS,
    },
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", MESSY)
def test_the_same_bin_however_the_sheets_look(tmp_path: Path, tidy: Reading, name: str, kind: str):
    found = read(tmp_path, kind, MESSY[name])
    assert lots(found) == lots(tidy)
    assert found.bin.garments == tidy.bin.garments


def heading(found: Reading, name: str) -> HeadingRead:
    return next(one for one in found.understood.headings if one.heading == name)


@pytest.mark.parametrize("last", ["DK", 4, "4"])
def test_weights_in_words_are_classes_for_sure_and_a_bare_4_among_them_too(tmp_path: Path, last: object):
    top = ["Name", "Colour", "Grams", "Weight"]
    rows = [["a", "navy", 41, "DK"], ["b", "cream", 30, "aran"], ["c", "rust", 12, "4ply"], ["d", "fog", 9, last]]
    found = read(tmp_path, "xlsx", {"Sheet1": [top, *rows]})
    assert heading(found, "Weight").column == "class"
    assert heading(found, "Weight").sure
    bare = read(tmp_path, "xlsx", {"Sheet1": [top, *[[*row[:3], 4] for row in rows]]})
    assert (heading(bare, "Weight").column, heading(bare, "Weight").sure) == ("class", False)


def test_what_was_left_out_is_said(tmp_path: Path):
    found = read(tmp_path, "xlsx", MESSY["other columns beside"])
    assert [(one.heading, one.filled) for one in found.understood.left_out] == [
        *(("Price", 4), ("My rating", 4), ("Brand", 4), ("Finished", 2)),
    ]
    notes = "\n".join(map(str, read(tmp_path, "xlsx", MESSY["other sheets beside"]).bin.notes))
    assert "left alone, since by title or headings they list something else: Shopping list, Ideas" in notes


def test_rows_left_alone_are_said(tmp_path: Path):
    for name, words in (
        ("notes below", "Sheet1, rows 7, 8: remarks and no lots, left alone"),
        ("another table below", "Sheet1, rows 7, 8, 9: below a gap and no lots, left alone"),
        ("used up", "Sheet1, row 6: nothing of it is left, so it was left alone"),
    ):
        notes = "\n".join(map(str, read(tmp_path / name, "xlsx", MESSY[name]).bin.notes))
        assert words in notes


LEFT = ["Yarn", "Colour", "Ball weight", "Yards per ball", "How much left"]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(
    ("written", "mass_g"),
    [
        (1.5, 75.0),
        (2, 100.0),
        ("half", 25.0),
        ("1/2 ball", 25.0),
        ("½", 25.0),
        ("20 g", 20.0),
        ("1.5 oz", 42.52),
        ("2 pelotes", 100.0),
    ],
)
def test_balls_left_are_balls(tmp_path: Path, kind: str, written: object, mass_g: float):
    found = read(tmp_path, kind, {"Sheet1": [LEFT, ["soft", "navy", 50, 137, 1], ["soft", "cream", 50, 137, written]]})
    assert lots(found)["soft cream"].mass_g == pytest.approx(mass_g, abs=0.01)
    assert heading(found, "How much left").unit == "balls"


@pytest.mark.parametrize("name", ["Balls left", "Number of skeins", "Balls"])
def test_a_count_of_balls_needs_no_guess(tmp_path: Path, name: str):
    found = read(tmp_path, "csv", {"stash": [[*LEFT[:4], name], ["soft", "navy", 50, 137, 40]]})
    assert lots(found)["soft navy"].mass_g == 2000.0
    assert heading(found, name).sure


def test_big_numbers_of_what_is_left_are_grams(tmp_path: Path):
    found = read(tmp_path, "csv", {"stash": [LEFT, ["soft", "navy", 50, 137, 37], ["soft", "red", 50, 137, "120"]]})
    assert [lot.mass_g for lot in found.bin.lots] == [37.0, 120.0]


def test_grams_go_before_balls(tmp_path: Path):
    rows: list[list[object]] = [
        [*LEFT[:4], "Balls left", "Grams left"],
        ["soft", "navy", 50, 137, 1, 41],
        ["soft", "red", 50, 137, 2],
    ]
    assert [lot.mass_g for lot in read(tmp_path, "csv", {"stash": rows}).bin.lots] == [41.0, 100.0]


def test_what_is_left_by_length(tmp_path: Path):
    found = read(tmp_path, "csv", {"stash": [[*LEFT[:4], "Yards left"], ["soft", "navy", 50, 100, 60]]})
    assert found.bin.lots[0].mass_g == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("name", "cell", "metres"),
    [
        ("Yards per ball", 137, 137 * 0.9144),
        ("Yds/skein", "137", 137 * 0.9144),
        ("Yardage", 137, 137 * 0.9144),
        ("Ball length (yd)", 137, 137 * 0.9144),
        ("Yards per ball", "125 m", 125.0),
        ("Metres per ball", 125, 125.0),
        ("Meters/skein", 125, 125.0),
        ("Meterage", "125", 125.0),
    ],
)
def test_yards_are_never_metres(tmp_path: Path, name: str, cell: object, metres: float):
    rows: list[list[object]] = [["Yarn", "Colour", "Ball (g)", name, "Grams"], ["soft", "navy", 50, cell, 41]]
    for kind in KINDS:
        lot = read(tmp_path / kind, kind, {"stash": rows}).bin.lots[0]
        assert lot.yarn.tex.mean == pytest.approx(50_000 / metres)


@pytest.mark.parametrize(("span", "metres"), [("m/100g", 250), ("Metres per 100 g", 250), ("yds per 100g", 273.403)])
def test_metres_in_a_hundred_grams_are_not_those_of_a_ball(tmp_path: Path, span: str, metres: float):
    rows: list[list[object]] = [["Yarn", "Colour", "Ball (g)", span, "Grams"], ["soft", "navy", 50, metres, 41]]
    assert read(tmp_path, "csv", {"stash": rows}).bin.lots[0].yarn.tex.mean == pytest.approx(400.0, rel=1e-4)


@pytest.mark.parametrize(
    ("name", "cell", "cm"),
    [
        *(("Chest (inches)", 38, 96.52), ("Bust in", "38", 96.52), ('Chest "', 38, 96.52), ("Chest (cm)", 97, 97.0)),
        *(("Chest", 97, 97.0), ("Chest", 38, 96.52), ("Bust", "38 in", 96.52), ("chest_cm", "97", 97.0)),
    ],
)
def test_chests(tmp_path: Path, name: str, cell: object, cm: float):
    sheets = {
        "Wool": [HEADINGS, *BODY],
        "Jumpers": [["Jumper", "Worn", name], ["grey yoke", "yes", cell], ["gansey", "no"]],
    }
    found = read(tmp_path, "xlsx", sheets)
    assert found.bin.garments["grey yoke"].chest_cm == pytest.approx(cm)
    assert heading(found, name).sure
    guessed = [one.found for one in found.understood.cells if one.column == "chest_cm" and not one.sure]
    assert guessed == (["38"] if (name, cell) == ("Chest", 38) else [])


@pytest.mark.parametrize(
    ("name", "chests", "cm", "told"),
    [
        ("Chest", ["44 in", "92", '42"'], [111.76, 92.0, 106.68], {"92": True}),
        ("Chest", ["44 in", "92", '42"', "50"], [111.76, 92.0, 106.68, 127.0], {"92": True, "50": False}),
        ("Chest", ["44", "50", "38", "92"], [111.76, 127.0, 96.52, 92.0], {"44": 0, "50": 0, "38": 0, "92": 1}),
        ("Chest", ["98", "92"], [98.0, 92.0], {}),
        ("Chest (in)", ["44", "92"], [111.76, 92.0], {"92": False}),  # nobody measures 92 inches
        ("Chest (in)", ["66 cm", "64"], [66.0, 162.56], {}),
    ],
)
def test_a_bare_chest_is_in_the_unit_in_which_it_can_be(
    tmp_path: Path, name: str, chests: list[str], cm: list[float], told: dict[str, bool]
):
    jumpers: list[list[object]] = [["Jumper", "Worn", name]]
    jumpers += [[f"jumper {n}", "yes", chest] for n, chest in enumerate(chests)]
    found = read(tmp_path, "xlsx", {"Wool": [HEADINGS, *BODY], "Jumpers": jumpers})
    assert [found.bin.garments[f"jumper {n}"].chest_cm for n in range(len(chests))] == pytest.approx(cm)
    said = [one for one in found.understood.cells if one.column == "chest_cm" and not str(one.found).endswith("cm")]
    assert {one.found: one.sure for one in said} == told
    assert len(said) == len(told)


@pytest.mark.parametrize(
    ("chests", "cm"),
    [
        ({"me": 96, "Tom": 104, "Ann": 62}, {"Ann": 62.0}),  # among centimetres
        ({"me": 44, "Tom": 38, "Ann": 62}, {"me": 111.76, "Tom": 96.52, "Ann": 157.48}),  # among inches
        ({"me": 96, "Tom": 38, "Ann": 62}, {"me": 96.0, "Tom": 96.52, "Ann": 62.0}),  # as many of either
        ({"me": 61, "Ann": 65}, {"me": 61.0, "Ann": 65.0}),  # nothing says otherwise
        ({"me": "96 cm", "Tom": 38, "Ann": 62}, {"me": 96.0, "Tom": 96.52, "Ann": 157.48}),  # bare ones are inches
        (
            {"baby": 44, "toddler": 52, "Ann": 62},
            {"baby": 44.0, "toddler": 52.0, "Ann": 62.0},
        ),  # children's tell nothing
        ({"me": 44, "toddler": 62}, {"me": 111.76, "toddler": 62.0}),  # and so many inches none of them has
        ({"me": 44, "Mia, 13 years": 34}, {"me": 111.76, "Mia, 13 years": 86.36}),  # so many some have
    ],
)
def test_a_chest_that_may_be_either_follows_the_others_of_a_column_in_centimetres(
    tmp_path: Path, chests: dict[str, object], cm: dict[str, float]
):
    jumpers: list[list[object]] = [["garment", "status", "wearer", "chest_cm"]]
    jumpers += [[f"jumper {n}", "worn", wearer, chest] for n, (wearer, chest) in enumerate(chests.items())]
    found = read(tmp_path, "csv", {"lots": [HEADINGS, *BODY], "garments": jumpers})
    read_as = {one.wearer: one.chest_cm for one in found.bin.garments.values()}
    assert {wearer: read_as[wearer] for wearer in cm} == pytest.approx(cm)
    guessed = {one.found for one in found.understood.cells if one.column == "chest_cm" and not one.sure}
    assert guessed == {
        str(chests[wearer]) for wearer in cm if read_as[wearer] != chests[wearer] and chests[wearer] != "96 cm"
    }


@pytest.mark.parametrize(
    ("name", "cell", "stitches"),
    [
        *(("Sts per 10cm", 22, 22.0), ("Sts per 4in", 22, 21.654), ("Stitches per inch", 5.5, 21.654)),
        *(("Tension (sts/10 cm)", 22, 22.0), ("Gauge", 22, 22.0), ("Gauge", 5.5, 21.654)),
        ("Gauge", "22 st x 30 rows", 22.0),
        *(("Gauge", "22/30", 22.0), ("Gauge", "5.5/7.5", 21.654), ("Stitches per inch", "22 sts in 10 cm", 22.0)),
    ],
)
def test_gauges(tmp_path: Path, name: str, cell: object, stitches: float):
    sheets = {
        "Wool": [HEADINGS, *BODY],
        "Jumpers": [["Jumper", "Worn", name], ["grey yoke", "yes", cell], ["gansey", "no"]],
    }
    found = read(tmp_path, "ods", sheets)
    assert found.bin.garments["grey yoke"].stitches_10cm == pytest.approx(stitches, abs=0.001)


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize(
    ("cells", "grams"),
    [(("41,5", "1.234"), (41.5, 1234.0)), (("41.5", "1,234"), (41.5, 1234.0)), (("41,5", "1 234,5"), (41.5, 1234.5))],
)
def test_numbers_in_three_languages(tmp_path: Path, separator: str, cells: tuple[str, str], grams: tuple[float, float]):
    rows: list[list[object]] = [["Yarn", "Colour", "Class", "Grams left"]]
    rows += [["soft", colour, "DK", cell] for colour, cell in zip(("navy", "red"), cells, strict=True)]
    found = read(tmp_path, "csv", {"stash": rows}, separator)
    assert tuple(lot.mass_g for lot in found.bin.lots) == grams


def test_headings_below_many_empty_lines(tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "\n" * 70 + "Yarn;Colour;Class;Grams left\nsoft;navy;DK;41,5\n", encoding="utf-8"
    )
    found = reading_of(tmp_path, CATALOGUE)
    assert found.faults == ()
    assert [lot.mass_g for lot in found.bin.lots] == [41.5]


def test_a_number_shown_with_a_unit(tmp_path: Path):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["Yarn", "Color", "Ball", "Ball length", "Left"])
    sheet.append(["soft", "navy", 50, 137, 1.5])
    for place, code in ((3, '0" g"'), (4, "0\\ \\y\\d"), (5, '0.0" oz"')):
        sheet.cell(2, place).number_format = code
    book.save(tmp_path / "bin.xlsx")
    found = reading_of(tmp_path / "bin.xlsx", CATALOGUE)
    (lot,) = found.bin.lots
    assert (lot.ball_g, lot.mass_g) == (50.0, pytest.approx(42.52, abs=0.01))
    assert lot.yarn.tex.mean == pytest.approx(50_000 / (137 * 0.9144))


def test_merged_cells_hold_for_all_that_share_them(tmp_path: Path, tidy: Reading):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in [["Leftovers"], HEADINGS, *BODY]:
        sheet.append(row)
    for cells in ("A1:I1", "B3:B4", "C3:C4", "F3:F4", "G3:G4"):
        for line in sheet[cells][1:]:
            line[0].value = None
        sheet.merge_cells(cells)
    jumpers = book.create_sheet("Jumpers")
    for row in HERS:
        jumpers.append(row)
    book.save(tmp_path / "bin.xlsx")
    assert lots(reading_of(tmp_path / "bin.xlsx", CATALOGUE)) == lots(tidy)


NAMELESS = ["Yarn", "Colour", "From which jumper", "Dye lot", "Where", "Grams", "Thickness"]
ALIKE: list[list[object]] = [
    ["soft", "navy", "grey yoke", "12", "tin", 41, "DK"],
    ["soft", "navy", "gansey", "12", "tin", 30, "DK"],
    ["soft", "navy", None, "12", "tin", 20, "DK"],
    ["soft", "red", None, "7", "tin", 20, "DK"],
    ["soft", "red", None, "8", "tin", 20, "DK"],
    ["soft", "grey", None, None, "tin", 20, "DK"],
    ["soft", "grey", None, None, "tin", 25, "DK"],
    ["soft", "#6b7f4a", None, None, "tin", 25, "DK"],
]


@given(order=st.permutations(range(len(ALIKE))))
@settings(max_examples=20, deadline=None)
def test_names_are_made_the_same_in_any_order(tmp_path_factory, order: list[int]):
    rows = [ALIKE[place] for place in order]
    found = read(tmp_path_factory.mktemp("names"), "csv", {"stash": [NAMELESS, *rows]})
    assert {(lot.name, lot.garment, lot.dye_lot, lot.mass_g) for lot in found.bin.lots} == {
        ("soft navy (grey yoke)", "grey yoke", "12", 41.0),
        ("soft navy (gansey)", "gansey", "12", 30.0),
        ("soft navy", "", "12", 20.0),
        ("soft red (7)", "", "7", 20.0),
        ("soft red (8)", "", "8", 20.0),
        ("soft grey", "", "", 20.0),
        ("soft grey 2", "", "", 25.0),
        ("soft", "", "", 25.0),
    }


WAYS: dict[str, tuple[tuple[str, str], ...]] = {
    "lot": (("Lot", ""), ("Lot name", ""), ("lot", "")),
    "yarn": (("Yarn", ""), ("Wool", ""), ("yarn", ""), ("Yarn name", "")),
    "garment": (("From which jumper", ""), ("Sweater", ""), ("Came from", ""), ("garment", ""), ("Where from", "")),
    "colour": (("Colour", ""), ("Color", ""), ("Colur", "")),
    "grams": (("Grams left", ""), ("Left (g)", ""), ("grams", ""), ("Weight left", " g"), ("Amount left", "g")),
    "ball_grams": (("Ball weight (g)", ""), ("Grams per skein", ""), ("ball_grams", ""), ("Ball weight", " g")),
    "ball_metres": (("Yards per ball", ""), ("Yardage", ""), ("ball_metres", " yd"), ("Length per ball", "yds")),
    "class": (("Thickness", ""), ("Weight class", ""), ("class", ""), ("Yarn thickness", "")),
    "place": (("Where", ""), ("Box", ""), ("place", ""), ("Stored", "")),
}


@st.composite
def messy(draw: st.DrawFn) -> tuple[str, str, list[list[object]]]:
    """The tidy table with its columns shuffled, headed otherwise, and with all that people put round it."""
    order = draw(st.permutations(range(len(TIDY[0]))))
    ways = {str(column): draw(st.sampled_from(WAYS[str(column)])) for column in TIDY[0]}
    comma = draw(st.booleans())
    rows: list[list[object]] = []
    for row in TIDY[1:]:
        cells: list[object] = []
        for place in order:
            text = str(row[place] or "").removesuffix(" yd")
            number = text.replace(".", "", 1).isdigit()
            text = text.replace(".", ",") if comma else text
            pad = draw(st.sampled_from(["", "", " ", "  "]))
            cells.append(pad + text + (ways[str(TIDY[0][place])][1] if number else "") + pad)
        rows.append(cells)
    rows = list(draw(st.permutations(rows)))
    headings: list[object] = [ways[str(TIDY[0][place])][0] for place in order]
    for _ in range(draw(st.integers(0, 2))):  # empty columns
        at = draw(st.integers(0, len(headings)))
        for cells in (headings, *rows):
            cells.insert(at, "")
    if draw(st.booleans()):
        at = draw(st.integers(0, len(rows)))
        rows.insert(at, [""] * len(headings))
    if draw(st.booleans()):
        grams = headings.index(ways["grams"][0])
        rows.append(["278" if at == grams else "Total" if at == (grams == 0) else "" for at in range(len(headings))])
    above: list[list[object]] = draw(st.lists(st.sampled_from([["My yarn"], ["weighed in", "May"], []]), max_size=3))
    kind, separator = draw(st.sampled_from([("csv", ","), ("csv", ";"), ("csv", "\t"), ("xlsx", ""), ("ods", "")]))
    return kind, separator, [*above, headings, *rows]


@given(made=messy(), title=st.sampled_from(["lots", "Stash", "Sheet1", "odds and ends"]))
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_messy_sheet_is_the_tidy_one(tmp_path_factory, tidy: Reading, made, title: str):
    kind, separator, rows = made
    found = read(tmp_path_factory.mktemp("messy"), kind, {title: rows, "garments": GARMENTS}, separator)
    assert {name: replace(lot, role="") for name, lot in lots(found).items()} == lots(tidy)
    assert found.bin.garments == tidy.bin.garments


def test_a_fault_is_told_under_her_own_heading(tmp_path: Path):
    rows: list[list[object]] = [
        ["Yarn", "Colour", "Ball (g)", "Yards per ball", "Left"],
        ["soft", "navy", 50, "long", 41],
    ]
    (fault,) = reading_of(lay(tmp_path, "xlsx", {"stash": rows}), CATALOGUE).faults
    assert (fault.column, fault.row) == ("ball_metres", 2)
    assert str(fault).startswith("stash:2 Yards per ball: found")

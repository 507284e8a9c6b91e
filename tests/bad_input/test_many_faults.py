"""Nothing grows with the square of the faults: the first fifty are told, and how many more there are.

Sheets are so large that what did grow so would outlast the time that every test has.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.errors import MOST_TOLD, BadSheets
from matcher.materials import fibre
from matcher.materials.reading import names
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.sheets.read import bin_from_sheets, read_sheets

HEAD = "lot,grams,colour,class,garment\n"


def refused(folder: Path, catalogue: Catalogue) -> BadSheets:
    with pytest.raises(BadSheets) as told:
        bin_from_sheets(folder, catalogue)
    str(told.value)
    return told.value


def test_a_hundred_thousand_lots_of_garments_that_nobody_knows(tmp_path: Path):
    rows = "".join(f"lot {number},41,navy,3,unknown jumper {number}\n" for number in range(100_000))
    known = "".join(f"blue jumper {number},worn\n" for number in range(3000))
    (tmp_path / "lots.csv").write_text(HEAD + rows, encoding="utf-8")
    (tmp_path / "garments.csv").write_text("garment,status\n" + known, encoding="utf-8")
    sheets = read_sheets(tmp_path)
    assert sheets.garments is not None
    assert (sheets.faults, len(sheets.garments.rows)) == ([], 103_000)


def test_a_hundred_thousand_faults(tmp_path: Path, catalogue: Catalogue):
    rows = "".join(f"lot {number},heavy,navy,3,\n" for number in range(100_000))
    (tmp_path / "lots.csv").write_text(HEAD + rows, encoding="utf-8")
    told = refused(tmp_path, catalogue)
    assert len(told.faults) == 100_000
    shown = str(told).splitlines()
    assert len(shown) == MOST_TOLD + 2
    assert shown[-1] == "  and 99950 more faults"


def test_a_header_of_hundreds_of_thousands_of_columns(tmp_path: Path, catalogue: Catalogue):
    (tmp_path / "lots.csv").write_text(
        ",".join(f"gram{number}" for number in range(200_000)) + "\n1,2\n", encoding="utf-8"
    )
    assert "200000 columns" in str(refused(tmp_path, catalogue))


def test_a_cell_that_is_longer_than_the_csv_module_likes_is_read_back(tmp_path: Path):
    note = "n" * 200_000
    (tmp_path / "lots.csv").write_text(f"lot,grams,colour,class,note\na,41,navy,3,{note}\n", encoding="utf-8")
    sheets = read_sheets(tmp_path)
    assert sheets.lots is not None
    assert sheets.lots.rows[0].cells["note"] == note


def test_colours_that_nobody_knows_are_many(tmp_path: Path, catalogue: Catalogue):
    rows = "".join(f"lot {number},41,navvy {number},3\n" for number in range(20_000))
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\n" + rows, encoding="utf-8")
    assert len(refused(tmp_path, catalogue).faults) == 20_000


@pytest.mark.parametrize(
    ("column", "word"),
    [
        ("fibre", "machine washabl qqqqq {}z"),
        ("class", "fingeringg {}"),
        ("colour", "navy{}"),
        ("label", "yess {}"),
    ],
)
def test_the_nearest_name_is_sought_for_what_is_told_only(
    column: str, word: str, tmp_path: Path, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
):
    """Work is counted, not timed: each search may compare hundreds of spellings."""
    searches = []
    search = names.nearest
    for module in (names, fibre):
        monkeypatch.setattr(module, "nearest", lambda *asked: searches.append(asked) or search(*asked))
    cells = {"lot": "lot {}", "grams": "41", "colour": "navy", "class": "3", column: word}
    rows = "".join(",".join(cells.values()).replace("{}", f"{number:x}") + "\n" for number in range(1000))
    (tmp_path / "lots.csv").write_text(",".join(cells) + "\n" + rows, encoding="utf-8")
    (tmp_path / "garments.csv").write_text(
        "garment,status\n" + "".join(f"jumper {n},wron\n" for n in range(1000)), encoding="utf-8"
    )
    told = refused(tmp_path, catalogue)
    assert len(told.faults) == 2000
    # Of each of the two sheets as many as are told.
    assert len(searches) <= 2 * MOST_TOLD
    assert str(told).count("did you mean") == MOST_TOLD


def test_figures_of_a_million_digits_take_no_time(tmp_path: Path):
    """Beneath headings that bring every reading of figures into play."""
    rows = ("a;b;" + "9" * 1_000_000 + ";" + "9" * 1_000_000 + ";" + "1." * 500_000 + "\n") * 10
    (tmp_path / "stash.csv").write_text("Yarn;Colour;How much left;Ball (oz);Class\n" + rows, "utf-8")
    read_sheets(tmp_path)

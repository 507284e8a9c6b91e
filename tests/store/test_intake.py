"""What a file does to a store: compare, refuse, take in all of it or nothing."""

from dataclasses import replace
from pathlib import Path

import pytest

from matcher.errors import BadInput, BadSheets
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.cells import NOTHING, all_cells, whole_sheets
from matcher.store.database.store import Store, open_store
from matcher.store.intake import Comparison, Incoming, compare, refused_sheets, take_in
from matcher.store.sheets.read import bin_from_sheets
from matcher.store.sheets.write import write_sheets

CATALOGUE = load_catalogue()
LOTS = """lot,garment,yarn,colour,grams,ball_grams,ball_metres,dye_lot
navy,pullover,plain wool,#1f2a4a,66,50,125,8
cream,pullover,plain wool,#efe6d0,43,50,125,007
fog,,plain wool,#c3c6c8,20,50,125,2
"""
GARMENTS = "garment,kind,status\npullover,pullover,worn\n"


@pytest.fixture
def sheets(tmp_path: Path) -> Path:
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "lots.csv").write_text(LOTS)
    (folder / "garments.csv").write_text(GARMENTS)
    return folder


@pytest.fixture
def store(tmp_path: Path, sheets: Path):
    with open_store(tmp_path / "bin.sqlite", create=True) as opened:
        taken(opened, compare(sheets, NOTHING, CATALOGUE))
        yield opened


def taken(store: Store, found: Comparison, as_file: bool = True) -> None:
    take_in(store, found, lambda _: as_file, "intake", lambda _: None)


def compared(sheets: Path, store: Store) -> Comparison:
    return compare(sheets, all_cells(store), CATALOGUE)


def names(rows: tuple[Incoming, ...]) -> list[str]:
    return [one.name for one in rows]


def edit(sheets: Path, old: str, new: str, file: str = "lots.csv") -> None:
    text = (sheets / file).read_text()
    assert old in text
    (sheets / file).write_text(text.replace(old, new))


def test_a_first_intake_adds_everything(sheets: Path, store: Store):
    found = compared(sheets, store)
    assert (found.added, found.changed, found.refused) == ((), (), ())
    assert sorted(names(found.same)) == ["cream", "fog", "navy", "pullover"]
    assert [row["dye_lot"] for row in store.lots()] == ["007", "2", "8"]


def test_the_store_is_the_same_bin_as_the_sheets(sheets: Path, store: Store):
    from matcher.store.database.bin import read_store

    of_sheets, of_store = bin_from_sheets(sheets, CATALOGUE), read_store(store.path, CATALOGUE)
    untagged = (replace(lot, code="") for lot in of_store.lots)
    assert sorted(untagged, key=lambda lot: lot.name) == sorted(of_sheets.lots, key=lambda lot: lot.name)


def test_code_and_day_of_weighing_come_with_the_bin(sheets: Path, store: Store, tmp_path: Path):
    """Out of the store, and out of the sheets that were exported from it."""
    from matcher.store.database.bin import read_store

    edit(sheets, "dye_lot", "dye_lot,weighed_on")
    edit(sheets, "125,8", "125,8,2026-11-25")
    taken(store, compared(sheets, store))
    rows = {row["lot"]: (row["code"], row["weighed_on"]) for row in store.rows("lots")}
    write_sheets(tmp_path / "out.ods", whole_sheets(all_cells(store)))
    for bin_ in (read_store(store.path, CATALOGUE), bin_from_sheets(tmp_path / "out.ods", CATALOGUE)):
        assert {lot.name: (lot.code, lot.weighed_on) for lot in bin_.lots} == rows
    assert rows["navy"][1] == "2026-11-25"


def test_codes_that_two_lots_share_are_none(sheets: Path):
    edit(sheets, "dye_lot", "dye_lot,code")
    edit(sheets, "125,8", "125,8,ABCDE")
    assert [lot.code for lot in bin_from_sheets(sheets, CATALOGUE).lots] == ["ABCDE", "", ""]
    edit(sheets, "125,007", "125,007,ABCDE")
    assert [lot.code for lot in bin_from_sheets(sheets, CATALOGUE).lots] == ["", "", ""]


def test_the_garments_of_the_store_are_those_of_the_sheets(sheets: Path, store: Store):
    from matcher.store.database.bin import read_store

    of_sheets, of_store = bin_from_sheets(sheets, CATALOGUE), read_store(store.path, CATALOGUE)
    assert of_store.garments == of_sheets.garments


def test_added_changed_left(sheets: Path, store: Store):
    edit(sheets, ",66,", ",61,")
    edit(sheets, "fog,,plain wool,#c3c6c8,20", "Rust,pullover,plain wool,#9c4a24,31")
    found = compared(sheets, store)
    assert names(found.added) == ["Rust"]
    (changed,) = found.changed
    assert changed.name == "navy"
    assert [(one.column, one.old, one.new) for one in changed.changes] == [("grams", "66", "61")]
    assert found.left == {"lots": ("fog",), "garments": (), "people": ()}


@pytest.mark.parametrize(("as_file", "grams"), [(True, "61"), (False, "66")])
def test_a_row_that_differs_is_decided(sheets: Path, store: Store, as_file: bool, grams: str):
    edit(sheets, ",66,", ",61,")
    taken(store, compared(sheets, store), as_file)
    assert store.named("lots", "navy")["grams"] == grams
    assert store.named("lots", "navy")["mass_g"] == float(grams)


def test_a_cell_emptied_is_a_change_and_a_column_left_out_is_none(sheets: Path, store: Store):
    edit(sheets, ",007", ",")
    (changed,) = compared(sheets, store).changed
    assert [(one.column, one.old, one.new) for one in changed.changes] == [("dye_lot", "007", "")]
    text = [line.rsplit(",", 1)[0] for line in (sheets / "lots.csv").read_text().splitlines()]
    (sheets / "lots.csv").write_text("\n".join(text))
    assert compared(sheets, store).changed == ()


def test_names_are_the_same_whatever_their_case(sheets: Path, store: Store):
    edit(sheets, "navy,", "  NAVY ,")
    found = compared(sheets, store)
    assert (found.added, found.changed) == ((), ())


def test_lots_alone_may_name_a_garment_of_the_store(sheets: Path, store: Store):
    (sheets / "garments.csv").unlink()
    edit(sheets, "fog,,", "fog,Pullover,")
    found = compared(sheets, store)
    assert found.refused == ()
    assert names(found.changed) == ["fog"]
    edit(sheets, "fog,Pullover,", "fog,pulover,")
    assert names(compared(sheets, store).changed) == ["fog"]


def test_a_garment_that_nobody_lists_is_a_guess(sheets: Path, store: Store):
    edit(sheets, "fog,,", "fog,cardigan,")
    found = compared(sheets, store)
    assert (names(found.added), names(found.changed), found.refused) == (["cardigan"], ["fog"], ())
    assert dict(found.added[0].cells)["status"] == "worn"
    (guess,) = found.understood.guesses()
    assert (guess.row, guess.column, guess.found) == (4, "garment", "cardigan")
    # What is sure alone is taken where that is asked for.
    (refused,) = compare(sheets, all_cells(store), CATALOGUE, only_sure=True).refused
    assert (refused.sheet, refused.row) == ("lots", 4)


def test_a_garment_of_the_store_keeps_what_the_file_does_not_say(sheets: Path, store: Store):
    (sheets / "garments.csv").write_text("garment,kind\npullover,pullover\nvest,vest\n")
    found = compared(sheets, store)
    assert (names(found.added), names(found.changed), found.refused) == (["vest"], [], ())
    assert [(one.name, one.column) for one in found.understood.guesses()] == [("vest", "status")]


def test_a_row_with_faults_is_refused_with_its_cells_and_why(sheets: Path, store: Store, tmp_path: Path):
    edit(sheets, "fog,,plain wool,#c3c6c8,20", "rust,,plain wool,rustt,heavy")
    found = compared(sheets, store)
    (refused,) = found.refused
    assert (refused.sheet, refused.row, refused.cells["grams"]) == ("lots", 4, "heavy")
    assert "grams" in str(refused.why)
    assert "colour" in str(refused.why)
    assert sorted(names(found.same)) == ["cream", "navy", "pullover"]
    # The file of the refused, mended, is one that intake reads.
    write_sheets(tmp_path / "back", refused_sheets(found))
    edit(tmp_path / "back", "rustt,heavy", "rust,31")
    again = compared(tmp_path / "back", store)
    assert (names(again.added), again.refused) == (["rust"], ())


def test_a_garment_refused_refuses_its_new_lots(tmp_path: Path, sheets: Path):
    edit(sheets, "worn", "wron", "garments.csv")
    found = compare(sheets, NOTHING, CATALOGUE)
    assert [(one.sheet, one.row) for one in found.refused] == [("garments", 2), ("lots", 2), ("lots", 3)]
    assert names(found.added) == ["fog"]
    with open_store(tmp_path / "other.sqlite", create=True) as store:
        taken(store, found)
        assert [row["lot"] for row in store.lots()] == ["fog"]


def test_a_row_with_too_many_cells_and_a_name_given_twice(sheets: Path, store: Store):
    with (sheets / "lots.csv").open("a") as file:
        file.write("rust,,plain wool,#9c4a24,31,5,50,125,9\nNavy,,plain wool,#1f2a4a,3,50,125,8\n")
    found = compared(sheets, store)
    assert [one.row for one in found.refused] == [5, 6]
    assert found.refused[0].cells["beyond 1"] == "9"
    assert "a name of its own" in str(found.refused[1].why)


def test_a_sheet_without_a_needed_column_is_refused_as_a_whole(sheets: Path, store: Store):
    edit(sheets, "grams,ball_grams", "gewicht,ball_grams")
    with pytest.raises(BadSheets, match='a column "grams"'):
        compared(sheets, store)


def test_all_or_nothing(sheets: Path, store: Store):
    """A row that the database refuses takes the rows before it back as well."""
    edit(sheets, ",66,", ",61,")
    edit(sheets, "fog,,", "rust,,")
    found = compared(sheets, store)
    before = all_cells(store)
    broken = Incoming("lots", "x", {"lot": "x", "grams": "12", "colour": ""}, True)
    with pytest.raises(BadInput):
        taken(store, Comparison(found.file, (*found.incoming, broken), found.left, found.seen))
    assert all_cells(store) == before


def test_a_store_changed_meanwhile_is_not_written_over(sheets: Path, store: Store):
    edit(sheets, ",66,", ",61,")
    found = compared(sheets, store)
    with store.action("weigh") as act:
        act.update("lots", "navy", {"grams": "60"})
    with pytest.raises(BadInput, match="changed while"):
        taken(store, found)
    assert store.named("lots", "navy")["grams"] == "60"


def test_the_day_of_weighing_goes_when_the_weight_is_another(sheets: Path, store: Store):
    with store.action("weigh") as act:
        act.update("lots", "navy", {"weighed_on": "2026-11-01"})
        act.update("lots", "cream", {"weighed_on": "2026-11-01"})
    edit(sheets, ",66,", ",61,")
    taken(store, compared(sheets, store))
    assert store.named("lots", "navy")["weighed_on"] == ""
    assert store.named("lots", "cream")["weighed_on"] == "2026-11-01"


def test_a_code_of_the_file_is_kept_and_one_in_use_is_not_taken(sheets: Path, store: Store):
    navy = store.named("lots", "navy")["code"]
    (sheets / "lots.csv").write_text(
        "lot,colour,grams,class,code,weighed_on\n"
        f"a,navy,3,3,{navy},2026-11-01\nb,navy,3,3,22222,yesterday\nc,navy,3,3,#123456,\n"
    )
    taken(store, compared(sheets, store))
    a, b, c = (store.named("lots", name) for name in "abc")
    assert b["code"] == "22222"
    assert len({navy, a["code"], b["code"], c["code"]}) == 4
    assert [one["weighed_on"] for one in (a, b, c)] == ["2026-11-01", "", ""]

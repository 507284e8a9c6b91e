"""A file of many rows is read a group of rows after the other: the same answer, and its faults at their rows."""

from __future__ import annotations

from pathlib import Path

import pyarrow as pa
import pyarrow.parquet
import pytest
from made_pools import write_bin

from matcher.actions.collection import source
from matcher.actions.collection.gathered import bunches, gathered, rows_of
from matcher.actions.collection.pool import pool
from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.matching.rounds.parts import InTurn
from matcher.materials.collection import Collection, joined
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.collection import writing
from matcher.store.collection.lying import lying_in
from matcher.store.collection.parquet import read_parquet, row_groups

CATALOGUE = load_catalogue()
# Rows are read alike for whatever is made of them: a part of the catalogue tells.
NARROW = {"kind": ("hat", "cowl"), "size": "adult medium"}
NARROWER = {**NARROW, "kind": "hat"}


def gives(folder: Path, number: int) -> Collection:
    return given(Desk(write_bin(folder / str(number), number, 12), CATALOGUE), f"P{number}")


@pytest.fixture
def grouped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """One file of three members in groups of seven rows, so that members and garments lie in two; and a small one."""
    monkeypatch.setattr(writing, "GROUP", 7)
    folder = tmp_path / "pool"
    folder.mkdir()
    many = joined([gives(tmp_path / "own", number) for number in (1, 2, 3)])
    (folder / "many.parquet").write_bytes(writing.parquet_of(many))
    (folder / "one.parquet").write_bytes(writing.parquet_of(gives(tmp_path / "own", 4)))
    return folder


def test_a_file_in_groups_gives_the_same_answer(grouped: Path):
    assert len(row_groups(grouped / "many.parquet")) > 3
    read = gathered(grouped, lying_in(grouped), CATALOGUE, InTurn(), keep=False)
    assert max(len(bunch) for bunch in bunches(read.held, 1)) == 1
    assert len(bunches(read.held, 1)) > 6
    asked = {"each_place": True, "each_member": True, "gap": True, "least_contrast": "readable", "top": 5, **NARROW}
    whole, parted = (pool(grouped, lots_at_once=how, **asked).as_dict() for how in (None, 5))
    assert whole.pop("cost")["parts"] == 1
    assert parted.pop("cost")["parts"] > 6
    assert str(whole) == str(parted)


def test_of_a_file_in_groups_each_member_is_read_in_the_groups_that_hold_hers(
    grouped: Path, monkeypatch: pytest.MonkeyPatch
):
    """Members whose lots lie together are asked without the file ever being there at once; others all the same."""

    def members_in_parts() -> tuple[str, list[int], str]:
        read: list[int] = []
        monkeypatch.setattr(source, "rows_of", lambda *asked: read.append(len(rows := rows_of(*asked))) or rows)
        found = pool(grouped, lots_at_once=5, each_member=True, **NARROWER)
        return str([one.as_dict("member") for one in found.by_member or ()]), read, " ".join(map(str, found.notes))

    whole = str([one.as_dict("member") for one in pool(grouped, each_member=True, **NARROWER).by_member or ()])
    number = len(read_parquet(file := grouped / "many.parquet", CATALOGUE.fibres))
    parted, read, notes = members_in_parts()
    assert parted == whole
    assert max(read) < number < sum(read) <= 2 * number + 12
    assert "don't lie together" not in notes
    mixed = pyarrow.parquet.read_table(file)
    mixed = mixed.take([row for start in range(5) for row in range(start, number, 5)])
    pyarrow.parquet.write_table(mixed, file, row_group_size=7)
    whole = str([one.as_dict("member") for one in pool(grouped, each_member=True, **NARROWER).by_member or ()])
    parted, read, notes = members_in_parts()
    assert parted == whole
    assert max(read) == number
    assert "In one large file members' lots don't lie together" in notes


def test_groups_together_are_the_file(grouped: Path):
    file = grouped / "many.parquet"
    groups = [read_parquet(file, CATALOGUE.fibres, groups=[at]) for at in range(len(row_groups(file)))]
    assert [len(one) for one in groups] == list(row_groups(file))
    again, whole = joined(groups), read_parquet(file, CATALOGUE.fibres)
    for row in range(len(whole)):
        for name in ("member", "yarn", "number", "lab", "garment", "apart"):
            assert str(getattr(again, name).of(row)) == str(getattr(whole, name).of(row))
    assert again.free_m.tolist() == whole.free_m.tolist()


def test_a_fault_is_told_at_its_row_of_the_file_and_a_code_is_for_one_member(grouped: Path, run):
    file = grouped / "many.parquet"
    table = pyarrow.parquet.read_table(file)
    tex = table.column("tex").to_pylist()
    tex[16] = -1.0
    at = table.schema.get_field_index("tex")
    pyarrow.parquet.write_table(table.set_column(at, "tex", pa.array(tex)), file, row_group_size=7)
    for keep in (True, False):
        read = gathered(grouped, lying_in(grouped), CATALOGUE, InTurn(), keep=keep, good_files=True)
        assert "row 17" in str(read.left_out[0].why[0])
    (grouped / "codes.csv").write_text("file,code\nmany.parquet,X1\n", encoding="utf-8")
    pyarrow.parquet.write_table(table, file, row_group_size=7)
    for keep in (True, False):
        read = gathered(grouped, lying_in(grouped), CATALOGUE, InTurn(), keep=keep, good_files=True)
        assert "several members" in str(read.left_out[0].why[0])

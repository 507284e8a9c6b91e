"""A collection as a Parquet file: what is written comes back the very same, and each fault of a file is one clear sentence."""

from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet
import pytest
from generated import WHOLE, bins
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.actions.given import given as given_by
from matcher.errors import BadSheets, MatcherError
from matcher.materials.collection import Collection, Once, Several, joined
from matcher.store.collection.columns import COLUMNS, FORMAT
from matcher.store.collection.parquet import read_parquet
from matcher.store.collection.writing import parquet_of


def rows(collection: Collection) -> list[tuple[Any, ...]]:
    """Each row's values, so that two that keep them otherwise can be compared."""

    def told(column: Any, row: int) -> Any:
        found = column[row] if isinstance(column, np.ndarray) else column.of(row)
        if isinstance(found, np.ndarray):
            return found.tolist()
        return None if isinstance(found, float) and np.isnan(found) else found

    return [
        tuple(told(getattr(collection, one.name), row) for one in fields(collection)) for row in range(len(collection))
    ]


@given(bins(8, (2, 3, 4)), st.sampled_from(["", "A7", "羊 2"]), st.sampled_from(["", "north depot"]))
@settings(deadline=None, max_examples=60)
def test_what_is_written_comes_back_the_very_same(tmp_path_factory: Any, bin: Any, code: str, place: str):
    gives = given_by(Desk(bin, WHOLE), code, place)
    file = tmp_path_factory.mktemp("parquet") / "pool.parquet"
    file.write_bytes(parquet_of(gives))
    assert rows(read_parquet(file, WHOLE.fibres)) == rows(gives)
    assert parquet_of(gives) == file.read_bytes()


@given(bins(8, (2, 3, 4)), st.data())
@settings(deadline=None, max_examples=40)
def test_rows_taken_and_joined_are_the_rows(bin: Any, data: Any):
    gives = given_by(Desk(bin, WHOLE), "A", "north")
    at = np.array(data.draw(st.lists(st.integers(0, len(gives) - 1), max_size=5)) if len(gives) else [], dtype=np.intp)
    assert rows(gives.take(at)) == [rows(gives)[one] for one in at]
    assert rows(joined([gives, gives.take(at)])) == rows(gives) + rows(gives.take(at))


def test_garments_are_one_within_one_member_of_one_file_alone():
    gives = given_by(Desk("demo"), "A", "")
    apart = joined([gives, Collection(**{**vars(gives), "file": gives.file + 1})])
    homes, number = apart.homes, len(gives)
    first, second = (
        {home for row in part for home in homes.of(row)} for part in (range(number), range(number, 2 * number))
    )
    assert len(first) == len(second) > 3
    assert not first & second


@pytest.fixture(scope="module")
def table() -> pa.Table:
    return pyarrow.parquet.read_table(pa.BufferReader(parquet_of(given_by(Desk("demo"), "A7", "north"))))


def column(name: str, values: Callable[[list[Any]], list[Any]]) -> Callable[[pa.Table], pa.Table]:
    """The table with other values in a column."""

    def changed(table: pa.Table) -> pa.Table:
        at = table.schema.get_field_index(name)
        kind = table.schema.field(name).type
        return table.set_column(at, pa.field(name, kind), pa.array(values(table.column(name).to_pylist()), kind))

    return changed


def first(value: Any) -> Callable[[list[Any]], list[Any]]:
    return lambda values: [value, *values[1:]]


def retyped(
    name: str, kind: Any, values: Callable[[list[Any]], list[Any]] = lambda values: values
) -> Callable[[pa.Table], pa.Table]:
    """The table with a column of another type."""

    def changed(table: pa.Table) -> pa.Table:
        array = pa.array(values(table.column(name).to_pylist()), kind)
        return table.set_column(table.schema.get_field_index(name), pa.field(name, kind), array)

    return changed


def as_text(name: str) -> Callable[[pa.Table], pa.Table]:
    def changed(table: pa.Table) -> pa.Table:
        values = [str(one) for one in table.column(name).to_pylist()]
        return table.set_column(table.schema.get_field_index(name), name, pa.array(values))

    return changed


BROKEN = {
    "a column is missing": (
        lambda table: table.drop_columns(["tex"]),
        "tex: found nothing, expected a column of this name",
    ),
    "two have one name": (lambda table: table.append_column("tex", table.column("tex")), "tex"),
    "figures are text": (
        as_text("free_m"),
        'pool.parquet free_m: found "figures written as text", expected a column of figures',
    ),
    "figures are words": (
        lambda table: as_text("tex")(column("tex", lambda values: [*values[:2], None, *values[3:]])(table)),
        'pool.parquet:3 tex: found "text", expected a column of figures',
    ),
    "figures are days": (
        lambda table: retyped("tex_sd", pa.date32(), lambda values: [0] * len(values))(table),
        'tex_sd: found "dates or times", expected a column of figures',
    ),
    "lists are text": (as_text("lab"), 'lab: found "text", expected a column of lists of figures'),
    "of a later form": (column("format", lambda values: [2] * len(values)), "another version"),
    "of no form": (column("format", first(0)), "another version"),
    "of another program": (lambda table: table.select(["yarn", "tex"]), "it isn't a file that export wrote"),
    "no length": (column("free_m", first(-1.5)), 'pool.parquet:1 free_m: found "-1.5", expected metres above zero'),
    "no number": (column("tex", first(float("nan"))), 'pool.parquet:1 tex: found "no number"'),
    "endless": (column("free_m", first(float("inf"))), 'pool.parquet:1 free_m: found "inf"'),
    "nothing there": (column("tex", first(None)), "pool.parquet:1 tex"),
    "half a colour": (column("lab", first([50.0, 0.0])), "three figures"),
    "no colour": (column("lab", first([])), "pool.parquet:1 lab"),
    "no such colour": (column("lab", first([150.0, 0.0, 0.25])), 'pool.parquet:1 lab: found "150, 0, 0.25", expected'),
    "a hole in a colour": (column("lab", first([50.0, None, 0.0])), "lab"),
    "shares for nothing": (column("share", first([0.5, 0.5])), "pool.parquet:1 share"),
    "shares that are not all": (column("share", first([0.4])), "pool.parquet:1 share"),
    "spreads for nothing": (column("lab_sd", first([1.0] * 6)), "pool.parquet:1 lab_sd"),
    "no such class": (column("class", first(9)), 'pool.parquet:1 class: found "9", expected a class from 0 to 7'),
    "half a class": (
        lambda table: retyped("class", pa.float64(), lambda values: [*values[:1], 2.5, *values[2:]])(table),
        'pool.parquet:2 class: found "2.5", expected a whole number',
    ),
    "half a garment": (
        lambda table: retyped("garment", pa.list_(pa.float64()), lambda values: [[], [1.0, 2.5], *values[2:]])(table),
        'pool.parquet:2 garment: found "2.5", expected a whole number',
    ),
    "no such wash": (column("wash", first("boil")), "pool.parquet:1 wash"),
    "no such fibre": (column("fibre", first("unobtainium 1.0")), "fibre"),
    "fibres beyond all": (column("fibre", first("wool 0.9, cotton 0.9")), "fibre"),
    "no lot": (column("lot", first([])), "pool.parquet:1 lot"),
    "a lot told twice": (
        column("lot", lambda values: [values[0], *values[:1], *values[2:]]),
        "pool.parquet:2 lot: found nothing, expected each lot of a member once",
    ),
    "a lot of no name": (column("lot", first([""])), "pool.parquet:1 lot"),
    "a lot that can't be read": (column("lot", first(["a\x1b[1m"])), "pool.parquet:1 lot"),
    "a lot that is a story": (column("lot", first(["n" * 300])), "at most 12 letters and digits"),
    "a sign that is not seen": (column("yarn", first("a\x1b[31mb")), "pool.parquet:1 yarn"),
    "a name without end": (column("place", first("n" * 300)), "pool.parquet:1 place"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_a_fault_of_a_file_is_one_clear_sentence(what: str, table: pa.Table, tmp_path: Path):
    broken, said = BROKEN[what]
    file = tmp_path / "pool.parquet"
    pyarrow.parquet.write_table(broken(table), file)
    with pytest.raises(MatcherError) as caught:
        read_parquet(file, WHOLE.fibres, "pool.parquet")
    assert said in str(caught.value)
    if isinstance(caught.value, BadSheets):
        assert len(caught.value.faults) == (2 if what == "no colour" else 1)  # its shares are for nothing then


@pytest.mark.parametrize("size", [0, 3, 400, -1, -300])
def test_a_file_that_is_cut_off_or_damaged_is_said_to_be(size: int, tmp_path: Path):
    whole = parquet_of(given_by(Desk("demo"), "", ""))
    (tmp_path / "pool.parquet").write_bytes(whole[:size])
    with pytest.raises(MatcherError, match=r"damaged or no Parquet file" if size else "the file is empty"):
        read_parquet(tmp_path / "pool.parquet", WHOLE.fibres)


def test_columns_of_another_program_may_have_other_types(table: pa.Table, tmp_path: Path):
    """Larger and smaller numbers, texts in a dictionary: what another writer makes of the same values."""
    schema = table.schema
    wider = {
        "class": pa.int8(),
        "lot": pa.large_list(pa.large_string()),
        "garment": pa.large_list(pa.int64()),
        "code": pa.dictionary(pa.int8(), pa.string()),
    }
    fields_ = [pa.field(one.name, wider.get(one.name, one.type)) for one in schema]
    other, same = tmp_path / "other.parquet", tmp_path / "same.parquet"
    pyarrow.parquet.write_table(
        table.cast(pa.schema(fields_)).select([*reversed(schema.names)]), other, row_group_size=7
    )
    pyarrow.parquet.write_table(table, same)
    assert rows(read_parquet(other, WHOLE.fibres)) == rows(read_parquet(same, WHOLE.fibres))


WHOLE_OR_NOT = {
    **dict.fromkeys(("tex", "free_m", "ball_g"), (pa.int64(), pa.decimal128(12, 2), pa.float32(), pa.uint16())),
    **dict.fromkeys(("class", "format"), (pa.float64(), pa.decimal128(12, 2), pa.float16(), pa.uint8())),
    "lab": (pa.list_(pa.int16()), pa.large_list(pa.decimal128(9, 3))),
    "garment": (pa.list_(pa.float64()), pa.list_(pa.decimal128(12, 1))),
    "lot": (pa.list_(pa.int32()),),
    "dye_lot": (pa.int64(),),
}


@pytest.mark.parametrize(("name", "kind"), [(name, kind) for name, kinds in WHOLE_OR_NOT.items() for kind in kinds])
def test_figures_may_be_whole_numbers_and_whole_numbers_figures(name: str, kind: Any, table: pa.Table, tmp_path: Path):
    """The same values in another writer's type are the same rows."""

    def plain(values: list[Any]) -> list[Any]:
        if name == "lot":
            return [[str(row)] for row in range(len(values))]
        return ["7", *[None] * (len(values) - 1)] if name == "dye_lot" else list(map(rounded, values))

    def rounded(value: Any) -> Any:
        return list(map(rounded, value)) if isinstance(value, list) else value and round(value)

    same = column(name, plain)(table)
    at = table.schema.get_field_index(name)
    values = same.column(name).cast(pa.string()) if name == "dye_lot" else same.column(name)
    changed = same.set_column(at, name, values.cast(kind))
    for called, one in (("same", same), ("other", changed)):
        pyarrow.parquet.write_table(one, tmp_path / f"{called}.parquet")
    read = [rows(read_parquet(tmp_path / f"{called}.parquet", WHOLE.fibres)) for called in ("same", "other")]
    assert read[0] == read[1]
    assert pyarrow.parquet.read_schema(tmp_path / "other.parquet").field(name).type != table.schema.field(name).type


def test_columns_in_which_nothing_stands_may_have_no_type(table: pa.Table, tmp_path: Path):
    """Other writers have a type of its own for nothing, also in lists."""
    other, same = tmp_path / "other.parquet", tmp_path / "same.parquet"
    nothing = {"code": None, "place": None, "dye_lot": None, "ball_g": None, "apart": [], "lab_sd": []}
    for name, value in nothing.items():
        table = column(name, lambda values, value=value: [value] * len(values))(table)
    pyarrow.parquet.write_table(table, same)
    for name, value in nothing.items():
        kind = pa.list_(pa.null()) if value == [] else pa.null()
        table = table.set_column(table.schema.get_field_index(name), name, pa.array([value] * len(table), kind))
    pyarrow.parquet.write_table(table, other)
    assert rows(read_parquet(other, WHOLE.fibres)) == rows(read_parquet(same, WHOLE.fibres))


def test_two_members_may_count_their_lots_alike(table: pa.Table, tmp_path: Path):
    theirs = table.set_column(table.schema.get_field_index("code"), "code", pa.array(["B8"] * len(table)))
    both = pa.concat_tables([table.cast(theirs.schema), theirs])
    pyarrow.parquet.write_table(both, tmp_path / "both.parquet")
    assert len(read_parquet(tmp_path / "both.parquet", WHOLE.fibres)) == 2 * len(table)


def test_each_column_says_what_it_means():
    assert len({one.name for one in COLUMNS}) == len(COLUMNS)
    schema = pyarrow.parquet.read_schema(pa.BufferReader(parquet_of(given_by(Desk("demo"), "", ""))))
    assert [one.name for one in COLUMNS] == schema.names


def test_a_text_stands_once_in_a_column():
    column = Once.joined([Once.column(["a", "b", "a"]), Once.column(["b", "c"])])
    assert (column.values, column.at.tolist()) == (("a", "b", "c"), [0, 1, 0, 1, 2])
    assert Several.column([[1], [], [2, 3]], np.zeros(0, dtype=np.intp)).take(np.array([2, 0])).values.tolist() == [
        2,
        3,
        1,
    ]


def test_each_column_stands_on_the_page_of_commands():
    page = (Path(__file__).parents[2] / "matcher" / "cli" / "README.md").read_text(encoding="utf-8")
    assert COLUMNS[0].means == f"version of this form: {FORMAT}"
    for one in COLUMNS:
        assert any(
            line.startswith(f"| `{one.name}` |") and line.endswith(f"| {one.means} |") for line in page.splitlines()
        )

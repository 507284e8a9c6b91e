"""By which code a member is told, and who says so: codes.csv, else the file, else its number; never one code for two."""

from __future__ import annotations

import shutil
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet
import pytest
from made_pools import write_bin

from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.materials.collection import joined
from matcher.store.collection.writing import parquet_of

HATS = ("--kind", "hat", "--size", "adult medium")  # whose a bin is hangs on nothing that is made of it


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    """Two good bins at two places."""
    write_bin(tmp_path / "pool" / "north" / "a", 1)
    write_bin(tmp_path / "pool" / "south" / "b", 2)
    return tmp_path / "pool"


def gives(path: Path, code: str, file: Path) -> None:
    file.write_bytes(parquet_of(given(Desk(path), code)))


def nearly_copied(path: Path, file: Path) -> None:
    """The same without its last lot: a file that holds the very same would count once."""
    table = pyarrow.parquet.read_table(path)
    pyarrow.parquet.write_table(table.slice(0, len(table) - 1), file)


def refused(run: Callable[..., Any], *asked: object) -> str:
    """What is said of a question that is refused."""
    shown = run("pool", *asked)
    assert shown.exit_code == 2, shown.output
    assert shown.stdout == ""
    return " ".join(shown.stderr.split())


def test_one_code_in_two_files_is_a_fault_that_names_both(run, pool: Path):
    gives(pool / "north" / "a", "A7", pool / "one.parquet")
    nearly_copied(pool / "one.parquet", pool / "south" / "copied.parquet")
    for how in ((), ("--good-files",)):
        said = refused(run, pool, *how)
        assert '"A7" is the code of one.parquet and south/copied.parquet' in said
        assert "leave out what is there twice, or give one of them another code in codes.csv" in said


@pytest.mark.parametrize("codes", ["north/a,A1\nsouth/b,A1\n", "north/a,A1\nsouth/b,a1\n", "north/a,A7\n"])
def test_nor_is_a_code_beside_the_bins_anybody_elses(run, pool: Path, codes: str):
    if "A7" in codes:
        gives(pool / "south" / "b", "A7", pool / "south" / "b.parquet")
    (pool / "codes.csv").write_text(f"file,code\n{codes}", encoding="utf-8")
    assert "is the code of north/a and south/b" in refused(run, pool)


def test_a_number_that_somebody_was_given_is_nobody_elses(run_json, pool: Path):
    (pool / "codes.csv").write_text("file,code\nnorth/a,Member 2\n", encoding="utf-8")
    assert run_json("pool", pool, *HATS)["members"] == ["Member 2", "member 3"]
    gives(pool / "north" / "a", "member 3", pool / "south" / "c.parquet")
    assert run_json("pool", pool, *HATS)["members"] == ["Member 2", "member 4", "member 3"]


def test_codes_beside_the_bins_go_before_the_code_in_a_file(run, run_json, pool: Path):
    gives(pool / "north" / "a", "A7", pool / "one.parquet")
    nearly_copied(pool / "one.parquet", pool / "two.parquet")
    (pool / "codes.csv").write_text("file,code\ntwo.parquet,B8\n", encoding="utf-8")
    assert run_json("pool", pool, *HATS)["members"] == ["member 1", "A7", "member 3", "B8"]
    both = joined([given(Desk(pool / "north" / "a"), "C1"), given(Desk(pool / "south" / "b"), "C2")])
    (pool / "two.parquet").write_bytes(parquet_of(both))
    said = refused(run, pool)
    assert "two.parquet: it holds lots of several members, and codes.csv gives it one code" in said
    (pool / "codes.csv").unlink()
    assert run_json("pool", pool, *HATS)["members"] == ["member 1", "A7", "member 3", "C1", "C2"]


def test_a_file_without_rows_is_a_bin_of_which_nothing_is_free(run_json, pool: Path):
    gives(pool / "north" / "a", "A7", pool / "whole.parquet")
    table = pyarrow.parquet.read_table(pool / "whole.parquet")
    pyarrow.parquet.write_table(table.slice(0, 0), pool / "whole.parquet")
    found = run_json("pool", pool)
    assert found["members"] == ["member 1", "member 2", "member 3"]
    assert found["left_out"] == []
    for name in ("north", "south"):
        shutil.rmtree(pool / name)
    assert run_json("pool", pool, "--each-member", "--each-place", "--gap", "--set")["lots"] == 0


def test_codes_are_read_as_a_list_of_yarn_is(run_json, pool: Path):
    for text in (
        "code;file;whose\nÉ1;north/a/lots.csv;x\nB2;./south/b/;y\n",
        "file\tcode\n\nnorth/a/\tÉ1\nSOUTH\\B\\lots.csv\tB2\n",
    ):
        for encoding in ("cp1252", "utf-8-sig", "utf-16"):
            (pool / "codes.csv").write_bytes(text.encode(encoding))
            assert run_json("pool", pool, *HATS)["members"] == ["É1", "B2"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("file,code\nXaver.ods,A1\n", 'found "Xaver.ods", expected a bin of this folder by its path in it, such as'),
        (
            "file,code\nnorth/aa,A1\n",
            'found "north/aa", expected a bin of this folder by its path in it, such as north/a',
        ),
        ("file,code\nnorth/a,A\nnorth/a,B\n", 'found "B", expected one code for each file'),
        ("whose,code\nx,y\n", 'found "whose, code", expected the columns file and code'),
        ("file,code\nnorth/a,\n", "found nothing, expected a code"),
        (f"file,code\nnorth/a,{'x' * 300}\n", 'found "xxx'),
    ],
)
def test_a_fault_of_the_codes_says_what_is_there(run, pool: Path, text: str, said: str):
    (pool / "codes.csv").write_text(text, encoding="utf-8")
    assert said in refused(run, pool)


@pytest.mark.parametrize("name", ["x.csv", "x.xlsx", "x.ods", "x.parquet"])
def test_an_empty_file_is_said_to_be_empty(run, pool: Path, name: str):
    (pool / name).write_bytes(b"")
    said = refused(run, pool)
    assert f"{name}: the file is empty" in said
    assert "1 file can't be read" in said
    assert "mend it and ask again, or leave it out with --good-files; nothing was worked out" in said


def test_a_parquet_file_of_another_program_has_one_fault(run, pool: Path):
    pyarrow.parquet.write_table(pa.table({"yarn": ["x"], "metres": [3.0]}), pool / "other.parquet")
    said = refused(run, pool)
    assert "other.parquet: it isn't a file that matcher export wrote" in said
    assert said.count("other.parquet") == 1


@pytest.mark.parametrize("seconds", ["-1", "nan", "1e9"])
def test_a_time_that_cannot_be_waited_for_is_refused(run, pool: Path, seconds: str):
    assert "this isn't a time that can be waited for (--time-limit)" in refused(run, pool, "--time-limit", seconds)


def test_lots_of_a_store_are_told_by_what_stands_on_their_tags(run, run_json, tmp_path: Path):
    """These last, where a number in the list moves with each lot that is added."""
    own, pool = write_bin(tmp_path / "own", 3, 9), tmp_path / "pool"
    pool.mkdir()
    store, sheets = pool / "a.sqlite", pool / "b"
    assert run("intake", own, "--bin", store, "--yes").exit_code == 0
    shutil.copytree(own, sheets)

    def told() -> dict[str, set[str]]:
        found: dict[str, set[str]] = {"member 1": set(), "member 2": set()}
        for group in run_json("pool", pool, "--each-member", "--all")["by_member"]:
            found[group["member"]] |= {lot["number"] for one in group["suggestions"] for lot in one["from"]}
        return found

    before = told()
    tags = {lot.code: lot.name for lot in Desk(store).bin.lots}
    assert before["member 1"]
    assert before["member 1"] <= tags.keys()
    assert {f"lot {number}" for number in before["member 2"]} <= set(tags.values())
    assert run("add", "a first one", "--grams", "1", "--colour", "red", "--class", "3", "--bin", store).exit_code == 0
    assert told()["member 1"] == before["member 1"]
    assert f"lot {min(before['member 1'])}" in run("pool", pool, "--all", "--each-member").stdout.replace("\n", " ")


@pytest.mark.parametrize("on_disk", ["NFC", "NFD"])
def test_an_accent_is_one_however_the_system_writes_it(run_json, pool: Path, on_disk: str):
    (pool / "north" / "a").rename(pool / "north" / unicodedata.normalize(on_disk, "Käthe"))
    for form in ("NFC", "NFD"):
        file = unicodedata.normalize(form, "north/käthe")
        (pool / "codes.csv").write_text(f"file,code\n{file},K1\n", encoding="utf-8")
        assert run_json("pool", pool, *HATS)["members"] == ["K1", "member 2"]


def test_bins_that_differ_by_capitals_alone_have_a_code_each(run, run_json, pool: Path):
    """As some disks keep them apart; a name that is neither to the letter is asked about."""
    if (pool / "north" / "A").exists():
        pytest.skip("this disk keeps one file for both")
    write_bin(pool / "north" / "A", 3)
    codes = pool / "codes.csv"
    codes.write_text("file,code\nnorth/a,small\nnorth/A/lots.csv,large\nSOUTH/B,other\n", encoding="utf-8")
    found = run_json("pool", pool, "--who", *HATS)
    told = {one["file"]: one["member"] for one in found["who"]}
    assert told == {"north/A": "large", "north/a": "small", "south/b": "other"}
    codes.write_text("file,code\nNORTH/a,A1\n", encoding="utf-8")
    said = refused(run, pool)
    assert 'codes.csv:2 file: found "NORTH/a", expected one of these, written as it is here: north/A, north/a' in said


def test_codes_that_differ_by_spaces_are_one(run, pool: Path):
    """A file of another program keeps them as they were typed."""
    for name, code in (("one", "A7"), ("two", " A7 ")):
        gives(pool / "north" / "a", "A7", pool / f"{name}.parquet")
        table = pyarrow.parquet.read_table(pool / f"{name}.parquet")
        at = table.schema.get_field_index("code")
        pyarrow.parquet.write_table(
            table.set_column(at, "code", pa.array([code] * len(table))), pool / f"{name}.parquet"
        )
    assert '"A7" is the code of one.parquet and two.parquet' in refused(run, pool)

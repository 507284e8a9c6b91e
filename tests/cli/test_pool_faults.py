"""Files of a pool that cannot be read: all faults of all of them at once, or left out when she asks for that."""

from __future__ import annotations

import builtins
import os
import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet
import pytest
from made_pools import lots_of, write_bin, write_pool

from matcher.actions.collection.gathered import Part, gathered, held_by
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.collection.lying import Lying, lying_in
from matcher.store.database.backups import back_up
from matcher.store.database.store import open_store

MITTS = ("--kind", "mitts", "--single")  # what is read of a folder hangs on nothing that is made of it


def plain(shown: str) -> str:
    return " ".join(shown.split())


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    """Two good bins at two places."""
    write_bin(tmp_path / "pool" / "north" / "a", 1)
    write_bin(tmp_path / "pool" / "south" / "b", 2)
    return tmp_path / "pool"


def newer_store(path: Path) -> None:
    with open_store(path, create=True):
        pass
    with closing(sqlite3.connect(path)) as db:
        db.execute("PRAGMA user_version = 9999")


def newer_parquet(path: Path, run: Callable[..., Any]) -> None:
    assert run("export", path, "--bin", "demo").exit_code == 0
    table = pyarrow.parquet.read_table(path)
    pyarrow.parquet.write_table(table.set_column(0, "format", pa.array([9] * len(table), pa.int32())), path)


def test_every_fault_of_every_file_is_told_at_once(run, pool: Path):
    (pool / "bad.csv").write_text("lot,grams,colour,class\nmoss,4O,#6b7f4a,3\nfog,41,#808080,9\n", encoding="utf-8")
    (pool / "north" / "empty.csv").write_text("", encoding="utf-8")
    (pool / "north" / "empty.parquet").write_bytes(b"")
    (pool / "south" / "torn.xlsx").write_bytes(b"PK\x03\x04 no more")
    (pool / "south" / "other.db").write_bytes(b"SQLite format 3\x00" + bytes(84))
    newer_store(pool / "south" / "newer.sqlite")
    newer_parquet(pool / "later.parquet", run)
    os.symlink("/etc/hostname", pool / "link.csv")
    shown = run("pool", pool)
    assert shown.exit_code == 2
    assert shown.stdout == ""
    said = " ".join(shown.stderr.split())
    for fault in (
        "8 files can't be read",
        "mend them and ask again, or leave them out with --good-files; nothing was worked out",
        'bad.csv: row 2, grams: found "4O", expected a weight such as 41 or 1.5 oz',
        'bad.csv: row 3, class: found "9", expected',
        "north/empty.csv, north/empty.parquet: the file is empty",
        "south/torn.xlsx: expected",
        "south/other.db: the file belongs to another program",
        "south/newer.sqlite: the store was written by a later version of matcher",
        "later.parquet: the file is of another version of the form",
        "link.csv: it is a link, and only what lies in the folder itself is read; put the file itself there",
    ):
        assert fault in said, fault


def test_of_a_figure_that_is_none_it_is_told_what_was_found_and_of_words_only_that_they_are(run, pool: Path):
    """A figure names nobody; words may."""
    for name, column, values in (("few", "free_m", [-3.5]), ("words", "tex", ["200", "of Xaver"])):
        assert run("export", pool / f"{name}.parquet", "--bin", "demo").exit_code == 0
        table = pyarrow.parquet.read_table(pool / f"{name}.parquet")
        whole = pa.array([*values, *[values[0]] * (len(table) - len(values))])
        table = table.set_column(table.schema.get_field_index(column), column, whole)
        pyarrow.parquet.write_table(table, pool / f"{name}.parquet")
    said = " ".join(run("pool", pool).stderr.split())
    assert "few.parquet: row 1, free_m: found -3.5, expected metres above zero" in said
    assert "words.parquet: row 2, tex: found text, expected a column of figures; write the file anew" in said
    assert "Xaver" not in said


def test_files_with_one_fault_are_told_together_so_that_others_are_seen(run, pool: Path):
    for number in range(60):
        (pool / f"a{number:02d}.csv").write_text(f"lot,colour,grams\nmoss {number},#6b7f4a,40\n", encoding="utf-8")
    (pool / "z.csv").write_text("lot,grams,colour,class\nfog,41,#808080,9\n", encoding="utf-8")
    shown = run("pool", pool)
    said = plain(shown.stderr)
    assert "61 files can't be read" in said
    assert "a00.csv, a01.csv, a02.csv, a03.csv" in said
    assert "a49.csv and 10 more: row 1, ball_grams: expected columns ball_grams and ball_metres" in said
    assert 'z.csv: row 2, class: found "9", expected' in said
    assert said.count("expected columns") == 1
    assert "more fault" not in said
    left = run("pool", pool, *MITTS, "--good-files")
    some = "member 1, member 2, member 3, member 4, member 5, member 6 and 55 more."
    assert f"Left out, since they can't be read: {some}" in plain(left.stdout)
    assert "60 files are left out, a00.csv (as member 1), a01.csv (as member 2)" in plain(left.stderr)
    assert "a05.csv (as member 6) and 54 more: row 1, ball_grams: expected columns" in plain(left.stderr)
    assert 'z.csv is left out as member 63: row 2, class: found "9", expected' in plain(left.stderr)
    assert left.stderr.count("left out") == 2


def test_with_good_files_the_others_are_asked_and_the_list_stands_in_the_result(run, run_json, pool: Path):
    whole = run_json("pool", pool)
    (pool / "south" / "z.csv").write_text("lot,grams\n", encoding="utf-8")
    found = run_json("pool", pool, "--good-files")
    assert found["suggestions"] == whole["suggestions"]
    (left,) = found["left_out"]
    assert (left["member"], left["place"]) == ("member 3", "south")
    assert "colour" in " ".join(left["why"])
    assert found["files"] == 3
    assert found["members"] == ["member 1", "member 2"]
    shown = run("pool", pool, "--good-files")
    assert "south/z.csv is left out as member 3" in " ".join(shown.stderr.split())
    assert "Left out, since it can't be read: member 3." in shown.stdout
    assert "z.csv" not in shown.stdout


def test_a_folder_that_cannot_be_opened_is_one_fault_among_others(run, pool: Path, monkeypatch: pytest.MonkeyPatch):
    """Whoever may read everything has no such folder: the system is made to say no."""
    listed = os.listdir

    def closed(folder: Path) -> list[str]:
        if Path(folder).name == "shut":
            raise PermissionError(13, "Permission denied")
        return listed(folder)

    write_bin(pool / "shut", 3)
    (pool / "bad.csv").write_text("lot,grams\n", encoding="utf-8")
    monkeypatch.setattr(os, "listdir", closed)
    said = " ".join(run("pool", pool).stderr.split())
    assert "2 files can't be read" in said
    assert "shut: the folder can't be opened; allow yourself to read it" in said
    assert run("pool", pool, "--good-files").exit_code == 0


def test_a_list_in_a_form_that_is_not_read_is_told_of(run, pool: Path):
    (pool / "north" / "old.xls").write_bytes(b"\xd0\xcf\x11\xe0")
    (pool / "north" / "pages.numbers").write_bytes(b"PK")
    said = " ".join(run("pool", pool).stderr.split())
    assert "north/old.xls: a .xls file isn't a bin" in said
    todo = "give a folder with lots.csv and garments.csv, or a workbook saved as .xlsx or .ods"
    assert f"north/pages.numbers: a .numbers file isn't a bin; {todo}" in said


def test_a_text_that_lists_yarn_is_a_bin_and_what_is_none_is_named_in_one_line(run, run_json, pool: Path):
    (pool / "north" / "c.txt").write_text(lots_of(3, 6).replace(",", "\t"), encoding="utf-16")
    (pool / "south" / "d.txt").write_text(f"Yarn of the depot\n\n{lots_of(4, 6)}", encoding="utf-8")
    for name in ("README.txt", "notes.txt", "north/photo.JPG", "south/desktop.ini"):
        (pool / name).write_text("The bins of our guild; Anna, who has the key, knows more.\n", encoding="utf-8")
    assert run_json("pool", pool, *MITTS)["members"] == [f"member {number}" for number in range(1, 5)]
    assert "Passed over" not in run("pool", pool, *MITTS).stderr
    (pool / "north" / "hers.txt").write_text("green moss, 40 g\nred sock yarn, 30 g\n", encoding="utf-8")
    asked = ("pool", pool, *MITTS)
    assert "Passed over, since no list of yarn is found in it: north/hers.txt. If it is" in plain(run(*asked).stderr)
    for name in ("empty.txt", "list.pdf", "south/letter.docx"):
        (pool / name).write_bytes(b"")
    shown = run(*asked)
    said = (
        "Passed over, since no list of yarn is found in them: empty.txt, list.pdf, north/hers.txt and "
        "south/letter.docx. If one is a list, save it as .csv, .xlsx or .ods, with an English heading each for the yarn, "
        "its colour and the grams left."
    )
    assert said in plain(shown.stderr)
    assert "hers.txt" not in shown.stdout
    (pool / "lots.txt").write_text("green moss, 40 g\n", encoding="utf-8")  # its name says that it is one
    assert "lots.txt: row 1: expected a header row that names the columns" in plain(run(*asked).stderr)


@pytest.mark.parametrize(("lots", "garments"), [("lots.txt", "garments.txt"), ("Lots.TSV", "garments.csv")])
def test_a_folder_of_lots_and_garments_in_text_is_one_bin(run, run_json, pool: Path, lots: str, garments: str):
    """Else its garments would be passed over, and nothing kept for mending."""
    whole = run_json("pool", pool, *MITTS)
    for name, own in (("lots.csv", lots), ("garments.csv", garments)):
        sheet = (pool / "north" / "a" / name).read_text(encoding="utf-8")
        (pool / "north" / "a" / name).unlink()
        text = sheet if own.endswith("csv") else sheet.replace(",", "\t")
        (pool / "north" / "a" / own).write_text(text, encoding="utf-8")
    found = run_json("pool", pool, *MITTS)
    assert found["free_m"] == whole["free_m"]
    assert found["members"] == ["member 1", "member 2"]
    assert "garments" in run("check", pool / "north" / "a").stdout.splitlines()[0]
    (pool / "codes.csv").write_text(f"file,code\nnorth/a/{lots.casefold()},A1\n", encoding="utf-8")
    assert run_json("pool", pool, *MITTS)["members"] == ["A1", "member 2"]


def test_of_many_files_that_are_no_bins_a_few_are_named(run, pool: Path):
    for number in range(300):
        (pool / f"{number:03d}.pdf").touch()
    assert "000.pdf, 001.pdf, 002.pdf, 003.pdf, 004.pdf, 005.pdf and 294 more." in plain(
        run("pool", pool, *MITTS).stderr
    )


def test_a_list_with_tabs_is_a_bin(run_json, pool: Path):
    sheet = lots_of(3, 6).replace(",", "\t")
    (pool / "north" / "c.tsv").write_text(sheet, encoding="utf-8")
    assert run_json("pool", pool, "--kind", "mitts", "--single")["members"] == ["member 1", "member 2", "member 3"]


def test_where_nothing_is_left_it_is_an_error_all_the_same(run, tmp_path: Path):
    (tmp_path / "only.csv").write_text("lot,grams\n", encoding="utf-8")
    shown = run("pool", tmp_path, "--good-files")
    assert shown.exit_code == 2
    assert "mend it and ask again; nothing was worked out" in " ".join(shown.stderr.split())


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda place: None, "no folder called"),
        (lambda place: place.mkdir(), "there is no bin in this folder"),
        (lambda place: place.write_text("lot"), "a pool is a folder of bins, and this is a file"),
        (lambda place: write_bin(place, 1), "this folder is one bin by itself"),
        (
            lambda place: [(place / "deep" / "er").mkdir(parents=True), (place / "a.txt").write_text("x")],
            "there is no bin",
        ),
    ],
)
def test_what_is_no_pool_is_said_to_be_none(run, tmp_path: Path, make: Callable[[Path], Any], said: str):
    make(tmp_path / "pool")
    shown = run("pool", tmp_path / "pool")
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_a_bin_of_which_nothing_is_free_is_no_fault(run_json, pool: Path):
    text = "lot,grams,colour,class,reserve\nkept,40,#123456,3,1000\n"
    (pool / "kept.csv").write_text(text, encoding="utf-8")
    found = run_json("pool", pool)
    assert found["members"] == ["member 1", "member 2", "member 3"]
    assert found["left_out"] == []


def test_a_store_that_is_in_use_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    import matcher.store.database.bin as store_bin

    path = tmp_path / "busy.sqlite"
    with open_store(path, create=True):
        pass
    monkeypatch.setattr(store_bin, "open_store", lambda path: open_store(path, busy_s=0.05))
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("PRAGMA locking_mode = EXCLUSIVE")
        db.execute("BEGIN EXCLUSIVE")
        read = held_by(load_catalogue(), True, Part(Lying(path, "busy.sqlite", ""), 0))
    assert "in use" in str(read.why[0]) or "another program" in str(read.why[0])


def test_without_the_library_for_parquet_one_sentence_says_so(run, pool: Path, monkeypatch: pytest.MonkeyPatch):
    assert run("export", pool / "c.parquet", "--bin", "demo").exit_code == 0
    real = builtins.__import__

    def without(name: str, *rest: Any, **named: Any) -> Any:
        if name.split(".")[0] == "pyarrow":
            raise ImportError(name)
        return real(name, *rest, **named)

    monkeypatch.setattr(builtins, "__import__", without)
    for name in [name for name in sys.modules if name.split(".")[0] == "pyarrow"]:
        monkeypatch.delitem(sys.modules, name)
    for asked in (("pool", pool), ("export", pool / "d.parquet", "--bin", "demo")):
        shown = run(*asked)
        assert shown.exit_code == 2
        assert "Parquet files need pyarrow, which isn't installed" in " ".join(shown.stderr.split())
    assert not (pool / "d.parquet").exists()


CODES = {
    "file,code\nnorth/a,A1\nsouth/b,B2\n": ["A1", "B2"],
    "code;file\nB2;south/b\n": ["member 1", "B2"],
    "\ufefffile,code,whose\nNorth/A,A1,somebody\n\n": ["A1", "member 2"],
    "file,code\nnorth\\a,A1\nsouth/b,A2\n": ["A1", "A2"],
}


@pytest.mark.parametrize("text", CODES)
def test_codes_beside_the_bins_say_who_is_who(run_json, pool: Path, text: str):
    (pool / "codes.csv").write_text(text, encoding="utf-8")
    assert run_json("pool", pool, "--kind", "mitts", "--single")["members"] == CODES[text]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", 'codes.csv: found "an empty file"'),
        ("name,code\nx,y\n", "columns file and code"),
        ("file,code\nnorth/c,A1\n", "codes.csv:2 file"),
        ("file,code\nnorth/a,\n", "codes.csv:2 code"),
        ("file,code\nnorth/a,A\nnorth/a,B\n", "codes.csv:3 code"),
        ("file,code\nnorth/a,A\x1b[1mB\n", "codes.csv:2 code"),
        (b"file,code\nnorth/a,A\x00\n", "not text"),
    ],
)
def test_faults_of_the_codes_are_told(run, pool: Path, text: str | bytes, said: str):
    (pool / "codes.csv").write_bytes(text if isinstance(text, bytes) else text.encode())
    shown = run("pool", pool)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_copies_of_stores_and_hidden_files_are_no_bins(run, pool: Path):
    assert run("intake", "demo", "--bin", pool / "north" / "c.sqlite").exit_code == 0
    with closing(sqlite3.connect(pool / "north" / "c.sqlite")) as db:
        back_up(db, pool / "north" / "c.sqlite", "intake")
    assert list((pool / "north" / "c copies").iterdir())
    for name in (".hidden.csv", "~$book.xlsx", "notes.txt", "Thumbs.db", "picture.jpg"):
        (pool / "north" / name).write_text("x")
    assert [one.called for one in lying_in(pool)] == ["north/a", "north/c.sqlite", "south/b"]


@pytest.mark.parametrize("code", ["x" * 300, "a\nb\x00c"])
def test_a_code_is_one_that_can_be_read(run, tmp_path: Path, code: str):
    shown = run("export", tmp_path / "x.parquet", "--bin", "demo", "--code", code)
    assert shown.exit_code == 2
    assert "--code" in shown.stderr


def test_a_bin_of_which_nothing_is_free_is_still_a_members(run, tmp_path: Path):
    own = tmp_path / "own"
    own.mkdir()
    (own / "lots.csv").write_text("lot,grams,colour,class,reserve\nkept,40,#123456,3,1000\n", encoding="utf-8")
    write_bin(tmp_path / "pool" / "other", 1)
    shown = run("export", tmp_path / "pool" / "x.parquet", "--bin", own, "--code", "A7", "--place", "north")
    assert shown.exit_code == 0
    assert "Nothing in this bin is free" in " ".join(shown.stderr.split())
    told = run("pool", tmp_path / "pool", "--each-member", "--each-place").stdout
    assert {"A7: nothing free", "north: nothing free"} <= set(told.splitlines())


def test_sheets_take_no_code(run, tmp_path: Path):
    shown = run("export", tmp_path / "x.xlsx", "--bin", "demo", "--code", "A7")
    assert shown.exit_code == 2
    assert "only a file that ends in .parquet says whose it is (--code)" in " ".join(shown.stderr.split())


@pytest.mark.long  # a million rows are drawn, written and read twice
def test_a_file_of_a_million_rows_beside_a_broken_one(tmp_path: Path):
    """The large one is read, the broken one told of; no object is made of a row."""
    import importlib.util

    from matcher.errors import BadFiles
    from matcher.matching.rounds.parts import InTurn
    from matcher.store.collection.writing import parquet_of

    file = Path(__file__).parents[1] / "benchmarks" / "collection.py"
    spec = importlib.util.spec_from_file_location("drawn_collection", file)
    drawn = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(drawn)
    catalogue = load_catalogue()
    (tmp_path / "large.parquet").write_bytes(parquet_of(drawn.drawn(1_000_000, catalogue)))
    (tmp_path / "bad.csv").write_text("lot,grams\n", encoding="utf-8")
    with pytest.raises(BadFiles, match=r"bad\.csv"):
        gathered(tmp_path, lying_in(tmp_path), catalogue, InTurn())
    read = gathered(tmp_path, lying_in(tmp_path), catalogue, InTurn(), good_files=True)
    (held,) = read.held
    assert held.lots == len(held.rows) == 1_000_000
    assert np.isfinite(held.rows.free_m).all()
    assert [one.file for one in read.left_out] == ["bad.csv"]


def test_a_pool_of_hundreds_is_read_whole(tmp_path: Path):
    assert len(lying_in(write_pool(tmp_path / "pool", 30))) == 30


def test_how_the_good_rows_of_a_list_with_faults_come_to_count_is_told_and_holds(run, run_json, tmp_path: Path):
    write_bin(tmp_path / "pool" / "a", 1, 2)
    bad = tmp_path / "pool" / "bad.csv"
    bad.write_text("lot,grams,colour,class\nmoss,4O,#6b7f4a,3\nfog,41,#808080,3\n", encoding="utf-8")
    hint = "take the list out of the folder and put a store of them there: matcher intake FILE --yes --bin"
    assert hint in plain(run("pool", tmp_path / "pool").stderr)
    left = run("pool", tmp_path / "pool", "--good-files", *MITTS)
    assert hint in plain(left.stderr)
    out = bad.rename(tmp_path / "bad.csv")
    assert run("intake", out, "--yes", "--bin", tmp_path / "pool" / "bad.db").exit_code == 0
    found = run_json("pool", tmp_path / "pool", *MITTS)
    assert found["lots"] == 3
    assert found["members"] == ["member 1", "member 2"]


def test_of_lists_that_are_at_fault_as_a_whole_nothing_is_promised(run, pool: Path):
    (pool / "bad.csv").write_text("lot,colour\nmoss,#6b7f4a\n", encoding="utf-8")
    (pool / "head.csv").write_text("lot,grams,colour,class\n", encoding="utf-8")
    shown = run("pool", pool)
    assert "2 files can't be read" in shown.stderr
    assert "good rows" not in plain(shown.stderr)

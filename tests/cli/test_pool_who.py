"""Whose file is whose, how files were read, and where whoever asks the wrong command is sent."""

from __future__ import annotations

import shutil
from pathlib import Path

import openpyxl
import pytest
from made_pools import write_bin, write_pool

from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.store.collection.writing import parquet_of

HER_OWN = ["Name", "Colour", "What is left", "Ball weight", "Yardage per ball", "Material", "shelf number"]


def said(shown: str) -> str:
    return " ".join(shown.split())


def workbook(path: Path, *sheets: str) -> Path:
    """A list in her own headings, one a sheet: the weights are guessed, and one column is nobody's."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name in sheets:
        sheet = book.create_sheet(name)
        sheet.append(HER_OWN)
        for at, colour in enumerate(("navy", "cream", "red")):
            sheet.append([f"{name} {at}", colour, f"{20 + 7 * at} g", "50 g", "160 m", "wool", at])
    path.parent.mkdir(parents=True, exist_ok=True)
    book.save(path)
    return path


HATS = ("--kind", "hat", "--size", "adult medium")  # whose a bin is hangs on nothing that is made of it


@pytest.fixture
def pool(tmp_path: Path) -> Path:
    """A folder of sheets, a workbook that is read with guesses, and a file that says its own code."""
    own = write_bin(tmp_path / "pool" / "north" / "anna", 1)
    workbook(tmp_path / "pool" / "south" / "ulla.xlsx", "Yarn")
    (tmp_path / "pool" / "zoe.parquet").write_bytes(parquet_of(given(Desk(write_bin(tmp_path / "zoe", 2)), "A7")))
    assert own.exists()
    return tmp_path / "pool"


def test_which_file_is_whose_is_said_before_the_answer_and_only_when_asked(run, run_json, pool: Path):
    shown = run("pool", pool, "--who", *HATS)
    lines = ["member 1: north/anna", "member 2: south/ulla.xlsx", "A7: zoe.parquet"]
    assert shown.stderr.splitlines()[:3] == lines
    assert not any(name in shown.stdout for name in ("anna", "ulla", "zoe"))
    told = [{"member": line.split(": ")[0], "file": line.split(": ")[1]} for line in lines]
    assert run_json("pool", pool, "--who", *HATS)["who"] == told
    assert "who" not in run_json("pool", pool, *HATS)
    assert not any(name in run("pool", pool, *HATS).output for name in ("anna", "ulla", "zoe"))


def test_a_file_left_out_is_told_in_its_place(run, pool: Path):
    (pool / "north" / "broken.csv").write_text("lot,grams\n", encoding="utf-8")
    shown = run("pool", pool, "--who", "--good-files", *HATS)
    assert shown.stderr.splitlines()[1] == "member 2: north/broken.csv"


def test_how_much_was_guessed_is_told_by_code(run, run_json, pool: Path):
    (note,) = run_json("pool", pool, *HATS)["notes"]
    assert note.startswith("Read: member 2 with ")
    assert "1 column left out" in note
    assert "matcher check BIN shows what it was; --who says which file is whose" in note
    assert "ulla" not in note
    assert said(note) in said(run("pool", pool, *HATS).stderr)


def test_of_many_that_were_guessed_the_first_are_told(run_json, tmp_path: Path):
    for number in range(7):
        workbook(tmp_path / f"{number}.xlsx", f"Yarn {number}")
    note, alike = run_json("pool", tmp_path, *HATS)["notes"]
    assert "seem to be one bin" in alike
    assert "member 4 with" in note
    assert "member 5 with" not in note
    assert "; and 3 more members." in note


def test_the_gravest_are_told_first(run_json, tmp_path: Path):
    """A column left out before any number of guesses; of as many the first file."""
    head, rows = "Name,Colour,What is left,Ball weight,Yardage per ball,Material", ",navy,20 g,50 g,160 m,wool"
    for number in range(6):
        (tmp_path / f"{number}.csv").write_text(f"{head}\na{number}{rows}\n", encoding="utf-8")
    (tmp_path / "5.csv").write_text(f"{head},shelf number\na5{rows},7\n", encoding="utf-8")
    (note,) = run_json("pool", tmp_path, *HATS)["notes"]
    told = note.split("; ")
    assert told[0].startswith("Read: member 6 with ")
    assert "1 column left out" in told[0]
    assert [one.split(" with ")[0] for one in told[1:4]] == ["member 1", "member 2", "member 3"]


def test_two_lists_in_one_workbook_are_told_as_check_tells_them(run, tmp_path: Path):
    book = workbook(tmp_path / "pool" / "two.xlsx", "Wool of Anna", "Cotton of Anna")
    told = 'expected one list of yarn; put them into one, or call the right one "lots"'
    shown = run("pool", tmp_path / "pool")
    assert shown.exit_code == 2
    assert told in said(shown.stderr)
    assert "Anna" not in shown.stderr
    assert "..." not in shown.stderr
    assert told in said(run("check", book).stdout + run("check", book).stderr)


@pytest.mark.parametrize("command", ["suggest", "check", "list"])
def test_who_asks_another_command_of_a_pool_is_sent_to_this_one(run, pool: Path, command: str):
    for place, told in ((pool, "give the folder to matcher pool"), (pool / "zoe.parquet", "in to matcher pool")):
        shown = run(command, place)
        assert shown.exit_code == 2
        assert told in said(shown.stderr)


def test_who_keeps_one_workbook_in_a_folder_is_not(run, tmp_path: Path):
    workbook(tmp_path / "mine" / "yarn.xlsx", "Yarn")
    shown = said(run("suggest", tmp_path / "mine").stderr)
    assert "give the command the workbook" in shown
    assert "pool" not in shown
    shutil.copy(tmp_path / "mine" / "yarn.xlsx", tmp_path / "mine" / "hers.xlsx")
    assert "matcher pool" in said(run("suggest", tmp_path / "mine").stderr)


def test_no_time_is_the_first_set_and_less_is_refused(run, run_json, tmp_path: Path):
    folder = write_pool(tmp_path / "pool", 2)
    assert run_json("pool", folder, "--set", "--time-limit", "0")["set"]["things"]
    for command in (("pool", folder, "--set"), ("set", folder / "north" / "0000")):
        for time in ("-1", "nan", "1e9"):
            shown = run(*command, "--time-limit", time)
            assert shown.exit_code == 2
            assert "give seconds, such as 20; 0 takes the first set that is found" in said(shown.stderr)

"""Sheets that lie under other names are called what she calls them, and known again by it."""

from __future__ import annotations

from pathlib import Path

import pytest

from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.look import answer, look
from matcher.actions.keeping.store import done_lately
from matcher.errors import BadInput, BadSheets

LOTS = "lot,whose was it,grams,colour,class,paid\nnavy,vest,40,#1f2a4a,3,4.50\nfog,,{fog},#c3c6c8,3,\n"
GARMENTS = "garment,status\nvest,worn\n"


def lay(folder: Path, fog: str = "20") -> tuple[Path, dict[str, str]]:
    folder.mkdir()
    (folder / "1.csv").write_text(LOTS.format(fog=fog), encoding="utf-8")
    (folder / "2.csv").write_text(GARMENTS, encoding="utf-8")
    return folder, {folder.name: "my yarn", "1.csv": "lots.csv", "2.csv": "garments.csv"}


def test_faults_questions_and_what_was_done_name_hers(tmp_path: Path):
    place, called = lay(tmp_path / "x", fog="a lot")
    seen = look(place, bin=tmp_path / "bin.db", called=called)
    assert {one.where for one in seen.faults} == {"lots.csv"}
    told = " ".join(str(one.asks) for one in seen.questions)
    assert "1.csv" not in told
    done = intake(place, bin=tmp_path / "bin.db", yes=True, refused=tmp_path / "refused.xlsx", called=called)
    assert done.compared.file == "my yarn"
    assert [one.sheet for one in done.compared.refused] == ["lots"]
    assert [one["what"] for one in done_lately(9, bin=tmp_path / "bin.db").values["actions"]] == ["intake my yarn"]


def test_her_answers_are_known_again_wherever_the_file_lies(tmp_path: Path):
    place, called = lay(tmp_path / "x")
    store = tmp_path / "bin.db"
    seen = look(place, bin=store, called=called)
    (which,) = [one for one in seen.questions if one.column == "garment"]
    answer(seen, which, "whose was it")
    assert not look(place, bin=store, called=called).questions
    elsewhere, called = lay(tmp_path / "y")
    assert not look(elsewhere, bin=store, called=called).questions
    assert [one.heading for one in look(elsewhere, bin=store, called=called).understood.headings if one.said] == [
        "whose was it"
    ]


def test_what_kind_of_file_it_is_her_name_says(tmp_path: Path):
    (tmp_path / "1").write_text("lot,grams\n", encoding="utf-8")
    with pytest.raises(BadInput, match=r"a \.pdf file isn't a bin \(bill\.pdf\)"):
        look(tmp_path / "1", bin=tmp_path / "bin.db", called={"1": "bill.pdf"})


def test_a_row_of_a_sheet_that_cannot_be_read_is_a_fault_of_the_whole(tmp_path: Path):
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "garments.csv").write_text(GARMENTS, encoding="utf-8")
    for name in ("lots.csv", "stash.csv"):  # by its very name it is a list of yarn; by another it is none
        (tmp_path / "sheets" / name).write_bytes(b"lot,grams\nnavy,\x00\n")
        seen = look(tmp_path / "sheets", bin=tmp_path / "bin.db")
        assert [(one.where, one.row) for one in seen.faults] == [(name, 2)]
        with pytest.raises(BadSheets):
            intake(tmp_path / "sheets", bin=tmp_path / "bin.db", yes=True, refused=tmp_path / "refused.xlsx")
        (tmp_path / "sheets" / name).unlink()

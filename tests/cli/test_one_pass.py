"""Sheets as they are taken in: shown once, asked about what cannot be worked out, left and taken up again."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from at_terminal import CLOSE, LEAVE, at_terminal
from hers import written

from matcher.actions.keeping.look import answer, look
from matcher.errors import BadInput
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of

LOTS = """lot,whose it was,grams,colour,class,fibre,Price
navy,vest,most of it,#1f2a4a,3,wool,4.50
fog,,20,#c3c6c8,about middling,wool,
rust,vest,33,#9c4a24,about middling,woo,
moss,cardi,,#4a5a2a,3,wool,2
"""
ANSWERS = ["whose it was", "41 g", "4", "wool"]


@pytest.fixture
def sheets(tmp_path: Path) -> Path:
    folder = tmp_path / "My yarn"
    folder.mkdir()
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    (folder / "garments.csv").write_text("garment,kind,status\nvest,vest,worn\n", encoding="utf-8")
    return folder


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    place = tmp_path / "bin.sqlite"
    monkeypatch.setenv("MATCHER_BIN", str(place))
    return place


def plain(shown: str) -> str:
    """What was shown, as one line: where a line ends hangs on the names of places."""
    return " ".join(shown.split())


def lots(store: Path) -> dict[str, dict[str, str]]:
    with open_store(store) as opened:
        assert faults_of(opened) == ()
        return {row["lot"]: row for row in opened.lots()}


def test_it_asks_only_what_cannot_be_worked_out(sheets: Path, store: Path, fits_80):
    code, shown = at_terminal("intake", sheets, answers=ANSWERS, store=store)
    assert code == 0
    fits_80(re.sub(r"The refused rows are in .*|The store as .*", "", shown))
    said = plain(shown)
    assert said.index("Left out") < said.index("1 question.") < said.index("5 questions.") < said.index("3 lots added")
    assert "Which of your columns holds the garment it came from: whose it was or Price? [none of them]:" in said
    assert 'lots.csv, row 2, navy: "grams" says "most of it". What should it say:' in said
    assert '"class" says "about middling" in 2 rows.' in said
    assert "did you mean wool?) [leave this lot out]: wool" in said
    assert 'row 5, moss: "grams" is empty.' in said
    assert '"whose it was" says' not in said  # the lot that is left out is asked about once
    assert "My yarn refused/lots.csv. Mend them there, and run matcher intake on that file." in said
    found = lots(store)
    assert {name: (row["grams"], row["garment"], row["class"], row["fibre"]) for name, row in found.items()} == {
        "navy": ("41 g", "vest", "3", "wool"),
        "fog": ("20", "", "4", "wool"),
        "rust": ("33", "vest", "4", "wool"),
    }
    assert [(one.heading, one.cell, one.taken) for one in written("rust", bin=store)] == [
        ("class", "about middling", "4"),
        ("fibre", "woo", "wool"),
        ("whose it was", "vest", "vest"),
    ]


@pytest.mark.parametrize("leave", [LEAVE, CLOSE])
def test_it_can_be_left_and_taken_up_again(leave: str, sheets: Path, store: Path):
    code, shown = at_terminal("intake", sheets, answers=[*ANSWERS[:2], leave], store=store)
    assert code == 2
    assert "Your 2 answers are kept: the same command goes on from there." in plain(shown)
    assert "stopped" in shown
    assert lots(store) == {}
    code, shown = at_terminal("intake", sheets, answers=ANSWERS[2:], store=store)
    assert code == 0
    said = plain(shown)
    assert "whose it was garment, as you said before" in said
    assert 'grams, "most of it" (navy): 41 g, as you said before' in said
    assert "Which of your columns" not in said
    assert set(lots(store)) == {"navy", "fog", "rust"}


def test_killed_at_a_question_the_answers_before_are_kept(sheets: Path, store: Path):
    code, _ = at_terminal("intake", sheets, answers=ANSWERS[:3], store=store, kill=True)
    assert code == -9
    assert lots(store) == {}
    assert [one.column for one in look(sheets, bin=store).questions] == ["fibre", "grams", "garment"]


def test_undo_takes_an_intake_and_its_answers_back(sheets: Path, store: Path, run):
    at_terminal("intake", sheets, answers=[*ANSWERS[:2], LEAVE], store=store)
    at_terminal("intake", sheets, answers=ANSWERS[2:], store=store)
    assert run("undo").exit_code == 0
    with open_store(store) as opened:
        for table in ("lots", "garments", "written", "readings", "actions", "journal"):
            assert opened.rows(table) == []


def test_an_answer_that_makes_no_sense_is_asked_for_again(sheets: Path, store: Path):
    _, shown = at_terminal("intake", sheets, answers=["paid", "Price", "heavy", "-", LEAVE], store=store)
    said = plain(shown)
    assert '"paid" isn\'t one of them: say one of whose it was or Price, or none.' in said
    assert '"heavy" isn\'t' in said
    assert "This cell is needed" in said


def test_without_a_terminal_all_layers_are_told_and_nothing_is_taken_in(sheets: Path, store: Path, run):
    shown = run("intake", sheets)
    assert shown.exit_code == 2
    assert 'nothing was taken from "whose it was"' in plain(shown.stdout)
    for place in ("lots.csv:2 grams", "lots.csv:3 class", "lots.csv:4 fibre", "lots.csv:5 grams"):
        assert place in shown.stderr
    assert not store.exists()


def test_yes_takes_what_is_sure_and_writes_the_rest_to_be_mended(sheets: Path, store: Path, run, run_json):
    text = LOTS.replace("about middling,wool", "4,wool")
    (sheets / "lots.csv").write_text(text, encoding="utf-8")
    found = run_json("intake", sheets, "--yes")
    refused = sheets.with_name("My yarn refused")
    assert [one["row"] for one in found["refused"]] == [2, 4, 5]
    assert found["refused_files"] == [str(refused / "lots.csv")]
    assert set(lots(store)) == {"fog"}
    assert found["reading"]["left_out"][0]["heading"] == "whose it was"
    sheet = (refused / "lots.csv").read_text(encoding="utf-8-sig").splitlines()
    assert sheet[0] == "lot,whose it was,grams,colour,class,fibre,Price,why"
    assert sheet[1].startswith('navy,vest,most of it,#1f2a4a,3,wool,4.50,"grams: found ""most of it""')
    before = {path.name: path.read_bytes() for path in refused.iterdir()}
    assert run_json("intake", sheets, "--yes")["refused_files"] == [str(refused / "lots.csv")]  # the same once more
    assert {path.name: path.read_bytes() for path in refused.iterdir()} == before
    assert not sheets.with_name("My yarn refused 2").exists()
    (sheets / "lots.csv").write_text(text.replace("most of it", "nearly all"), encoding="utf-8")
    assert run_json("intake", sheets, "--yes")["refused_files"] == [
        str(sheets.with_name("My yarn refused 2") / "lots.csv")
    ]
    assert {path.name: path.read_bytes() for path in refused.iterdir()} == before
    mended = (refused / "lots.csv").read_text(encoding="utf-8-sig").replace("most of it", "41 g")
    (refused / "lots.csv").write_text(mended, encoding="utf-8")
    assert run("intake", refused, "--yes").exit_code == 0
    assert set(lots(store)) == {"fog", "navy"}


def test_yes_leaves_rows_that_differ_as_they_are_in_the_store(small: Path, store: Path, run, run_json):
    assert run("intake", small).exit_code == 0
    (small / "lots.csv").write_text((small / "lots.csv").read_text(encoding="utf-8").replace(",120,", ",101,"), "utf-8")
    (changed,) = run_json("intake", small, "--yes")["changed"]
    assert (changed["name"], changed["taken"]) == ("navy", False)
    assert lots(store)["navy"]["grams"] == "120"


def test_yes_with_nothing_sure_begins_no_store(sheets: Path, store: Path, run):
    (sheets / "garments.csv").unlink()
    (sheets / "lots.csv").write_text("lot,grams,colour,class\nnavy,heavy,navy,3\n", encoding="utf-8")
    shown = run("intake", sheets, "--yes")
    assert shown.exit_code == 1
    assert "1 row refused" in shown.stdout
    assert "No lot was taken in." in shown.stdout
    assert not store.exists()
    assert run("intake", sheets, "--yes", "--dry-run").exit_code == 1
    assert not sheets.with_name("My yarn refused 2").exists()


def test_answers_are_remembered_wherever_the_sheets_are_read(sheets: Path, store: Path, run, run_json):
    assert run("check", sheets).exit_code == 2
    for text in (*ANSWERS, "12"):
        seen = look(sheets, bin=store)
        assert answer(seen, seen.questions[0], text)
    seen = look(sheets, bin=store)
    (left,) = seen.questions
    assert answer(seen, left, "-") is True or left.column == "garment"
    found = run_json("check", sheets)
    assert found["ok"]
    assert [one["heading"] for one in found["reading"]["headings"] if one["said"]] == ["whose it was"]
    assert {one["found"] for one in found["reading"]["cells"] if one["said"]} >= {
        "most of it",
        "about middling",
        "woo",
    }
    assert "as you said before" in run("check", sheets).stdout
    assert run("reserve", sheets).exit_code == 0
    assert run("undo").exit_code == 0
    assert run("check", sheets).exit_code == 2


def test_questions_are_values_for_any_face(sheets: Path, store: Path):
    seen = look(sheets, bin=store)
    json.dumps(seen.as_dict(), default=str)
    (column,) = seen.questions
    assert (column.about, column.column, column.among) == ("column", "garment", ("whose it was", "Price"))
    assert answer(seen, column, "") is False
    with pytest.raises(BadInput, match="say one of whose it was or Price, or none"):
        answer(seen, column, "paid")
    assert not store.exists()
    cells = look(sheets, bin=store, passed={column}).questions
    assert [(one.column, one.place.name, one.cell) for one in cells] == [
        ("grams", "navy", "most of it"),
        ("class", "", "about middling"),
        ("fibre", "", "woo"),
        ("grams", "moss", ""),
    ]
    with pytest.raises(BadInput, match="this cell is needed"):
        answer(seen, cells[0], "-")
    assert not store.exists()


def test_a_guess_that_decides_is_asked_and_confirmed_by_enter(small: Path, store: Path, run_json):
    text = (small / "lots.csv").read_text(encoding="utf-8").replace(",50,125,", ",,,").splitlines()
    classes = ("class", "aran ish", "aran ish", "3", "4")
    (small / "lots.csv").write_text("\n".join(f"{a},{b}" for a, b in zip(text, classes, strict=True)), encoding="utf-8")
    seen = look(small, bin=store)
    (question,) = seen.questions
    assert str(question.asks).startswith('"class" says "aran ish" 2 times, such as for navy: ')
    assert str(question.otherwise) == "yes"
    assert [
        one["row"] for one in run_json("intake", small, "--yes", "--bin", store.with_name("x.sqlite"))["refused"]
    ] == [
        2,
        3,
    ]
    assert answer(seen, question, "") is True
    again = look(small, bin=store)
    assert again.questions == ()
    assert [(one.sure, one.said) for one in again.understood.cells if one.column == "class"] == [(True, True)] * 2
    assert run_json("intake", small, "--yes")["refused"] == []
    assert lots(store)["navy"]["class"] == "aran ish"


def test_the_store_may_have_been_there_before(small: Path, store: Path, run):
    """A garment that only the store has may be named as an answer."""
    assert run("garment", "Old Gansey", "worn").exit_code == 0
    text = (small / "lots.csv").read_text(encoding="utf-8").replace("fog,,", "fog,gansy,")
    (small / "lots.csv").write_text(text, encoding="utf-8")
    seen = look(small, bin=store)
    (question,) = seen.questions
    assert (question.column, question.among) == ("garment", ("pullover", "cardigan", "Old Gansey"))
    assert answer(seen, question, "old gansey")
    assert run("intake", small).exit_code == 0
    assert lots(store)["fog"]["garment"] == "Old Gansey"


def test_what_she_wrote_is_exported_if_asked(sheets: Path, store: Path, tmp_path: Path, run):
    at_terminal("intake", sheets, answers=ANSWERS, store=store)
    assert run("export", tmp_path / "plain").exit_code == 0
    assert not (tmp_path / "plain" / "as written.csv").exists()
    assert run("export", tmp_path / "both", "--as-written").exit_code == 0
    rows = (tmp_path / "both" / "as written.csv").read_text(encoding="utf-8-sig").splitlines()
    assert rows[0] == "sheet,name,read as,your heading,you wrote,taken as"
    assert "lots,navy,grams,grams,most of it,41 g" in rows
    assert "lots,navy,,Price,4.50," in rows
    for name in ("both", "both.xlsx"):
        assert run("export", tmp_path / name, "--as-written", "--replace").exit_code == 0
        assert "4 rows the same" in run("intake", tmp_path / name, "--bin", store).stdout
        assert run("check", tmp_path / name).exit_code == 0


def guessed(small: Path) -> None:
    """A heading that does not say its unit, and garments of which nothing says what became of them."""
    text = (small / "lots.csv").read_text(encoding="utf-8").replace("ball_metres", "Length of ball")
    (small / "lots.csv").write_text(text.replace("lot,", "Name,"), encoding="utf-8")
    (small / "garments.csv").write_text("Jumper,Chest (cm)\npullover,98\ncardigan,100\n", encoding="utf-8")


def test_a_heading_that_is_a_guess_is_asked_with_its_unit(small: Path, store: Path, run_json):
    guessed(small)
    (question,) = look(small, bin=store).questions
    assert "hold the length of a full ball" in str(question.asks)
    assert "in metres?" in str(question.asks)
    seen = look(small, bin=store)
    for nonsense in ("furlongs", "perhaps"):
        with pytest.raises(BadInput, match="say yes, no, or what it holds"):
            answer(seen, question, nonsense)
    assert answer(seen, question, "yards")
    (heading,) = [one for one in look(small, bin=store).understood.headings if one.heading == "Length of ball"]
    assert (heading.column, heading.unit, heading.sure, heading.said) == ("ball_metres", "yd", True, True)
    assert run_json("intake", small)["refused"] == []
    assert lots(store)["navy"]["ball_metres"] == "125 yd"
    assert ("Length of ball", "125", "125 yd") in [
        (one.heading, one.cell, one.taken) for one in written("navy", bin=store)
    ]


def test_yes_refuses_what_a_guessed_heading_says(small: Path, store: Path, run, run_json):
    guessed(small)
    found = run_json("intake", small, "--yes", exit_code=1)
    assert [one["sheet"] for one in found["refused"]] == ["lots"] * 4
    assert "a heading that says what it is (ball_metres in metres is a guess)" in found["refused"][0]["why"]
    shown = run("intake", small, "--yes")
    assert shown.exit_code == 1
    # One heading is one thing to mend, however many rows it is about.
    assert plain(shown.stdout).count("a heading that says what it is") == 1
    assert 'lots, rows 2 to 5: ball_metres: found "Length of ball"' in plain(shown.stdout)
    # Nobody says what became of the garments: worn keeps most yarn back.
    assert [one["name"] for one in found["added"]] == ["pullover", "cardigan"]


def test_a_cell_with_a_unit_of_its_own_is_no_guess_whatever_its_heading_leaves_open(small: Path, store: Path, run_json):
    guessed(small)
    lots = (small / "lots.csv").read_text(encoding="utf-8")
    (small / "lots.csv").write_text(
        lots.replace("120,50,125,", "120,50,125 m,").replace("90,50,125", "90,50,137yd"), "utf-8"
    )
    found = run_json("intake", small, "--yes")
    (why,) = {one["why"] for one in found["refused"]}
    assert why == (
        'ball_metres: found "Length of ball", expected a heading that says what it is (ball_metres in metres is a guess); '
        "write it into the heading, once for all rows, or let matcher intake ask"
    )
    names = {one["name"] for one in found["added"] if one["sheet"] == "lots"}
    assert names == {"navy", "cream"}


def test_what_an_empty_cell_means_is_asked_of_each_where_it_is_not_the_same(small: Path, store: Path, run_json):
    guessed(small)
    seen = look(small, bin=store)
    answer(seen, seen.questions[0], "")
    seen = look(small, bin=store)
    (both,) = seen.questions
    assert str(both.asks) == '"status" is empty 2 times, such as for pullover: worn. Is that right?'
    with pytest.raises(BadInput, match="no to be asked about each"):
        answer(seen, both, "gone")
    assert answer(seen, both, "no") is False
    each = look(small, bin=store, passed={both}).questions
    assert [one.place.name for one in each] == ["pullover", "cardigan"]
    assert answer(seen, each[0], "yes")
    assert answer(seen, each[1], "gone")
    assert look(small, bin=store).questions == ()
    assert run_json("intake", small, "--yes")["refused"] == []
    with open_store(store) as opened:
        assert {row["garment"]: row["status"] for row in opened.garments()} == {"pullover": "worn", "cardigan": "gone"}
    assert run_json("check", small)["reading"]["guesses"] == []


def test_enter_takes_what_an_empty_cell_means_for_all(small: Path, store: Path):
    guessed(small)
    code, shown = at_terminal("intake", small, store=store)
    assert code == 0
    assert "Is that right? [yes]:" in plain(shown)
    assert set(lots(store)) == {"navy", "cream", "rust", "fog"}


def test_a_formula_without_a_value_is_asked_for_and_known_again(store: Path, tmp_path: Path, run_json):
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    for row in (
        ["Yarn", "Colour", "Grams left", "Weight"],
        ["wool", "#aa3344", "=1/0", "DK"],
        ["wool", "#224466", 33, "DK"],
    ):
        sheet.append(row)
    book.save(tmp_path / "My stash.xlsx")
    run_json("intake", tmp_path / "My stash.xlsx", "--dry-run", exit_code=1)
    (question,) = look(tmp_path / "My stash.xlsx", bin=store).questions
    assert '"Grams left" holds a formula with no stored result. What should it say: a weight' in str(question.asks)
    assert answer(look(tmp_path / "My stash.xlsx", bin=store), question, "41 g")
    found = run_json("intake", tmp_path / "My stash.xlsx")
    assert (len(found["added"]), found["refused"]) == (2, [])

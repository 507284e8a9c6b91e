"""A workbook sent in: how it is read, what is asked, what differs, and the taking in; and what is no workbook."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from httpx import Response
from markup import read
from messy_stash import MESSY, workbook
from openpyxl import load_workbook
from visitor import Visitor

from matcher.actions.desk import Desk
from matcher.actions.keeping.intake import intake
from matcher.actions.keeping.store import done_lately


def send(visitor: Visitor, *files: tuple[str, bytes]) -> Response:
    """Choose files and send them, as the form does."""
    form = visitor.read("/intake").form("/intake")
    answer = visitor.post("/intake", data=form.fields, files=[("files", one) for one in files])
    return ready(visitor, answer)


def ready(visitor: Visitor, answer: Response) -> Response:
    """What comes after a page of work that goes on."""
    return visitor.visit(here(answer)) if "/working/" in answer.text else answer


def bin_of(visitor: Visitor) -> Path:
    return Path(visitor.app.state.own.given)


def here(answer: Response) -> str:
    return answer.url.path


def question(answer: Response, words: str) -> str:
    """The mark of the question that says so."""
    part = next(one for one in answer.text.split("<fieldset")[1:] if words in one)
    return part.split('name="asked-')[1].split('"')[0]


def test_a_messy_workbook_is_read_asked_about_and_taken_in(empty: Visitor):
    seen = send(empty, ("My stash.xlsx", workbook(*MESSY)))
    assert seen.status_code == 200
    words = read(seen.text).words
    assert "My stash.xlsx" in words
    assert '"paid"' in words
    assert "<b>moss</b>" not in seen.text
    typed = {f"say-{question(seen, 'most of it')}": "25", f"say-{question(seen, 'aran or so')}": "4"}
    while "/answer" in seen.text:  # what follows of it is left as it is guessed
        seen, typed = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/answer"), **typed)), {}
    assert "4 lots would be added" in read(seen.text).words
    done = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/take")))
    assert "4 lots added." in read(done.text).words
    lots = {one.name: one for one in Desk(bin_of(empty)).bin.lots}
    assert lots["fog"].mass_g == 25.0
    assert "<b>moss</b> blue vest" in lots
    assert "<b>moss" not in empty.look("/bin").text
    assert [one["what"] for one in done_lately(1, bin=bin_of(empty)).values["actions"]] == ["intake My stash.xlsx"]


def test_the_same_workbook_is_asked_about_once(empty: Visitor):
    seen = send(empty, ("stash.xlsx", workbook(*MESSY)))
    fog = question(seen, "most of it")
    empty.fill(read(seen.text).form(f"{here(seen)}/answer"), **{f"say-{fog}": "25"})
    again = send(empty, ("stash.xlsx", workbook(*MESSY)))
    assert here(again) != here(seen)
    assert f"asked-{fog}" not in again.text
    assert "as you said before" in read(again.text).words


def test_an_answer_that_makes_no_sense_is_told_beside_its_question(empty: Visitor):
    seen = send(empty, ("stash.xlsx", workbook(*MESSY)))
    fog = question(seen, "most of it")
    told = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/answer"), **{f"say-{fog}": "heavy <i>"}))
    assert f'id="e-{fog}"' in told.text
    assert 'value="heavy &lt;i&gt;"' in told.text


def test_rows_left_open_come_back_as_a_sheet(empty: Visitor):
    seen = send(empty, ("stash.xlsx", workbook(*MESSY)))
    while "/answer" in seen.text:
        seen = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/answer")))
    assert "refused" in read(seen.text).words
    done = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/take")))
    sheet = empty.get(f"{here(done)}/refused")
    assert sheet.headers["content-disposition"].startswith("attachment")
    rows = list(load_workbook(io.BytesIO(sheet.content))["lots"].values)
    assert [row[0] for row in rows[1:]] == ["fog"]


def test_several_csv_files_are_one_bin(empty: Visitor):
    lots = b"lot,garment,grams,colour,class\nnavy,vest,45,#1f2a4a,3\n"
    seen = send(empty, ("../../garments.csv", b"garment,status\nvest,worn\n"), ("C:\\x\\lots.csv", lots))
    words = read(seen.text).words
    assert "garments.csv, lots.csv" in words
    assert ".." not in words
    done = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/take")))
    assert "1 lot added" in read(done.text).words
    assert list(Desk(bin_of(empty)).bin.garments) == ["vest"]


def test_rows_that_differ_are_taken_as_she_says(empty: Visitor):
    head = ("lot", "grams", "colour", "class")
    first = workbook(head, ("navy", "45", "#1f2a4a", "3"), ("fog", "20", "#c3c6c8", "3"), ("rust", "9", "#9c4a24", "3"))
    seen = send(empty, ("a.xlsx", first))
    empty.fill(read(seen.text).form(f"{here(seen)}/take"))
    second = workbook(
        head, ("navy", "40", "#1f2a4a", "3"), ("fog", "11", "#c3c6c8", "3"), ("rust", "9", "#9c4a24", "3")
    )
    seen = send(empty, ("a.xlsx", second))
    words = read(seen.text).words
    assert "2 rows differ from the store" in words
    assert "1 row the same as in the store" in words
    form = read(seen.text).form(f"{here(seen)}/take")
    form.fields["row x"] = "file"  # of no row at all
    done = ready(empty, empty.fill(form, take="ask", **{"row lots navy": "file", "row lots fog": "bin"}))
    assert "1 taken as in the file, 1 left as in the store" in read(done.text).words
    assert {one.name: one.mass_g for one in Desk(bin_of(empty)).bin.lots} == {"navy": 40.0, "fog": 20.0, "rust": 9.0}


def test_what_it_does_is_what_the_command_says(empty: Visitor, tmp_path: Path):
    seen = send(
        empty, *((name, (Path("demo") / name).read_bytes()) for name in ("lots.csv", "garments.csv", "people.csv"))
    )
    would = intake("demo", bin=tmp_path / "other.db", dry_run=True).as_dict()
    words = read(seen.text).words
    for sheet, called in (("lots", "lots"), ("garments", "garments"), ("people", "people")):
        number = sum(one["sheet"] == sheet for one in would["added"])
        assert f"{number} {called} would be added" in words


def exploding() -> bytes:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 100_000_000)
    return kept.getvalue()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("bill.pdf", b"%PDF-1.7", "a .pdf file isn't a bin (bill.pdf)"),
        ("stash.xlsx", b"PK\x03\x04 broken", "a damaged workbook"),
        ("stash.ods", b"no zip", "something else with a changed name"),
        ("stash.csv", b"\x00\x01\x02", "a byte of value 0"),
        ("stash.csv", b"a,b\n1,2\n", "no list of yarn"),
        ("", b"", "no file was chosen"),
    ],
)
def test_what_is_no_workbook_is_refused_in_one_sentence(empty: Visitor, name: str, data: bytes, said: str):
    answer = send(empty, (name, data)) if name else empty.fill(empty.read("/intake").form("/intake"))
    assert answer.status_code in (200, 400)
    assert said in read(answer.text).words
    assert "matcher-sent-" not in answer.text
    assert not Path(bin_of(empty)).exists()


def test_a_workbook_that_explodes_is_refused_before_it_is_unpacked(empty: Visitor):
    answer = send(empty, ("stash.xlsx", exploding()))
    assert "What must be mended first" in read(answer.text).words


def test_a_store_is_no_workbook(empty: Visitor, taken_in: Path):
    answer = send(empty, ("bin.sqlite", taken_in.read_bytes()))
    assert "that file is a store already (bin.sqlite)" in read(answer.text).words


def test_what_was_sent_is_hers_alone_and_goes(empty: Visitor):
    seen = send(empty, ("stash.xlsx", workbook(*MESSY)))
    sent = next(iter(empty.app.state.sent._all.values()))
    assert "stash" not in str(sent.place)
    assert sent.place.is_file()
    assert sent.folder.stat().st_mode & 0o077 == 0 or sent.folder.parent.stat().st_mode & 0o077 == 0
    other = Visitor(app=empty.app)
    assert other.get(here(seen)).status_code == 404
    empty.fill(read(seen.text).form(f"{here(seen)}/drop"))
    assert not sent.folder.exists()
    assert empty.get(here(seen)).status_code == 404


def test_many_files_push_the_oldest_out(empty: Visitor):
    for number in range(30):
        send(empty, (f"{number}.csv", b"lot,grams,colour,class\nnavy,45,#1f2a4a,3\n"))
    kept = empty.app.state.sent._all
    assert len(kept) == 24
    assert sum(one.folder.exists() for one in kept.values()) == 24


def test_very_many_remarks_of_one_kind_are_folded_away(empty: Visitor):
    rows = [f"ball {n},#2e3350,80,50,125,wool,1" for n in range(40)]
    sheet = "\n".join(["lot,colour,grams,ball_grams,ball_metres,fibre,pieces", *rows])
    seen = send(empty, ("lots.csv", sheet.encode()))
    before, folded = seen.text.split("<summary>and 36 more like these</summary>")
    assert before.count("are there more pieces") == 4
    assert folded.partition("</details>")[0].count("are there more pieces") == 36
    done = ready(empty, empty.fill(read(seen.text).form(f"{here(seen)}/take")))
    assert done.text.count("are there more pieces") == 1

"""`matcher intake` and `matcher export`: looking first, deciding, refusing, writing."""

import json

import pytest


@pytest.fixture
def store(tmp_path, small, run):
    place = tmp_path / "bin.sqlite"
    assert run("intake", small, "--bin", place).exit_code == 0
    return place


def edit(folder, old: str, new: str) -> None:
    text = (folder / "lots.csv").read_text()
    assert old in text
    (folder / "lots.csv").write_text(text.replace(old, new))


def lots(store, run_json) -> dict[str, dict[str, str]]:
    return {row["lot"]: row for row in run_json("export", "--bin", store)["lots"]}


def test_a_dry_run_writes_nothing(tmp_path, small, run, fits_80):
    shown = run("intake", small, "--bin", tmp_path / "bin.sqlite", "--dry-run")
    assert shown.exit_code == 0
    assert "4 lots would be added" in shown.stdout
    assert "2 garments would be added" in shown.stdout
    assert "Nothing was taken in" in shown.stdout
    fits_80(shown.stdout)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bin"]


def test_the_first_intake_is_no_nothing(tmp_path, small, run):
    first = run("intake", small, "--bin", tmp_path / "bin.sqlite")
    assert "4 lots added" in first.stdout
    assert "Nothing to do" not in first.stdout
    assert "Nothing to do" in run("intake", small, "--bin", tmp_path / "bin.sqlite").stdout


def test_a_dry_run_shows_cells_old_and_new(small, store, run):
    edit(small, ",120,", ",101,")
    shown = run("intake", small, "--bin", store, "--dry-run")
    assert 'grams: "120" -> "101"' in shown.stdout


def test_json_tells_what_was_done(small, store, run_json):
    edit(small, ",120,", ",101,")
    edit(small, "fog,", "mist,")
    found = run_json("intake", small, "--bin", store, "--take", "file")
    assert found["done"] is True
    assert found["added"] == [{"sheet": "lots", "name": "mist"}]
    assert found["changed"] == [
        {
            "sheet": "lots",
            "name": "navy",
            "taken": True,
            "cells": [{"column": "grams", "old": "120", "new": "101"}],
        }
    ]
    assert (found["same"], found["left"]) == (4, [{"sheet": "lots", "name": "fog"}])
    assert lots(store, run_json)["navy"]["grams"] == "101"


def test_what_differs_is_not_decided_by_itself(small, store, run, run_json):
    edit(small, ",120,", ",101,")
    edit(small, "fog,", "mist,")
    shown = run("intake", small, "--bin", store)
    assert shown.exit_code == 2
    assert "--take file" in " ".join(shown.stderr.split())
    assert set(lots(store, run_json)) == {"navy", "cream", "rust", "fog"}
    assert run("intake", small, "--bin", store, "--take", "bin").exit_code == 0
    assert lots(store, run_json)["navy"]["grams"] == "120"
    assert "mist" in lots(store, run_json)


def test_she_is_asked_row_by_row(small, store):
    from matcher.actions.keeping.intake import intake

    edit(small, ",120,", ",101,")
    edit(small, ",90,", ",80,")
    asked = []

    def ask(one):
        asked.append(one.name)
        return one.name == "navy"

    found = intake(small, bin=store, take="ask", ask=ask)
    assert sorted(asked) == ["cream", "navy"]
    assert found.taken == {("lots", "navy")}


def test_all_can_be_said_once(monkeypatch):
    from matcher.cli.screens.intake import asker
    from matcher.cli.screens.screen import LateProgress
    from matcher.cli.words import COMMAND_LINE
    from matcher.store.intake import Change, Incoming

    answers = iter(["what?", "no", "all"])
    monkeypatch.setattr("typer.prompt", lambda *_, **__: next(answers))
    ask = asker(LateProgress("x"), COMMAND_LINE)
    rows = [Incoming("lots", name, {}, False, (Change("grams", "1", ""),)) for name in "abc"]
    assert [ask(row) for row in rows] == [False, True, True]


def test_rows_refused_come_back_and_nothing_is_taken_in(tmp_path, small, run):
    edit(small, "rust,cardigan,plain wool,#9c4a24,60", "rust,cardigan,plain wool,#9c4a24,heavy")
    place = tmp_path / "bin.sqlite"
    shown = run("intake", small, "--bin", place, "--refused", tmp_path / "refused.xlsx")
    assert shown.exit_code == 2
    assert "lots.csv:4 grams" in " ".join(shown.stderr.split())
    assert not place.exists()
    assert (tmp_path / "refused.xlsx").exists()


def test_good_rows_alone_when_she_says_so(tmp_path, small, run, run_json):
    edit(small, "rust,cardigan,plain wool,#9c4a24,60", "rust,cardigan,plain wool,#9c4a24,heavy")
    place = tmp_path / "bin.sqlite"
    found = run_json("intake", small, "--bin", place, "--refused", tmp_path / "refused", "--good-rows")
    assert [(one["sheet"], one["row"]) for one in found["refused"]] == [("lots", 4)]
    assert set(lots(place, run_json)) == {"navy", "cream", "fog"}
    edit(tmp_path / "refused", "heavy", "60")
    assert run("intake", tmp_path / "refused", "--bin", place).exit_code == 0
    assert lots(place, run_json)["rust"]["grams"] == "60"


def test_a_dry_run_with_refused_rows_says_no(tmp_path, small, run):
    edit(small, ",60,", ",heavy,")
    shown = run("intake", small, "--bin", tmp_path / "bin.sqlite", "--dry-run")
    assert shown.exit_code == 1
    assert "1 row refused" in shown.stdout


def test_a_copy_is_made_before_and_undo_brings_the_store_back(small, store, run, run_json):
    before = run_json("export", "--bin", store)
    edit(small, ",120,", ",101,")
    found = run_json("intake", small, "--bin", store, "--take", "file")
    assert run_json("export", "--bin", found["copy"]) == before
    assert run("undo", "--bin", store).exit_code == 0
    assert run_json("export", "--bin", store) == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nowhere",), "no folder or workbook"),
        (("{small}", "--good-rows"), "name a place for them with --refused"),
        (("{store}",), "a store already"),
    ],
)
def test_what_cannot_be_taken_in(small, store, run, arguments, words: str):
    shown = run("intake", *(one.format(small=small, store=store) for one in arguments), "--bin", store)
    assert shown.exit_code == 2
    assert words in " ".join(shown.stderr.split())


@pytest.mark.parametrize("name", ["out", "out.xlsx", "out.ods"])
def test_what_is_written_is_read_by_every_command(tmp_path, small, store, run, run_json, name: str):
    shown = run("export", tmp_path / name, "--bin", store)
    assert shown.exit_code == 0
    assert "4 lots and 2 garments written to" in shown.stdout
    assert run("check", tmp_path / name).exit_code == 0
    assert run_json("reserve", tmp_path / name) == run_json("reserve", small)
    assert run_json("intake", tmp_path / name, "--bin", store)["same"] == 6


def test_sheets_turn_into_a_spreadsheet_without_a_store(tmp_path, demo, run, run_json):
    assert run("export", tmp_path / "demo.ods", "--bin", demo).exit_code == 0
    assert run_json("triage", tmp_path / "demo.ods") == run_json("triage", demo)


def test_export_json_is_the_whole_bin(store, run_json):
    found = run_json("export", "--bin", store)
    assert list(found) == [
        "lots",
        "garments",
        "people",
        "works",
        "claims",
        "used",
        "swatches",
        "decisions",
        "written",
        "readings",
        "wishes",
    ]
    assert {row["lot"] for row in found["lots"]} == {"navy", "cream", "rust", "fog"}
    assert set(found["lots"][0]) >= {"lot", "grams", "code", "weighed_on", "reserve"}


def test_export_needs_a_place_and_writes_over_nothing(tmp_path, store, run):
    assert "no place to write to" in " ".join(run("export", "--bin", store).stderr.split())
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "lots.csv").write_text("mine")
    shown = run("export", tmp_path / "out", "--bin", store)
    assert shown.exit_code == 2
    assert "--replace" in " ".join(shown.stderr.split())
    assert (tmp_path / "out" / "lots.csv").read_text() == "mine"
    assert run("export", tmp_path / "out", "--bin", store, "--replace").exit_code == 0


def test_json_and_files_at_once(tmp_path, store, run):
    shown = run("export", tmp_path / "out.xlsx", "--bin", store, "--json")
    assert len(json.loads(shown.stdout)["lots"]) == 4
    assert (tmp_path / "out.xlsx").exists()


def test_a_whole_bin_is_of_one_moment(store, monkeypatch):
    import matcher.actions.keeping.export as module
    from matcher.actions.keeping.triage import triage

    def read_then_decided(opened):
        found = all_cells(opened)
        triage(store, lot="fog", decide="keep with the garment")  # another program, meanwhile
        return found

    all_cells = module.all_cells
    monkeypatch.setattr("matcher.actions.keeping.export.all_cells", read_then_decided)
    assert module.export(None, store).others["decisions"] == []
    monkeypatch.undo()
    assert [row["lot"] for row in module.export(None, store).others["decisions"]] == ["fog"]


def test_a_motif_in_a_file_is_told_to_stay_where_it_is(small, run_json, tmp_path, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "elsewhere" / "bin.sqlite"))
    (small / "garments.csv").write_text(
        "garment,status,motif\npullover,worn,anchor.txt\ncardigan,gone,crosses\n", encoding="utf-8"
    )
    (note,) = run_json("intake", small)["notes"]
    assert note.startswith("pullover: its motif anchor.txt is a file, which stays where it is")


HEARTS = "name: my hearts\nroles: . main, x contrast 1\nrows: top to bottom\n\n. x\nx x\n"


@pytest.fixture
def with_motifs(tmp_path, small, run):
    """Garments that name a motif beside the bin, one in a folder there, one of the catalogue, and others that stay."""
    (small / "garments.csv").write_text(
        "garment,status,motif\npullover,worn,hearts.txt\ncardigan,worn,charts/more.txt\nvest,worn,yoke-three\n"
        "cap,worn,gone.txt\nscarf,worn,../outside.txt\nsock,worn,letter.txt\n"
    )
    store = tmp_path / "keep" / "bin.sqlite"
    (store.parent / "charts").mkdir(parents=True)
    for name in ("hearts.txt", "charts/more.txt", "../outside.txt"):
        (store.parent / name).write_text(HEARTS)
    (store.parent / "letter.txt").write_text("Dear Ann")
    assert run("intake", small, "--bin", store).exit_code == 0
    return store


@pytest.mark.parametrize("to", ["out", "out/all.xlsx"])
def test_motif_files_go_along_and_what_stays_is_told(tmp_path, with_motifs, run, to):
    shown = run("export", tmp_path / to, "--bin", with_motifs)
    assert shown.exit_code == 0, shown.output
    told = " ".join(shown.stderr.split())
    assert "cap: its motif gone.txt is no file beside the bin" in told
    assert "scarf: its motif ../outside.txt is no file beside the bin" in told
    assert "sock: its motif letter.txt does not go along" in told
    assert "yoke-three" not in told
    out = tmp_path / "out"
    assert {str(one.relative_to(out)) for one in out.rglob("*.txt")} == {"hearts.txt", "charts/more.txt"}
    assert (out / "charts" / "more.txt").read_text() == HEARTS
    checked = " ".join(run("check", tmp_path / to).stdout.split())
    assert "pullover: its motif can't be used" not in checked
    assert "cardigan: its motif can't be used" not in checked


def test_another_motif_of_that_name_is_not_written_over(tmp_path, with_motifs, run):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "hearts.txt").write_text("mine")
    assert run("export", tmp_path / "out", "--bin", with_motifs).exit_code == 2
    assert [one.name for one in (tmp_path / "out").iterdir()] == ["hearts.txt"]
    assert (tmp_path / "out" / "hearts.txt").read_text() == "mine"

"""`matcher check` from the outside; what counts as a fault is in `tests/bad_input/`."""

from __future__ import annotations

from pathlib import Path

import pytest

BROKEN = """lot,grams,colour,class
a,4O,navy,3
b,20,nave,3
a,20,navy,33
"""

NO_GARMENTS = (
    "No lot says which garment it came from, so nothing will be kept for mending: write the garment's name beside each lot "
    'of it, in a column "garment".'
)


def broken(folder: Path) -> Path:
    (folder / "lots.csv").write_text(BROKEN, encoding="utf-8")
    return folder


def test_the_demo_is_in_order(run, demo: Path):
    shown = run("check", demo)
    assert shown.exit_code == 0
    assert shown.stdout == "46 lots, 9 garments and 5 people, all in order.\n"
    assert shown.stderr == ""


def test_json_of_a_bin_in_order(run_json, demo: Path):
    found = run_json("check", demo)
    assert (found["ok"], found["faults"]) == (True, [])


def test_all_faults_are_told_at_once_by_sheet_row_and_column(run, tmp_path: Path):
    shown = run("check", broken(tmp_path))
    assert shown.exit_code == 2
    said, _, guesses = shown.stdout.partition("Guesses, which you should look at\n")
    assert " ".join(said.split()) == NO_GARMENTS
    assert " ".join(guesses.split()) == (
        'colour, 2 cells such as "navy" (a): near #2e3350: photograph it, or compare it in daylight'
    )
    for place in ("lots.csv:2 grams", "lots.csv:3 colour", "lots.csv:4 lot", "lots.csv:4 class"):
        assert place in " ".join(shown.stderr.split())


def test_json_of_a_bin_with_faults(run_json, tmp_path: Path):
    found = run_json("check", broken(tmp_path), exit_code=2)
    assert found["ok"] is False
    places = [(one["where"], one["row"], one["column"]) for one in found["faults"]]
    assert places == [
        ("lots.csv", 2, "grams"),
        ("lots.csv", 3, "colour"),
        ("lots.csv", 4, "lot"),
        ("lots.csv", 4, "class"),
    ]
    for one in found["faults"]:
        assert set(one) >= {"where", "row", "column", "found", "expected", "mend"}
        assert all(isinstance(one[key], str) for key in ("found", "expected", "mend"))
        assert one["expected"]


def test_output_in_a_process_of_its_own(by_itself, tmp_path: Path, demo: Path, fits_80):
    shown = by_itself("check", demo)
    assert shown.returncode == 0
    fits_80(shown.stdout)
    shown = by_itself("check", broken(tmp_path))
    assert shown.returncode == 2
    assert "Traceback" not in shown.stderr
    assert "\x1b" not in shown.stderr


def test_a_bin_must_be_named(run):
    shown = run("check")
    assert shown.exit_code == 2
    assert "BIN" in " ".join(shown.stderr.split())


def test_a_kind_and_a_motif_that_nobody_knows_are_told(small: Path, run, run_json):
    (small / "garments.csv").write_text(
        "garment,kind,status,motif\npullover,balaclava,worn,anchor.txt\ncardigan,long cardigan,gone,crosses\n",
        encoding="utf-8",
    )
    notes = " ".join(run_json("check", small)["notes"])
    assert '"balaclava" isn\'t a kind of garment known here' in notes
    assert "known are cardigan, " in notes
    assert "anchor.txt" in notes
    assert "cardigan:" not in notes
    assert "anchor.txt" in run("check", small).stdout
    (small / "anchor.txt").write_text("name: anchor\nroles: . main, x contrast 1\n\n.x\nx.\n", encoding="utf-8")
    assert "anchor.txt" not in run("check", small).stdout


def test_roles_that_no_repair_knows_are_told(small: Path, run_json):
    def notes(navy: str, cream: str, rust: str) -> str:
        cells = {"navy": navy, "cream": cream, "rust": rust}
        rows = (small / "lots.csv").read_text(encoding="utf-8").splitlines()
        told = [f"{row},{cells.get(row.split(',')[0], '')}" for row in rows[1:]]
        (bin_ := small.parent / "roles").mkdir(exist_ok=True)
        (bin_ / "lots.csv").write_text("\n".join([f"{rows[0]},role", *told]), encoding="utf-8")
        (bin_ / "garments.csv").write_text((small / "garments.csv").read_text(encoding="utf-8"), encoding="utf-8")
        return " ".join(run_json("check", bin_)["notes"])

    assert 'navy: "mian" isn\'t a role known here, so it counts as none; did you mean main?' in notes("mian", "", "")
    assert "known are main, contrast 1" in notes("xyzzy", "", "")
    assert "pullover: none of its lots has the role main, and elbows" in notes("contrast 1", "contrast 2", "")
    for good in (("", "", ""), ("Main", "contrast 1", ""), ("contrast 1", "", "contrast 3"), ("main", "contrast", "")):
        assert "role" not in notes(*good)


MESSY = """lot,grams,colour,class,Price,garment
a,40,navy,3,2.50,
b,20,cream,3,,
"""


def test_what_is_left_out_is_said_first_with_what_follows(run, run_json, tmp_path: Path, fits_80):
    (tmp_path / "lots.csv").write_text(MESSY, encoding="utf-8")
    shown = run("check", tmp_path)
    assert shown.exit_code == 0
    assert "in order" not in shown.stdout
    said = shown.stdout.splitlines()
    assert said[0].startswith("2 lots and 0 garments, with ")
    assert "1 column left out" in said[0]
    assert said[1:3] == ["Left out", '   lots.csv: nothing was taken from "Price" (1 cell).']
    assert said[3].startswith("No lot says")  # by itself, and none of what was left out
    assert NO_GARMENTS in " ".join(shown.stdout.split())
    fits_80(shown.stdout)
    found = run_json("check", tmp_path)
    assert (found["ok"], found["in_order"], found["lots"], found["garments"]) == (True, False, 2, 0)
    assert found["reading"]["left_out"] == [{"where": "lots.csv", "heading": "Price", "filled": 1}]
    assert found["follows"] == [NO_GARMENTS]


def test_that_no_lot_names_its_garment_is_told_where_lots_are_offered(run, small: Path):
    """A garment is worn, and its yarn would be free: what to write stands with it."""
    cowls = ("suggest", small, "--kind", "cowl", "--size", "adult medium")
    assert "nothing will be kept" not in " ".join(run(*cowls).stderr.split())
    text = (small / "lots.csv").read_text(encoding="utf-8")
    (small / "lots.csv").write_text(text.replace("garment", "Pulli", 1), encoding="utf-8")
    for command in (cowls, ("reserve", small), ("palette", small)):
        assert NO_GARMENTS in " ".join(run(*command).output.split())
    (small / "garments.csv").unlink()
    assert "nothing will be kept" not in " ".join(run(*cowls).stderr.split())


def test_headings_in_another_language_are_refused_with_what_to_call_them(run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text("Lot,Farbe,Gewicht,class\nnavy,navy,40,3\n", encoding="utf-8")
    shown = run("suggest", tmp_path)
    assert shown.exit_code == 2
    assert (
        'add the column, or rename its heading to "grams" if it is "Farbe" or "Gewicht"; headings are read in English'
        in " ".join(shown.stderr.split())
    )


@pytest.mark.parametrize("heading", ["Garnstaerke", "Wieght clas"])
def test_where_nothing_says_how_heavy_the_yarn_is_a_strange_heading_is_named(run, tmp_path: Path, heading: str):
    (tmp_path / "lots.csv").write_text(f"Lot,Colour,Grams,{heading}\nmoss,#6b7f4a,40,DK\n", encoding="utf-8")
    said = (
        "add class, such as 3 or DK, or rename its heading to ball_grams, ball_metres, tex or class if it is "
        f'"{heading}"; headings are read in English'
    )
    assert said in " ".join(run("check", tmp_path).stderr.split())


def test_remarks_are_told_with_the_faults(run, run_json, small: Path):
    """Every layer in the one run: a heading, a cell, a row, and what stops nothing."""
    text = (small / "lots.csv").read_text(encoding="utf-8")
    text = text.replace(",place", ",Price").replace(",60,", ",heavy,").replace(",50,125,", ",50,125000,", 1)
    (small / "lots.csv").write_text(text, encoding="utf-8")
    (small / "garments.csv").write_text(
        "garment,kind,status\npullover,balaclava,worn\ncardigan,cardigan,goen\n", encoding="utf-8"
    )
    found = run_json("check", small, exit_code=2)
    assert [one["heading"] for one in found["reading"]["left_out"]] == ["Price"]
    assert {(one["row"], one["column"]) for one in found["faults"]} == {(2, "ball_metres"), (4, "grams"), (3, "status")}
    assert '"balaclava" isn\'t a kind of garment known here' in " ".join(found["notes"])
    shown = run("check", small)
    assert "balaclava" in shown.stdout
    assert "lots.csv:4 grams" in shown.stderr


def test_one_line_says_that_something_was_guessed_or_left_out(run, small: Path):
    text = (small / "lots.csv").read_text(encoding="utf-8")
    cowls = ("suggest", small, "--kind", "cowl", "--size", "adult medium")  # whatever is made of what was read
    assert "Read with" not in run(*cowls).stderr
    (small / "lots.csv").write_text(text.replace(",place", ",Price"), encoding="utf-8")
    for command in ("reserve", "palette", "lookalikes", "triage", "list"):
        assert "Read with 1 column left out: matcher check shows it." in run(command, small).output
    for command in (
        cowls,
        ("whose", small, "--colour", "navy"),
        ("contrast", "navy", "cream", "--bin", small),
        ("show", "navy", "--bin", small),
        ("tags", small, "--out", small / "tags.html"),
        ("motif", "crosses", "--lots", "navy", "--lots", "cream", "--bin", small),
    ):
        assert "Read with 1 column left out: matcher check shows it." in run(*command).stderr


def test_a_store_says_which_of_its_cells_are_guesses(run, run_json, small: Path, tmp_path: Path):
    store = tmp_path / "bin.sqlite"
    assert run("intake", small, "--bin", store).exit_code == 0
    assert run("check", store).stdout == "4 lots and 2 garments, all in order.\n"
    assert run("change", "navy", "--fibre", "wool?", "--bin", store).exit_code == 0
    (guess,) = run_json("check", store)["reading"]["guesses"]
    assert (guess["column"], guess["found"]) == ("fibre", "wool?")
    assert 'fibre, "wool?" (navy)' in run("check", store).stdout


def heavy(folder: Path, number: int) -> Path:
    """So many lots that each weigh more than the one ball they are said to be, the third of them in an odd role."""
    rows = [f"ball {n},{'jumper,body' if n == 2 else ','},#2e3350,80,50,125,wool,1" for n in range(number)]
    head = "lot,garment,role,colour,grams,ball_grams,ball_metres,fibre,pieces"
    (folder / "lots.csv").write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return folder


def test_of_very_many_remarks_of_one_kind_the_first_few_are_listed(run, run_json, tmp_path: Path, fits_80):
    shown = run("check", heavy(tmp_path, 12)).stdout
    assert shown.count("more than balls") == 12 < len(run_json("check", tmp_path)["notes"])
    shown = run("check", heavy(tmp_path, 13)).stdout
    assert '"body" isn\'t a role' in shown
    assert [n for n in range(13) if f"ball {n}: 80 g" in shown] == [0, 1, 2, 3]
    assert "and 9 more like these; matcher check BIN --json lists them all" in shown
    fits_80(shown)
    assert len(run_json("check", tmp_path)["notes"]) == 14


def test_taking_in_lists_the_first_few_remarks_too(run, tmp_path: Path):
    said = run("intake", heavy(tmp_path, 40), "--dry-run", "--bin", tmp_path / "new.sqlite").stderr
    assert said.count("more than balls") == 4
    assert "and 36 more like these; matcher check BIN --json lists them all" in " ".join(said.split())

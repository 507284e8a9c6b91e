"""A knitter's own folder of entries, through the commands: used beside ours, or refused with file, key and reason."""

from __future__ import annotations

from pathlib import Path

import pytest

# A piece of her own pattern, given in stitches and rows.
SCARF = """name = "short scarf"
kind = "neck"
classes = [3]
next_to_skin = true

[[roles]]
name = "main"

[[zones]]
name = "strip"
shape = "piece"
stitches = 40
rows = 200
structure = "garter"
role = "main"
"""


def own(folder: Path, **files: str) -> Path:
    place = folder / "own"
    place.mkdir()
    for stem, text in files.items():
        (place / f"{stem}.toml").write_text(text, encoding="utf-8")
    return place


def test_her_own_piece_has_its_needs(run_json, tmp_path: Path):
    found = run_json("needs", "short scarf", "--catalog", own(tmp_path, scarf=SCARF))
    (row,) = found["needs"]
    (role,) = row["roles"]
    assert (row["size"], row["class"], role["stitches"]) == ("one size", 3, 8000)
    # 8,000 stitches at the loop length that the row itself gives, and a little for the edges and the ends.
    by_loops = sum(8000 * zone["loop_cm"] / 100 for zone in role["zones"])
    assert by_loops < role["metres"] < 1.05 * by_loops


def test_the_same_piece_by_the_piece_command(run_json, tmp_path: Path):
    """Her entry and `matcher piece` agree on the metres."""
    (row,) = run_json("needs", "short scarf", "--catalog", own(tmp_path, scarf=SCARF))["needs"]
    piece = ("piece", "--structure", "garter", "--stitches", "40", "--rows", "200", "--class", "3")
    assert row["roles"][0]["metres"] == pytest.approx(run_json(*piece)["metres"], abs=0.05)


def test_her_own_piece_is_suggested_beside_ours(run_json, tmp_path: Path, small: Path):
    mine = own(tmp_path, scarf=SCARF)
    found = run_json("suggest", small, "--catalog", mine, "--kind", "neck", "--top", 200, "--all")["suggestions"]
    (scarf,) = [one for one in found if one["accessory"] == "short scarf"]
    assert (scarf["kind"], scarf["size"]) == ("neck", "one size")
    ours = run_json("suggest", small, "--kind", "neck", "--top", 200, "--all")["suggestions"]
    assert {one["accessory"] for one in found} == {one["accessory"] for one in ours} | {"short scarf"}


def test_her_own_piece_is_explained(run, tmp_path: Path, small: Path, fits_80):
    mine = own(tmp_path, scarf=SCARF)
    shown = run("suggest", small, "--catalog", mine, "--kind", "neck", "--top", 20, "--all", "--full")
    assert "short scarf" in shown.stdout
    listed = run("suggest", small, "--catalog", mine, "--kind", "neck", "--explain", "1")
    assert listed.exit_code == 0
    fits_80(listed.stdout)


@pytest.mark.parametrize(
    ("change", "key", "reason"),
    [
        (('name = "strip"', 'name = "strip"\nmetres = 120'), "zones[1].metres", "never typed in"),
        (('shape = "piece"', 'shape = "peice"'), "zones[1].shape", "peice"),
        (('role = "main"', 'role = "mian"'), "zones[1].role", "did you mean main?"),
        (('structure = "garter"', 'structure = "stranded"'), "zones[1]", "motif"),
        (("stitches = 40", "stitches = 0"), "zones[1].stitches", "0"),
        (("rows = 200", ""), "zones[1].height", "height"),
        (("classes = [3]", "classes = [9]"), "classes", "9"),
        (('kind = "neck"', 'kind = "scarf"'), "kind", "scarf"),
        (('name = "short scarf"', 'name = "Ribbed Hat"'), "name", "already"),
        (('name = "short scarf"', "name = short scarf"), "", "scarf.toml"),
    ],
    ids=lambda one: one[1] if isinstance(one, tuple) else "",
)
def test_a_broken_entry_is_refused_with_file_key_and_reason(
    change: tuple[str, str], key: str, reason: str, run, tmp_path: Path, small: Path
):
    mine = own(tmp_path, scarf=SCARF.replace(*change, 1))
    for arguments in (["suggest", small], ["needs", "hat-plain"], ["contrast", "navy", "cream"], ["check", small]):
        shown = run(*arguments, "--catalog", mine)
        assert shown.exit_code == 2
        assert shown.stdout == ""
        assert "Traceback" not in shown.output
        for words in ("scarf.toml", key, reason):
            assert words in " ".join(shown.stderr.split())


def test_one_broken_entry_among_good_ones_stops_all(run, tmp_path: Path):
    mine = own(tmp_path, good=SCARF, bad='name = "cap"\n')
    shown = run("needs", "short scarf", "--catalog", mine)
    assert shown.exit_code == 2
    assert "bad.toml" in " ".join(shown.stderr.split())


@pytest.mark.parametrize(("make", "words"), [("empty", "holds no entries"), ("file", "not a folder")])
def test_a_folder_that_is_none(make: str, words: str, run, tmp_path: Path):
    place = tmp_path / "own"
    if make == "empty":
        place.mkdir()
    else:
        place.write_text("x", encoding="utf-8")
    shown = run("needs", "hat-plain", "--catalog", place)
    assert shown.exit_code == 2
    assert words in " ".join(shown.stderr.split())

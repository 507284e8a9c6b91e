"""`matcher gap` on screen, as JSON and CSV, drawn and on a page; and what it says of questions that make no sense."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from matcher.materials.colours.cielab import lab_from_code

LOTS = """lot,colour,grams,ball_grams,ball_metres,class,fibre
navy,#1f2a4a,40,50,125,3,wool
ink,#22252c,20,50,125,3,wool
"""
ASKED = ("--accessory", "hat-stranded-band", "--size", "adult medium", "--most-grams", "100")


@pytest.fixture
def short(tmp_path: Path) -> Path:
    (tmp_path / "lots.csv").write_text(LOTS, encoding="utf-8")
    return tmp_path


def test_the_screen_says_what_to_buy_and_what_it_makes_possible(run, short: Path):
    shown = run("gap", short, *ASKED)
    assert shown.exit_code == 0
    said = " ".join(shown.stdout.split())
    assert re.search(r"1 class \d \(.*?\), wool: (one ball|\d balls) of \d+ g", said)
    assert "It makes one thing possible: hat with a stranded band, adult medium" in said
    assert "from new yarn +" in said or "+ new yarn" in said
    assert "Colour: mid light to very pale, of any hue but the most vivid; such as " in said
    assert re.search(r"In figures: lightness \(L\*\) \d+ to 100, from black 0 to white 100", said)
    assert "Tried were 8 classes, 4 kinds of fibre" in said
    assert max(map(len, shown.stdout.splitlines())) <= 80


def test_json_csv_and_pictures_tell_the_same(run, run_json, short: Path, tmp_path: Path):
    out = tmp_path / "drawn"
    found = run_json("gap", short, *ASKED, "--out", out)
    first = found["purchases"][0]
    assert first["grams"] == first["balls"] * first["ball_g"] <= found["most_grams"] == 100
    assert first["metres"] == pytest.approx(1000 * first["grams"] / first["tex"]["high"], rel=1e-3)
    assert [one["key"] for one in first["opens"]] == ["hat-stranded-band"]
    rows = list(csv.DictReader(io.StringIO(run("gap", short, *ASKED, "--csv").stdout)))
    assert [(int(row["purchase"]), row["opens"], float(row["grams"])) for row in rows] == [
        (number, opened["accessory"], one["grams"])
        for number, one in enumerate(found["purchases"], 1)
        for opened in one["opens"]
    ]
    assert sorted(Path(path).name for path in found["files"]) == [
        "gap-a4.html",
        "gap-letter.html",
        "gap.png",
        "gap.svg",
    ]
    drawn = ElementTree.parse(out / "gap.svg").getroot()
    patches = [one for one in drawn.iter() if one.get("class") == "colour"]
    assert patches
    assert {word["word"] for word in first["colours"]["examples"]} <= {one.text for one in drawn.iter()}
    page = (out / "gap-a4.html").read_text(encoding="utf-8")
    assert page.count("<svg") == len(found["purchases"])
    assert "hat with a stranded band" in page
    # Nothing is drawn that lies outside every range.
    ranges = [(one["colours"]["low"], one["colours"]["high"]) for one in found["purchases"]]
    for patch in patches:
        lab = lab_from_code(str(patch.get("fill")).removeprefix("#"))
        assert any(
            all(low[axis] - 1 <= value <= high[axis] + 1 for axis, value in zip("lab", lab, strict=True))
            for low, high in ranges
        )


def test_that_yarn_is_to_be_held_together_is_told_wherever_it_is(run, run_json, tmp_path: Path):
    (tmp_path / "lots.csv").write_text("lot,colour,grams,ball_grams,ball_metres\nlace,#1f2a4a,50,50,375\n", "utf-8")
    asked = ("gap", tmp_path, *ASKED)
    found = run_json(*asked, "--out", tmp_path / "drawn")
    rows = [role for bought in found["purchases"] for one in bought["opens"] for role in one["roles"]]
    together = {(*role["lots"], role["strands"]) for role in rows if role["strands"] > 1}
    assert {name for name, _ in together} >= {"lace", "new yarn"}
    said = " ".join(run(*asked).stdout.split())
    page = (tmp_path / "drawn" / "gap-a4.html").read_text(encoding="utf-8")
    assert all(f"{name} ({strands} strands)" in page for name, strands in together)
    assert f"lace ({rows[1]['strands']} strands)" in said


def test_a_bin_from_which_all_can_be_made_says_so(run, tmp_path: Path):
    rich = "lot,colour,grams,ball_grams,ball_metres,class,fibre\n"
    rich += "navy,#1f2a4a,400,50,125,3,wool\ncream,#efe6d0,400,50,125,3,wool\n"
    (tmp_path / "lots.csv").write_text(rich, encoding="utf-8")
    shown = run("gap", tmp_path, "--kind", "headband", "--size", "adult medium")
    assert shown.exit_code == 0
    said = " ".join(shown.stdout.split())
    assert "can be made" in said or "It makes" in said
    shown = run("gap", tmp_path, "--accessory", "hat-plain", "--size", "adult medium")
    assert shown.stdout.startswith("It can be made as it is: plain hat")


def test_the_purchase_that_finishes_a_set_is_told_everywhere(run, run_json, short: Path, tmp_path: Path):
    asked = ("gap", short, "--want", "1 hat-plain", "--most-grams", "75")
    found = run_json(*asked, "--out", tmp_path / "drawn")
    assert found["set_missing"] == ["1 hat-plain"]
    assert all(one["finishes"]["wants"] == ["1 hat-plain"] for one in found["purchases"])
    assert not any(one["finishes"]["missing"] for one in found["purchases"])
    said = " ".join(run(*asked).stdout.split())
    assert "Missing from the set: 1 hat-plain." in said
    assert "With it the set is whole: it adds 1 hat-plain; all of it was planned again with this yarn" in said
    assert "it adds 1 hat-plain" in (tmp_path / "drawn" / "gap-a4.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--most-grams", "5"), "5 can't be the most to buy (--most-grams): give a number from 25 to 1000"),
        (("--accessory", "hat-baby", "--size", "adult large"), "isn't made as you asked for it (--accessory)"),
        (("--sure", "2"), "2 isn't a chance that can be asked for (--sure)"),
        (("--accessory", "spaceship"), 'there is no accessory "spaceship"'),
        (("--for", "nobody"), "nobody"),
        (("--want", "1 hat", "--kind", "hat"), "a set says by itself what is wanted (--want and --kind)"),
    ],
)
def test_a_question_that_makes_no_sense_is_refused_in_a_sentence(run, short: Path, asked: tuple[str, ...], said: str):
    shown = run("gap", short, *asked)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_a_file_in_the_place_of_the_folder_is_refused(run, short: Path):
    shown = run("gap", short, *ASKED, "--out", short / "lots.csv")
    assert shown.exit_code == 2
    assert "(--out): name another folder" in " ".join(shown.stderr.split())
    assert (short / "lots.csv").read_text(encoding="utf-8") == LOTS


def test_whom_a_purchase_is_for_is_told_and_nobody_whose_skin_does_not_bear_it(run, run_json, short: Path):
    """New yarn is among nobody's likes, and on nobody's list of what they don't bear, until it is looked at."""
    (short / "people.csv").write_text(
        "person,size,avoid,likes\nMia,adult small,,green\nIvy,adult medium,wool,\nTom,adult medium,,\n",
        encoding="utf-8",
    )
    asked = ("gap", short, "--accessory", "socks-ankle")
    opened = [(one["fibre"], opens["for"]) for one in run_json(*asked)["purchases"] for opens in one["opens"]]
    assert opened
    assert all(people for _, people in opened)
    assert not any("Ivy" in people for fibre, people in opened if fibre == "wool")
    assert all(", for " in line for line in run(*asked).stdout.splitlines() if line.strip().startswith("ankle socks, "))
    (hers,) = {tuple(one["opens"][0]["for"]) for one in run_json(*asked, "--for", "Mia")["purchases"]}
    assert hers == ("Mia",)


def test_a_page_s_pictures_are_as_wide_as_the_page(run_json, short: Path, tmp_path: Path):
    """One beside another or below it in one picture, their words were too small to be read."""
    found = run_json("gap", short, *ASKED, "--out", tmp_path / "drawn")
    page = (tmp_path / "drawn" / "gap-a4.html").read_text(encoding="utf-8")
    sizes = re.findall(r'<figure class="wide">\n<svg [^>]*viewBox="0 0 (\d+) (\d+)"', page)
    assert len(sizes) == len(found["purchases"])
    assert all(int(wide) == 180 and int(high) < 105 for wide, high in sizes)

"""`matcher suggest --pictures`: one sheet with every suggestion to look at."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from matcher.actions.ranking.suggest import suggest

DEMO = Path(__file__).resolve().parents[2] / "demo"
NAMES = ["suggestions-a4.html", "suggestions-letter.html", "suggestions.png", "suggestions.svg"]
LOTS = """lot,colour,grams,ball_grams,ball_metres,class,fibre
navy,#1f2a4a,150,50,110,4,wool
cream,#efe6d0,120,50,110,4,wool
"""


@pytest.fixture
def bin_of_two(tmp_path: Path) -> Path:
    (tmp_path / "lots.csv").write_text(LOTS, encoding="utf-8")
    return tmp_path


def _words(svg: Path) -> list[str]:
    return [one.text or "" for one in ElementTree.parse(svg).getroot().iter("{http://www.w3.org/2000/svg}text")]


def test_the_sheet_shows_everything_that_is_listed(tmp_path: Path):
    found = suggest(DEMO, top=4, pictures=tmp_path / "new" / "sheet")
    assert sorted(path.name for path in found.files) == NAMES
    words = _words(tmp_path / "new" / "sheet" / "suggestions.svg")
    shown = [*found.suggestions, *found.small]
    assert [int(one) for one in words if one.isdecimal()] == [one.rank for one in shown]
    for one in shown:
        assert any(word.startswith(f"from {one.roles[0].lots[0].name}") for word in words)
    assert " ".join(words).count("in 100 sure") == len(shown)
    drawn = ElementTree.parse(tmp_path / "new" / "sheet" / "suggestions.svg").getroot()
    fills = {one.get("fill") for one in drawn.iter() if one.get("class") == "run"}
    for one in shown:
        for role in one.roles:
            assert role.colour is None or fills & set(role.colour.codes())


def test_the_same_bytes_every_time_and_nothing_written_over(run, bin_of_two: Path):
    out = bin_of_two / "sheet"
    first = run("suggest", bin_of_two, "--pictures", out, "--top", "2")
    assert first.exit_code == 0, first.output
    assert "suggestions-a4.html is written" in first.stderr.replace("\n", " ")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert run("suggest", bin_of_two, "--pictures", out, "--top", "2").exit_code == 0
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before
    (out / "suggestions.svg").write_text("mine")
    refused = run("suggest", bin_of_two, "--pictures", out, "--top", "2")
    assert refused.exit_code == 2
    assert "--replace" in refused.stderr
    assert (out / "suggestions.svg").read_text() == "mine"
    assert run("suggest", bin_of_two, "--pictures", out, "--top", "2", "--replace").exit_code == 0
    assert (out / "suggestions.svg").read_bytes() == before["suggestions.svg"]


def test_a_place_that_is_a_file_is_refused(run, bin_of_two: Path):
    shown = run("suggest", bin_of_two, "--pictures", bin_of_two / "lots.csv")
    assert shown.exit_code == 2
    assert "is a file" in " ".join(shown.stderr.split())
    assert "--pictures" in shown.stderr
    assert (bin_of_two / "lots.csv").read_text(encoding="utf-8") == LOTS


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_many_suggestions_take_several_sheets_of_paper(paper: str, tmp_path: Path):
    found = suggest(DEMO, top=30, varied=False, pictures=tmp_path)
    page = (tmp_path / f"suggestions-{paper}.html").read_text(encoding="utf-8")
    shown = len(found.suggestions) + len(found.small)
    assert shown > 15
    # Fifteen lie on a sheet, or twelve where many names are long.
    assert -(-shown // 15) <= page.count('<div class="page">') <= -(-shown // 12)
    numbers = re.findall(r'font-weight="600">(\d+)</text>', page)
    assert numbers == [str(number) for number in range(1, shown + 1)]
    assert not re.search(r"<script|<img|url\(|src=", page)


def test_nothing_to_suggest_is_an_empty_sheet(run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(LOTS.replace("150", "1").replace("120", "1"), encoding="utf-8")
    shown = run("suggest", tmp_path, "--pictures", tmp_path / "sheet")
    assert shown.exit_code == 0, shown.output
    assert [one for one in _words(tmp_path / "sheet" / "suggestions.svg") if one.isdecimal()] == []

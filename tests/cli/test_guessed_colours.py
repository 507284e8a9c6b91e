"""Colours given by words: every place that shows one says that it is guessed, and what to do about it."""

from __future__ import annotations

import csv
import io
import shutil
from pathlib import Path

import pytest

WORDS = """lot,colour,colour_name,grams,ball_grams,ball_metres,fibre,wash
plum rest,plum,,60,50,125,wool,hand
cream rest,cream,,90,50,125,wool,hand
ivory rest,ivory,,80,50,125,wool,hand
chocolate rest,chocolate,,80,50,125,wool,hand
known,#1f2a4a,navy,95,50,125,wool,hand
"""


@pytest.fixture
def by_words(tmp_path: Path) -> Path:
    (tmp_path / "lots.csv").write_text(WORDS, encoding="utf-8")
    return tmp_path


@pytest.fixture
def petrol(tmp_path: Path, demo: Path) -> Path:
    """The demo with one of its colours given by a word."""
    copy = tmp_path / "demo"
    shutil.copytree(demo, copy)
    lots = (copy / "lots.csv").read_text(encoding="utf-8")
    assert "#1f5563" in lots
    (copy / "lots.csv").write_text(lots.replace("#1f5563", "petrol"), encoding="utf-8")
    return copy


def said(text: str) -> str:
    return " ".join(text.split())


def test_suggestions_say_the_chance_and_mark_the_lots(run, run_json, by_words: Path, fits_80):
    shown = run("suggest", by_words, "--kind", "hat", "--full", "--least-contrast", "quiet")
    fits_80(shown.stdout)
    words = said(shown.stdout)
    assert "in 100, guessed from the words" in words
    assert "cream rest?" in words
    assert "known?" not in words
    assert "colour guessed from the word: photograph it, or compare it in daylight." in words
    found = run_json("suggest", by_words, "--kind", "hat", "--top", "40")
    pairs = [pair for one in found["suggestions"] for pair in one["contrasts"]]
    assert any(pair["chances"] for pair in pairs)
    for pair in pairs:
        if pair["chances"]:
            assert pair["verdict"] != "clear"
            assert set(pair["chances"]) == {"quiet", "readable", "clear"}
            if pair["verdict"] == "readable":
                assert pair["chances"]["readable"] >= 0.8


def test_nothing_is_clear_for_sure(run, by_words: Path):
    """A list of what is clear alone holds nothing whose colours are words."""
    shown = run("suggest", by_words, "--least-contrast", "clear", "--full").stdout
    assert "guessed from the words" not in said(shown)


def test_contrast_of_plum_and_chocolate(run, run_json, fits_80):
    shown = run("contrast", "plum", "chocolate")
    assert shown.exit_code == 1
    fits_80(shown.stdout)
    assert "plum and chocolate: quiet?" in shown.stdout
    assert "guessed from the words: photograph them (matcher photo), or compare them in daylight" in said(shown.stdout)
    (pair,) = run_json("contrast", "plum", "chocolate", exit_code=1)["pairs"]
    assert (pair["verdict"], pair["passes"]) == ("quiet", False)
    assert 0.3 < pair["chances"]["readable"] < 0.7
    assert pair["chances"]["clear"] < 0.1
    (row,) = csv.DictReader(io.StringIO(run("contrast", "plum", "chocolate", "--csv").stdout))
    assert float(row["readable_chance"]) == pair["chances"]["readable"]
    (known,) = run_json("contrast", "#1f2a4a", "#efe6d0")["pairs"]
    assert (known["verdict"], known["chances"]) == ("clear", None)


def test_the_palette_marks_words(run, run_json, by_words: Path, tmp_path: Path):
    words = said(run("palette", by_words, "--svg", tmp_path / "p.svg").stdout)
    assert "plum rest?" in words
    assert "known?" not in words
    assert "in 100, guessed from the words" in words
    found = run_json("palette", by_words)
    assert {one["lot"] for one in found["lots"] if not one["colour_guessed"]} == {"known"}
    assert next(one["colour"] for one in found["lots"] if one["lot"] == "plum rest") == "plum"
    for pair in found["pairs"]:
        assert (pair["chance"] is None) == (pair["lots"] == ["known"])
    drawn = (tmp_path / "p.svg").read_text(encoding="utf-8")
    assert "plum rest ?" in drawn
    assert "A question mark: the colour is guessed from a word." in drawn


def test_check_shows_what_a_word_is_taken_for(run, by_words: Path):
    shown = run("check", by_words)
    assert shown.exit_code == 0
    assert "4 guesses" in shown.stdout
    assert 'such as "plum" (plum rest): near #' in said(shown.stdout)


def test_lots_that_look_alike_by_their_words_say_so(run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "lot,colour,grams,class,fibre\na,cream,50,DK,wool\nb,Cream,40,DK,cotton\n", encoding="utf-8"
    )
    words = said(run("lookalikes", tmp_path).stdout)
    assert "The colours of a and b are guessed from the words" in words or "colours of a and b are guessed" in words


def test_tags_say_that_a_colour_is_guessed(run, by_words: Path, tmp_path: Path):
    assert run("tags", by_words, "--out", tmp_path / "tags.html").exit_code == 0
    page = (tmp_path / "tags.html").read_text(encoding="utf-8")
    assert page.count("colour guessed") == 4


def test_a_motif_in_words_and_its_picture(run, run_json, tmp_path: Path):
    shown = run("motif", "seeds", "--lots", "damson", "--lots", "#efe6d0", "--svg", tmp_path / "m.svg")
    assert shown.exit_code == 0
    assert "guessed from the words" in said(shown.stdout)
    assert "photograph it (matcher photo)" in said(shown.stdout)
    assert "(colour guessed)" in (tmp_path / "m.svg").read_text(encoding="utf-8")
    found = run_json("motif", "seeds", "--lots", "damson", "--lots", "#efe6d0")
    assert [one["colour_guessed"] for one in found["colours"]] == [True, False]


def test_a_partner_and_its_page(run, petrol: Path, tmp_path: Path):
    out = tmp_path / "out"
    shown = run("partner", petrol, "--garment", "grey yoke pullover", "--accessory", "hat-stranded-band", "--out", out)
    assert shown.exit_code == 0, shown.stderr
    words = said(shown.stdout)
    assert "petrol?" in words
    assert "guessed from the word: photograph it (matcher photo), or compare it in daylight" in words
    (page,) = out.glob("*-a4.html")
    html = said(page.read_text(encoding="utf-8"))
    assert "petrol (colour guessed)" in html
    assert "guessed from the words" in html


def test_patches_of_guesses_are_drawn_loosely(by_itself, by_words: Path):
    colour = {"FORCE_COLOR": "1", "COLORTERM": "truecolor", "TERM": "xterm-256color"}
    shown = by_itself("palette", str(by_words), **colour)
    for line in shown.stdout.splitlines():
        if "rest?" in line and "L*" in line:
            assert "▒" in line
        elif "known" in line and "L*" in line:
            assert "▒" not in line

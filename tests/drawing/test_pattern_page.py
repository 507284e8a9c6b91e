"""The page of a pattern: every line that is knitted from stands on it, and nothing that runs."""

from __future__ import annotations

import html
import re

import pytest

from matcher.drawing.page import page_html
from matcher.drawing.pattern_page import pattern_page
from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.words import lines_of
from matcher.materials.colours.colour import parse_colour
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
COLOURS = {
    "main": parse_colour("#1f2a4a", {}),
    "contrast 1": parse_colour("#efe6d0", {}),
    "contrast 2": parse_colour("#c8992b", {}),
}
KEYS = ["hat-three-colour-band", "mittens-stranded", "socks-ankle", "kerchief", "pincushion", "glasses-pouch"]


def _pattern(key: str):
    entry = CATALOGUE.accessories[key]
    listed = (CATALOGUE.sizes, CATALOGUE.motifs, CATALOGUE.fabric, CATALOGUE.fitting)
    gauge = Gauge.from_stitches(22.0, CATALOGUE.fabric)
    return pattern_of(Making(entry, as_listed(entry, entry.sizes[-1], gauge, *listed), CATALOGUE.fabric))


def _page(key: str, paper: str = "a4", yarns=None, style: Style = PLAIN) -> str:
    return page_html(pattern_page(_pattern(key), CATALOGUE.fabric, COLOURS, yarns, style), paper, style)


def _words(page: str) -> str:
    return html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", "\n", page, flags=re.DOTALL))


@pytest.mark.parametrize("key", KEYS)
def test_every_line_stands_on_the_page_in_its_order(key: str):
    pattern, words = _pattern(key), _words(_page(key))
    at = 0
    for piece in pattern.pieces:
        for section in lines_of(piece, pattern):
            for line in section.lines:
                at = words.index(PLAIN.sentence(line.words), at)
    for sentence in (*pattern.before, *pattern.finishing):
        assert PLAIN.sentence(sentence) in words
    for chart in pattern.charts:
        assert f"Chart {chart.name}: " in words


def test_picture_yarn_and_charts_come_before_the_steps():
    page = _page("hat-three-colour-band", yarns={"main": "navy (box)"})
    places = [page.index(one) for one in ("<svg", "navy (box)", "Charts</h2>", 'class="steps"', "Finishing</h3>")]
    assert places == sorted(places)
    assert ".steps { break-before: page" in page


def test_her_words_are_shown_and_not_obeyed():
    page = _page("hat-three-colour-band", yarns={"main": '<script>alert(1)</script> & "x"'})
    assert "<script" not in page
    assert '<script>alert(1)</script> & "x"' in _words(page)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_runs_and_nothing_comes_from_elsewhere(paper: str):
    page = _page("mittens-stranded", paper)
    assert "http" not in page.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"<script|<link|<img|<iframe|url\(|@import|\bon\w+=|src=", page)
    names = re.findall(r' id="([^"]+)"', page)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', page)) == set(names)


def test_she_reads_british_or_american():
    american, british = _words(_page("glasses-pouch")), _words(_page("glasses-pouch", style=Style(british=True)))
    assert "Gauge" in american
    assert "Tension" not in american
    assert "Tension" in british
    assert "Gauge" not in british


def test_every_role_needs_a_colour():
    with pytest.raises(BadInput, match="contrast 1"):
        pattern_page(_pattern("mittens-stranded"), CATALOGUE.fabric, {"main": COLOURS["main"]})


def test_the_same_page_every_time():
    assert _page("socks-ankle") == _page("socks-ankle")

"""Small pictures on a sheet: every word of a card is there, and no card stands in the words of another."""

from __future__ import annotations

import re

import pytest

from matcher.drawing.pictures_sheet import Card, pictures_html, pictures_scene
from matcher.drawing.scene import Scene, Shape, box

SMALL = Scene(20.0, 20.0, (Shape(box(0.0, 0.0, 20.0, 20.0), "#808080", kind="thing"),))
LINES = ("made to measure, for Grandfather; 96 in 100 sure", "from cottage white + cottage navy + cottage coral + oat")


def _cards(number: int) -> list[Card]:
    return [Card(1 + n, "hat with a band of three colours", LINES, SMALL) for n in range(number)]


def test_names_and_lines_are_whole_and_the_next_picture_begins_below_them(words_in, seen_in):
    scene = pictures_scene(_cards(7))
    assert " ".join(words_in(scene)).split().count("oat") == 7
    assert not any("..." in word for word in words_in(scene))
    pictures = sorted({min(y for _, y in one.points) for one in seen_in(scene, "thing")})
    assert len(pictures) == 3
    lasts = [max(label.y for label in scene.labels if label.y < top) for top in pictures[1:]]
    assert all(top - last > 1.5 for top, last in zip(pictures[1:], lasts, strict=True))
    assert max(label.y for label in scene.labels) < scene.height - 1.5


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_card_hangs_over_the_end_of_its_paper(paper: str):
    page = pictures_html(_cards(16), paper)
    sheets = page.split('<div class="page">')[1:]
    assert len(sheets) == 2
    assert page.count(">oat</text>") + len(re.findall(r" oat</text>", page)) == 16
    for sheet in sheets:
        found = re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', sheet)
        assert found
        assert all(float(y) < float(found[1]) - 3 for y in re.findall(r'<text x="[\d.]+" y="([\d.]+)"', sheet))


def test_fifteen_cards_whose_words_are_few_lie_on_one_sheet():
    """One row of many words takes room from none of the others."""
    cards = [
        Card(1 + n, "hat", LINES if n == 4 else ("adult medium; 95 in 100 sure", "from oat"), SMALL) for n in range(15)
    ]
    assert all(pictures_html(cards, paper).count('<div class="page">') == 1 for paper in ("a4", "letter"))

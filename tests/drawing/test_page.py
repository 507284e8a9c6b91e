"""The page to print: whole HTML, on the paper asked for, with everything in it and nothing from elsewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from matcher.drawing.page import Page, PageTable, page_html
from matcher.drawing.scene import Label, Scene, Shape, box
from matcher.errors import BadInput

ODD = '<b>&" é'
PICTURE = Scene(30, 20, (Shape(box(1, 1, 8, 8), "#6b7f4a", kind="stitch"),) * 2, (Label(1, 18, ODD, 3),), ODD)
PAGE = Page(
    f"A hat {ODD}",
    f"adult medium {ODD}",
    ((f"laid flat {ODD}", PICTURE), ("as others see it", Scene(200, 20, ()))),
    (("", PICTURE),),
    (
        PageTable(
            "Yarn", ("role", "lot", "metres"), (("main", ODD, "120 m"), ("contrast 1", "cream", "40 m")), f"n {ODD}"
        ),
    ),
    (("Cautions", (ODD, "Catch long floats.")), ("Nothing to say", ())),
)
VOID = {"meta", "link", "br", "hr", "img", "input"}


class Reader(HTMLParser):
    """Keeps the open elements; a tag that closes another than the last one opened is a fault."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        assert "svg" in self.open, f"<{tag}/> closes itself only in a picture"
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text.append(data)


def _read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return reader


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
def test_the_page_has_the_size_of_the_paper(paper, size):
    html = page_html(PAGE, paper)
    assert html.startswith("<!DOCTYPE html>\n")
    assert re.search(rf"@page {{ size: {size};", html)
    assert html.count("@page") == 1


def test_tags_are_balanced_and_the_language_is_told():
    read = _read(page_html(PAGE, "a4"))
    names = [tag for tag, _ in read.tags]
    assert read.tags[0] == ("html", {"lang": "en"})
    assert ("meta", {"charset": "utf-8"}) in read.tags
    assert [names.count(tag) for tag in ("h1", "svg", "figure", "table", "ul", "li")] == [1, 3, 3, 1, 1, 2]
    assert names.count("tr") == 3


def test_no_name_stands_twice_on_the_page_and_each_that_is_used_is_there():
    tags = _read(page_html(PAGE, "a4")).tags
    named = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(named) == len(set(named)) == 2
    assert {(attributes.get("href") or "")[1:] for tag, attributes in tags if tag == "use"} == set(named)


def test_nothing_comes_from_elsewhere_and_nothing_runs():
    html = page_html(PAGE, "letter")
    assert "http" not in html.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"<script|<link|<img|<iframe|url\(|@import|\bon\w+=|src=", html)
    references = [dict(attributes).get("href") for _, attributes in _read(html).tags]
    assert all(one is None or one.startswith("#") for one in references)


def test_words_are_escaped_everywhere():
    html = page_html(PAGE, "a4")
    assert "<b>" not in html
    read = "".join(_read(html).text)
    # Title twice (head and page), subtitle, caption, cell, note, sentence, and in three pictures' words and titles.
    assert read.count(ODD) == 2 + 1 + 1 + 1 + 1 + 1 + 2 * 2


def test_rows_and_chart_are_not_cut_by_a_page():
    html = page_html(PAGE, "a4")
    assert re.search(r"tr { break-inside: avoid; }", html)
    assert re.search(r"\.chart { break-inside: avoid; }", html)
    assert re.search(r"thead { display: table-header-group; }", html)


def test_figures_stand_to_the_right_and_a_wide_picture_has_the_width():
    read = _read(page_html(PAGE, "a4"))
    right = [tag for tag, attributes in read.tags if attributes.get("class") == "number"]
    assert right == ["th", "td", "td"]
    assert [attributes.get("class") for tag, attributes in read.tags if tag == "figure"] == [None, "wide", "chart"]


def test_what_is_not_there_leaves_no_heading():
    bare = _read(page_html(Page("Mitts", ""), "a4"))
    assert [tag for tag, _ in bare.tags if tag in {"h2", "p", "section", "svg", "figure"}] == []
    assert "Nothing to say" not in page_html(PAGE, "a4")


def test_the_same_page_every_time():
    assert page_html(PAGE, "a4") == page_html(PAGE, "a4")


def test_another_paper_is_refused():
    with pytest.raises(BadInput, match="a4 or letter"):
        page_html(PAGE, "A3")


def test_a_row_of_another_length_is_told():
    with pytest.raises(ValueError, match="3 cells, expected 2"):
        PageTable("Yarn", ("role", "lot"), (("main", "cream"), ("1", "2", "3")))

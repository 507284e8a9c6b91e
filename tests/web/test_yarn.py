"""Her yarn as colours, and the first lots typed: figures of the actions, all or nothing, and what she typed stays."""

from __future__ import annotations

from pathlib import Path

import pytest
from markup import read
from visitor import Visitor

from matcher.actions.looking.lines import LotLine
from matcher.actions.looking.listing import listing
from matcher.actions.looking.overview import overview
from matcher.materials.colours.colour import parse_colour
from matcher.reasons.quantities import Length
from matcher.web.page import chip
from matcher.web.views import yarn
from matcher.web.words import page_style

SAY = page_style().say


def test_the_first_page_says_what_the_command_says(demo: Visitor, taken_in: Path):
    words = demo.read("/").words
    whole = overview(taken_in)
    assert SAY(whole.has) in words
    assert all(name in words for name in whole.unlabelled)


def test_every_lot_stands_with_what_is_free_kept_and_where(demo: Visitor, taken_in: Path):
    words = demo.read("/bin").words
    for line in listing("lots", taken_in).lines:
        assert isinstance(line, LotLine)
        card = f"{line.lot.name} {'colour guessed from its word ' if line.lot.colour.guessed else ''}"
        assert f"{card}{SAY(Length(line.free_m))} free" in words
        if line.kept_m >= 0.5:
            assert f"{SAY(Length(line.kept_m))} kept to mend" in words


@pytest.mark.parametrize(
    ("sort", "headings"),
    [
        ("place", ["basket by the window", "blue box"]),
        ("class", ["class 3, light"]),
        ("colour", ["blue", "green"]),
        ("garment", ["from no garment"]),
    ],
)
def test_an_order_by_kind_has_headings(demo: Visitor, sort: str, headings: list[str]):
    page = demo.look(f"/bin?sort={sort}").text.casefold()
    for heading in headings:
        assert f"<h2>{heading}" in page


def test_grey_is_as_light_as_the_colour(demo: Visitor):
    from matcher.drawing.sights import in_grey

    colour = parse_colour("#1f2f5f 60%, #e8e0d0 40%", {})
    grey = in_grey(colour)
    assert [lab[0] for lab, _ in grey.parts] == [lab[0] for lab, _ in colour.parts]
    assert all(lab[1:] == (0.0, 0.0) for lab, _ in grey.parts)
    assert str(chip(in_grey(parse_colour("#b5202a", {})), 56)) in demo.look("/bin?light=grey").text


def test_many_lots_come_a_page_at_a_time(demo: Visitor, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(yarn, "A_PAGE", 20)
    seen = [link for page in (1, 2, 3) for link in demo.read(f"/bin?sort=grams&page={page}").links if "/lot/" in link]
    assert len(seen) == len(set(seen)) == 46
    for odd in ("0", "-3", "x", "99999999999999", "4"):
        assert demo.look(f"/bin?page={odd}").status_code == 200


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("place=attick", "nothing lies in"),
        ("colour=rumble", "isn't a colour"),
        ("free=much", "much"),
        ("sort=x", "sorted"),
    ],
)
def test_what_cannot_be_asked_for_is_said_and_stays_in_its_field(demo: Visitor, asked: str, said: str):
    answer = demo.visit(f"/bin?{asked}")
    page = read(answer.text)
    assert answer.status_code == 400
    assert said in page.words
    assert "46 lots." in page.words
    name, _, text = asked.partition("=")
    assert name == "sort" or page.form("/bin").fields[name] == text


def test_five_lots_make_a_bin_that_has_suggestions(empty: Visitor):
    assert "/begin" in empty.read("/").links
    typed = {
        **{"colour-0": "sea green", "grams-0": "41 g", "class-0": "DK"},
        **{"colour-1": "cream", "grams-1": "1.5 oz", "class-1": "DK"},
        **{"colour-2": "#223355", "grams-2": "50", "ball_metres-2": "50 g / 125 m"},
        **{"colour-4": "cream", "grams-4": "half", "ball_metres-4": "50 g / 125 m", "lot-4": "old cream"},
    }
    form = empty.read("/begin").form("/begin")
    done = empty.post("/begin", data={**form.fields, **typed}, follow_redirects=False)
    assert done.headers["location"] == "/suggestions"
    words = empty.read("/bin").words
    for name in ("sea green", "cream", "old cream", "dark blue"):
        assert name in words
    assert "4 lots" in empty.read("/").words
    # One action, and one undo.
    assert "Nothing of yours is here yet" in empty.said(empty.submit("/", "/undo"))


def test_a_refused_row_is_said_beside_it_and_nothing_is_lost(empty: Visitor):
    typed = {
        **{"colour-0": "red", "grams-0": "41 g", "class-0": "DK"},
        **{"colour-1": "<b>no colour</b>", "grams-1": "lots", "class-1": "DK", "lot-1": "it"},
        **{"colour-3": "blue", "grams-3": "3 g", "class-3": "DK", "lot-3": "It"},
    }
    page = empty.submit("/begin", "/begin", **typed)
    words = empty.said(page)
    assert "2 rows can't be taken: nothing was changed" in words
    assert "Lot 2: 2 cells can't be read" in words
    assert "Lot 4: the name is that of row 2 already" in words
    form = read(page.text).form("/begin")
    assert {name: form.fields[name] for name in typed} == typed
    assert "<b>no colour" not in page.text
    assert "Nothing of yours is here yet" in empty.read("/").words
    assert "nothing is typed yet" in empty.said(empty.submit("/begin", "/begin"))


def test_names_go_round_what_is_there(changing: Visitor):
    typed = {
        f"{name}-{row}": text for row in (0, 1) for name, text in {"colour": "navy", "grams": "5", "class": "3"}.items()
    }
    changing.submit("/begin", "/begin", **typed)
    words = changing.read("/bin").words
    assert "navy 2" in words
    assert "navy 3" in words

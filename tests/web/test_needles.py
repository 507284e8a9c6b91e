"""Knitting from the page: row by row to the end, back, elsewhere; weighed in the middle, finished, given up."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import escape
from pathlib import Path

import pytest
from markup import Markup, read
from playwright.sync_api import Page, expect
from server import Served
from test_every_view import NARROW, faults
from visitor import Visitor

from matcher.actions.beginning.begin import begin
from matcher.actions.desk import Desk
from matcher.actions.looking.lines import work_lines
from matcher.actions.progress.row import row
from matcher.actions.progress.standing import standing
from matcher.store.database.store import open_store
from matcher.web.words import page_style

STYLE = page_style()
BOOT = {"size": "adult small", "lots": ("navy", "mustard")}


@pytest.fixture
def begun(store: Path) -> Path:
    """Something in two colours on the needles, in pieces alike."""
    begin("stranded boot cuffs", BOOT["lots"], size="adult small", anyway=True, bin=store)
    return store


def stage(store: Path) -> int:
    with open_store(store) as opened:
        found: int = opened.rows("works")[0]["stage"]
    return found


def further(page: Markup) -> str:
    """The step that the large button leads to."""
    return page.form("/work/1/step").fields["steps"]


def test_she_goes_through_all_of_it_step_by_step_and_back(changing: Visitor, begun: Path):
    stands = standing("1", Desk(begun))
    every, seen = len(stands.piece.stages), []
    page = changing.read("/work/1")
    while stage(begun) < every:
        before = stage(begun)
        page = read(changing.fill(page.form("/work/1/step"), steps=further(page)).text)
        assert stage(begun) > before
        seen.append(stage(begun))
        if len(seen) == 4:  # the rest of it in leaps: each of its pages takes a while
            row("1", steps=every - 3, bin=begun)
            page = changing.read("/work/1")
    assert "All of it is knitted." in page.words
    read(changing.fill(page.form("/work/1/step"), steps=further(page)).text)
    assert stage(begun) < every


def test_a_row_in_words_and_its_place_are_those_of_the_command(changing: Visitor, begun: Path):
    row("1", 30, bin=begun)
    page = changing.look("/work/1").text
    stands = standing("1", Desk(begun))
    for words in stands.words:
        assert escape(STYLE.sentence(words), quote=False) in page.replace("&#39;", "'")
    assert "Round 30 is done" in page
    assert re.search(r"Round 31: chart A, row \d+", page)
    assert 'class="marker"' in page
    assert stands.as_dict()["steps_done"] == stage(begun)


def test_two_taps_are_one_row_and_another_window_is_told(changing: Visitor, begun: Path):
    page = changing.read("/work/1")
    form = page.form("/work/1/step")
    changing.fill(form, steps="3")
    assert stage(begun) == 3
    late = changing.post(form.action, data={**form.fields, "steps": "3"})
    assert late.status_code == 409
    assert stage(begun) == 3
    assert "Since you opened that page" in read(late.text).words


def test_elsewhere_by_round_section_and_piece(changing: Visitor, begun: Path):
    changing.submit("/work/1", "/work/1/row", round="20")
    at = stage(begun)
    assert at >= 20
    changing.submit("/work/1", "/work/1/row", round="", done="turn-over")
    assert stage(begun) > at
    said = changing.said(changing.submit("/work/1", "/work/1/row", round="4000"))
    assert "no round 4000" in said
    changing.submit("/work/1", "/work/1/row", round="", piece="2")
    assert "2 of 2" in changing.read("/work/1").words


def test_weighed_in_the_middle_and_what_was_typed_stays_after_a_refusal(changing: Visitor, begun: Path):
    row("1", 30, bin=begun)
    refused = changing.submit("/work/1", "/work/1/weigh", **{"left of navy": "9 sheep"})
    assert "isn't a weight" in read(refused.text).words
    assert 'value="9 sheep"' in refused.text
    with open_store(begun) as opened:
        before = {one["lot"]: one["mass_g"] for one in opened.rows("lots")}
    said = changing.said(changing.submit("/work/1", "/work/1/weigh", **{"left of navy": f"{before['navy'] - 5:.1f} g"}))
    assert "needed to the end" in said
    with open_store(begun) as opened:
        assert next(one for one in opened.rows("lots") if one["lot"] == "navy")["mass_g"] == pytest.approx(
            before["navy"] - 5, abs=0.05
        )
        assert [one["seen_g"] > 0 for one in opened.rows("claims") if one["lot"] == "navy"] == [True]
    assert "nothing was weighed" in changing.said(changing.submit("/work/1", "/work/1/weigh"))


def test_yarn_that_may_run_out_is_no_good_news(changing: Visitor, begun: Path):
    row("1", 30, bin=begun)
    with open_store(begun) as opened:
        before = {one["lot"]: one["mass_g"] for one in opened.rows("lots")}
    plenty = changing.submit("/work/1", "/work/1/weigh", **{"left of navy": f"{before['navy'] - 5:.1f} g"})
    scarce = changing.submit("/work/1", "/work/1/weigh", **{"left of navy": "6 g"})
    assert ("Done." in read(plenty.text).words, "the yarn may not last" in plenty.text) == (True, False)
    assert ("Done." in read(scarce.text).words, "the yarn may not last" in scarce.text) == (False, True)


def test_finished_and_given_up(changing: Visitor, begun: Path):
    page = changing.read("/work/1")
    missing = changing.said(changing.fill(page.form("/work/1/finish"), **{"left of navy": "50 g"}))
    assert "what is left of mustard is missing" in missing
    said = changing.said(
        changing.submit("/work/1", "/work/1/finish", **{"left of navy": "50", "left of mustard": "20"})
    )
    assert "is finished" in said
    with open_store(begun) as opened:
        assert [one.state for one in work_lines(opened)] == ["finished"]
    changing.submit("/work/1", "/undo")
    changing.submit("/work/1", "/work/1/abandon")
    with open_store(begun) as opened:
        assert [one.state for one in work_lines(opened)] == ["abandoned"]
    assert "abandoned" in changing.read("/needles").words
    late = changing.post("/work/1/step", data={**page.form("/work/1/step").fields, "steps": "5"})
    assert late.status_code in (400, 409)


def test_its_pattern_pictures_and_files_are_there(changing: Visitor, begun: Path):
    assert "How it is knitted" in changing.read("/pattern/work/1").words
    for file in ("a4", "letter", "svg", "png", "txt", "json", "picture", "chart-0"):
        answer = changing.get(f"/pattern/work/1/as/{file}")
        assert answer.status_code == 200, file
        assert "default-src 'none'" in answer.headers["content-security-policy"], file
    assert changing.get("/pattern/work/1/as/exe").status_code == 404
    for none in ("chart-99", "chart-00009", f"chart-{'0' * 5000}"):
        assert changing.get(f"/pattern/work/1/as/{none}").status_code in (404, 414)
    assert changing.get("/work/1/picture").headers["content-type"].startswith("image/svg")
    assert changing.get("/work/1/chart/0").status_code == 200
    assert changing.get("/work/1/chart/99").status_code == 404
    assert changing.get("/work/99").status_code == 404


def test_it_is_knitted_from_on_a_phone_and_by_keyboard_alone(
    own_server: Served, begun: Path, browsing: Callable[..., Page]
):
    page = browsing(f"{own_server.address}/work/1", phone=True)
    page.get_by_role("button", name="Done").tap()
    expect(page.get_by_role("button", name="Back one")).to_be_visible()
    assert stage(begun) == 1
    row("1", 30, bin=begun)
    page.goto(f"{own_server.address}/work/1")
    expect(page.locator(".row-words")).to_contain_text("Round 31")
    page.locator("#step-on").focus()
    page.keyboard.press("Enter")
    expect(page.locator(".row-words")).to_contain_text("Round 32")
    assert page.evaluate("() => document.activeElement.id") == "step-on"  # the next row is one more press
    expect(page.locator("#told")).to_contain_text("Round 32")  # and is read aloud
    page.keyboard.press("Enter")
    expect(page.locator(".row-words")).to_contain_text("Round 33")
    page.get_by_role("button", name="Back one").tap()
    expect(page.locator(".row-words")).to_contain_text("Round 32")
    assert faults(page) == []
    page.set_viewport_size(NARROW)
    wide = page.evaluate("() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert wide[0] <= wide[1]
    page.goto(f"{own_server.address}/needles")
    assert faults(page) == []


def test_it_is_knitted_from_without_a_script(own_server: Served, begun: Path, browsing: Callable[..., Page]):
    page = browsing(f"{own_server.address}/work/1", script=False)
    page.get_by_role("button", name="Done").click()
    expect(page.get_by_role("button", name="Back one")).to_be_visible()
    assert stage(begun) == 1


def test_what_is_minded_stands_on_every_page_that_it_is_knitted_from(changing: Visitor, store: Path):
    begin("baby hat with a rolled edge", ("navy",), size="6 months", anyway=True, bin=store)
    named = "/pattern?what=hat-stranded-band&size=adult+medium&lots=navy%0Awhite+cotton"
    for address in ("/work/1", "/pattern/work/1", "/pattern/work/1/as/a4"):
        assert "no hat for sleep" in changing.read(address).words, address
        assert "counted in whole stitches and rounds" in changing.read(address).words, address
    for address in (named, named.replace("?", "/as/txt?")):
        assert (
            "one yarn felts and the other doesn't"
            in changing.look(address).text.replace("\n    ", " ").replace("&#39;", "'").casefold()
        ), address

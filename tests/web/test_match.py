"""To go with a sweater: the same figures as the command's, each colour changed by its address, and begun."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest
from markup import read
from visitor import Visitor

from matcher.actions.partner.partner import partner
from matcher.actions.partner.words import contrast_words, way_words
from matcher.reasons.quantities import Chance, Length, Mass
from matcher.store.database.store import open_store
from matcher.web.words import page_style

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from server import Served

HAT = {"garment": "grey yoke pullover", "accessory": "hat-stranded-band"}
TOLD = {"hx-request": "true"}
STYLE = page_style()


def at(**lots: str) -> str:
    return f"/match/fit?{urlencode({**HAT, **{f'lot {role}': lot for role, lot in lots.items()}})}"


def figures(found: Any) -> list[str]:
    """All that a page must say of a partner."""
    said = [STYLE.say(Chance(found.sure))]
    for role in found.roles:
        said += [STYLE.say(Length(role.need_m)), STYLE.say(Length(role.left_m)), STYLE.say(Mass(role.need_g))]
    return [*said, *map(STYLE.sentence, (*found.warnings, found.care))]


def on_needles(store: Path) -> dict[str, set[str]]:
    """Each piece with the lots that are set aside for it."""
    with open_store(store) as rows:
        works, claims = rows.rows("works"), rows.rows("claims")
    return {one["name"]: {claim["lot"] for claim in claims if claim["work"] == one["id"]} for one in works}


@pytest.mark.parametrize("lots", [{}, {"contrast 1": "navy"}, {"main": "brown, weighed", "contrast 2": "rust"}])
def test_the_page_says_what_the_command_says(demo: Visitor, taken_in: Path, lots: dict[str, str]) -> None:
    found = partner(taken_in, **HAT, lots=[f"{role}={lot}" for role, lot in lots.items()])
    words, tapped = demo.read(at(**lots)).words, read(demo.get(at(**lots), headers=TOLD).text).words
    for said in figures(found):
        assert " ".join(said.split()) in words
        assert " ".join(said.split()) in tapped


def test_at_a_glance_the_weakest_contrast_is_named(demo: Visitor, taken_in: Path) -> None:
    lots = {"main": "brown, weighed", "contrast 2": "rust"}
    found = partner(taken_in, **HAT, lots=[f"{role}={lot}" for role, lot in lots.items()])
    weakest = min(found.contrasts, key=lambda one: one[0].judged.reading)
    assert weakest is not found.contrasts[0]
    for headers in ({}, TOLD):
        (said,) = re.findall(r'id="glance-said"[^>]*>(.*?)</p>', demo.get(at(**lots), headers=headers).text, re.DOTALL)
        assert STYLE.sentence(contrast_words([weakest])[0]).split(", ")[0] in said
        assert said.count("of what touches") == 1


def test_each_role_has_its_lots_and_the_one_that_it_is_in_is_marked(demo: Visitor, taken_in: Path) -> None:
    found = partner(taken_in, **HAT, offer=18)
    text = demo.look(at(**{"contrast 1": "navy"})).text
    for one in found.offered:
        shown = re.findall(rf'type="radio" name="lot {one.role}" value="([^"]+)"( checked)?', text)
        assert [name for name, _ in shown] == [choice.pool.name for choice in one.choices]
        assert len([name for name, marked in shown if marked]) == 1
    assert ("navy", " checked") in re.findall(r'type="radio" name="lot contrast 1" value="([^"]+)"( checked)?', text)


def test_a_lot_in_two_colours_is_refused_with_what_was_tapped_still_there(demo: Visitor) -> None:
    twice = at(main="navy", **{"contrast 1": "navy"})
    answer = demo.get(twice)
    assert answer.status_code == 400
    assert "navy is named for main and for contrast 1" in read(answer.text).words
    assert len(re.findall(r'value="navy" checked', answer.text)) == 2
    part = demo.get(twice, headers=TOLD)
    assert "navy is named for main and for contrast 1" in part.text
    assert "<html" not in part.text


def test_no_address_opens_a_file(demo: Visitor, taken_in: Path) -> None:
    for name in ("/etc/passwd", "../../README.md", "~/.bashrc", str(taken_in)):
        answer = demo.get("/match/fit", params={**HAT, "motif": name})
        assert answer.status_code == 404, name
        assert "there is no motif" in read(answer.text).words


def test_a_sweater_is_chosen_then_a_thing(demo: Visitor) -> None:
    whole = demo.look("/match").text
    assert "grey yoke pullover" in whole
    chosen = demo.look("/match?garment=grey+yoke+pullover").text
    assert "accessory=hat-stranded-band" in chosen
    assert "accessory=yoke-" not in chosen


def test_the_ways_of_all_lots_are_the_commands(demo: Visitor, taken_in: Path) -> None:
    found = partner(taken_in, **HAT, recolour=True)
    text = demo.look(f"/match/anew?{urlencode(HAT)}").text
    assert len(re.findall(r'class="card"', text)) == len(found.recolourings)
    for way in found.recolourings:
        for pool in way.pools:
            assert pool.name in text


def test_ways_out_are_the_commands_on_a_page_of_their_own(demo: Visitor, taken_in: Path) -> None:
    asked = {"garment": "navy yoke pullover", "accessory": "cowl-stranded"}
    found = partner(taken_in, **asked)
    assert not found.enough
    page = demo.read(f"/match/fit?{urlencode(asked)}")
    (link,) = [one for one in page.links if one.startswith("/match/ways?")]
    words = demo.read(link).words
    for way in found.exchanges[:6]:
        assert STYLE.say(way_words(way))[1:] in words
    firsts = [way.firsts for way in found.exchanges[:6] if way.firsts]
    taken = [one for one in demo.read(link).links if one.startswith("/match/fit?") and "lot+" in one]
    assert len(taken) == len(firsts) + 1  # and the way back
    for address in taken:
        demo.look(address)


def test_what_is_shown_is_begun_and_taken_back(changing: Visitor, store: Path) -> None:
    changing.submit(at(**{"contrast 1": "navy"}), "/match/begin", name="to match")
    assert on_needles(store) == {"to match": {"mid grey", "mid grey, full ball", "navy", "petrol"}}
    changing.submit("/done", "/undo")
    assert not on_needles(store)


def test_what_is_too_little_is_not_begun_and_what_was_typed_stays(changing: Visitor, store: Path) -> None:
    answer = changing.submit(at(main="oatmeal"), "/match/begin", name="to match")
    assert "Not done." in changing.said(answer)
    assert answer.url.path == "/match/fit"
    assert read(answer.text).form("/match/begin").fields["name"] == "to match"
    assert not on_needles(store)


def test_its_pattern_is_that_of_the_lots_shown(demo: Visitor) -> None:
    page = demo.read(at(**{"contrast 1": "navy"}))
    (link,) = [one for one in page.links if one.startswith("/match/pattern?")]
    shown = demo.read(link)
    assert "navy" in shown.words
    assert any(one.startswith("/match/fit?") and "contrast+1=navy" in one for one in shown.links)
    written = demo.look(link.replace("/match/pattern?", "/match/pattern/as/txt?"))
    assert "navy" in written.text


def test_pictures_and_the_page_to_print(demo: Visitor) -> None:
    laid = demo.look(f"/match/laid?{urlencode(HAT)}")
    assert laid.headers["content-type"] == "image/svg+xml"
    sheet = demo.look(f"/match/sheet?{urlencode(HAT)}")
    assert "style-src 'sha256-" in sheet.headers["content-security-policy"]
    assert "grey yoke pullover" in sheet.text


def test_a_tap_changes_what_follows_and_the_address_and_two_colours_change_places(
    served: Served, browsing: Callable[..., Page]
) -> None:
    page = browsing(served.address + at(), phone=True)

    def tap(role: str, lot: str) -> None:
        with page.expect_response(lambda answer: "/match/fit?" in answer.url):
            page.locator(f'.tile:has([name="lot {role}"][value="{lot}"])').tap()

    tap("contrast 1", "navy")
    page.locator("#outcome .lot").get_by_text("navy", exact=True).wait_for()
    page.wait_for_url("**contrast%201=navy**")
    tap("main", "navy")
    page.wait_for_url("**lot%20main=navy**")
    page.locator("#outcome .lot").get_by_text("mid grey", exact=True).wait_for()
    assert "lot%20contrast%201=mid%20grey" in page.url
    page.reload()
    assert page.locator('[name="lot main"]:checked').get_attribute("value") == "navy"


@pytest.mark.parametrize("width", [320, 360, 412, 520, 1000])
def test_no_name_of_a_lot_is_broken_within_a_word(served: Served, browsing: Callable[..., Page], width: int) -> None:
    page = browsing(served.address + at())
    page.set_viewport_size({"width": width, "height": 800})
    name = page.locator(".tile strong").first
    name.evaluate("name => { name.textContent = 'Großmutters Blau' }")
    lines = name.evaluate(
        """name => {
            const word = document.createRange()
            word.setStart(name.firstChild, 0)
            word.setEnd(name.firstChild, 11)
            return word.getClientRects().length
        }"""
    )
    assert lines == 1


def test_a_motif_that_was_drawn_anew_is_shown_as_it_is_now(changing: Visitor, store: Path):
    asked = f"/match/anew?{urlencode({**HAT, 'motif': 'star.txt'})}"
    seen = []
    for rows in ("xx..\n..xx\n", "xxx...\n.x..x.\n...xxx\n"):
        text = f"name: star\nroles: . main, x contrast 1\nrows: top to bottom\n\n{rows}"
        store.with_name("star.txt").write_text(text)
        seen.append(changing.look(asked).text)
    assert seen[0] != seen[1]


def test_a_sweater_without_a_motif_says_which_is_shown_and_where_to_choose(demo: Visitor) -> None:
    asked = {"garment": "moss cardigan", "accessory": "hat-stranded-band"}
    text = demo.look(f"/match/fit?{urlencode(asked)}").text
    said = (
        "Moss cardigan has no motif written down, so the motif here is little diamonds, which belongs to the hat with a "
        "stranded band; choose another with “Motif”."
    )
    assert said in read(text).words
    assert '<option value="">its own</option>' in text
    assert re.search(r'<details class="narrow" open>\s*<summary>Another motif', text)
    own = demo.look(f"/match/fit?{urlencode(HAT)}").text
    assert '<option value="">the sweater’s own</option>' in own
    assert "has no motif written down" not in own

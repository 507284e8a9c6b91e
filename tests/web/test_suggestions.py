"""Suggestions on the page: the same figures as the command's, narrowed, liked, hidden, begun by their right numbers."""

from __future__ import annotations

import json
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any

import pytest
from markup import read
from playwright.sync_api import Page, expect
from server import Served
from starlette.responses import Response
from test_every_view import NARROW, faults, too_wide
from visitor import Visitor

from matcher.actions.beginning.begin import begin
from matcher.actions.desk import Desk
from matcher.actions.keeping.opinions import mark_of_recipe, opinions_in
from matcher.actions.keeping.store import undo
from matcher.actions.progress.weigh import weigh
from matcher.actions.ranking.last_list import keep_last, last_list
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.suggestion import Suggestion, Suggestions
from matcher.knitting.fabric import Gauge
from matcher.reasons.quantities import Chance, Length
from matcher.store.database.store import open_store
from matcher.store.recipes import Recipe, Strand
from matcher.web.views import suggestions
from matcher.web.words import page_style

STYLE = page_style()


def _first() -> str:
    """The address of the first suggestion of the demo."""
    lots = {"main": "navy", "contrast 1": "natural", "contrast 2": "mustard"}
    roles = {role: (Strand((lot,)),) for role, lot in lots.items()}
    hat = Recipe("hat-three-colour-band", "adult large", Gauge(22.0, 30.0, 1.9), roles)
    return f"/suggestion/{hat.accessory}/{mark_of_recipe(hat)}"


FIRST = _first()


def figures(one: Suggestion) -> list[str]:
    """What must stand on the page of it, each as the command has it, said; lengths as they are, since 38.504 m is 39 m,
    and 38.5 m of the JSON is 38 m."""
    told = one.as_dict()
    from_lots = [role for role in one.roles if not role.brought]
    lengths = (metres for role in from_lots for metres in (role.need_m, role.need_sd_m))
    left = (metres for role in from_lots for metres in (role.reserve_m, role.left_m))
    words = [*told["reasons"], *told["warnings"], told["care"], *(pair["verdict"] for pair in told["contrasts"])]
    said = (STYLE.say(word) for word in words)
    return [STYLE.say(Chance(told["sure"])), *(STYLE.say(Length(m)) for m in (*lengths, *left)), *said]


def missing(page: str, wanted: list[str]) -> list[str]:
    low = page.casefold()
    return [one for one in wanted if escape(one).casefold().rstrip(".") not in low.replace("&#39;", "&#x27;")]


def test_the_list_has_the_figures_of_the_command(demo: Visitor):
    store: Path = demo.app.state.own.given
    found: Suggestions = suggest(store)
    page = demo.look("/suggestions").text
    for one in (*found.suggestions, *found.small):
        assert STYLE.say(one.called) in read(page).words
        assert missing(page, figures(one)) == [], one.accessory
    for near in found.near_misses:
        assert missing(page, [STYLE.say(words) for words in near.lacks]) == []
    assert json.dumps(found.as_dict(), default=str)  # all of it is plain values and reasons


def test_it_is_narrowed_as_the_command_is_and_its_address_says_by_what(demo: Visitor):
    store: Path = demo.app.state.own.given
    asked = demo.read("/suggestions?kind=hat&size=adult+medium&colourwork=yes&sure=0.8&top=40")
    found = suggest(store, kind="hat", size="adult medium", colourwork=True, sure=0.8, top=40)
    assert found.suggestions
    shown = {link for link in asked.links if link.startswith("/suggestion/")}
    assert len(shown) == len(found.numbered)
    assert all("kind=hat" in link and "sure=0.8" in link for link in shown)
    form = asked.form("/suggestions")
    assert (form.fields["colourwork"], form.fields["sure"], form.fields["top"]) == ("yes", "0.8", "40")


def test_what_cannot_be_asked_is_said(demo: Visitor):
    for query in (
        "sure=many",
        "sure=2",
        "top=0",
        "top=9999",
        "contrast=bright",
        "eyes=hawk",
        "lot=nothing",
        "whom=x",
        "top=00000000199",
        f"top=000000001{'9' * 5000}",
    ):
        answer = demo.visit(f"/suggestions?{query}")
        assert answer.status_code == 400, query
        page = read(answer.text)
        assert "Not done." in page.words
        name, _, typed = query.partition("=")
        if name == "lot":
            assert page.form("/suggestions").fields["lot"] == typed  # it can be mended where it was typed


def test_liked_comes_first_and_hidden_is_hidden_until_undone(changing: Visitor, store: Path):
    form = changing.read("/suggestions").form(f"{FIRST}/say")
    said = changing.said(changing.fill(form, opinion="hidden"))
    assert "hidden from now on" in said
    page = changing.read("/suggestions")
    assert "1 hidden" in page.words
    assert [one.opinion for one in opinions_in(store).values()] == ["hidden"]
    jobs = changing.app.state.jobs._jobs
    assert len(jobs) == 1  # what she thinks of a thing changes no figure, so nothing is reckoned again
    changing.fill(page.form(f"{FIRST}/say"), opinion="liked")
    assert "Liked" in changing.read("/suggestions").words
    undo(bin=store)
    undo(bin=store)
    assert opinions_in(store) == {}
    assert "hidden" not in changing.read("/suggestions").words


def test_what_is_begun_is_what_the_number_means_whatever_was_listed_since(changing: Visitor, store: Path):
    form = changing.read(FIRST).form(f"{FIRST}/begin")
    suggest(store, kind="socks", remember=True)  # another list: its first number is another thing
    answer = changing.fill(form, name="Sunday hat")
    assert answer.url.path == "/work/1"
    assert "Sunday hat" in read(answer.text).words
    undo(bin=store)
    changing.look("/suggestions")
    number = next(n for n, one in last_list(store).recipes.items() if one.accessory == "hat-three-colour-band")
    by_command = begin(str(number), bin=store)
    assert by_command.values["claims"]
    assert escape(STYLE.say(by_command.said[1])) in answer.text


def test_another_list_in_the_same_moment_begins_no_other_thing(
    changing: Visitor, store: Path, monkeypatch: pytest.MonkeyPatch
):
    form = changing.read(FIRST).form(f"{FIRST}/begin")
    change = suggestions.change

    def listed_first(*given: Any, **named: Any) -> Response:
        keep_last(suggest(store, kind="cowl").numbered, Desk(store), Desk(store).catalogue.sizes)
        return change(*given, **named)

    monkeypatch.setattr(suggestions, "change", listed_first)
    changing.fill(form)
    with open_store(store) as opened:
        assert [row["accessory"] for row in opened.rows("works")] == ["hat-three-colour-band"]


def test_a_name_of_hers_is_never_obeyed(changing: Visitor):
    named = '<script>alert(1)</script> & "hat"'
    answer = changing.submit(FIRST, f"{FIRST}/begin", name=named)
    assert "<script>alert" not in answer.text
    assert named in read(answer.text).words


def test_what_was_typed_is_still_there_after_a_refusal(changing: Visitor, store: Path):
    asked = FIRST + "?all=yes"
    form = changing.read(asked).form(f"{FIRST}/begin")
    weigh("navy", "5 g", bin=store)
    warned = changing.fill(form, name="second")
    assert warned.status_code == 409  # somebody weighed its yarn since
    assert "weigh navy" in read(warned.text).words
    answer = changing.fill(read(warned.text).form(f"{FIRST}/begin"))
    assert "are free" in read(answer.text).words or answer.status_code == 404
    pattern = "/pattern?what=hat-ribbed&size=adult+medium&lots=navy"
    refused = changing.submit(pattern, "/pattern/begin", name="my own hat")
    assert "takes" in changing.said(refused)
    assert 'value="my own hat"' in refused.text


def test_what_was_liked_is_begun_as_it_was_though_the_list_has_it_no_more(changing: Visitor, store: Path):
    changing.submit("/suggestions", f"{FIRST}/say", opinion="liked")
    weigh("navy", "5 g", bin=store)
    page = changing.read("/suggestions")
    assert "Not in this list as it is now." in page.words
    assert changing.visit(FIRST).status_code == 404
    answer = changing.submit(f"/pattern{FIRST}", f"{FIRST}/begin", too_little="yes")
    assert answer.url.path == "/work/1", read(answer.text).words[:400]


def test_a_named_pattern_is_begun_as_it_is_shown(changing: Visitor, store: Path):
    changing.submit("/pattern?what=hat-plain&size=adult+small&lots=navy", "/pattern/begin", name="mine")
    with open_store(store) as opened:
        assert [(row["name"], row["accessory"], row["size"]) for row in opened.rows("works")] == [
            ("mine", "hat-plain", "adult small")
        ]


def test_every_suggestion_page_is_for_everybody(served: Served, browsing: Callable[..., Page]):
    for address in ("/suggestions", FIRST, f"/pattern{FIRST}", "/suggestions?all=yes&top=20"):
        page = browsing(served.address + address)
        page.wait_for_function("() => !document.querySelector('[hx-get^=\"/working/\"]')", timeout=90_000)
        page.evaluate("() => document.querySelectorAll('main details').forEach((one) => { one.open = true })")
        assert faults(page) == [], address
        page.emulate_media(color_scheme="dark")
        assert faults(page, ["color-contrast"]) == [], address
        page.set_viewport_size(NARROW)
        wide = page.evaluate("() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert wide[0] <= wide[1], (address, too_wide(page))
        assert faults(page, ["target-size"]) == [], address


def test_it_is_liked_by_a_tap_on_a_phone(own_server: Served, browsing: Callable[..., Page]):
    page = browsing(f"{own_server.address}/suggestions", phone=True)
    card = page.locator(".suggested").first
    expect(card).to_be_visible(timeout=90_000)
    name = card.locator("h3 a").inner_text()
    card.get_by_role("button", name="Like").tap()
    liked = page.locator("section[aria-labelledby=liked]")
    expect(liked.locator("h3 a")).to_have_text(name)
    liked.get_by_role("button", name="Liked").tap()
    expect(liked).to_have_count(0)

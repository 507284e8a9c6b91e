"""Sorting the pile: each lot with its advice, decided by one press, counted, taken back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from urllib.parse import quote

from markup import read
from playwright.sync_api import Page, expect
from server import Served
from visitor import Visitor

from matcher.actions.keeping.lots import move
from matcher.actions.keeping.triage import triage
from matcher.matching.triage import ADVICE, BAG
from matcher.materials.lots import KEEP
from matcher.reasons.style import PLAIN


def _decisions(store: Path) -> dict[str, str]:
    return {one.lot.name: one.advice for one in triage(store).advice if one.decided_on}


def test_every_card_says_what_the_action_advises(demo: Visitor, taken_in: Path):
    found = triage(taken_in)
    first = demo.read("/pile").words
    assert found.advice[0].lot.name in first
    assert f"0 of {len(found.advice)} decided" in first
    for one in found.advice:
        words = demo.read(f"/pile?lot={quote(one.lot.name)}").words
        assert PLAIN.sentence(one.because) in words, one.lot.name
        assert one.advice in words
    page = demo.look("/pile").text
    for advice in ADVICE:
        assert f'name="decide" value="{advice}"' in page


def test_a_whole_pile_is_gone_through_by_pressing_buttons(changing: Visitor, store: Path):
    lots = {one.lot.name: one.advice for one in triage(store).advice if one.lot.place == "blue box"}
    page = changing.look("/pile?place=blue+box")
    for number, _ in enumerate(lots):
        form = read(page.text).form("/pile/decide")
        assert f"{number} of {len(lots)} decided in blue box" in read(page.text).words
        page = changing.fill(form, decide=KEEP)
    assert "You have decided on all of them." in page.text
    assert _decisions(store) == dict.fromkeys(lots, KEEP)


def test_a_lot_is_left_for_now_and_the_next_comes(changing: Visitor, store: Path):
    order = [one.lot.name for one in triage(store).advice]
    page = changing.read("/pile")
    form = page.form("/pile/decide")
    assert form.fields["lot"] == order[0]
    assert form.fields["_further"] == order[1]
    after = changing.fill(form, decide=BAG)
    assert read(after.text).form("/pile/decide").fields["lot"] == order[1]
    assert "1 of" in read(after.text).words
    last = changing.read(f"/pile?lot={quote(order[-1])}")
    assert last.form("/pile/decide").fields["_further"] == order[1]  # round to the first that is open


def test_a_decision_is_opened_again_and_taken_back(changing: Visitor, store: Path):
    changing.fill(changing.read("/pile?lot=navy").form("/pile/decide"), decide=KEEP)
    assert _decisions(store) == {"navy": KEEP}
    assert "you decided this" in changing.read("/pile?lot=navy").words.lower()
    changing.fill(changing.read("/pile").form("/pile/forget"))
    assert _decisions(store) == {}
    changing.fill(changing.read("/pile").form("/undo"))
    assert _decisions(store) == {"navy": KEEP}


def test_what_another_did_meanwhile_is_told_before(changing: Visitor, store: Path):
    form = changing.read("/pile?lot=navy").form("/pile/decide")
    move("navy", "under the bed", bin=store)
    answer = changing.fill(form, decide=KEEP)
    assert answer.status_code == 409
    assert _decisions(store) == {}
    changing.fill(read(answer.text).form("/pile/decide"))
    assert _decisions(store) == {"navy": KEEP}


def test_a_decision_that_is_none_is_refused(changing: Visitor, store: Path):
    answer = changing.fill(changing.read("/pile").form("/pile/decide"), decide="burn it")
    assert "Not done." in answer.text
    assert _decisions(store) == {}


def test_sheets_are_looked_at_and_say_why_nothing_can_be_decided():
    with Visitor("demo") as visitor:
        page = visitor.look("/pile").text
    assert "can’t remember a decision" in page
    assert 'name="decide"' not in page


def test_by_keyboard_alone(own_server: Served, browsing: Callable[..., Page], store: Path):
    """Tab to the first button, then numbers; 0 leaves one for now, and what was decided can be taken back."""
    order = [one.lot.name for one in triage(store).advice]
    page = browsing(f"{own_server.address}/pile")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "decide":
            break
    page.keyboard.press("2")
    expect(page.get_by_role("progressbar")).to_have_attribute("value", "1")
    expect(page.locator("button[name=decide]").first).to_be_focused()
    expect(page.get_by_role("heading", level=2)).to_contain_text(order[1])
    page.keyboard.press("0")
    expect(page.get_by_role("heading", level=2)).to_contain_text(order[2])
    assert set(_decisions(store)) == {order[0]}
    page.get_by_role("button", name="Take it back").press("Enter")
    expect(page.get_by_role("progressbar")).to_have_attribute("value", "0")

"""One lot on the page: all that the command shows of it, and everything that can be done with it."""

from __future__ import annotations

from pathlib import Path

import httpx
import pytest
from markup import read
from server import Served
from visitor import Visitor

from matcher.actions.desk import Desk
from matcher.actions.keeping.cells import add
from matcher.actions.keeping.lots import move
from matcher.actions.looking.facts import facts
from matcher.actions.looking.lines import LotLine
from matcher.actions.looking.listing import listing
from matcher.actions.looking.show import show
from matcher.web.words import page_style

STYLE = page_style()


def names(bin: Path) -> list[str]:
    return [one.lot.name for one in listing("lots", bin).lines if isinstance(one, LotLine)]


def test_it_says_what_the_command_says(demo: Visitor, taken_in: Path):
    for name in ("navy", "mid grey", "berry mix", "old teal", "charcoal, first dye lot"):
        words = demo.read(f"/lot/{name}").words
        for _, said in facts(show(name, taken_in, what="lot").things[0]):
            assert " ".join(STYLE.say(said).split()) in words


def test_a_name_that_is_none_is_said_with_the_nearest(demo: Visitor):
    answer = demo.visit("/lot/navi")
    assert answer.status_code == 404
    assert "did you mean navy" in read(answer.text).words


def test_nothing_left_leads_back_to_the_bin(changing: Visitor):
    answer = changing.submit("/lot/plum", "/weigh/plum", grams="0")
    assert str(answer.url).endswith("/bin")
    assert "Nothing is left of plum, so it is out of the bin." in read(answer.text).words
    assert changing.visit("/lot/plum").status_code == 404


def test_a_weight_that_is_none_is_refused_and_stays(changing: Visitor):
    answer = changing.submit("/lot/plum", "/weigh/plum", grams="<i>much</i>")
    page = read(answer.text)
    assert "Not done." in page.words
    assert page.form("/weigh/plum").fields["grams"] == "<i>much</i>"
    assert "<i>much" not in answer.text


def test_it_moves_and_is_decided_on(changing: Visitor, store: Path):
    changing.submit("/lot/plum", "/move/plum", place="top shelf")
    changing.submit("/lot/plum", "/decide/plum", advice="keep with the garment")
    page = changing.read("/lot/plum")
    assert "top shelf" in page.words
    assert page.form("/decide/plum").fields["advice"] == "keep with the garment"
    changing.submit("/lot/plum", "/decide/plum", advice="")
    assert changing.read("/lot/plum").form("/decide/plum").fields["advice"] == ""
    assert "you decided: keep with the garment" in changing.read("/lot/plum").words


def test_it_is_parted_and_joined(changing: Visitor, store: Path):
    answer = changing.submit("/lot/navy", "/split/navy", part="20 g", new_name="navy, a little")
    assert str(answer.url).endswith("/lot/navy%2C%20a%20little")
    assert {"navy", "navy, a little"} <= set(names(store))
    answer = changing.submit("/lot/navy", "/join/navy", other="moss")
    page = read(answer.text)
    assert "aren't alike" in page.words
    assert page.form("/join/navy").fields["other"] == "moss"
    changing.submit("/lot/navy", "/join/navy", other="navy, a little")
    assert "navy, a little" not in names(store)


def test_its_cells_are_changed_and_it_gets_another_name(changing: Visitor, store: Path):
    form = changing.read("/change/navy").form("/change/navy")
    assert form.fields["lot"] == "navy"
    assert form.fields["colour"] == "#1f2a4a"
    answer = changing.fill(form, lot="night / day", note='<script>"x"</script>', grams="80 g")
    assert "/lot/night%20%2F%20day" in str(answer.url)
    assert "<script>" not in answer.text.split("<main")[1]
    assert "night / day" in names(store)
    assert "80 g" in changing.read("/lot/night%20%2F%20day").words
    changing.submit("/lot/night%20%2F%20day", "/weigh/night%20/%20day", grams="70")
    assert "70 g" in changing.read("/lot/night%20%2F%20day").words


def test_a_cell_that_cannot_be_read_is_refused_with_all_that_was_typed(changing: Visitor):
    answer = changing.submit("/change/navy", "/change/navy", grams="a lot", place="here")
    page = read(answer.text)
    assert "a cell can't be read" in page.words
    assert page.form("/change/navy").fields["grams"] == "a lot"
    assert page.form("/change/navy").fields["place"] == "here"


@pytest.mark.parametrize("what", ["weigh", "change"])
def test_of_two_windows_the_later_is_told(changing: Visitor, what: str):
    address = "/lot/plum" if what == "weigh" else "/change/plum"
    old = changing.read(address).form(f"/{what}/plum")
    changing.submit("/lot/plum", "/move/plum", place="elsewhere")
    answer = changing.fill(old, grams="7 g")
    assert answer.status_code == 409
    assert "move plum to elsewhere" in read(answer.text).words
    changing.fill(read(answer.text).form(f"/{what}/plum"))
    assert "7 g" in changing.read("/lot/plum").words


def test_one_is_added_with_all_that_is_known_and_found_by_its_code(changing: Visitor, store: Path):
    answer = changing.submit("/add", "/add", lot="sea", colour="#2f6f66", grams="lots")
    assert read(answer.text).form("/add").fields["lot"] == "sea"
    assert "sea" not in names(store)
    typed = {"lot": "sea", "colour": "#2f6f66", "grams": "41", "class": "DK", "fibre": "wool", "wash": "hand"}
    assert str(changing.submit("/add", "/add", **typed).url).endswith("/lot/sea")
    code = next(one for one in Desk(store).bin.lots if one.name == "sea").code
    assert str(changing.visit(f"/find?name={code}").url).endswith("/lot/sea")
    assert str(changing.visit("/find?name=MOSS cardigan").url).endswith("/garment/moss%20cardigan")
    assert "did you mean" in read(changing.visit("/find?name=moos").text).words
    assert str(changing.visit("/find?name=").url).endswith("/bin")


def test_what_was_typed_stays_whatever_signs_its_name_has(changing: Visitor):
    changing.submit("/add", "/add", lot="navy #2, old?", colour="navy", grams="50", **{"class": "DK"})
    form = changing.read("/lot/navy%20%232%2C%20old%3F").form("/weigh/navy%20%232%2C%20old%3F")
    page = read(changing.fill(form, grams="much").text)
    assert "Not done." in page.words
    assert page.form(form.action).fields["grams"] == "much"


def test_from_what_was_told_the_last_thing_can_be_taken_back(changing: Visitor):
    old = changing.read("/lot/plum").form("/weigh/plum")
    changing.submit("/lot/plum", "/move/plum", place="elsewhere")
    told = changing.fill(old, grams="7 g")
    answer = changing.fill(read(told.text).form("/undo"))
    assert answer.status_code == 200
    assert "elsewhere" not in changing.read("/lot/plum").words


def test_a_mark_that_is_none_is_no_fault_of_ours(changing: Visitor):
    form = changing.read("/lot/plum").form("/weigh/plum")
    assert changing.fill(form, mark="²-a", grams="7 g").status_code == 200


def test_what_is_done_anyway_is_done_to_the_same_lot_whatever_its_name(own_server: Served, store: Path):
    for name in ("70%41", "70A"):
        add(name, {"colour": "navy", "grams": "50 g", "class": "DK"}, bin=store)
    address = own_server.address
    with httpx.Client(base_url=address, headers={"origin": address}, timeout=60, follow_redirects=True) as browser:
        old = read(browser.get("/lot/70%2541").text).form("/weigh/70%2541")
        move("70%41", "elsewhere", bin=store)
        told = browser.post(old.action, data={**old.fields, "grams": "7 g"})
        assert told.status_code == 409
        again = read(told.text).form("/weigh/70%2541")
        assert browser.post(again.action, data=again.fields).url.raw_path == b"/lot/70%2541"
    assert {one.name: one.mass_g for one in Desk(store).bin.lots if one.name.startswith("70")} == {
        "70%41": 7,
        "70A": 50,
    }

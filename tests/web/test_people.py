"""People and wishes on the page: every cell written, changed, refused with what was typed, forgotten, taken back."""

from __future__ import annotations

import html
from pathlib import Path

from markup import read
from visitor import Visitor

from matcher.actions.desk import Desk
from matcher.actions.keeping.people import written_of
from matcher.actions.keeping.wishes import written_wishes
from matcher.actions.whom.everyone import everyone
from matcher.materials.wishes import WISHES
from matcher.store.sheets.columns import PEOPLE

CELLS = {
    "size": "5 years",
    "head_cm": "51",
    "hand_cm": "14",
    "foot_cm": "18",
    "chest_cm": "61",
    "avoid_on_skin": "mohair; wool",
    "eyes": "red-green",
    "likes": "hats; blue",
    "dislikes": "mitts",
    "note": 'grows <b>fast</b> & "well"',
}


def test_everybody_is_there_and_each_has_a_page(demo: Visitor, taken_in: Path):
    desk = Desk(taken_in)
    page = demo.read("/people")
    for one in everyone(desk.bin, desk.catalogue, of_gone=True):
        assert one.name in page.words
        assert f"/person/{one.name.replace(' ', '%20')}" in page.links
    mine = demo.look("/person/my%20father").text
    for column, text in written_of("my father", bin=taken_in).items():
        assert f'name="{column}" value="{text}"' in mine


def test_every_cell_is_written_changed_and_forgotten(changing: Visitor, store: Path):
    assert set(CELLS) == set(PEOPLE.typed) - {"person"}
    changing.fill(changing.read("/people").form("/people/add"), person="Ada", **CELLS)
    assert written_of("Ada", bin=store) == CELLS
    page = changing.look("/person/Ada")
    assert "<b>fast</b>" not in page.text
    form = read(page.text).form("/person/Ada")
    assert {name: form.fields[name] for name in CELLS} == CELLS
    changing.fill(form, likes="", size="8 years")
    assert written_of("Ada", bin=store) == {**{k: v for k, v in CELLS.items() if k != "likes"}, "size": "8 years"}
    changing.fill(changing.read("/person/Ada").form("/people/forget/Ada"))
    assert written_of("Ada", bin=store) == {}
    changing.fill(changing.read("/people").form("/undo"))
    assert written_of("Ada", bin=store)["size"] == "8 years"


def test_what_cannot_be_read_stays_in_its_field(changing: Visitor, store: Path):
    form = changing.read("/people").form("/people/add")
    answer = changing.fill(form, person="Ada", size="enormous", head_cm="51", likes="hats")
    assert "Not done." in answer.text
    assert 'size: found "enormous"' in html.unescape(answer.text)
    assert 'value="enormous"' in answer.text
    assert 'value="Ada"' in answer.text
    assert written_of("Ada", bin=store) == {}
    answer = changing.fill(changing.read("/person/my%20father").form("/person/my%20father"), foot_cm="long")
    assert "Not done." in answer.text
    assert 'foot: found "long"' in html.unescape(answer.text)  # as the field is called
    assert ">Foot</label>" in answer.text
    assert 'value="long"' in answer.text


def test_a_wearer_whom_only_a_garment_knows_is_written_down(changing: Visitor, store: Path):
    changing.fill(changing.read("/person/a%20friend").form("/person/a%20friend"), size="adult small")
    assert written_of("a friend", bin=store) == {"size": "adult small"}


def test_every_wish_is_kept_and_left_open_again(changing: Visitor, store: Path):
    wanted = {
        "units": "mixed",
        "never": "yokes",
        "apart": "mohair + cotton",
        "least_contrast": "readable",
        "eyes": "red-green",
        "mending": "little",
    }
    assert set(wanted) == set(WISHES)
    changing.fill(changing.read("/people").form("/people/wishes"), **wanted)
    assert written_wishes(bin=store) == wanted
    form = changing.read("/people").form("/people/wishes")
    assert {name: form.fields[name] for name in WISHES} == wanted
    answer = changing.fill(form, never="spaceships")
    assert "Not done." in answer.text
    assert 'value="spaceships"' in answer.text
    assert written_wishes(bin=store) == wanted
    changing.fill(changing.read("/people").form("/people/wishes"), **dict.fromkeys(wanted, ""))
    assert written_wishes(bin=store) == {}


def test_before_there_is_anything_the_first_person_begins_the_store(empty: Visitor, tmp_path: Path):
    assert "Nobody is written down" in empty.look("/people").text
    empty.fill(empty.read("/people").form("/people/add"), person="Ada", size="5 years")
    assert written_of("Ada", bin=tmp_path / "nothing yet.sqlite") == {"size": "5 years"}


def test_from_a_person_it_leads_to_what_could_be_made_for_her(demo: Visitor):
    for address in ("/people", "/person/my%20father"):
        to = next(link for link in demo.read(address).links if link.startswith("/suggestions") and "father" in link)
        assert read(demo.look(to).text).form("/suggestions").fields["whom"] == "my father"

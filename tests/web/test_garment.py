"""Garments on the page: what the command says, where yarn is kept drawn on the outline, and what becomes of them."""

from __future__ import annotations

from pathlib import Path

from markup import read
from visitor import Visitor

from matcher.actions.desk import Desk
from matcher.actions.looking.facts import facts
from matcher.actions.looking.kept_for import garment_picture, kept_places
from matcher.actions.looking.show import show
from matcher.actions.looking.things import ShownGarment
from matcher.actions.reserve import reserve
from matcher.materials.lots import MENDING
from matcher.reasons.quantities import Length
from matcher.web.words import page_style

STYLE = page_style()


def shown(name: str, bin: Path) -> ShownGarment:
    one = show(name, bin, what="garment").things[0]
    assert isinstance(one, ShownGarment)
    return one


def test_every_garment_stands_among_the_others_and_on_a_page_of_its_own(demo: Visitor, taken_in: Path):
    words = demo.read("/garments").words
    for name in Desk(taken_in).bin.garments:
        assert name in words
        page = demo.read(f"/garment/{name}").words
        for word, said in facts(shown(name, taken_in)):
            if word not in ("", "lots"):
                assert " ".join(STYLE.say(said).split()) in page


def test_each_place_is_drawn_with_the_metres_of_its_colours(demo: Visitor, taken_in: Path):
    one = shown("grey yoke pullover", taken_in)
    places = kept_places(one)
    assert [(place.where, place.always) for place in places] == [
        ("yoke", False),
        ("elbows", False),
        ("cuffs", False),
        ("anywhere", True),
        ("body", True),
    ]
    words = demo.read("/garment/grey yoke pullover").words
    for place in places:
        for yarn, metres in place.parts:
            assert f"{STYLE.say(Length(metres))} of {yarn}" in words
    # What is kept in any case and the most of the others are the whole, but for what is added for safety.
    group = max(one.reserves, key=lambda group: len(group.working))
    mine = [(place, m) for place in places for yarn, m in place.parts if yarn == group.called]
    whole = max(m for place, m in mine if not place.always) + sum(m for place, m in mine if place.always)
    assert abs(whole - sum(line.length_m for line in group.working)) < 1e-9
    scene = garment_picture(one, Desk(taken_in))
    assert {label.text for label in scene.labels} == {"1", "2", "3", "4", "5"}
    assert len({(label.x, label.y) for label in scene.labels}) == 5
    assert len([shape for shape in scene.shapes if shape.kind == "kept"]) == 9
    for shape in scene.shapes:
        assert all(0 <= x <= scene.width and 0 <= y <= scene.height for x, y in shape.points)


def test_of_one_that_is_gone_nothing_is_kept(demo: Visitor, taken_in: Path):
    one = shown("navy yoke pullover", taken_in)
    assert kept_places(one) == ()
    assert not [shape for shape in garment_picture(one, Desk(taken_in)).shapes if shape.kind == "hatch"]
    assert "No yarn is kept to mend it." in demo.read("/garment/navy yoke pullover").words


def test_every_kind_has_an_outline_that_fits_its_paper(taken_in: Path):
    from matcher.drawing.garment_outline import KINDS, Kept, outline_scene
    from matcher.knitting.mending.repairs import PLACES, SLEEVES
    from matcher.materials.lots import PARTS

    for kind in KINDS:
        for sleeves in SLEEVES:
            for where in (*PLACES, *PARTS.values()):
                scene = outline_scene(kind, sleeves, None, [Kept(1, where, where, True)], "title")
                for shape in scene.shapes:
                    assert all(0 <= x <= scene.width and 0 <= y <= scene.height for x, y in shape.points)
                assert [shape for shape in scene.shapes if shape.kind == "hatch"]


def test_what_became_of_it_is_a_tap_and_frees_its_yarn(changing: Visitor):
    assert "given away" in changing.said(
        changing.submit("/garment/moss cardigan", "/became/moss%20cardigan", status="given")
    )
    changing.submit("/garment/moss cardigan", "/became/moss%20cardigan", status="gone")
    assert "No yarn is kept to mend it." in changing.read("/garment/moss cardigan").words


def test_what_yarn_is_kept_for_is_a_tap_with_its_metres(changing: Visitor, store: Path):
    address, to = "/garment/moss cardigan", "/keep-for/moss%20cardigan"
    words, found = changing.read(address).words, reserve(store)
    for choice in MENDING:
        groups = zip(found.groups, found.choices, strict=True)
        kept = sum(each[choice] for group, each in groups if group.garment == "moss cardigan")
        assert f": {STYLE.say(Length(kept))}" in words
    changing.submit(address, to, mending="little")
    assert Desk(store).bin.garments["moss cardigan"].mending == "little"
    changing.submit(address, to, mending="")
    assert Desk(store).bin.garments["moss cardigan"].mending == ""


def test_mending_takes_yarn_and_a_wrong_length_is_refused(changing: Visitor, store: Path):
    address, to = "/garment/grey yoke pullover", "/mended/grey%20yoke%20pullover"
    page = read(changing.submit(address, to, lot="mid grey", length="a bit").text)
    assert "Not done." in page.words
    assert page.form(to).fields["length"] == "a bit"
    words = changing.said(changing.submit(address, to, lot="mid grey", length="12 m"))
    assert "grey yoke pullover was mended with 12 m of mid grey." in words


def test_a_new_one_and_its_cells(changing: Visitor, store: Path):
    answer = changing.submit("/garments", "/garments/add", garment="<b>blue</b> vest", kind="vest", status="worn")
    assert "<b>blue" not in answer.text
    address = "/garment-cells/%3Cb%3Eblue%3C%2Fb%3E%20vest"
    changing.submit(address, "/garment-cells/%3Cb%3Eblue%3C%2Fb%3E%20vest", chest_cm="98", plans="lengthen body 5 cm")
    made = Desk(store).bin.garments["<b>blue</b> vest"]
    assert made.chest_cm == 98
    assert made.alterations[0].part == "body"
    page = read(changing.submit("/garments", "/garments/add", garment="other", status="perhaps").text)
    assert "isn't what a garment can be" in page.words
    assert page.form("/garments/add").fields["garment"] == "other"

"""Laws of suggesting for people: skins, sizes, children, eyes and tastes narrow what is searched, never what is shown."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from definitions import kept_across_a_table

import matcher
from matcher.actions.ranking.suggestion import Suggestions
from matcher.errors import NotFound
from matcher.matching.contrast import LEVELS, judge
from matcher.materials.colours.vision import WHOSE
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
SIZES = CATALOGUE.sizes
LOTS = """lot,grams,colour,colour_name,class,fibre,garment
navy wool,90,#1f3355,navy,3,wool,jumper
cream merino,90,#efe6d2,cream,3,merino,
rust mix,90,#9c4a24,rust,3,80% acrylic 20% wool,
sage cotton,90,#9caf88,sage,3,cotton,
charcoal acrylic,90,#36393b,charcoal,3,acrylic,
red cotton,90,#b3262e,red,3,cotton,
green cotton,90,#4f7a28,green,3,cotton,
mystery,90,#d9c27a,straw,3,,
"""
GARMENTS = "garment,kind,status\njumper,pullover,worn\n"
WORN = "garment,kind,status,wearer,chest_cm\njumper,pullover,worn,me,100\n"


def bin_of(folder: Path, people: str = "", garments: str = GARMENTS) -> Path:
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    (folder / "garments.csv").write_text(garments, encoding="utf-8")
    if people:
        (folder / "people.csv").write_text(people, encoding="utf-8")
    return folder


def every(folder: Path, **asked: object) -> Suggestions:
    return matcher.suggest(folder, top=200, each=2, held_together=False, varied=False, **asked)


def worn_on_skin(found: Suggestions) -> list[tuple[tuple[str, ...], set[str]]]:
    """For whom, and of which fibres, each thing is that lies on the skin."""
    return [
        (one.people, {fibre.name for role in one.roles for lot in role.lots for fibre, _ in lot.yarn.blend.parts})
        for one in found
        if one.found.variant.accessory.next_to_skin
    ]


def wearers(found: Suggestions) -> set[str]:
    return {SIZES.wearer(one.size) for one in found}


def test_what_lies_on_her_skin_has_no_fibre_that_does_not_suit_it(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,avoid on skin\nAda,adult medium,wool\nBea,adult medium,acrylic\n")
    found = every(tmp_path)
    seen = worn_on_skin(found)
    assert {name for people, _ in seen for name in people} == {"Ada", "Bea"}
    for people, fibres in seen:
        assert people
        assert "Ada" not in people or not fibres & {"wool", "merino"}
        assert "Bea" not in people or "acrylic" not in fibres
    # What nobody wears may be of anything.
    others = [one for one in found if not one.found.variant.accessory.next_to_skin]
    assert any(lot.name == "navy wool" for one in others for role in one.roles for lot in role.lots)


def test_a_fibre_that_is_not_known_is_said(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,avoid on skin\nAda,adult medium,mohair\n")
    for one in every(tmp_path, lot="mystery"):
        said = any("mystery is not known, and some do not suit the skin of Ada" in str(two) for two in one.warnings)
        assert said == one.found.variant.accessory.next_to_skin
    assert any("no promise" in str(note) for note in every(tmp_path, whom="Ada").notes)
    for one in every(tmp_path):
        promised = any("no promise" in str(caution) for caution in one.cautions)
        assert promised == one.found.variant.accessory.next_to_skin


def test_without_people_it_is_for_adults(tmp_path: Path) -> None:
    found = every(bin_of(tmp_path))
    assert wearers(found) <= {"adult", "anyone"}
    assert {one.size for one in found} >= {"adult small", "adult medium", "adult large"}
    assert all(one.people == () for one in found)


def test_children_only_when_one_is_there_or_asked_for(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size\nme,adult medium\n")
    assert wearers(every(tmp_path)) <= {"adult", "anyone"}
    assert {one.size for one in every(tmp_path, size="5 years", kind="hat")} == {"5 years"}
    bin_of(tmp_path, "name,size\nme,adult medium\nAda,5 years\n")
    found = every(tmp_path)
    assert {one.size for one in found} == {"adult medium", "5 years", "one size"}
    assert all("Ada" in one.people for one in found if one.size == "5 years")
    assert {one.size for one in every(tmp_path, whom="ada")} == {"5 years", "one size"}


def test_a_childs_garment_tells_that_a_child_is_there(tmp_path: Path) -> None:
    worn = "garment,kind,status,wearer\nred,child pullover,{},Ada\njumper,pullover,worn,me\n"
    bin_of(tmp_path, garments=worn.format("worn"))
    assert "5 years" in {one.size for one in every(tmp_path)}
    bin_of(tmp_path, garments=worn.format("gone"))
    assert wearers(every(tmp_path)) <= {"adult", "anyone"}


def test_a_size_is_guessed_from_garments_and_it_is_said(tmp_path: Path) -> None:
    found = every(bin_of(tmp_path, garments=WORN))
    assert {one.size for one in found} == {"adult small", "one size"}
    assert any("me adult small" in str(note) and "guess" in str(note) for note in found.notes)
    bin_of(tmp_path, "name,size\nme,adult large\n", WORN)
    found = every(tmp_path)
    assert {one.size for one in found} == {"adult large", "one size"}
    assert not any("guess" in str(note) for note in found.notes)


def test_her_own_measures_are_knitted_to(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,head\nAda,adult medium,56.7\nBea,adult medium,60\n")
    needs = {
        name: {
            one.accessory: sum(need.length_m for need in one.found.variant.needs)
            for one in every(tmp_path, whom=name, kind="hat")
            if one.found.variant.gauge.stitches_10cm == 22
        }
        for name in ("Ada", "Bea")
    }
    both = needs["Ada"].keys() & needs["Bea"].keys()
    assert both
    assert all(needs["Ada"][one] < needs["Bea"][one] for one in both)
    hats = every(tmp_path, whom="Bea", kind="hat")
    assert {one.size for one in hats} == {"Bea (measured)"}
    # Mitts do not go by the head.
    assert {one.size for one in every(tmp_path, whom="Bea", kind="mitts")} == {"adult medium"}


def test_own_measures_like_a_size_take_what_the_size_takes(tmp_path: Path) -> None:
    head = SIZES.dimension("adult medium", "head")
    bin_of(tmp_path, f"name,size,head\nAda,adult medium,{head}\nBea,adult medium,\n")
    ada, bea = (every(tmp_path, whom=name, kind="hat") for name in ("Ada", "Bea"))
    assert [one.accessory for one in ada] == [one.accessory for one in bea]
    assert [one.score for one in ada] == pytest.approx([one.score for one in bea])


# Whose eyes are of one kind are among those of "any".
@pytest.mark.parametrize("eyes", ["red-green", "any"])
def test_her_eyes_read_what_is_for_her(tmp_path: Path, eyes: str) -> None:
    bin_of(tmp_path, f"name,size,eyes\nAda,adult medium,{eyes}\nBea,adult medium,\n")
    rules = CATALOGUE.seen_by(WHOSE[eyes]).contrast
    found = every(tmp_path)
    for one in found:
        least = LEVELS[one.found.variant.accessory.least_contrast or "quiet"]
        colours = {role.role: role.colour for role in one.roles}
        read = all(
            judge(
                *(colours[role] for role in pair.roles),
                CATALOGUE.vision,
                replace(
                    rules,
                    hue_kept=kept_across_a_table(
                        one.found.variant.accessory, one.found.variant.gauge, *pair.roles, CATALOGUE
                    ),
                ),
                "quiet",
            ).reading
            >= least - 1e-6
            for pair in one.contrasts
        )
        if one.size != "one size":
            assert ("Ada" in one.people) == read
            assert "Bea" in one.people
    alone = every(tmp_path, whom="Ada")
    assert all(one.size == "one size" or one.people == ("Ada",) for one in alone)
    asked = every(tmp_path, whom="Ada", eyes="ordinary")
    assert len(asked) >= len(alone)


def test_kinds_and_colours_that_she_does_not_want_are_left_out(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,dislikes\nAda,adult medium,hats; blue; red\n")
    found = every(tmp_path)
    assert len(found) > 0
    assert all(one.kind != "hat" for one in found)
    used = {lot.name for one in found for role in one.roles for lot in role.lots}
    assert used
    assert not used & {"navy wool", "red cotton"}


def test_what_she_likes_counts_as_a_wish_unless_another_is_given(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,likes\nAda,adult medium,hats; cowls; green\n")
    found = every(tmp_path)
    assert {one.kind for one in found} <= {"hat", "cowl"}
    green = {"green cotton", "sage cotton"}
    assert all(any(lot.name in green for role in one.roles for lot in role.lots) for one in found)
    assert {one.kind for one in every(tmp_path, kind="mitts")} == {"mitts"}
    asked = every(tmp_path, lot="rust mix")
    assert all(any(lot.name == "rust mix" for role in one.roles for lot in role.lots) for one in asked)


def test_a_colour_that_is_not_there_counts_for_nothing(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,likes\nAda,adult medium,purple\n")
    assert len(every(tmp_path)) > 0


def test_a_word_that_names_nothing_is_said(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,likes\nAda,adult medium,hatts\n")
    (said,) = [str(note) for note in every(tmp_path).notes if "hatts" in str(note)]
    assert "did you mean hat?" in said


def test_a_name_that_nobody_has_is_told_with_the_nearest(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size\nmy father,adult large\n")
    with pytest.raises(NotFound) as caught:
        matcher.suggest(tmp_path, whom="my fathre")
    assert caught.value.near == ("my father",)


def test_a_size_may_be_asked_for_somebody(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,avoid on skin\nAda,5 years,wool\n")
    found = every(tmp_path, whom="Ada", size="8 years")
    assert {one.size for one in found} == {"8 years", "one size"}
    assert all(not fibres & {"wool", "merino"} for _, fibres in worn_on_skin(found))


def test_yarn_that_suits_nobody_is_told_so(tmp_path: Path) -> None:
    bin_of(tmp_path, "name,size,avoid on skin\nAda,adult medium,wool\n")
    found = matcher.suggest(tmp_path, kind="hat", held_together=False, varied=False)
    why = {one.lot: str(one.why) for one in found.unused}
    assert why["navy wool"] == why["cream merino"] == "its fibre or its colour is not for Ada"

"""Commands take the words of the sheets for a class, a kind, a size, an accessory, and say what they made of them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from matcher.actions.meant import accessory_meant, class_meant, kind_meant, size_meant
from matcher.actions.needs import needs
from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Words
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
NO_JUMPER = "No whole jumper or sweater is in the catalogue: a yoke is knitted onto one of your own."


@pytest.mark.parametrize(
    ("text", "number", "said"),
    [
        ("3", 3, []),
        (3, 3, []),
        ("DK", 3, []),
        ("4ply", 1, ['"4ply" is read as class 1.']),
        ("worstd", 4, ['Guessed from "worstd": class 4.']),
    ],
)
def test_a_class(text: str | int, number: int, said: list[str]):
    told: list[Words] = []
    assert class_meant(text, CATALOGUE, told) == number
    assert [str(one) for one in told] == said


@pytest.mark.parametrize(("text", "said"), [("DK/worsted", "may be class 3 or 4"), ("baby", "1 or 2"), ("12", "class")])
def test_a_class_that_is_none_or_several(text: str, said: str):
    with pytest.raises(BadInput, match=said):
        class_meant(text, CATALOGUE, [])


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("hat", "hat", []),
        ("Hats", "hat", []),
        ("mitt", "mitts", []),
        ("beanie", "hat", ['"beanie" is read as hat.']),
        ("beanies", "hat", ['"beanies" is read as hat.']),
        ("mittens", "mitts", ['"mittens" is read as mitts.']),
        ("snood", "cowl", ['"snood" is read as cowl.']),
        ("jumpers", "yoke", ['"jumpers" is read as yoke.', NO_JUMPER]),
        ("headbnd", "headband", ['Guessed from "headbnd": headband.']),
    ],
)
def test_a_kind(text: str, kind: str, said: list[str]):
    told: list[Words] = []
    assert kind_meant(text, CATALOGUE, told) == kind
    assert [str(one) for one in told] == said


def test_who_has_some_of_her_own_is_not_told_that_there_is_none():
    yoke = next(one for one in CATALOGUE.accessories.values() if one.kind == "yoke")
    hers = {**CATALOGUE.accessories, "mine": replace(yoke, key="mine", own=True)}
    told: list[Words] = []
    kind_meant("jumper", replace(CATALOGUE, accessories=hers), told)
    assert [str(one) for one in told] == ['"jumper" is read as yoke.']


def test_a_kind_that_is_none():
    with pytest.raises(NotFound, match="no kind of accessory"):
        kind_meant("balaclava", CATALOGUE, [])


@pytest.mark.parametrize(
    ("text", "size", "said"),
    [
        ("adult medium", "adult medium", []),
        ("medium", "adult medium", ['"medium" is read as adult medium.']),
        ("size M", "adult medium", ['"size M" is read as adult medium.']),
        ("age 5", "5 years", ['"age 5" is read as 5 years, the nearest size.']),
        ("adult medum", "adult medium", ['Guessed from "adult medum": adult medium.']),
    ],
)
def test_a_size(text: str, size: str, said: list[str]):
    told: list[Words] = []
    sizes = CATALOGUE.sizes
    assert size_meant(text, sizes, sizes.names, "size", told) == size
    assert [str(one) for one in told if "5 years" not in str(one)] == [one for one in said if "5 years" not in one]
    assert bool(told) == bool(said)


def test_a_size_that_the_accessory_has_not():
    with pytest.raises(NotFound, match="size"):
        size_meant("age 5", CATALOGUE.sizes, ("adult small", "adult medium"), "size", [])


@pytest.mark.parametrize(
    ("name", "key", "said"),
    [
        ("hat-ribbed", "hat-ribbed", False),
        ("Ribbed Hat", "hat-ribbed", False),
        ("ribbed beanie", "hat-ribbed", True),
        ("garter snood", "cowl-garter", True),
        ("earflap hats", "hat-earflap", True),
        ("ribed hat", "hat-ribbed", True),
        ("pincushon", "pincushion", True),
    ],
)
def test_an_accessory(name: str, key: str, said: bool):
    told: list[Words] = []
    assert accessory_meant(name, CATALOGUE, told).key == key
    assert bool(told) is said


@pytest.mark.parametrize(("name", "kind"), [("cowl", "cowl"), ("snood", "cowl"), ("beanie", "hat"), ("cowls", "cowl")])
def test_a_word_for_many_asks_which_of_them(name: str, kind: str):
    with pytest.raises(NotFound) as caught:
        accessory_meant(name, CATALOGUE, [])
    of_kind = {one.name for one in CATALOGUE.accessories.values() if one.kind == kind}
    assert of_kind <= set(caught.value.near)
    assert all(one in str(caught.value) for one in of_kind)
    assert f'"{name}" may be {len(caught.value.near)} of the accessories' in str(caught.value)


def test_an_accessory_that_is_none():
    with pytest.raises(NotFound, match="no accessory"):
        accessory_meant("submarine", CATALOGUE, [])


def test_every_key_and_name_is_meant_by_itself():
    for key, entry in CATALOGUE.accessories.items():
        told: list[Words] = []
        assert accessory_meant(key.upper(), CATALOGUE, told) is entry
        assert accessory_meant(entry.name, CATALOGUE, told) is entry
        assert not told


def test_the_commands_say_what_they_read(run):
    shown = run("needs", "ribbed beanie", "--size", "M", "--class", "double knitting")
    assert shown.exit_code == 0, shown.stderr
    for words in ('"ribbed beanie" is read as the ribbed hat', '"M" is read as adult medium', "is read as class 3"):
        assert words in " ".join(shown.stderr.split())
    assert (
        needs("hat-ribbed", size="adult medium", weight_class="DK").rows
        == needs("hat-ribbed", size="adult medium", weight_class=3).rows
    )
    shown = run("piece", "--structure", "stocking", "--stitches", "110", "--height", "20 cm", "--class", "aran")
    assert shown.exit_code == 0, shown.stderr
    shown = run("needs", "cowl")
    assert shown.exit_code == 2
    assert '"cowl" may be' in shown.stderr
    assert "garter cowl" in shown.stderr


def test_weighing_takes_words_and_keeps_their_spread(run, run_json, small, tmp_path):
    """A weight in words goes into the store as she typed it; what takes from it keeps its spread."""
    store = tmp_path / "bin.sqlite"
    assert run("intake", small, "--bin", store, "--yes").exit_code == 0
    shown = run("weigh", "navy", "about 40 g", "--bin", store)
    assert shown.exit_code == 0, shown.stderr
    assert '"about 40 g" is read as 40 g, give or take 3.5 g' in " ".join(shown.stderr.split())
    assert run_json("weigh", "navy", "half", "--bin", store)["after_g"] == 25
    run("weigh", "navy", "about 40 g", "--bin", store)
    assert run("split", "navy", "10", "--bin", store).exit_code == 0
    assert run("store", "check", "--bin", store).exit_code in (0, 2)
    from matcher.actions.desk import Desk

    lots = {lot.name: lot for lot in Desk(store).bin.lots}
    assert (lots["navy"].mass_g, lots["navy 2"].mass_sd_g) == (30, 0)
    assert lots["navy"].mass_sd_g == pytest.approx(3.46, abs=0.01)
    run("change", "navy", "--ball-grams", "100", "--ball-metres", "250", "--grams", "half a ball", "--bin", store)
    lots = {lot.name: lot for lot in Desk(store).bin.lots}
    assert lots["navy"].mass_g == pytest.approx(50)

"""Sizes are named by what they are; what they went by earlier is still understood."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher
from matcher.knitting.mending.repairs import body_cm
from matcher.materials.lots import Garment
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
SIZES = CATALOGUE.sizes
EARLIER = {
    "newborn": "1 month",
    "baby": "6 months",
    "toddler": "2 years",
    "child": "5 years",
    "schoolchild": "8 years",
    "teen": "13 years",
}


def test_sizes_are_named_by_what_they_are() -> None:
    assert SIZES.names == (*EARLIER.values(), "adult small", "adult medium", "adult large", "one size")


@pytest.mark.parametrize("earlier", EARLIER)
def test_an_earlier_name_is_still_read(earlier: str) -> None:
    assert SIZES.named(earlier) == SIZES.named(f" {earlier.upper()} ") == EARLIER[earlier]
    assert SIZES.named(EARLIER[earlier]) == EARLIER[earlier]


def test_a_word_that_is_no_size_stays_as_it_is() -> None:
    assert SIZES.named("My Godson") == "My Godson"


def test_commands_take_earlier_names_and_show_todays() -> None:
    assert {one.size for one in matcher.suggest(kind="hat", size="baby").suggestions} == {"6 months"}
    assert matcher.needs("hat-ribbed", size="Toddler", weight_class=3).rows[0]["size"] == "2 years"
    hat = matcher.partner(garment="grey yoke pullover", accessory="hat-ribbed", motif="seeds", size="child")
    assert str(hat.worn.size) == "5 years"


@pytest.mark.parametrize("wearer", ["child", "5 years"])
def test_a_wearer_may_be_a_size(wearer: str) -> None:
    worn = Garment("a", "pullover", "worn", wearer, None, None, None, (), "", "")
    assert body_cm(worn, "head", CATALOGUE.repairs, SIZES) == 50.3


def test_her_own_entries_may_use_earlier_names(tmp_path: Path) -> None:
    entry = (Path(__file__).parents[2] / "catalog" / "accessories" / "hat-baby.toml").read_text(encoding="utf-8")
    mine = entry.replace("baby hat with a rolled edge", "my hat").replace('"1 month", "6 months"', '"newborn", "baby"')
    (tmp_path / "my-hat.toml").write_text(mine.replace('source = "project"\n', ""), encoding="utf-8")
    assert load_catalogue(tmp_path).accessories["my-hat"].sizes == ("1 month", "6 months", "2 years")

"""Words for what is liked, disliked or never wanted mean accessories however many she speaks of."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher
from matcher.actions.whom.tastes import accessories_called, tastes_of
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()


@pytest.mark.parametrize(
    ("word", "key"),
    [
        *(("egg cosies", "egg-cosy"), ("egg cosy", "egg-cosy"), ("bookmarks", "bookmark")),
        ("kerchiefs", "kerchief"),
    ],
)
def test_several_of_a_thing_are_that_thing(word: str, key: str):
    assert key in set(accessories_called(word, CATALOGUE))


def test_a_kind_is_all_of_its_kind():
    hats = {key for key, entry in CATALOGUE.accessories.items() if entry.kind == "hat"}
    assert set(accessories_called("hats", CATALOGUE)) == set(accessories_called("hat", CATALOGUE)) == hats


def test_a_fibre_is_every_lot_with_it(demo: Path):
    lots = matcher.read_bin(demo).lots
    mohair = {lot.name for lot in lots if any(one.name == "mohair" for one, _ in lot.yarn.blend.parts)}
    hairy = {lot.name for lot in lots if any(one.halo for one, _ in lot.yarn.blend.parts)}
    assert mohair
    assert tastes_of(["mohair"], lots, CATALOGUE).lots == mohair
    assert tastes_of(["fluffy"], lots, CATALOGUE).lots == hairy
    assert tastes_of(["wool"], lots, CATALOGUE).unknown == ()

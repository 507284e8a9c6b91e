"""What she thinks of a suggestion: kept, changed, taken back, undone; known again by accessory, size and lots."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from matcher.actions.keeping.cells import add
from matcher.actions.keeping.opinions import HIDDEN, LIKED, mark_of_recipe, opinions_in, think
from matcher.actions.keeping.store import undo
from matcher.errors import BadInput
from matcher.knitting.fabric import Gauge
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.recipes import Recipe, Strand

HAT = Recipe("hat-plain", "adult small", Gauge(22.0, 30.0, 1.9), {"main": (Strand(("navy",)),)})


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    add("navy", {"grams": "120", "colour": "navy", "class": "3"}, bin=path)
    return path


def kept(store: Path) -> dict[str, str]:
    return {one.words: one.opinion for one in opinions_in(store).values()}


def test_an_opinion_is_kept_changed_taken_back_and_each_is_undone(store: Path):
    think(HAT, "plain hat", LIKED, bin=store)
    assert kept(store) == {"plain hat": LIKED}
    think(HAT, "plain hat", HIDDEN, bin=store)
    assert kept(store) == {"plain hat": HIDDEN}
    think(HAT, "plain hat", "", bin=store)
    assert kept(store) == {}
    with open_store(store) as opened:
        assert faults_of(opened) == ()
        assert [row["words"] for row in opened.rows("actions")][1:] == [
            "like plain hat",
            "hide plain hat",
            "think nothing any more of plain hat",
        ]
    for before in ({"plain hat": HIDDEN}, {"plain hat": LIKED}, {}):
        undo(bin=store)
        assert kept(store) == before


def test_a_thing_is_known_again_by_accessory_size_and_lots():
    mark = mark_of_recipe(HAT)
    assert mark == mark_of_recipe(replace(HAT, people=("Ann",)))
    for other in (
        replace(HAT, size="adult large"),
        replace(HAT, accessory="hat-ribbed"),
        replace(HAT, roles={"main": (Strand(("fog",)),)}),
        replace(HAT, roles={"main": (Strand(("navy",), 2),)}),
    ):
        assert mark_of_recipe(other) != mark


def test_what_is_kept_comes_back_as_it_was(store: Path):
    think(HAT, "plain hat", LIKED, bin=store)
    assert [one.recipe for one in opinions_in(store).values()] == [HAT]
    assert list(opinions_in(store)) == [mark_of_recipe(HAT)]


def test_nothing_else_can_be_thought(store: Path):
    with pytest.raises(BadInput):
        think(HAT, "plain hat", "loved", bin=store)
    assert kept(store) == {}

"""`why` agrees with the plain enumeration and the list on every accessory and every lot; each change is made and tried.

A change is made here apart from the code that found it: the lot in the bin gets the grams, and the enumeration says
whether there is a way then.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import generated
import pytest
from agreement import enumerated
from searched_once import searched_once

from matcher.actions.desk import Desk
from matcher.actions.ranking.answer import Answer
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.why_not import why
from matcher.matching.contrast import LEVELS
from matcher.matching.ranking.scope import Wishes
from matcher.materials.lots import Bin
from matcher.materials.yarn import length_on_hand
from matcher.store.catalogue.catalogue import Catalogue

# A few by day; all of them with `-m long`.
SEEDS = [
    *(3, 30),
    *(pytest.param(seed, marks=pytest.mark.long) for seed in (8, 20, 22, 25, 26, 31, 36)),
]
ADULTS = ("adult small", "adult medium", "adult large", "one size")


@pytest.fixture(autouse=True, scope="module")
def no_list_is_searched_twice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Each answer looks for its place in the same list of its bin."""
    with searched_once(tmp_path_factory):
        yield


def bin_of(seed: int) -> tuple[Bin, Catalogue]:
    """A bin with reserves and like lots, and accessories of one, two or three roles in all their sizes."""
    bin, entries = generated.rich(seed, lots=5, roles=1 + seed % 3, together=False)
    more = generated.rich(seed, lots=5, roles=1, together=False)[1]
    catalogue = generated.cut({key: generated.WHOLE.accessories[key].sizes for key in [*entries, *more]})
    first = bin.lots[0]
    return replace(bin, lots=(replace(first, garment="first"), *bin.lots[1:])), catalogue


def ways(bin: Bin, catalogue: Catalogue, key: str, lot: str, **asked: Any) -> int:
    """How many ways there are to make an accessory with a lot in it."""
    wishes = Wishes(lots=(lot,) if lot else (), **{"sizes": ADULTS, "held_together": False, **asked})
    one = replace(catalogue, accessories={key: catalogue.accessories[key]})
    return sum(1 for _ in enumerated(bin, one, wishes).all())


def every(bin: Bin, catalogue: Catalogue) -> Iterator[tuple[str, str, Answer]]:
    desk = Desk(bin, catalogue)
    for key in catalogue.accessories:
        for lot in ("", *(one.name for one in bin.lots)):
            yield key, lot, why(desk, accessory=key, lot=lot or None, held_together=False)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_accessory_and_every_lot(seed: int):
    bin, catalogue = bin_of(seed)
    found = suggest(Desk(bin, catalogue), held_together=False)
    shown = [*found.suggestions, *found.small]
    verdicts = set()
    for key, lot, answer in every(bin, catalogue):
        pool = next((p for p in Desk(bin, catalogue).shelf.pools if any(one.name == lot for one in p.lots)), None)
        here = [
            one.rank
            for one in shown
            if one.found.variant.accessory.key == key
            and (pool is None or any(held in pool.lots for role in one.roles for held in role.lots))
        ]
        possible = ways(bin, catalogue, key, lot) > 0
        expected = "in the list" if here else "not first" if possible else "not possible"
        assert answer.verdict == expected, (key, lot)
        assert answer.place == (here[0] if here else None), (key, lot)
        assert answer.because or answer.beside is None, (key, lot)
        verdicts.add(answer.verdict)
        for way in answer.as_dict()["least_change"]:
            if answer.verdict == "not possible":
                hold(way["steps"], bin, catalogue, key, lot)
    assert "not possible" in verdicts


def hold(steps: list[Mapping[str, Any]], bin: Bin, catalogue: Catalogue, key: str, lot: str) -> None:
    """With all the steps there is a way; with a gram, or a hundredth, or a step less there is none."""
    changed, asked = made(steps, bin, catalogue)
    assert ways(changed, catalogue, key, lot, **asked), steps
    for place, step in enumerate(steps):
        others = [*steps[:place], *steps[place + 1 :]]
        less = []
        if step["change"] == "more yarn":
            less = [{**step, "grams": step["grams"] - 1}]
        elif step["change"] == "sure" and step["to"] + 0.01 < 0.95 - 1e-9:
            less = [{**step, "to": step["to"] + 0.01}]
        changed, asked = made([*others, *less], bin, catalogue)
        assert not ways(changed, catalogue, key, lot, **asked), (steps, step)


def made(steps: list[Mapping[str, Any]], bin: Bin, catalogue: Catalogue) -> tuple[Bin, dict[str, Any]]:
    """The bin and the wishes with all the steps made."""
    lots, asked = {one.name: one for one in bin.lots}, {}
    for step in steps:
        if step["change"] == "more yarn":
            one = lots[step["lot"]]
            grams = one.mass_g + step["grams"]
            length = length_on_hand(grams, one.yarn.tex, one.pieces, one.yarn.blend, catalogue.measuring)
            lots[one.name] = replace(one, mass_g=grams, length=length)
        elif step["change"] == "reserve":
            lots[step["lot"]] = replace(lots[step["lot"]], reserve_m=0.0)
        elif step["change"] == "sure":
            asked["sure"] = step["to"]
        elif step["change"] == "contrast":
            assert step["to"] in LEVELS
            asked["least_contrast"] = step["to"]
        elif step["change"] == "held together":
            asked["held_together"] = True
        else:
            assert step["change"] == "size"
            asked["sizes"] = (step["to"],)
    return replace(bin, lots=tuple(lots.values())), asked

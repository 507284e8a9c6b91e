"""What a piece is made from is kept as text: the same comes out of it, and nothing else is taken for it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import CastOn
from matcher.knitting.motifs.motif import Motif
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.recipes import Body, NoRecipe, Recipe, Strand, parse_recipe, recipe_of

MOTIF = Motif("mine", "my own", ("..x", ".x."), {".": "main", "x": "contrast 1"}, "my own book")
RECIPE = Recipe(
    "hat-stranded-band",
    "me (measured)",
    Gauge(22.0, 29.5, 1.91, True, 1.1),
    {"main": (Strand(("navy", "navy & co"), 2), Strand(("fog",))), "contrast 1": (Strand(("rust = red",)),)},
    ("me",),
    Body({"head": 57.5, "head_arc": 36.0}, "adult"),
    (MOTIF,),
    CastOn(128, 32, 1),
)


def test_the_same_comes_out_of_its_text() -> None:
    again = parse_recipe(RECIPE.text())
    assert again == RECIPE
    assert again.motifs[0].roles == MOTIF.roles
    plain = Recipe("egg-cosy", "one size", Gauge(20.0, 26.0, 2.1), {"main": (Strand(("fog",)),)})
    assert parse_recipe(plain.text()) == plain


def test_the_body_is_among_the_sizes_whatever_she_measures_since() -> None:
    known = load_catalogue().sizes
    sizes = RECIPE.sizes(known)
    assert sizes.dimension("me (measured)", "head") == 57.5
    assert sizes.wearer("me (measured)") == "adult"
    assert sizes.dimension("adult medium", "head") == known.dimension("adult medium", "head")


def spoiled(value: Any) -> Iterator[Any]:
    """The same with one thing in it left out, or put otherwise."""
    if isinstance(value, dict):
        for key, held in value.items():
            yield {name: other for name, other in value.items() if name != key}
            yield from ({**value, key: other} for other in spoiled(held))
    elif isinstance(value, list):
        for place, held in enumerate(value):
            yield from ([*value[:place], other, *value[place + 1 :]] for other in spoiled(held))
        yield "a list"
    elif isinstance(value, str):
        yield from (7, ["text"], "\x1b[2J")
    elif isinstance(value, bool):
        return
    else:
        yield from ("7", -1.0, float("inf"), float("nan"), 1e300, True, [value])


def test_what_is_not_as_it_is_written_is_refused() -> None:
    told = RECIPE.as_dict()
    # Measures of the body are those that are there, so that one more or less is none of ours to refuse.
    measures = told["body"].pop("measures_cm")
    number = 0
    for bad in spoiled({**told, "body": {**told["body"], "measures_cm": {}}}):
        if bad.get("body", {}) != {"wearer": "adult"}:
            number += 1
            with pytest.raises(NoRecipe):
                recipe_of(bad)
    assert number > 60
    for wrong in ("57", -3.0, None):
        with pytest.raises(NoRecipe):
            recipe_of({**told, "body": {"wearer": "adult", "measures_cm": {**measures, "head": wrong}}})


def test_what_nobody_knits_is_refused() -> None:
    told = RECIPE.as_dict()
    for far in ({"stitches_10cm": 9000.0}, {"rows_10cm": 1e-9}, {"loop_cm": 5000.0}, {"firmness": 99.0}):
        with pytest.raises(NoRecipe):
            recipe_of({**told, "gauge": {**told["gauge"], **far}})
    for cast_on in ({"stitches": 95}, {"stitches": 0, "repeats": 0}, {"plain_columns": 2}):
        with pytest.raises(NoRecipe):
            recipe_of({**told, "cast_on": {**told["cast_on"], **cast_on}})
    with pytest.raises(NoRecipe):
        recipe_of({**told, "motifs": []})
    with pytest.raises(NoRecipe):
        recipe_of({**told, "body": {"wearer": "adult", "measures_cm": {"head": 4000.0}}})


@pytest.mark.parametrize("text", ["", "null", "[]", "{}", "7", "{", "[" * 100_000, '{"version": 1}'])
def test_other_text_is_no_recipe(text: str) -> None:
    with pytest.raises(NoRecipe) as told:
        parse_recipe(text)
    assert not told.value.later


def test_one_of_a_later_version_is_known_as_such() -> None:
    with pytest.raises(NoRecipe) as told:
        parse_recipe(json.dumps({**RECIPE.as_dict(), "version": 2}))
    assert told.value.later

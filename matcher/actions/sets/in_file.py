"""A set in a file, read again: what each of its things is made from."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from matcher.actions.handed_back import handed_back
from matcher.errors import BadInput
from matcher.reasons.reason import Action, reason
from matcher.store.places import expanded
from matcher.store.recipes import Recipe, recipe_of

SET = Action("set")
NAME = "set.json"
"""What the file is called in a folder of pictures and pages."""
_MOST_THINGS = 500  # a choice: nobody begins more at once


def recipes_in(told: dict[str, Any]) -> tuple[Recipe, ...]:
    """What the things of a set's JSON are made from. Raises NoRecipe; KeyError or TypeError for what is no set."""
    things = told["accessories"]
    if not isinstance(things, list) or not 0 < len(things) <= _MOST_THINGS:
        raise TypeError
    return tuple(recipe_of(one["recipe"]) for one in things)


def read_set(path: Path | str) -> tuple[Recipe, ...]:
    """What the things of a set are made from; path: the JSON of a set, or a folder with it.

    Raises NotFound where there is none, BadInput for a file that is no set, or one of a later version.
    """
    place = expanded(path)
    place = place / NAME if place.is_dir() else place
    todo = reason("give the .json that {set} wrote, or its folder", set=SET)
    otherwise = BadInput(reason("this isn't a set that can be begun"), str(place), todo)
    return handed_back(place, recipes_in, otherwise, reason("the set was written by a later version of matcher"))

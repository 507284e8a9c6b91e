"""A set in a file, read again: what each of its things is made from."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Action, reason
from matcher.store.database.faults import system_words
from matcher.store.files import read_file
from matcher.store.places import expanded
from matcher.store.recipes import MOST_BYTES, NoRecipe, Recipe, recipe_of

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
    try:
        return recipes_in(json.loads(read_file(place, MOST_BYTES).decode("utf-8-sig")))
    except FileNotFoundError:
        raise NotFound(reason("there is no such file"), str(place)) from None
    except OSError as fault:
        what = reason("the file can't be read ({why})", why=system_words(fault))
        raise BadInput(what, str(place), reason("check the file")) from None
    except NoRecipe as fault:
        if not fault.later:
            raise BadInput(reason("this isn't a set that can be begun"), str(place), todo) from None
        what = reason("the set was written by a later version of matcher")
        raise BadInput(what, str(place), reason("bring matcher up to date")) from None
    except (KeyError, TypeError, ValueError, RecursionError):
        raise BadInput(reason("this isn't a set that can be begun"), str(place), todo) from None

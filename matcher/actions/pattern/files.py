"""Patterns as files: what a pattern is made from is read out of the JSON that `pattern` writes."""

from __future__ import annotations

import json
from pathlib import Path

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Action, reason
from matcher.store.database.faults import system_words
from matcher.store.files import read_file
from matcher.store.places import expanded
from matcher.store.recipes import MOST_BYTES, NoRecipe, Recipe, recipe_of


def read_pattern(path: Path | str) -> Recipe:
    """What the pattern in a file is made from.

    Raises NotFound where there is none, BadInput for a file that is no pattern, or one of a later version.
    """
    place = expanded(path)
    todo = reason("give a .json that {pattern} wrote", pattern=Action("pattern"))
    no_pattern = BadInput(reason("this isn't a pattern"), str(place), todo)
    try:
        told = json.loads(read_file(place, MOST_BYTES).decode("utf-8-sig"))
        return recipe_of(told["recipe"])
    except FileNotFoundError:
        raise NotFound(reason("there is no such file"), str(place)) from None
    except OSError as fault:
        what = reason("the file can't be read ({why})", why=system_words(fault))
        raise BadInput(what, str(place), reason("check the file")) from None
    except NoRecipe as fault:
        if not fault.later:
            raise no_pattern from None
        what = reason("the pattern was written by a later version of matcher")
        raise BadInput(what, str(place), reason("bring matcher up to date")) from None
    except (KeyError, TypeError, ValueError, RecursionError):
        raise no_pattern from None

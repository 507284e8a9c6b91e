"""Files that were written here and come back: what a pattern or a set in one is made from."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from matcher.errors import BadInput, NotFound
from matcher.reasons.reason import Words, reason
from matcher.store.database.faults import system_words
from matcher.store.files import read_file
from matcher.store.recipes import MOST_BYTES, NoRecipe

T = TypeVar("T")


def handed_back(place: Path, made_from: Callable[[Any], T], otherwise: BadInput, later: Words) -> T:
    """What the JSON in a file is made from.

    made_from : takes it out of the JSON; NoRecipe, KeyError, TypeError or ValueError where it isn't there. otherwise :
    raised for what is no such file. later : that a later version wrote it.

    Raises NotFound where there is no file, BadInput for one that can't be read, is another or of a later version.
    """
    try:
        return made_from(json.loads(read_file(place, MOST_BYTES).decode("utf-8-sig")))
    except FileNotFoundError:
        raise NotFound(reason("there is no such file"), str(place)) from None
    except OSError as fault:
        what = reason("the file can't be read ({why})", why=system_words(fault))
        raise BadInput(what, str(place), reason("check the file")) from None
    except NoRecipe as fault:
        if not fault.later:
            raise otherwise from None
        raise BadInput(later, str(place), reason("bring matcher up to date")) from None
    except (KeyError, TypeError, ValueError, RecursionError):
        raise otherwise from None

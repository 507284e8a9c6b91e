"""What she thinks of a suggestion: that she likes it, or does not want to see it; kept, and taken back at will."""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from matcher.actions.keeping.done import Done, opened
from matcher.actions.place import Place
from matcher.errors import BadInput
from matcher.reasons.reason import Term, listed, reason
from matcher.store.database.store import open_store
from matcher.store.recipes import NoRecipe, Recipe, parse_recipe

LIKED, HIDDEN = "liked", "hidden"
OPINIONS = (LIKED, HIDDEN)
_SAID = {
    LIKED: "{thing}: liked, and shown first from now on.",
    HIDDEN: "{thing}: hidden from now on.",
    "": "{thing}: neither liked nor hidden any more.",
}


@dataclass(frozen=True)
class Opinion:
    """opinion: one of `OPINIONS`; thing: `mark_of_recipe`; words: what it was called then."""

    thing: str
    opinion: str
    words: str
    recipe: Recipe


def mark_of_recipe(recipe: Recipe) -> str:
    """By what a suggestion is known again: its accessory, its size, and the lots of each role."""
    roles = sorted((role, [[list(one.lots), one.count] for one in many]) for role, many in recipe.roles.items())
    return sha256(json.dumps([recipe.accessory, recipe.size, roles]).encode()).hexdigest()[:16]


def think(recipe: Recipe, called: str, opinion: str, *, bin: Place = None) -> Done:
    """Keep what she thinks of a suggestion. opinion: one of `OPINIONS`, "" for none any more.

    Raises BadInput for another, NotFound where there is no store.
    """
    if opinion and opinion not in OPINIONS:
        what = reason('"{opinion}" is nothing that can be thought of a suggestion', opinion=opinion)
        raise BadInput(what, "", reason("give {opinions}", opinions=listed(map(Term, OPINIONS), "or")))
    thing = mark_of_recipe(recipe)
    with opened(bin) as store, store.action("think") as act:
        before = store.row("opinions", thing)
        values: dict[str, Any] = {"opinion": opinion, "words": called, "recipe": recipe.text(), "said_on": act.today}
        if before is None and opinion:
            act.insert("opinions", {"thing": thing, **values})
        elif before is not None and not opinion:
            act.delete("opinions", thing)
        elif before is not None and before["opinion"] != opinion:
            act.update("opinions", thing, values)
        noted = {LIKED: "like {thing}", HIDDEN: "hide {thing}", "": "think nothing any more of {thing}"}
        act.words = reason(noted[opinion], thing=called)
    return Done((reason(_SAID[opinion], thing=called),), {"thing": thing, "opinion": opinion or None})


def opinions_in(store: Path | None) -> Mapping[str, Opinion]:
    """What she thinks of suggestions, by their marks, what she said first coming first; nothing without a store."""
    found: dict[str, Opinion] = {}
    if store is None:
        return found
    with open_store(store) as kept:
        for row in kept.select("SELECT * FROM opinions ORDER BY rowid"):
            with suppress(NoRecipe):  # of a later version: it waits for the program of that
                recipe = parse_recipe(row["recipe"])
                found[row["thing"]] = Opinion(row["thing"], row["opinion"], row["words"], recipe)
    return found

"""A recipe in stitches, and in metres: what `matcher.store.recipes` keeps, worked out by the catalogue of today."""

from __future__ import annotations

from matcher.knitting.accessory import Accessory
from matcher.knitting.fit.cast_ons import Wearing, fitted, girth_of
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.needs import RoleNeed, needs_of
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Recipe


def needs_of_recipe(recipe: Recipe, entry: Accessory, catalogue: Catalogue) -> tuple[RoleNeed, ...]:
    """Metres of each role, by the figures alone: before what she has knitted is reckoned in.

    Raises KeyError where the table of sizes lacks a measure, NoTube where the entry has no tube for its motif.
    """
    sizes = recipe.sizes(catalogue.sizes)
    if recipe.cast_on is None:
        motifs = {**catalogue.motifs, **{motif.key: motif for motif in recipe.motifs}}
        return needs_of(entry, recipe.size, recipe.gauge, sizes, motifs, catalogue.fabric)
    rule = catalogue.fitting[entry.kind]
    wearing = Wearing(entry, recipe.size, sizes, recipe.gauge, catalogue.fabric, rule)
    outline = wearing.outline
    made = fitted(wearing, outline, girth_of(outline, rule), recipe.motifs[0], recipe.cast_on)
    return needs_of_fitted(made, catalogue.fabric)

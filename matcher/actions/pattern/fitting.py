"""A recipe in stitches and in metres: what `matcher.store.recipes` keeps, worked out again."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.cast_ons import Wearing, fitted, girth_of
from matcher.knitting.fit.fitted import Fitted
from matcher.knitting.fit.needs import needs_of_fitted
from matcher.knitting.fit.outline import NoTube
from matcher.knitting.motifs.motif import Motif
from matcher.knitting.needs import RoleNeed, needs_of
from matcher.materials.yarn import Yarn
from matcher.reasons.reason import Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Recipe

if TYPE_CHECKING:
    from matcher.knitting.pattern.pattern import Pattern


def fitted_of_recipe(recipe: Recipe, entry: Accessory, catalogue: Catalogue) -> Fitted:
    """Whole stitches and rounds: of the motif that was fitted to the entry, else of the entry as it is listed.

    Raises BadInput for what nobody can knit at its gauge, KeyError where the table of sizes lacks a measure.
    """
    sizes, fabric = recipe.sizes(catalogue.sizes), catalogue.fabric
    if recipe.cast_on is None:
        return as_listed(entry, recipe.size, recipe.gauge, sizes, _motifs(recipe, catalogue), fabric, catalogue.fitting)
    try:
        rule = catalogue.fitting[entry.kind]
        wearing = Wearing(entry, recipe.size, sizes, recipe.gauge, fabric, rule)
        outline = wearing.outline
    except (KeyError, NoTube):
        what = reason("{accessory} has no tube that a motif could run round", accessory=entry.name)
        raise BadInput(what, "", reason("name a hat, a cowl, mitts ...")) from None
    return fitted(wearing, outline, girth_of(outline, rule), recipe.motifs[0], recipe.cast_on)


def pattern_of_recipe(recipe: Recipe, entry: Accessory, catalogue: Catalogue, yarns: Collection[Yarn] = ()) -> Pattern:
    """The pattern. yarns: of all its lots, as far as they are known, for the care. Raises as `fitted_of_recipe`."""
    from matcher.knitting.pattern.made import pattern_of  # begin needs no more than the fit
    from matcher.knitting.pattern.making import Making
    from matcher.materials.blocking import care_of

    care: tuple[Words, ...] = ()
    if yarns:
        care = care_of((yarn.blend for yarn in yarns), (yarn.wash for yarn in yarns), catalogue.blocking)
    return pattern_of(Making(entry, fitted_of_recipe(recipe, entry, catalogue), catalogue.fabric, care))


def needs_of_recipe(recipe: Recipe, entry: Accessory, catalogue: Catalogue) -> tuple[RoleNeed, ...]:
    """Metres of each role, as a suggestion or a partner reckons them: before what she has knitted is counted in."""
    if recipe.cast_on is not None:
        return needs_of_fitted(fitted_of_recipe(recipe, entry, catalogue), catalogue.fabric)
    sizes, motifs = recipe.sizes(catalogue.sizes), _motifs(recipe, catalogue)
    return needs_of(entry, recipe.size, recipe.gauge, sizes, motifs, catalogue.fabric)


def _motifs(recipe: Recipe, catalogue: Catalogue) -> dict[str, Motif]:
    """Those of the catalogue, as they were when the recipe was kept where it has them."""
    return {**catalogue.motifs, **{motif.key: motif for motif in recipe.motifs}}

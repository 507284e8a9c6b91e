"""What is to be begun: an accessory that she names, or a recipe (a suggestion's, a partner's, that of a pattern)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from matcher.actions.meant import accessory_meant, size_meant
from matcher.actions.needs import gauge_of_swatch
from matcher.actions.ranking.last_list import body_in, own_motifs
from matcher.actions.role_lots import Strands
from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.everyone import Somebody, everyone, find_people
from matcher.actions.whom.sized import sized_for
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.bodies import Sizes
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.fitted import CastOn
from matcher.knitting.motifs.motif import Motif
from matcher.materials.lots import Bin
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Body, Recipe


@dataclass(frozen=True)
class Order:
    """All of a recipe but its lots. gauge: None for the usual one of the first role's yarn; known: lots of the roles,
    as far as they are settled; catalogue: with the body that it is knitted to among its sizes."""

    entry: Accessory
    size: str
    gauge: Gauge | None
    catalogue: Catalogue
    roles: tuple[str, ...]
    people: tuple[Somebody, ...] = ()
    known: Strands = field(default_factory=dict)
    body: Body | None = None
    motifs: tuple[Motif, ...] = ()
    cast_on: CastOn | None = None

    def recipe(self, gauge: Gauge, strands: Strands) -> Recipe:
        """The whole of it."""
        people = tuple(one.name for one in self.people)
        return Recipe(self.entry.key, self.size, gauge, strands, people, self.body, self.motifs, self.cast_on)


def named_order(
    accessory: str,
    size: str | None,
    whom: str | None,
    swatch: str | None,
    bin: Bin,
    catalogue: Catalogue,
    told: list[Words],
) -> Order:
    """By the accessory's name or key. told: is given how her words were read. Raises NotFound and BadInput."""
    entry = accessory_meant(accessory, catalogue, told)
    people: tuple[Somebody, ...] = ()
    sized = catalogue
    if whom is None:
        wanted = _size(entry, size, catalogue.sizes, told)
    else:
        people = find_people([whom], bin, catalogue)
        wanted, sized = sized_for(people[0], entry, size, catalogue, told)
    return Order(
        entry,
        wanted,
        None if swatch is None else gauge_of_swatch(swatch, catalogue, entry.firmness),
        sized,
        _filled(entry),
        people,
        body=body_in(wanted, catalogue.sizes, sized.sizes),
        motifs=own_motifs(entry, catalogue.motifs),
    )


def recipe_order(recipe: Recipe, bin: Bin, catalogue: Catalogue) -> Order:
    """By a recipe. Raises BadInput where the catalogue no longer has its accessory in that size."""
    entry = catalogue.accessories.get(recipe.accessory)
    if entry is None or not _sized(entry, recipe, catalogue):
        what = reason("{accessory}, {size}, isn't in the catalogue", accessory=recipe.accessory, size=recipe.size)
        todo = reason("give the folder of your own accessories that it is from")
        raise BadInput(what, Field("catalog"), todo)
    return Order(
        entry,
        recipe.size,
        recipe.gauge,
        replace(catalogue, sizes=recipe.sizes(catalogue.sizes)),
        _fitted_roles(entry, recipe) if recipe.cast_on else _filled(entry),
        tuple(one for one in everyone(bin, catalogue, of_gone=True) if one.name in recipe.people),
        recipe.roles,
        recipe.body,
        recipe.motifs,
        recipe.cast_on,
    )


def _sized(entry: Accessory, recipe: Recipe, catalogue: Catalogue) -> bool:
    """Whether the size says every measure that the accessory goes by."""
    sizes = recipe.sizes(catalogue.sizes)
    return recipe.size in sizes.table and all(sizes.has(recipe.size, one) for one in body_measures(entry))


def _fitted_roles(entry: Accessory, recipe: Recipe) -> tuple[str, ...]:
    """Roles of the motif that was fitted, and of the accessory beside it."""
    known = {*entry.role_names, *(role for motif in recipe.motifs for role in motif.role_names)}
    return tuple(role for role in recipe.roles if role in known)


def settled_already(given: Mapping[str, object]) -> None:
    """Refuse what a recipe says itself: its size, whom it is for, its gauge. Raises BadInput."""
    asked = [Field(name) for name, value in given.items() if value is not None]
    if asked:
        what = reason("its size, its gauge and whom it is for are settled already")
        todo = reason("leave this out, or name the accessory and its lots instead")
        raise BadInput(what, listed(asked, between=" "), todo)


def _filled(entry: Accessory) -> tuple[str, ...]:
    return tuple(role.name for role in entry.roles if not role.bring)


def _size(entry: Accessory, size: str | None, sizes: Sizes, told: list[Words]) -> str:
    if size is not None:
        return size_meant(size, sizes, entry.sizes, reason("size of {accessory}", accessory=entry.name), told)
    if len(entry.sizes) == 1:
        return entry.sizes[0]
    what = reason("{accessory} comes in several sizes", accessory=entry.name)
    raise BadInput(what, Field("size"), reason("give one of {sizes}", sizes=listed(map(Term, entry.sizes))))

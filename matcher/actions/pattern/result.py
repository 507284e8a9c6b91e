"""A pattern as a person and a program get it: what it is made from, its steps and charts, the lots of each colour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import groupby
from pathlib import Path
from typing import Any

from matcher.actions.keeping.order import Order
from matcher.actions.pattern.fitting import fitted_of_recipe
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.pattern.head import colours_of
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import Chart, Course, Pattern, Piece, Section, Step
from matcher.knitting.pattern.stitches import Stitch
from matcher.knitting.pattern.words import lines_of
from matcher.materials.colours.colour import Colour, marled
from matcher.materials.lots import Lot
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Recipe, Strand

_WHITE = Colour("solid", (((100.0, 0.0, 0.0), 1.0),))


@dataclass(frozen=True)
class Patterned:
    """colours: of each role, white where no lot is known; yarns: what a role is knitted with, in words."""

    recipe: Recipe
    pattern: Pattern
    constants: FabricConstants
    colours: Mapping[str, Colour]
    yarns: Mapping[str, Words]
    notes: tuple[Words, ...] = ()
    files: tuple[Path, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        pattern = self.pattern
        return {
            "recipe": self.recipe.as_dict(),
            "accessory": pattern.accessory.name,
            "size": self.recipe.size,
            "yarn": [
                {
                    "letter": one.letter,
                    "role": one.role,
                    "take": self.yarns.get(one.role, ""),
                    "metres": round(one.length_m, 2),
                }
                for one in colours_of(pattern, self.constants)
            ],
            "charts": [_chart(one) for one in pattern.charts],
            "before": list(pattern.before),
            "pieces": [
                {"name": piece.name, "times": piece.times, "sections": list(_sections(piece, pattern))}
                for piece in pattern.pieces
            ],
            "finishing": list(pattern.finishing),
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }


def patterned(
    order: Order, recipe: Recipe, lots: Mapping[str, Lot], catalogue: Catalogue, notes: Sequence[Words] = ()
) -> Patterned:
    """The pattern of a recipe. lots: those that are there, by folded name. Raises as `fitted_of_recipe`."""
    fitted = fitted_of_recipe(recipe, order.entry, catalogue)
    pattern = pattern_of(Making(order.entry, fitted, catalogue.fabric))
    colours = {role: _WHITE for role in fitted.roles}
    for role, strands in recipe.roles.items():
        weighed = [(lot.colour, lot.yarn.tex.mean * one.count) for one in strands if (lot := lots.get(fold(one.lots[0])))]
        if weighed:
            colours[role] = marled(weighed) if len(weighed) > 1 else weighed[0][0]
    yarns = {role: _yarn(strands, lots) for role, strands in recipe.roles.items() if strands}
    return Patterned(recipe, pattern, catalogue.fabric, colours, yarns, tuple(notes))

"""A pattern as a person and a program get it: what it is made from, its steps and charts, the lots of each colour."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields, replace
from itertools import groupby
from pathlib import Path
from typing import Any

from matcher.actions.pattern.fitting import pattern_of_recipe
from matcher.actions.role_lots import tex_of
from matcher.actions.roles import lot_words
from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import Calibration
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.pattern.head import colours_of
from matcher.knitting.pattern.minded import NOTHING, Minded
from matcher.knitting.pattern.pattern import Chart, Course, Pattern, Piece, Step
from matcher.knitting.pattern.stitches import Stitch
from matcher.knitting.pattern.words import lines_of
from matcher.materials.colours.colour import Colour, marled
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Mass
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.recipes import Recipe, Strand

_THEN = ", then "
_WHITE = Colour("solid", (((100.0, 0.0, 0.0), 1.0),))


@dataclass(frozen=True)
class Patterned:
    """A pattern with its yarn. colours: of each role, white where no lot is known; yarns: what a role is knitted with,
    in words; tex: of all its strands together, of roles whose lots are known;
    mind: what is judged of its yarns and of whom it is for."""

    recipe: Recipe
    pattern: Pattern
    constants: FabricConstants
    colours: Mapping[str, Colour]
    yarns: Mapping[str, Words]
    tex: Mapping[str, float]
    notes: tuple[Words, ...] = ()
    files: tuple[Path, ...] = ()
    mind: Minded = NOTHING

    @property
    def weighed(self) -> Mapping[str, Words]:
        """What each role is knitted with, and how much of it that is on a scale."""
        metres = {one.role: one.length_m for one in colours_of(self.pattern, self.constants)}
        return {
            role: reason("{yarn}: {mass}", yarn=yarn, mass=Mass(metres[role] * self.tex[role] / 1000.0))
            if role in self.tex and role in metres
            else yarn
            for role, yarn in self.yarns.items()
        }

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
                    "sd_m": round(one.sd_m, 2),
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
            "warnings": [*self.mind.warnings, *self.mind.cautions],
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }


def patterned(
    recipe: Recipe,
    entry: Accessory,
    lots: Iterable[Lot],
    catalogue: Catalogue,
    learnt: Calibration | None = None,
    notes: Sequence[Words] = (),
) -> Patterned:
    """The pattern of a recipe. lots: those that are there. learnt: how she knits. Raises as `pattern_of_recipe`."""
    there = {fold(lot.name): lot for lot in lots}
    yarns_there = [there[fold(name)].yarn for name in recipe.lots if fold(name) in there]
    pattern = replace(pattern_of_recipe(recipe, entry, catalogue, yarns_there), learnt=learnt)
    colours = {role: _colour(recipe.roles.get(role, ()), there) for role in (*recipe.roles, *pattern.fitted.roles)}
    yarns = {role: _yarn(strands, there) for role, strands in recipe.roles.items() if strands}
    tex = {
        role: tex_of(strands, there)
        for role, strands in recipe.roles.items()
        if strands and all(fold(one.lots[0]) in there for one in strands)
    }
    return Patterned(recipe, pattern, catalogue.fabric, colours, yarns, tex, tuple(notes))


def _colour(strands: Sequence[Strand], there: Mapping[str, Lot]) -> Colour:
    found = [(lot.colour, lot.yarn.tex.mean * one.count) for one in strands if (lot := there.get(fold(one.lots[0])))]
    if not found:
        return _WHITE
    return marled(found) if len(found) > 1 else found[0][0]


def _yarn(strands: Sequence[Strand], there: Mapping[str, Lot]) -> Words:
    """ "navy (blue box), then navy 2", "fog held double", "fog and moss held together"."""
    found: list[Words] = []
    for one in strands:
        lots = [_lot(name, there.get(fold(name))) for name in one.lots]
        said: Words = lots[0] if len(lots) == 1 else listed(lots, between=_THEN)
        if one.count > 1:
            said = counted(one.count, "{lots}", "{lots}, {n} strands of it held together", lots=said)
        found.append(said)
    return found[0] if len(found) == 1 else reason("{strands} held together", strands=listed(found, "and"))


def _lot(name: str, lot: Lot | None) -> Words:
    return name if lot is None else lot_words(name, lot)


def _chart(chart: Chart) -> dict[str, Any]:
    return {"name": chart.name, "rows": [_runs(row) for row in chart.rows]}


def _sections(piece: Piece, pattern: Pattern) -> Iterator[dict[str, Any]]:
    for section, said in zip(piece.sections, lines_of(piece, pattern), strict=True):
        yield {
            "heading": section.heading,
            "times": section.times,
            "words": [line.words for line in said.lines],
            "steps": list(map(_step, section.steps)),
        }


def _step(step: Step) -> dict[str, Any]:
    """A step by its kind and its figures: a program may knit from it."""
    told: dict[str, Any] = {"do": re.sub(r"(?<!^)(?=[A-Z])", " ", type(step).__name__).lower()}
    for one in fields(step):
        value = getattr(step, one.name)
        if one.name == "stitches" and isinstance(step, Course):
            value = _runs(step.stitches)
        elif one.name == "charted":
            value = [asdict(row) for row in value]
        told[one.name] = value
    return told


def _runs(stitches: Iterable[Stitch]) -> list[dict[str, Any]]:
    return [{"op": op, "role": role, "times": sum(1 for _ in run)} for (op, role), run in groupby(stitches)]

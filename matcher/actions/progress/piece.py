"""A work on the needles with its pattern, step by step, and with all that bears on its yarn."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from matcher.actions.learning.history import history_in
from matcher.actions.pattern.fitting import pattern_of_recipe
from matcher.actions.progress.begun import work_row
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.calibration import calibrated
from matcher.knitting.needs import RoleNeed
from matcher.knitting.pattern.metres import needs_of_pattern
from matcher.knitting.pattern.pattern import Pattern
from matcher.knitting.pattern.place import Stage, stages_of
from matcher.reasons.reason import Action, Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.rows import Rows
from matcher.store.recipes import NoRecipe, Recipe, parse_recipe

_ANEW = reason("{abandon} it and {begin} it again", abandon=Action("abandon"), begin=Action("begin"))


@dataclass(frozen=True)
class OnNeedles:
    """A work and its pattern. row: of the store. needs: as she knits, plain: by the figures alone; of all copies."""

    row: Mapping[str, Any]
    recipe: Recipe
    pattern: Pattern
    stages: tuple[Stage, ...]
    needs: tuple[RoleNeed, ...]
    plain: tuple[RoleNeed, ...]

    @property
    def name(self) -> str:
        return str(self.row["name"])

    @property
    def stage(self) -> int:
        """How many steps are done."""
        return min(int(self.row["stage"]), len(self.stages))


def on_needles(store: Rows, work: str, catalogue: Catalogue) -> OnNeedles:
    """The work of that name or number. Raises NotFound; BadInput for one that was begun before patterns were kept, or
    whose accessory the catalogue no longer has."""
    return needles_of(store, work_row(store, work), catalogue)


def needles_of(store: Rows, row: Mapping[str, Any], catalogue: Catalogue) -> OnNeedles:
    """The same of a row of the store."""
    try:
        recipe = parse_recipe(row["recipe"])
        entry = catalogue.accessories[recipe.accessory]
    except (NoRecipe, KeyError):
        what = reason("{work} has no pattern that its rounds could be counted by", work=row["name"])
        raise BadInput(what, str(store.path), _ANEW) from None
    pattern, stages, plain = _worked_out(row["recipe"], recipe, entry, catalogue)
    learnt = history_in(store, catalogue).learnt
    needs = calibrated(plain, entry, learnt, from_swatch=recipe.gauge.from_swatch_rows)
    return OnNeedles(row, recipe, pattern, stages, needs, plain)


_Worked = tuple[Pattern, tuple[Stage, ...], tuple[RoleNeed, ...]]
_KEPT = 20  # pieces, a choice: more are seldom on the needles at once
_worked: OrderedDict[str, tuple[Catalogue, _Worked]] = OrderedDict()


def _worked_out(text: str, recipe: Recipe, entry: Accessory, catalogue: Catalogue) -> _Worked:
    """Worked out once for a recipe and a catalogue: she comes back to a piece round after round."""
    known = _worked.get(text)
    if known is not None and known[0] is catalogue:
        return known[1]
    pattern = pattern_of_recipe(recipe, entry, catalogue)
    found = (pattern, stages_of(pattern, catalogue.fabric), needs_of_pattern(pattern, catalogue.fabric))
    _worked[text] = (catalogue, found)
    with suppress(KeyError):  # another thread may have been quicker
        while len(_worked) > _KEPT:
            _worked.popitem(last=False)
    return found


def place_words(stages: tuple[Stage, ...], stage: int) -> Words:
    """Where she is: "round 34 is done, in the band"; of several alike, which one."""
    if not stage:
        # It was begun, and its yarn set aside, before a stitch of it was knitted.
        flat = next((one.course.flat for one in stages if one.course is not None), False)
        return reason("not a row knitted yet") if flat else reason("not a round knitted yet")
    if stage == len(stages):
        return reason("all of it is knitted")
    last = next((one for one in reversed(stages[:stage]) if one.number), None)
    if last is None or last.course is None:
        return reason("cast on")
    done = "row {n} is done, in {section}" if last.course.flat else "round {n} is done, in {section}"
    said = reason(done, n=last.number, section=last.section)
    copies = stages[-1].copy
    if copies == 1:
        return said
    return reason("{said} ({piece}, {copy} of {n})", said=said, piece=last.piece, copy=last.copy, n=copies)

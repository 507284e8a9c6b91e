"""A pattern as pages show it: its charts as pictures, each step by itself, kept while she goes through it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

from matcher.actions.desk import Desk
from matcher.actions.pattern.kept import kept_pattern
from matcher.actions.pattern.result import Patterned
from matcher.drawing.flat_picture import flat_scene
from matcher.drawing.pattern_chart import Box, pattern_charts, row_boxes
from matcher.drawing.scene import Scene
from matcher.errors import NotFound
from matcher.knitting.pattern.following import Place, places_of
from matcher.knitting.pattern.words import SectionLines, lines_of
from matcher.materials.reading.names import fold
from matcher.reasons.reason import reason
from matcher.reasons.style import Style
from matcher.store.recipes import NoRecipe, parse_recipe

_KEPT = 12  # patterns; a choice


@dataclass
class Knitted:
    """A pattern with what is drawn and said of it, each worked out when it is first asked for. marked: by which a
    picture of it is known, so that a browser may keep it."""

    made: Patterned
    style: Style
    marked: str

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """Every step by itself."""
        return places_of(self.made.pattern)

    @cached_property
    def lines(self) -> tuple[tuple[SectionLines, ...], ...]:
        """The lines of each piece, section by section."""
        pattern = self.made.pattern
        return tuple(lines_of(piece, pattern) for piece in pattern.pieces)

    @cached_property
    def charts(self) -> tuple[tuple[str, Scene], ...]:
        """Every chart with what is said of it."""
        return pattern_charts(self.made.pattern, self.made.colours, self.style)

    @cached_property
    def rows(self) -> tuple[Mapping[int, Box], ...]:
        """Where the rows of each chart lie."""
        return row_boxes(self.made.pattern)

    @cached_property
    def picture(self) -> Scene:
        """The finished thing, laid flat."""
        pattern = self.made.pattern
        return flat_scene(pattern.fitted, self.made.colours, self.made.constants, self.style, pattern.accessory)


_keeping = threading.Lock()
_kept: OrderedDict[tuple[str, Style], Knitted] = OrderedDict()


def knitted(recipe: str, desk: Desk, style: Style, *, begun: bool = True) -> Knitted:
    """What a recipe comes to, on this desk. recipe: as `Recipe.text` writes it. begun: whether its lots are set aside
    already.

    Raises NotFound where nothing was kept, BadInput where no pattern comes out of it.
    """
    marked = _mark(recipe, desk, begun)
    key = (marked, style)
    found = _kept.get(key)
    if found is None:
        made = kept_pattern(recipe, desk, begun=begun)
        if made is None:
            raise NotFound(reason("no pattern was kept of it"), "", todo=reason("begin it again to have one"))
        found = Knitted(made, style, marked)
        with _keeping:
            _kept[key] = found
            while len(_kept) > _KEPT:
                _kept.popitem(last=False)
    return found


def _mark(recipe: str, desk: Desk, begun: bool) -> str:
    """A mark of all that a pattern and its page follow from: what it is made from, its lots as they are now, whom she
    knits for, how she knits, what she wishes."""
    try:
        named = {fold(name) for name in parse_recipe(recipe).lots}
    except NoRecipe:
        named = set()
    lots = [lot for lot in desk.bin.lots if fold(lot.name) in named]
    people = sorted(desk.bin.people.items())
    free = [] if begun else [desk.shelf.free[lot.name] for lot in lots]
    return sha256(
        repr((recipe, lots, people, desk.history.learnt, desk.wishes, free)).encode("utf-8", "replace")
    ).hexdigest()[:16]

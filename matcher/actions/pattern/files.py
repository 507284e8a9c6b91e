"""Patterns as files: pages to print, pictures, text, and JSON out of which a pattern comes again."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.handed_back import handed_back
from matcher.actions.targets import target
from matcher.errors import BadInput
from matcher.reasons.reason import Action, Field, listed, reason
from matcher.reasons.style import Style
from matcher.store.files import write_out
from matcher.store.places import expanded
from matcher.store.recipes import Recipe, recipe_of

if TYPE_CHECKING:
    from matcher.actions.pattern.result import Patterned

ENDINGS = (".html", ".svg", ".png", ".txt", ".json")
_IN_FOLDER = ("-a4.html", "-letter.html", *ENDINGS[1:])
_OTHER_KIND = re.compile(r"\.[A-Za-z][A-Za-z0-9]{1,3}")  # .pdf, .docx: a file's ending; .2 may end a folder's name


def out_asked(out: Path | str) -> Path:
    """Where it is to go: a file of one of `ENDINGS` in a folder that is there, else a folder. Raises BadInput."""
    place = expanded(out)
    if place.is_dir():
        return place
    if place.suffix.casefold() in ENDINGS:
        return target(place, ENDINGS, Field("out"))
    todo = reason("name a folder, or a file that ends in {endings}", endings=listed(ENDINGS, "or"))
    if place.exists():
        raise BadInput(reason("{place} is a file of another kind", place=str(place)), Field("out"), todo)
    if _OTHER_KIND.fullmatch(place.suffix):
        raise BadInput(reason("a pattern isn't written as {ending}", ending=place.suffix), Field("out"), todo)
    return place


def write_pattern(made: Patterned, place: Path, style: Style, replace: bool) -> tuple[Path, ...]:
    """Write a pattern into a folder, or as the one file that is named; all or nothing. Raises BadInput."""
    ending = place.suffix.casefold()
    if ending in ENDINGS and not place.is_dir():
        paper = ("-letter" if style.inches else "-a4") if ending == ".html" else ""
        return write_out({place: contents(made, (f"{paper}{ending}",), style)[0]}, replace=replace)
    names = [place / f"{made.recipe.accessory}{end}" for end in _IN_FOLDER]
    return write_out(dict(zip(names, contents(made, _IN_FOLDER, style), strict=True)), replace=replace)


def contents(made: Patterned, ends: Iterable[str], style: Style) -> list[bytes]:
    """What goes into files that end so, each of `_IN_FOLDER`."""
    from matcher.drawing.page import page_html
    from matcher.drawing.pattern_page import pattern_page
    from matcher.drawing.pattern_text import pattern_text
    from matcher.drawing.scene import png, svg, usual_pixels

    page = pattern_page(made.pattern, made.constants, made.colours, made.weighed, style, made.mind)
    picture = page.pictures[0][1]
    ways: dict[str, Callable[[], str | bytes]] = {
        "-a4.html": lambda: page_html(page, "a4", style),
        "-letter.html": lambda: page_html(page, "letter", style),
        ".svg": lambda: svg(picture),
        ".png": lambda: png(picture, usual_pixels(picture)),
        ".txt": lambda: pattern_text(made.pattern, made.constants, made.weighed, style, made.mind),
        ".json": lambda: _as_json(made, style),
    }
    found = (ways[end]() for end in ends)
    return [data.encode() if isinstance(data, str) else data for data in found]


def _as_json(made: Patterned, style: Style) -> str:
    told = {key: value for key, value in made.as_dict().items() if key != "files"}
    return json.dumps(told, ensure_ascii=False, indent=1, default=style.say) + "\n"


def read_pattern(path: Path | str) -> Recipe:
    """What the pattern in a file is made from.

    Raises NotFound where there is none, BadInput for a file that is no pattern, or one of a later version.
    """
    place = expanded(path)
    todo = reason("give a .json that {pattern} wrote", pattern=Action("pattern"))
    otherwise = BadInput(reason("this isn't a pattern"), str(place), todo)
    later = reason("the pattern was written by a later version of matcher")
    return handed_back(place, lambda told: recipe_of(told["recipe"]), otherwise, later)

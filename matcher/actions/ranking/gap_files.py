"""What is missing, drawn and on a page to print: the colours to look for, and what each purchase opens."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.ranking.gaps import Gaps, ToBuy, balls_of
from matcher.errors import BadInput
from matcher.reasons.quantities import Chance
from matcher.reasons.reason import Field, Term, Words, reason
from matcher.reasons.style import Style
from matcher.store.files import write_out

if TYPE_CHECKING:
    from matcher.drawing.colour_range import Range
    from matcher.drawing.page import Page
    from matcher.drawing.scene import Scene

NAMES = ("gap.svg", "gap.png", "gap-a4.html", "gap-letter.html")
_PIXELS_A_MM = 6.0  # a choice: as wide as a screen
_TITLE = reason("What one purchase would make possible")


def check_folder(folder: Path) -> None:
    """Refuse a file in the place of the folder before the work is done. Raises BadInput."""
    if folder.exists() and not folder.is_dir():
        what = reason("{place} is a file", place=str(folder))
        raise BadInput(what, Field("out"), reason("name another folder"))


def write_gaps(found: Gaps, folder: Path, style: Style, replace: bool) -> tuple[Path, ...]:
    """Write a picture and a page into a folder, all or nothing; over other content only with `replace`.

    Raises BadInput when the folder can't be written to.
    """
    from matcher.drawing.page import page_html
    from matcher.drawing.scene import png, svg

    scene, page = scene_of(found, style), page_of(found, style)
    data = (svg(scene).encode(), png(scene, _PIXELS_A_MM))
    pages = (page_html(page, paper, style).encode() for paper in ("a4", "letter"))
    return write_out({folder / name: one for name, one in zip(NAMES, (*data, *pages), strict=True)}, replace=replace)


def scene_of(found: Gaps, style: Style) -> Scene:
    """The colours to look for, for each purchase."""
    from matcher.drawing.colour_range import ranges_scene

    return ranges_scene(_ranges(found), _TITLE, style)


def _ranges(found: Gaps) -> list[Range]:
    from matcher.drawing.colour_range import Range

    return [
        Range(
            heading_of(number, one),
            (
                reason("a band that says {band}", band=one.band),
                reason("colour: {colour}", colour=one.colour),
                *(() if one.finishes is None else (one.finishes.said,)),
            ),
            one.purchase.colours.low,
            one.purchase.colours.high,
            tuple((Term(word), lab) for word, lab in one.examples),
        )
        for number, one in enumerate(found.to_buy, 1)
    ]


def page_of(found: Gaps, style: Style) -> Page:
    """The page to take along: the colours, and what each purchase opens."""
    from matcher.drawing.colour_range import range_scene
    from matcher.drawing.page import Page, PageTable

    columns = tuple(style.say(reason(one)) for one in ("opens", "size", "with", "sure", "least"))
    tables = tuple(
        PageTable(style.say(heading_of(number, one)), columns, tuple(_rows(one, style)))
        for number, one in enumerate(found.to_buy, 1)
    )
    without = tuple(
        style.sentence(reason("{accessory}: {how}", accessory=one.suggestion.called, how=one.how))
        for one in found.without
    )
    return Page(
        style.say(_TITLE),
        style.sentence(found.how_complete),
        pictures=tuple(("", range_scene(one, style)) for one in _ranges(found)),
        tables=tables,
        lists=((style.say(reason("Without buying")), without),),
    )


def heading_of(number: int, one: ToBuy) -> Words:
    """A purchase in a line."""
    return reason("{number}  {yarn}: {amount}", number=number, yarn=one.yarn, amount=one.amount)


def _rows(one: ToBuy, style: Style) -> Iterator[tuple[str, ...]]:
    ball_g = one.purchase.offer.ball_g
    for opened in one.opens:
        made = opened.suggestion
        lots = " + ".join(style.say(role.said(lambda lot: lot.name)) for role in made.roles if role.lots)
        yield (
            style.say(Term(made.accessory)),
            style.say(made.sized),
            lots,
            style.say(Chance(made.sure)),
            style.say(balls_of(opened.balls, ball_g)),
        )

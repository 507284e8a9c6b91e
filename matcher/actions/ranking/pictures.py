"""A sheet to look at: every suggestion as a small picture in the colours of its lots."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from matcher.actions.ranking.suggestion import Suggestion, Suggestions
from matcher.errors import BadInput
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.fit.fitted import Fitted
from matcher.matching.variants import Variant
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import Chance
from matcher.reasons.reason import Field, Term, Words, listed, reason
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_out

if TYPE_CHECKING:
    from matcher.drawing.pictures_sheet import Card

NAMES = ("suggestions.svg", "suggestions.png", "suggestions-a4.html", "suggestions-letter.html")
_PIXELS_A_MM = 6.0  # a choice: the whole sheet is as wide as a screen
_NO_YARN = Colour("solid", (((96.0, 0.0, 0.0), 1.0),))  # of yarn that she brings: nearly white


def write_pictures(
    found: Suggestions, folder: Path, catalogue: Catalogue, style: Style, replace: bool
) -> tuple[Path, ...]:
    """Write the sheet into a folder as a picture and as pages, all or nothing; over other content only with `replace`.

    catalogue: with the bodies of those whom it is for among its sizes. Raises BadInput when the folder cannot be
    written to.
    """
    from matcher.drawing.pictures_sheet import pictures_html, pictures_scene
    from matcher.drawing.scene import png, svg

    if folder.exists() and not folder.is_dir():
        what = reason("{place} is a file", place=str(folder))
        raise BadInput(what, Field("pictures"), reason("name another folder for the pictures"))
    cards = [_card(one, catalogue) for one in (*found.suggestions, *found.small)]
    whole = pictures_scene(cards, style)
    data = (
        svg(whole).encode(),
        png(whole, _PIXELS_A_MM),
        *(pictures_html(cards, paper, style).encode() for paper in ("a4", "letter")),
    )
    return write_out({folder / name: one for name, one in zip(NAMES, data, strict=True)}, replace=replace)


def _card(one: Suggestion, catalogue: Catalogue) -> Card:
    lots = listed((role.said(lambda lot: lot.name) for role in one.roles if role.lots), between=" + ")
    sure = reason("{sized}; {sure} sure", sized=one.sized, sure=Chance(one.sure))
    return card_of(one, (sure, reason("from {lots}", lots=lots)), catalogue)


def card_of(one: Suggestion, lines: tuple[Words, ...], catalogue: Catalogue) -> Card:
    """A suggestion in the colours of its lots, with its number, its name and lines; catalogue: as `write_pictures`."""
    from matcher.drawing.flat_picture import small_scene
    from matcher.drawing.pictures_sheet import Card

    variant = one.found.variant
    picture = None
    try:
        fitted = _fitted(variant, catalogue)
        colours = {role.role: role.colour or _NO_YARN for role in one.roles}
        picture = small_scene(fitted, colours, catalogue.fabric, accessory=variant.accessory)
    except BadInput as fault:
        lines = (*lines, reason("no picture: {what}", what=fault.what))
    return Card(one.rank, Term(one.accessory), lines, picture)


def _fitted(variant: Variant, catalogue: Catalogue) -> Fitted:
    if variant.put_in is not None:
        return variant.put_in.fitted
    motifs, fabric, rules = catalogue.motifs, catalogue.fabric, catalogue.fitting
    return as_listed(variant.accessory, variant.size, variant.gauge, catalogue.sizes, motifs, fabric, rules)

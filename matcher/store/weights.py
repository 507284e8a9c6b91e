"""What a lot weighs by its cells as she wrote them, words and all; quick, since most cells say a plain weight."""

from __future__ import annotations

from collections.abc import Mapping

from matcher.materials.reading.amounts import Amount, plain_amount
from matcher.materials.reading.bands import ball_mass_g, tex_of
from matcher.materials.reading.heard import Heard
from matcher.materials.reading.numerals import Unreadable, tidy


def heard_weight(cells: Mapping[str, str]) -> Heard[Amount]:
    """How much the cell of grams says, a ball being what the lot's band says it is. Raises Unreadable."""
    try:
        plain = plain_amount(tidy(cells["grams"]))
    except Unreadable:
        plain = None
    if plain is not None:
        return Heard(plain)
    # Few cells hold more than a number.
    from matcher.materials.reading.weights import heard_amount
    from matcher.store.catalogue.amounts import load_amounts

    ball_g, tex = ball_and_tex(cells)
    if tex is None and cells.get("class") and says_length(cells["grams"]):
        tex = _tex_of_class(cells["class"])
    return heard_amount(cells["grams"], load_amounts(), ball_g, tex)


def tex_by(cells: Mapping[str, str]) -> float:
    """What 1000 m of a lot weigh [g], by its band or count, else by its class. Raises Unclear where nothing tells."""
    return ball_and_tex(cells)[1] or _tex_of_class(cells.get("class", ""))


def _tex_of_class(text: str) -> float:
    from matcher.materials.thickness import heard_thickness, tex_of_thickness
    from matcher.store.catalogue.standards import load_standards

    known = load_standards()
    return tex_of_thickness(
        heard_thickness(text, known.classes, known.yarn_names).value, known.classes, known.measuring
    ).mean


def says_length(text: str) -> bool:
    """Whether an amount is said by its length, so that the yarn's thickness tells what it weighs."""
    from matcher.materials.reading.weights import LENGTH

    return LENGTH.search(tidy(text).casefold()) is not None


def ball_and_tex(cells: Mapping[str, str]) -> tuple[float | None, float | None]:
    """What a full ball weighs [g], and 1000 m [g]; None where it is not known, or its own cell cannot be read."""
    try:
        return ball_mass_g(cells), tex_of(cells)
    except Unreadable:
        return None, None


def weight_g(cells: Mapping[str, str]) -> float:
    """The same in grams, by its mean."""
    return heard_weight(cells).value.mass.mean

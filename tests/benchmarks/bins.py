"""Generated bins for the benchmarks: five kinds of colour, classes 1 to 5, 8 to 90 g, fibres of the catalogue."""

from __future__ import annotations

import numpy as np

from matcher.actions.desk import Desk
from matcher.matching.pools import Stock, stock_of
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.fibre import Blend
from matcher.materials.lots import Bin, Lot
from matcher.materials.yarn import Yarn, length_on_hand, tex_from_ball
from matcher.store.catalogue.catalogue import Catalogue

KINDS = ("many colours", "greys", "hardly any pair reads", "words", "half of them words")
VARIEGATED = 0.05
_STANDOUTS = 6  # dark or light lots in a bin where hardly any pair reads


def labs(kind: str, number: int, rng: np.random.Generator) -> np.ndarray:
    """CIELAB colours, array (number, 3); those of "many colours" spread over lightness, chroma and hue."""
    hue = rng.uniform(0, 2 * np.pi, number)
    if kind == "greys":
        light, chroma = rng.uniform(30, 50, number), rng.uniform(0, 3, number)
    elif kind in ("many colours", "words", "half of them words"):
        light, chroma = rng.uniform(12, 95, number), rng.uniform(0, 55, number)
    else:
        light, chroma = rng.uniform(46, 54, number), rng.uniform(0, 45, number)
        standouts = rng.choice(number, min(_STANDOUTS, number), replace=False)
        light[standouts] = rng.choice([15.0, 90.0], len(standouts))
    return np.column_stack([light, chroma * np.cos(hue), chroma * np.sin(hue)])


def lots(kind: str, number: int, catalogue: Catalogue, seed: int = 1) -> tuple[Lot, ...]:
    """Lots with no garment, each of a yarn of its own."""
    rng = np.random.default_rng(seed)
    colours = labs(kind, 3 * number, rng)
    # Draws of their own, so that a bin in words has the yarns of the same bin in codes.
    names, said = list(catalogue.colour_words), np.random.default_rng(seed)
    classes = {one.number: one for one in catalogue.classes}
    blends = [Blend(), *(Blend(((fibre, 1.0),)) for fibre in catalogue.fibres)]
    found = []
    for place in range(number):
        weight_class = classes[int(rng.integers(1, 6))]
        ball_g = float(rng.choice([25.0, 50.0, 100.0]))
        ball_m = 1000.0 * ball_g / rng.uniform(weight_class.tex_min, weight_class.tex_max)
        tex = tex_from_ball(ball_g, ball_m, catalogue.measuring)
        blend = blends[int(rng.integers(len(blends)))]
        wash = str(rng.choice(["hand", "machine", "unknown"]))
        mass_g = float(rng.uniform(8, 90))
        pieces = max(1, int(np.ceil(mass_g / ball_g)))
        colour = _colour(colours[3 * place : 3 * place + 3], rng)
        if kind == "words" or (kind == "half of them words" and place % 2):
            colour = parse_colour(names[int(said.integers(len(names)))], catalogue.colour_words)
        yarn = Yarn(f"yarn {place}", tex, "ball band", weight_class.number, blend, wash)
        found.append(
            Lot(
                name=f"lot {place:05d}",
                garment="",
                yarn=yarn,
                colour=colour,
                colour_name="",
                mass_g=mass_g,
                pieces=pieces,
                ball_g=ball_g,
                dye_lot=str(place),
                label="yes",
                reserve_m=None,
                place="",
                note="",
                role="",
                length=length_on_hand(mass_g, tex, pieces, blend, catalogue.measuring),
            )
        )
    return tuple(found)


def _colour(three: np.ndarray, rng: np.random.Generator) -> Colour:
    first, second, third = (_triple(lab) for lab in three)
    if rng.random() >= VARIEGATED:
        return Colour("solid", ((first, 1.0),))
    return Colour("variegated", ((first, 0.5), (second, 0.3), (third, 0.2)))


def _triple(lab: np.ndarray) -> Lab:
    return float(lab[0]), float(lab[1]), float(lab[2])


def stock(kind: str, number: int, catalogue: Catalogue, seed: int = 1) -> Stock:
    """The bin as the search gets it."""
    shelf = Desk(Bin(lots(kind, number, catalogue, seed)), catalogue).shelf
    return stock_of(shelf.pools, catalogue.together)

"""Yarns that could be bought: a class, a kind of fibre, one colour, a thickness, whole balls; and each as a lot."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from matcher.materials.colours.cielab import Lab, shown_on_screens
from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import Blend, FibreToBuy
from matcher.materials.lots import Lot
from matcher.materials.rules import PurchaseRules
from matcher.materials.yarn import MeasuringRules, WeightClass, Yarn, length_on_hand, tex_from_ball


@dataclass(frozen=True)
class Offer:
    """A yarn that could be bought, so thick [tex], in so many whole balls of so many grams."""

    of_class: WeightClass
    kind: FibreToBuy
    lab: Lab
    tex: float
    balls: int
    ball_g: float

    @property
    def grams(self) -> float:
        return self.balls * self.ball_g

    @property
    def metres(self) -> float:
        """What the bands of all balls together say [m]."""
        return 1000.0 * self.grams / self.tex

    @cached_property
    def blend(self) -> Blend:
        return Blend(((self.kind.fibre, 1.0),))

    def in_balls(self, balls: int, ball_g: float) -> Offer:
        """The same in other balls."""
        return replace(self, balls=balls, ball_g=ball_g)

    def lot(self, name: str, measuring: MeasuringRules) -> Lot:
        """The lot that it would be: new, with its band, of no garment and without a dye lot."""
        tex = tex_from_ball(self.ball_g, 1000.0 * self.ball_g / self.tex, measuring)
        yarn = Yarn("", tex, "ball band", self.of_class.number, self.blend, self.kind.wash)
        return Lot(
            name=name,
            garment="",
            yarn=yarn,
            colour=Colour("solid", ((self.lab, 1.0),)),
            colour_name="",
            mass_g=self.grams,
            pieces=self.balls,
            ball_g=self.ball_g,
            dye_lot="",
            label="yes",
            reserve_m=None,
            place="",
            note="",
            role="",
            length=length_on_hand(self.grams, tex, self.balls, self.blend, measuring),
            full_ball_tolerance=measuring.full_ball_tolerance,
        )


def colours_tried(rules: PurchaseRules) -> tuple[Lab, ...]:
    """Greys, and colours in even steps of hue, at even steps of lightness; what no screen shows is left out."""
    steps, hues = int(rules.lightnesses), int(rules.hues)
    span = rules.lightest_l - rules.darkest_l
    found: list[Lab] = []
    for step in range(steps):
        lightness = rules.lightest_l - span * step / max(1, steps - 1)
        found.append((lightness, 0.0, 0.0))
        for hue in range(hues):
            turn = math.tau * hue / hues
            found.append((lightness, rules.chroma * math.cos(turn), rules.chroma * math.sin(turn)))
    return tuple(lab for lab in found if shown_on_screens(lab))


def amounts_tried(most_g: float, rules: PurchaseRules) -> tuple[tuple[int, float], ...]:
    """Whole small balls (number, grams of one), from one to so many grams."""
    ball_g = rules.balls_g[0]
    return tuple((number, ball_g) for number in range(1, max(1, int(most_g // ball_g)) + 1))


def thicknesses_tried(of_class: WeightClass, rules: PurchaseRules) -> Iterator[float]:
    """From the thinnest to the thickest of a class [tex], evenly by ratio."""
    steps = int(rules.thicknesses)
    for step in range(steps):
        yield of_class.tex_min * (of_class.tex_max / of_class.tex_min) ** (step / max(1, steps - 1))

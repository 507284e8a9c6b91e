"""Colours of yarn from a photograph, with their errors: the entry to `white`, `regions` and `colours`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from matcher.errors import BadInput
from matcher.materials.colours.cielab import linear_from_lab
from matcher.materials.colours.colour import Colour
from matcher.photographs.colours import Seen, colours_of, proposed
from matcher.photographs.falloff import falloff, gain, over_cells
from matcher.photographs.one_light import Unlike, unlike_lights
from matcher.photographs.pixels import (
    LEAST_SIDE,
    REFERENCE,
    YARN,
    Box,
    Flags,
    Floats,
    Photograph,
    PhotoRules,
    blocks,
    check_box,
    clipped_share,
)
from matcher.photographs.regions import background, find_regions, nothing_but_light
from matcher.photographs.warnings import darker_than, region_warnings, warnings_of
from matcher.photographs.white import Correction, White, correction_from, find_white, reference
from matcher.reasons.reason import Field, Words, reason

_PLAIN_PAPER = reason("name a box of plain white paper")
_CELLS = 160  # of a region's longer side: small enough to tell strands apart, and averaged enough to lose the noise


@dataclass(frozen=True)
class Region:
    """A piece of the picture that shows one yarn: box [pixels], kind and colours; se: standard error [CIEDE2000]."""

    box: Box
    kind: str
    colours: tuple[Seen, ...]
    given: bool

    @property
    def colour(self) -> Colour:
        """What could stand in the colour column of her sheet."""
        return proposed(self.kind, list(self.colours))

    @property
    def se(self) -> float:
        """The colours' standard errors, by their shares (root mean square)."""
        return float(np.sqrt(sum(one.share * one.se**2 for one in self.colours)))


@dataclass(frozen=True)
class Reading:
    """What a photograph says: the reference (None without one), the yarns, and what makes them unsure."""

    white: White | None
    regions: tuple[Region, ...]
    warnings: tuple[Words, ...]


def read_colours(
    photo: Photograph, rules: PhotoRules, boxes: Sequence[Box] = (), white: Box | None = None, card: bool = False
) -> Reading:
    """The colours of the yarns in a photograph, in daylight (D65).

    boxes: where the yarns lie, else they are looked for; white: where the reference lies, else white paper is looked
    for. card: the reference is a grey card that reflects 18%. Raises BadInput for a box that makes no sense, for a
    picture that is all black or all white, and where no yarn can be found.
    """
    if card and white is None:
        place_too = reason("give its place as well, with {white}", white=REFERENCE)
        raise BadInput(reason("a grey card can't be found by itself"), Field("grey card"), place_too)
    for box in boxes:
        check_box(box, YARN, photo.width, photo.height)
    if white is not None:
        check_box(white, REFERENCE, photo.width, photo.height)
    empty = nothing_but_light(photo)
    if empty == "black":
        raise BadInput(reason("the picture is all black"), todo=reason("more light, or a longer exposure"))
    if empty == "white":
        raise BadInput(reason("the picture is all white"), todo=reason("take it darker: nothing but white is left"))
    place = white if white is not None else find_white(photo, rules)
    ref = None if place is None else reference(photo, place, white is not None, card, rules)
    if ref is not None and ref.given and min(ref.linear) < 0.002:
        raise BadInput(
            reason("the box {box} is too dark to be a white reference", box=str(ref.box)), REFERENCE, _PLAIN_PAPER
        )
    correct = correction_from(ref)
    masks: list[Flags | None] = [None] * len(boxes)
    found = list(boxes)
    if not found:
        found, cells = find_regions(photo, ref, correct, rules)
        masks = list(cells)
    if not found and ref is not None and darker_than(photo, ref, rules):
        said = "the box {box} isn't white paper: much of the picture is lighter"
        raise BadInput(reason(said, box=str(ref.box)), REFERENCE, _PLAIN_PAPER)
    if not found:
        todo = "lay it on a plain ground of another colour, or name its place with {box}"
        raise BadInput(
            reason("no yarn stands out from its background"),
            todo=reason(todo, box=Field(YARN.name, "X,Y,WIDTH,HEIGHT")),
        )
    part = falloff(photo, ref, rules) if ref is not None else 0.0
    clipped = ref is not None and clipped_share(photo.crop(ref.box)) > rules.clipped_share
    light = _sure_of_light(ref, clipped, rules)
    regions = []
    unlike = _unlike(photo, found, ref, correct, part, rules)
    for box, mask, tells in zip(found, masks, unlike, strict=True):
        side = _side(box)
        grid = correct(blocks(photo.crop(box), side))
        if ref is not None and part:
            grid *= gain(photo, part, box, ref, (grid.shape[0], grid.shape[1]))[..., None]
        kind, seen = _colours_in(grid, mask, light, rules, tells.across)
        regions.append(Region(box, kind, tuple(_unsurer(one, tells) for one in seen), mask is None))
    shining = [any(colour.shines for colour in one.colours) for one in regions]
    told = (*photo.notes, *warnings_of(photo, ref, found, rules), *region_warnings(unlike, shining))
    return Reading(ref, tuple(regions), told)


def _unlike(
    photo: Photograph, boxes: Sequence[Box], white: White | None, correct: Correction, part: float, rules: PhotoRules
) -> list[Unlike]:
    """What is known of each region's light: nothing without a reference."""
    if white is None:
        return [Unlike()] * len(boxes)
    ground, _, side = background(photo, white, correct, rules)
    return unlike_lights(photo, boxes, white, (ground, side), over_cells(photo, part, side), rules)


def _unsurer(seen: Seen, tells: Unlike) -> Seen:
    """A colour with the error that another light than the paper's brings."""
    return replace(seen, se=float(np.hypot(seen.se, tells.error(linear_from_lab(np.array(seen.lab))))))


def _sure_of_light(white: White | None, clipped: bool, rules: PhotoRules) -> tuple[float, float]:
    """Standard deviations of the reference's L* and of its a* and b*, at paper's lightness.

    An overexposed (clipped) reference tells how light it is no better than none.
    """
    if white is None or clipped:
        return rules.no_reference_l_sd, rules.no_reference_tint_sd
    if white.card:
        # What shifts a dark card by so much shifts paper by as much more as it is lighter.
        return rules.card_l_sd * (rules.paper_l + 16) / (white.taken_as[0] + 16), rules.paper_tint_sd
    return rules.paper_l_sd, rules.paper_tint_sd


def _side(box: Box) -> int:
    """Of the cells that a region is laid in [pixels]."""
    return max(1, min(max(box.width, box.height) // _CELLS, min(box.width, box.height) // LEAST_SIDE))


def _colours_in(
    grid: Floats, mask: Flags | None, light: tuple[float, float], rules: PhotoRules, shaded: bool
) -> tuple[str, list[Seen]]:
    high, wide = grid.shape[:2]
    if mask is None:
        inside = np.ones((high, wide), dtype=bool)
    else:
        rows = np.minimum(np.arange(high) * mask.shape[0] // high, mask.shape[0] - 1)
        columns = np.minimum(np.arange(wide) * mask.shape[1] // wide, mask.shape[1] - 1)
        inside = mask[rows][:, columns]
    return colours_of(grid, inside, light, rules, shaded)

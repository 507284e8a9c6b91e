"""Light that falls off towards the corners, read off white paper: the lens's part alone, and only where paper tells it."""

from __future__ import annotations

import numpy as np
import pytest

from matcher.photographs.falloff import falloff, gain
from matcher.photographs.pixels import Box, Photograph, PhotoRules
from matcher.photographs.white import White, reference
from matcher.store.catalogue.catalogue import load_catalogue

RULES: PhotoRules = load_catalogue().photo
HIGH, WIDE = 480, 640
STRIP = Box(40, 380, 560, 60)


def taken(light: np.ndarray, paper: Box = STRIP) -> tuple[Photograph, White]:
    """A paper on a dark table under this light (h, w), as a camera with a little noise writes it."""
    linear = np.full((HIGH, WIDE), 0.06)
    linear[paper.y : paper.y + paper.height, paper.x : paper.x + paper.width] = 0.55
    noise = np.random.default_rng(3).normal(1.0, 0.01, (HIGH, WIDE))
    bright = np.clip(linear * light * noise, 0, 1)
    srgb = np.where(bright <= 0.0031308, 12.92 * bright, 1.055 * bright ** (1 / 2.4) - 0.055)  # IEC 61966-2-1
    photo = Photograph(np.round(255 * srgb).astype(np.uint8)[..., None].repeat(3, axis=2))
    middle = Box(paper.x + paper.width // 2 - 20, paper.y + 10, 40, paper.height - 20)
    return photo, reference(photo, middle, True, False, RULES)


def lens(part: float) -> np.ndarray:
    y, x = np.mgrid[-1 : 1 : HIGH * 1j, -1 : 1 : WIDE * 1j]
    return 1 - part * (x * x + y * y) / 2


def lamp(away: float) -> np.ndarray:
    """A lamp to the left, so many widths of the picture away: light falls with the square of the distance."""
    x = np.linspace(0, 1, WIDE)
    return np.tile((away / (away + x)) ** 2, (HIGH, 1))


@pytest.mark.parametrize("part", [0.0, 0.05, 0.1, 0.2, 0.3])
def test_a_lens_is_read_off_a_strip_of_paper(part: float):
    assert falloff(*taken(lens(part)), RULES) == pytest.approx(part, abs=0.02)


def test_no_lens_takes_more_than_the_catalogue_allows():
    assert falloff(*taken(lens(0.45)), RULES) == RULES.most_falloff


@pytest.mark.parametrize("away", [4.0, 8.0])
def test_a_lamp_at_one_side_is_no_lens(away: float):
    """Its slope is fitted beside the lens, and its hollow is the other way round."""
    assert falloff(*taken(lamp(away)), RULES) == 0
    assert falloff(*taken(lamp(away) * lens(0.2)), RULES) == pytest.approx(0.2, abs=0.1)


def test_a_small_paper_and_a_grey_card_tell_nothing():
    photo, white = taken(lens(0.3), Box(280, 220, 80, 60))
    assert falloff(photo, white, RULES) == 0
    photo, white = taken(lens(0.3))
    assert falloff(photo, reference(photo, white.box, True, True, RULES), RULES) == 0


def test_light_is_raised_to_that_where_the_paper_lies():
    photo, white = taken(lens(0.2))
    here = gain(photo, 0.2, white.box, white, (3, 3))
    assert here[1, 1] == pytest.approx(1)
    corner = gain(photo, 0.2, Box(0, 0, 4, 4), white, (1, 1))[0, 0]
    x, y = 2 * (white.box.x + 20) / WIDE - 1, 2 * (white.box.y + 20) / HIGH - 1
    assert corner == pytest.approx((1 - 0.1 * (x * x + y * y)) / 0.8, rel=0.01)
    assert gain(photo, 0.0, Box(0, 0, 9, 9), white, (2, 3)) == pytest.approx(np.ones((2, 3)))

"""Colours from photographs of yarn: shadow, several colours, the reference found, and every warning.

The photographs come from the renderer beside this file: strands with shaded sides and dark gaps, lit from 0 to 30
degrees off the vertical. Limits without another source were set after measuring, with room.
"""

from __future__ import annotations

import io

import numpy as np
import photo_renderer as renderer
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.cli.words import style_of
from matcher.errors import BadInput
from matcher.materials.colours.cielab import lab_from_srgb
from matcher.materials.colours.colour import parse_colour
from matcher.materials.colours.difference import ciede2000
from matcher.photographs.colours import Seen, proposed
from matcher.photographs.photo import Reading, read_colours
from matcher.photographs.pixels import REFERENCE, YARN, Box, Photograph, PhotoRules, blocks, parse_box
from matcher.photographs.warnings import blur
from matcher.photographs.white import _largest_rectangle
from matcher.store.catalogue.catalogue import load_catalogue

GREY, NAVY, MOSS, CREAM = (55.0, 0.0, -2.0), (30.0, 10.0, -30.0), (52.0, -8.0, 25.0), (84.0, 0.0, 12.0)
RED, MUSTARD, BLACK = (42.0, 45.0, 25.0), (70.0, 15.0, 60.0), (20.0, 2.0, -4.0)


RULES: PhotoRules = load_catalogue().photo


def picture(data: bytes) -> Photograph:
    from PIL import Image

    return Photograph(np.array(Image.open(io.BytesIO(data)).convert("RGB")))


def apart(one: object, other: object) -> float:
    return float(ciede2000(np.asarray(one), np.asarray(other)))


def solid_balls(colours: list[tuple[float, float, float]], **options: object) -> tuple[Photograph, list[Box], Box]:
    data, boxes, paper = renderer.yarn_photograph(
        [[(one, 1.0)] for one in colours], options.pop("camera", renderer.Camera()), **options
    )
    return picture(data), [Box(*box) for box in boxes], Box(*paper)


@pytest.mark.parametrize("tilt_deg", [0.0, 15.0, 30.0])
def test_a_yarn_is_lighter_than_the_middle_of_its_picture(tilt_deg: float):
    """The stated estimate comes within its error; the median of the same pixels is far too dark."""
    colours = [GREY, NAVY, MOSS, CREAM, RED, MUSTARD, BLACK]
    photo, boxes, paper = solid_balls(colours, tilt_deg=tilt_deg, seed=int(tilt_deg))
    read = read_colours(photo, RULES, boxes, paper)
    exact = PhotoRules(**{**RULES.__dict__, "texture_quantile": 0.5})
    darker = read_colours(photo, exact, boxes, paper)
    errors, of_median, stated = [], [], []
    for truth, region, other in zip(colours, read.regions, darker.regions, strict=True):
        assert region.kind == "solid"
        assert len(region.colours) == 1
        errors.append(apart(region.colours[0].lab, truth))
        of_median.append(apart(other.colours[0].lab, truth))
        stated.append(region.se)
    print(
        f"\ntilt {tilt_deg:.0f}: {np.round(errors, 1)}, stated {np.round(stated, 1)}, by the median {np.round(of_median, 1)}"
    )
    assert np.mean(errors) < 2
    assert np.mean(of_median) > 2.5 * np.mean(errors)
    assert (np.array(errors) <= 2 * np.array(stated)).all()


@pytest.mark.parametrize(
    ("parts", "stretch", "kind"),
    [
        ([(MOSS, 0.6), (CREAM, 0.4)], 40, "variegated"),
        ([((40.0, 45.0, 15.0), 0.4), ((78.0, 20.0, 5.0), 0.35), ((28.0, 22.0, -15.0), 0.25)], 40, "variegated"),
        ([(GREY, 0.5), ((85.0, 0.0, 3.0), 0.5)], 40, "variegated"),
        ([((20.0, 0.0, 0.0), 0.5), ((90.0, 0.0, 3.0), 0.5)], 40, "variegated"),
        ([((30.0, 5.0, -30.0), 0.5), ((60.0, -5.0, -25.0), 0.5)], 40, "variegated"),
        ([(MOSS, 0.6), (CREAM, 0.4)], 3, "heather"),
        ([(GREY, 0.5), ((85.0, 0.0, 3.0), 0.5)], 3, "heather"),
    ],
    ids=["moss and cream", "three", "two greys", "black and white", "two blues", "heather", "grey heather"],
)
def test_a_yarn_of_several_colours(parts: list, stretch: int, kind: str):
    data, boxes, paper = renderer.yarn_photograph([parts], renderer.Camera(), seed=3, size=300, stretch=stretch)
    (region,) = read_colours(picture(data), RULES, [Box(*boxes[0])], Box(*paper)).regions
    assert region.kind == kind
    assert len(region.colours) == len(parts)
    for lab, share in parts:
        near = min(region.colours, key=lambda one: apart(one.lab, lab))
        # Fibres finer than a pixel and a JPEG's colour of two by two pixels pull the parts of a heather together.
        assert apart(near.lab, lab) < (4 if kind == "variegated" else 9)
        assert near.share == pytest.approx(share, abs=0.16)
    assert sum(one.share for one in region.colours) == pytest.approx(1.0)
    assert [one.share for one in region.colours] == sorted((one.share for one in region.colours), reverse=True)


def test_paper_and_yarns_are_found_where_they_lie():
    colours = [GREY, NAVY, RED, MUSTARD]
    photo, boxes, paper = solid_balls(colours, size=220, seed=5)
    read = read_colours(photo, RULES)
    assert read.white is not None
    assert not read.white.given
    found = read.white.box
    assert paper.x - 12 <= found.x
    assert found.x + found.width <= paper.x + paper.width + 12
    assert found.width * found.height > 0.7 * paper.width * paper.height
    assert len(read.regions) == len(colours)
    for truth, box, region in zip(colours, boxes, read.regions, strict=True):
        assert region.box.x <= box.x
        assert region.box.y <= box.y
        assert region.box.x + region.box.width >= box.x + box.width
        assert region.box.width <= 1.8 * box.width
        assert apart(region.colours[0].lab, truth) <= 2.5 * region.se


def test_a_grey_card_does_as_well_as_paper():
    photo, boxes, paper = solid_balls([MOSS, RED], seed=1)
    by_paper = read_colours(photo, RULES, boxes, paper)
    # The card lies where the paper lies: what paper reflects is 0.90, what the card reflects 0.18.
    pixels = photo.pixels.copy()
    spot = pixels[paper.y : paper.y + paper.height, paper.x : paper.x + paper.width]
    linear = blocks(spot, 1) * (0.18 / ((RULES.paper_l + 16) / 116) ** 3)
    spot[:] = np.round(255 * renderer.encode(linear))
    by_card = read_colours(Photograph(pixels), RULES, boxes, paper, card=True)
    for one, other in zip(by_paper.regions, by_card.regions, strict=True):
        assert apart(one.colours[0].lab, other.colours[0].lab) < 1
        assert other.se > one.se
    assert by_card.white is not None
    assert by_card.white.taken_as[0] == pytest.approx(116 * 0.18 ** (1 / 3) - 16)


def test_without_a_reference_the_errors_are_larger_and_said_to_be():
    photo, boxes, paper = solid_balls([GREY, CREAM, MOSS], seed=4, cast=(1.2, 1.0, 0.7))
    bare = Photograph(photo.pixels[: paper.y - 30])
    read = read_colours(bare, RULES, boxes)
    assert read.white is None
    assert any(str(one).startswith("no white paper") for one in read.warnings)
    beside = read_colours(photo, RULES, boxes, paper)
    for region, other, truth in zip(read.regions, beside.regions, [GREY, CREAM, MOSS], strict=True):
        assert region.se > 2 * other.se
        assert apart(region.colours[0].lab, truth) > apart(other.colours[0].lab, truth)


def test_an_overexposed_reference_is_no_surer_than_none():
    """Its own lightness is cut off: the exposure is then as unknown as without it, and the stated error says so."""
    photo, boxes, paper = solid_balls([GREY, NAVY], camera=renderer.Camera(stops=1.6), seed=4)
    good, _, _ = solid_balls([GREY, NAVY], seed=4)
    for region, other, truth in zip(
        read_colours(photo, RULES, boxes, paper).regions,
        read_colours(good, RULES, boxes, paper).regions,
        [GREY, NAVY],
        strict=True,
    ):
        assert region.se > 1.8 * other.se
        assert apart(region.colours[0].lab, truth) <= 2 * region.se


def test_a_reference_that_is_darker_than_the_paper_is_doubted():
    photo, boxes, paper = solid_balls([GREY, NAVY], size=220)
    table = Box(4, 4, 20, 20)
    assert "the paper is darker than much of the picture" in " ".join(
        map(str, read_colours(photo, RULES, boxes, table).warnings)
    )
    assert "darker" not in " ".join(map(str, read_colours(photo, RULES, boxes, paper).warnings))
    with pytest.raises(BadInput, match=r"4,4,20,20 isn't white paper: much of the picture is lighter") as raised:
        read_colours(photo, RULES, white=table)
    assert raised.value.where == REFERENCE
    assert "(--white)" in raised.value.shown(style_of())


def warned(read: Reading) -> set[str]:
    return {str(one).split(":")[0] for one in read.warnings}


def test_a_good_picture_warns_of_nothing():
    photo, boxes, paper = solid_balls([GREY, NAVY], size=220)
    assert read_colours(photo, RULES, boxes, paper).warnings == ()


def test_warning_of_a_clipped_channel_names_the_region():
    photo, boxes, paper = solid_balls([GREY, CREAM], camera=renderer.Camera(stops=1.6))
    found = [one for one in map(str, read_colours(photo, RULES, boxes, paper).warnings) if "overexposed" in one]
    assert any("white paper" in one for one in found)
    assert any("region 2" in one for one in found)
    assert not any("region 1" in one for one in found)


def test_warning_of_a_strong_cast_names_its_tint():
    photo, boxes, paper = solid_balls([GREY, CREAM], cast=(1.5, 0.95, 0.35))
    (found,) = [one for one in map(str, read_colours(photo, RULES, boxes, paper).warnings) if "cast" in one]
    assert "yellow" in found


def test_warning_of_a_blurred_picture():
    from scipy import ndimage

    photo, boxes, paper = solid_balls([GREY, CREAM], size=220)
    soft = ndimage.gaussian_filter(photo.pixels.astype(float), (4, 4, 0)).astype(np.uint8)
    assert blur(photo) < RULES.blurred < blur(Photograph(soft))
    assert "blurred" in warned(read_colours(Photograph(soft), RULES, boxes, paper))


def test_warning_of_mixed_light():
    photo, boxes, paper = solid_balls([GREY, CREAM])
    side = np.linspace(0.9, 1.12, photo.width)[None, :, None] ** np.array([1.0, 0.0, -2.0])
    mixed = np.clip(photo.pixels * side, 0, 255).astype(np.uint8)
    assert "mixed light" in warned(read_colours(Photograph(mixed), RULES, boxes, paper))


@given(st.floats(0.35, 1.5), st.floats(0.8, 1.25), st.floats(0.8, 1.25))
@settings(deadline=None, max_examples=12)
def test_what_all_pixels_share_is_taken_out(exposure: float, red: float, blue: float):
    """A patch beside white, both under the same light: von Kries in linear light keeps greys grey exactly."""
    light = np.array([red, 1.0, blue]) * exposure * 0.5
    srgb = [255 * renderer.encode(light * reflectance) for reflectance in (0.9, 0.2)]
    pixels = np.empty((80, 120, 3), dtype=np.uint8)
    pixels[:, :60], pixels[:, 60:] = np.round(srgb[0]), np.round(srgb[1])
    (region,) = read_colours(Photograph(pixels), RULES, [Box(70, 10, 40, 40)], Box(10, 10, 40, 40)).regions
    # 0.2 as bright as white of L* 96 stands to 0.9.
    level = 0.2 / 0.9 * ((RULES.paper_l + 16) / 116) ** 3
    assert region.colours[0].lab == pytest.approx((116 * level ** (1 / 3) - 16, 0, 0), abs=1.2)


@given(st.lists(st.lists(st.booleans(), min_size=5, max_size=5), min_size=1, max_size=6))
@settings(deadline=None, max_examples=60)
def test_the_largest_rectangle_is_that_of_trying_all(rows: list[list[bool]]):
    flags = np.array(rows)
    x, y, width, height = _largest_rectangle(flags)
    tried = [
        (right - left) * (bottom - top)
        for top in range(len(flags))
        for bottom in range(top + 1, len(flags) + 1)
        for left in range(5)
        for right in range(left + 1, 6)
        if flags[top:bottom, left:right].all()
    ]
    assert width * height == max(tried, default=0)
    assert flags[y : y + height, x : x + width].all()


def test_blocks_are_means_in_linear_light():
    pixels = np.array([[[0, 0, 0], [255, 255, 255]], [[255, 255, 255], [0, 0, 0]]], dtype=np.uint8)
    assert blocks(pixels, 2)[0, 0] == pytest.approx([0.5, 0.5, 0.5])
    assert lab_from_srgb(renderer.encode(blocks(pixels, 2)[0, 0]))[0] == pytest.approx(76.07, abs=0.02)


@pytest.mark.parametrize("text", ["", "1,2,3", "a,b,c,d", "1,2,3,4,5", "1.5,2,3,4", "1,2,3,4 px"])
def test_what_is_no_box(text: str):
    with pytest.raises(BadInput, match="isn't a box"):
        parse_box(text, YARN)


def test_a_box_with_commas_or_spaces():
    assert parse_box(" 10, 20,30 ,40 ", YARN) == Box(10, 20, 30, 40) == parse_box("10 20 30 40", YARN)


@given(st.lists(st.floats(0.06, 1.0), min_size=1, max_size=5))
@settings(deadline=None, max_examples=60)
def test_proposed_shares_make_a_hundred(shares: list[float]):
    """So that what is printed can be pasted: a sheet refuses shares that do not come to 100 %."""
    total = sum(shares)
    seen = [Seen((10.0 + 15 * place, 0.0, 0.0), one / total, 1.0) for place, one in enumerate(shares)]
    colour = proposed("solid" if len(seen) == 1 else "variegated", seen)
    assert sum(share for _, share in colour.parts) == pytest.approx(1, abs=1e-9)
    for (_, share), one in zip(colour.parts, seen, strict=True):
        assert abs(share - one.share) < 0.01
    parts = parse_colour(colour.words(), {}).parts
    assert [share for _, share in parts] == pytest.approx([share for _, share in colour.parts], abs=1e-9)

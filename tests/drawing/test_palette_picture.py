"""Lots in order: each can be seen on white paper, and shows what the eye sees of it."""

from __future__ import annotations

from matcher.drawing.palette_picture import Panel, Swatch, strips_scene
from matcher.materials.colours.colour import parse_colour
from matcher.reasons.reason import reason


def _strips(*colours: str):
    lots = [(text, parse_colour(text, {})) for text in colours]
    swatches = tuple(Swatch(text, colour.patches(), colour.mean()) for text, colour in lots)
    return strips_scene([Panel("class 3, Light", swatches)], reason("Colours by lightness"))


def test_white_yarn_and_its_grey_have_a_frame(seen_in):
    scene = _strips("#ffffff", "#202020")
    boxes = [one.points for kind in ("colour", "grey") for one in seen_in(scene, kind)]
    assert len(boxes) == 4
    assert sorted(one.points for one in seen_in(scene, "frame")) == sorted(boxes)
    assert all(shape.stroke and shape.stroke_width > 0.5 for shape in scene.shapes if shape.kind == "frame")


def test_a_heather_is_one_colour_and_a_speckled_yarn_as_many_as_it_has(seen_in):
    assert [one.fill for one in seen_in(_strips("heather #000000, #ffffff"), "colour")] == ["#bcbcbc"]
    assert [one.fill for one in seen_in(_strips("#000000 60%, #ffffff 40%"), "colour")] == ["#000000", "#ffffff"]

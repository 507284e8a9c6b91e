"""A set as one picture: bars, things and a title, none over another."""

from __future__ import annotations

import pytest

from matcher.drawing.bars import Bar, Stretch
from matcher.drawing.pictures_sheet import Card
from matcher.drawing.scene import Scene, Shape, box, svg
from matcher.drawing.set_picture import set_scene
from matcher.materials.colours.colour import parse_colour
from matcher.reasons.reason import reason

GREY = parse_colour("#808080", {})
SMALL = Scene(20.0, 20.0, (Shape(box(0.0, 0.0, 20.0, 20.0), "#808080", kind="thing"),))


def _scene(lots: int, things: int) -> Scene:
    bars = [
        Bar(f"lot {n}", GREY, 400.0, (Stretch("used", 10.0 + n, 1 + n % max(1, things)), Stretch("left", 5.0)))
        for n in range(lots)
    ]
    cards = [Card(1 + n, f"thing {n}", ("adult medium",), SMALL) for n in range(things)]
    return set_scene(cards, bars, reason("What to knit"), reason("all of it"))


@pytest.mark.parametrize(("lots", "things"), [(0, 0), (1, 1), (3, 2), (60, 20), (60, 60), (300, 100)])
def test_every_lot_and_thing_stands_there_once(lots: int, things: int, words_in, seen_in):
    scene = _scene(lots, things)
    words = words_in(scene)
    assert words[0] == "What to knit"
    for number in range(lots):
        assert words.count(f"lot {number}") == 1
    for number in range(things):
        assert words.count(f"thing {number}") == 1
    pictures = seen_in(scene, "thing")
    assert len(pictures) == things
    bars_end = max((x for one in seen_in(scene, "used") for x, _ in one.points), default=0.0)
    assert all(min(x for x, _ in one.points) > bars_end for one in pictures)
    for one in scene.shapes:
        assert all(0 <= x <= scene.width and 0 <= y <= scene.height for x, y in one.points)
    # Something to look at, not a strip.
    assert scene.height < 4 * scene.width


def test_the_same_picture_every_time():
    assert svg(_scene(5, 3)) == svg(_scene(5, 3))

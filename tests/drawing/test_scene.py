"""A scene as SVG and as PNG: the same picture, the same bytes every time, and nothing that a name could break."""

from __future__ import annotations

import unicodedata
from io import BytesIO
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.drawing.scene import Label, Scene, Shape, box, moved, png, side_by_side, svg
from matcher.errors import BadInput

BOXES = Scene(
    40,
    20,
    (
        Shape(box(1, 1, 8, 8), "#6b7f4a", kind="stitch"),
        Shape(box(11, 1, 8, 8), "#d9d2b8", "#000000", 0.5, "stitch"),
        Shape(((25, 2), (35, 2), (30, 12)), "#9c4a24", kind="stitch"),
    ),
    (Label(2, 18, 'lot <b>&" ½ é', 4), Label(38, 18, "end", 4, "end", bold=True)),
    title="<b>&",
    description="a & b",
)


def test_a_document_holds_view_box_title_and_description():
    root = ElementTree.fromstring(svg(BOXES))
    assert root.get("viewBox") == "0 0 40 20"
    assert [root[0].text, root[1].text] == ["<b>&", "a & b"]


def test_words_are_escaped_and_come_back_whole(words_in):
    assert words_in(BOXES) == ['lot <b>&" ½ é', "end"]
    assert "<b>" not in svg(BOXES)


def test_a_code_or_a_class_cannot_leave_its_place():
    odd = Scene(9, 9, (Shape(box(0, 0, 5, 5), '"/><script>', kind='x"><script>'),))
    assert "<script>" not in svg(odd)
    ElementTree.fromstring(svg(odd))


@given(st.text(max_size=40))
@settings(deadline=None, max_examples=60)
def test_any_words_can_be_drawn_both_ways(text):
    scene = Scene(30, 10, (), (Label(1, 8, text, 5),), title=text)
    ElementTree.fromstring(svg(scene))
    assert png(scene, 1) == png(scene, 1)


def test_svg_and_png_have_the_same_colours(pixels_agree):
    assert pixels_agree(BOXES, 4) == 3


@given(
    st.lists(
        st.tuples(st.integers(0, 0xFFFFFF), st.floats(2, 6), st.floats(2, 6)),
        min_size=1,
        max_size=12,
    ),
    st.floats(2, 7),
)
@settings(deadline=None, max_examples=40)
def test_svg_and_png_agree_at_the_middle_of_any_box(pixels_agree, sizes, pixels_per_unit):
    shapes = [
        Shape(box(1 + 8 * place, 1, wide, high), f"#{code:06x}", kind="stitch")
        for place, (code, wide, high) in enumerate(sizes)
    ]
    assert pixels_agree(Scene(8 * len(sizes) + 2, 9, tuple(shapes)), pixels_per_unit) == len(sizes)


def test_the_same_bytes_every_time():
    assert svg(BOXES) == svg(BOXES)
    assert png(BOXES, 3) == png(BOXES, 3)


def test_the_size_of_a_png_is_that_of_the_scene():
    from PIL import Image

    image = Image.open(BytesIO(png(BOXES, 2.5)))
    assert image.size == (100, 50)
    assert image.getpixel((99, 0)) == (255, 255, 255)


@pytest.mark.parametrize("pixels_per_unit", [0, -1, float("nan"), 1000])
def test_a_size_that_makes_no_picture_is_refused(pixels_per_unit):
    with pytest.raises(BadInput):
        png(BOXES, pixels_per_unit)


def test_an_outline_that_returns_is_written_once(seen_in):
    many = Scene(
        500, 10, tuple(Shape(box(5.01 * place, 1, 4.545, 3.448), "#123456", kind="stitch") for place in range(90))
    )
    assert svg(many).count("<path") == 1
    assert len(seen_in(many)) == 90
    xs = [one.points[0][0] for one in seen_in(many)]
    assert xs == pytest.approx([5.01 * place for place in range(90)], abs=0.005)


def test_names_of_outlines_mean_the_same_in_every_picture():
    """Two pictures may stand on one page: a name that both have must stand for one form."""
    forms: dict[str, set[str]] = {}
    for wide in range(1, 60):
        pair = Scene(99, 99, (Shape(box(0, 0, wide, 3), "#000000"), Shape(box(9, 9, wide, 3), "#000000")))
        (kept,) = ElementTree.fromstring(svg(pair)).iter("{http://www.w3.org/2000/svg}defs")
        forms.setdefault(kept[0].get("id", ""), set()).add(kept[0].get("d", ""))
    assert len(forms) == 59
    assert all(len(form) == 1 for form in forms.values())


def test_scenes_side_by_side_stand_on_one_line(seen_in):
    low = Scene(10, 5, (Shape(box(0, 0, 1, 5), "#111111", kind="stitch"),), (Label(1, 5, "low", 2),), "one", "left.")
    high = Scene(20, 30, (Shape(box(0, 0, 1, 30), "#222222", kind="stitch"),), (), "one", "right.")
    both = side_by_side([low, high], 3)
    assert (both.width, both.height, both.title, both.description) == (33, 30, "one", "left. right.")
    assert [one.points[0] for one in seen_in(both)] == [(0, 25), (13, 0)]
    assert (both.labels[0].x, both.labels[0].y) == (1, 30)


def test_an_outline_moves():
    assert moved(box(1, 2, 3, 4), 10, 20) == box(11, 22, 3, 4)


def _drawn(text: str) -> bytes:
    return png(Scene(60, 10, (), (Label(1, 8, text, 6),)), 2)


@pytest.mark.parametrize("letter", "äößŁøçğțžþÐéñ½×±→≤Ωж")
def test_the_png_writes_the_letters_of_europe(letter: str):
    assert len({_drawn(f"a{one}a") for one in (letter, "□", "?", "", "a", "ss", "o", "z")}) == 8
    assert _drawn(unicodedata.normalize("NFD", letter)) == _drawn(letter)


def test_a_sign_that_the_png_cannot_write_is_a_box_and_no_mark_of_a_guess():
    """Never left out, or two lots would bear one name."""
    assert _drawn("black 🎩") == _drawn("black □") != _drawn("black")
    assert _drawn("black 毛 ?") != _drawn("black ? ?")
    assert _drawn("a\nb\tc\u00a0d") == _drawn("a b c d")
    assert _drawn("black ❤\ufe0f") == _drawn("black ❤")

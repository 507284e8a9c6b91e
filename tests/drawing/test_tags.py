"""Tags: their size, what fits, the QR, and that the page stands by itself."""

import itertools
import re
import xml.etree.ElementTree as ET

import pytest
import segno

from matcher.drawing.papers import PAPERS
from matcher.drawing.scene import width_of
from matcher.drawing.tags import A_PAGE, TAG_MM, Tag, page_scenes, tag_scene, tags_html
from matcher.errors import BadInput

PLAIN = Tag("navy", "YP4DQ", (("#1f2a4a", 1.0),), "88 g, about 219 m", ("weighed 2026-11-25", "soft wool"))
LONG = Tag(
    "the very long name of a lot that somebody wrote down in one evening of sorting, with every circumstance",
    "22222",
    (("#a8304f", 0.4), ("#e9b7c0", 0.35), ("#5b2a4a", 0.25)),
    "1840 g, about 12345 m",
    tuple(f"line {place}: a fact that takes more room than the line of a tag can give to it" for place in range(12)),
)


def corners(scene):
    return [point for shape in scene.shapes for point in shape.points]


@pytest.mark.parametrize("tag", [PLAIN, LONG], ids=["plain", "long"])
def test_everything_stands_inside_the_tag(tag: Tag):
    scene = tag_scene(tag)
    assert (scene.width, scene.height) == TAG_MM
    for x, y in corners(scene):
        assert 0 < x < TAG_MM[0]
        assert 0 < y < TAG_MM[1]
    for label in scene.labels:
        left = label.x if label.anchor == "start" else label.x - width_of(label.text, label.size) / 2
        assert left > 0
        assert left + width_of(label.text, label.size) <= TAG_MM[0] - 1
        assert label.size < label.y < TAG_MM[1] - 1


def test_words_do_not_lie_on_one_another():
    lines = [label for label in tag_scene(LONG).labels if label.anchor == "start"]
    assert len(lines) > 6
    for above, below in itertools.pairwise(lines):
        assert below.y - above.y >= below.size


def test_the_qr_is_the_code():
    """Drawn square by square it is the symbol of ISO/IEC 18004 that segno makes, with its white edge around it."""
    scene = tag_scene(PLAIN)
    squares = [shape.points for shape in scene.shapes if shape.kind == "qr"]
    matrix = [bytes(row) for row in segno.make("YP4DQ", micro=False, error="m").matrix]
    left, top = min(x for one in squares for x, _ in one), min(y for one in squares for _, y in one)
    right = max(x for one in squares for x, _ in one)
    module = (right - left) / len(matrix)
    drawn = [[0] * len(matrix) for _ in matrix]
    for (x, y), (end, _), *_ in squares:
        row = round((y - top) / module)
        for column in range(round((x - left) / module), round((end - left) / module)):
            drawn[row][column] = 1
    assert drawn == [list(row) for row in matrix]
    assert module >= 0.4
    bottom = top + len(matrix) * module
    around = (left - 4 * module, top - 4 * module, right + 4 * module, bottom + 4 * module)
    others = [point for shape in scene.shapes if shape.kind != "qr" for point in shape.points]
    others += [(label.x, label.y - label.size * 0.8) for label in scene.labels]
    assert [one for one in others if around[0] < one[0] < around[2] and around[1] < one[1] < around[3]] == []


def test_stripes_of_the_patch_are_as_wide_as_the_shares():
    widths = [
        max(x for x, _ in shape.points) - min(x for x, _ in shape.points)
        for shape in tag_scene(LONG).shapes
        if shape.kind == "patch"
    ]
    assert [round(width / sum(widths), 6) for width in widths] == [0.4, 0.35, 0.25]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("number", [1, A_PAGE, A_PAGE + 1])
def test_pages(paper: str, number: int):
    pages = page_scenes([PLAIN] * number, paper)
    assert len(pages) == -(-number // A_PAGE)
    for page in pages:
        assert (page.width, page.height) == PAPERS[paper].size
        # No printer reaches the edge: 5 mm stay white all around.
        assert min(min(x, page.width - x, y, page.height - y) for x, y in corners(page)) > 5
    codes = [label.text for page in pages for label in page.labels if label.text == "YP4DQ"]
    assert len(codes) == number


def test_every_tag_has_a_cut_mark_at_each_corner():
    page = page_scenes([PLAIN] * 3, "a4")[0]
    crosses = {
        (round(sum(x for x, _ in one.points) / 4, 2), round(sum(y for _, y in one.points) / 4, 2))
        for one in page.shapes
        if one.kind == "cut"
    }
    assert len(crosses) == 8  # three tags of two rows: 3 x 2 corners, and two more below the third


@pytest.mark.parametrize(("paper", "size"), [("a4", "A4"), ("letter", "letter")])
def test_the_page_stands_by_itself(paper: str, size: str):
    evil = Tag("<script>alert(1)</script> & co", "YP4DQ", (("#1f2a4a", 1.0),), "1 g", ('"quoted" <b>',))
    page = tags_html([evil, LONG], paper)
    assert f"@page {{ size: {size};" in page
    assert 'lang="en"' in page
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert re.findall(r"(?:src|href)=\"(?!#)|url\(|@import|https?://(?!www\.w3\.org/2000/svg)", page) == []
    for drawing in re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL):
        ET.fromstring(drawing)


def test_another_paper():
    with pytest.raises(BadInput, match="a4 or letter"):
        tags_html([PLAIN], "a3")

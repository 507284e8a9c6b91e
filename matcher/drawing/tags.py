"""Tags to print, cut out and tuck into a wound ball: colour, facts, a short code and its QR; as HTML pages."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from matcher.drawing.papers import paper_of
from matcher.drawing.scene import INK, Label, Scene, Shape, box, moved, width_of
from matcher.drawing.sheets import sheets_html
from matcher.reasons.reason import Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style

# Millimetres. The size is a choice of this project: a tag goes into a wound ball, and twelve go onto either paper.
TAG_MM = (70.0, 44.0)
ACROSS, DOWN = 2, 6
A_PAGE = ACROSS * DOWN

_EDGE, _PATCH, _TEXT = 3.0, (16.0, 15.0), 22.0
_MODULE = 0.55  # one square of the QR; a telephone reads it at arm's length
_QUIET = 4  # squares that stay white around it (ISO/IEC 18004)
_NAME, _PLAIN, _AMOUNT = 3.6, 2.6, 3.2  # sizes of letters
_CUT, _GREY = "#8a8a8a", "#555555"


@dataclass(frozen=True)
class Tag:
    """What one tag says. patch: codes of the colours with their shares; lines: the facts, most needed first."""

    name: Words
    code: str
    patch: tuple[tuple[str, float], ...]
    amount: Words
    lines: tuple[Words, ...]


def tag_scene(tag: Tag, style: Style = PLAIN) -> Scene:
    """One tag in mm, TAG_MM in size. What does not fit is cut short, name and facts alike."""
    width, height = TAG_MM
    shapes = [*_patch(tag.patch), *_qr(tag.code)]
    middle = _EDGE + _PATCH[0] / 2
    labels = [Label(middle, height - 2.6, tag.code, 3.4, "middle", bold=True)]
    room = width - _EDGE - _TEXT
    at = _EDGE
    texts = [(line, _NAME, True) for line in _wrapped(style.say(tag.name), room, _NAME * 1.06, 2)]
    texts.append((style.say(tag.amount), _AMOUNT, True))
    facts = [piece for line in tag.lines for piece in _wrapped(style.say(line), room, _PLAIN, 2)]
    texts += [(line, _PLAIN, False) for line in facts]
    # Lines stand apart as far as there is room, and no closer than they can be read.
    spacing = min(1.45, max(1.18, (height - 2 * _EDGE) / sum(size for _, size, _ in texts)))
    for text, size, bold in texts:
        at += size * spacing
        if at > height - 1.5:
            break
        labels.append(Label(_TEXT, at, text, size, fill=INK if bold else _GREY, bold=bold))
    return Scene(width, height, tuple(shapes), tuple(labels))


def _wrapped(text: str, room: float, size: float, most: int) -> list[str]:
    letters = max(1, int(room / width_of("x", size)))
    return textwrap.wrap(text, letters, max_lines=most, placeholder=" ...", break_on_hyphens=False)


def _patch(colours: Sequence[tuple[str, float]]) -> Iterator[Shape]:
    """The colours as stripes, each as wide as its share."""
    wide, high = _PATCH
    left = _EDGE
    for code, share in colours:
        yield Shape(box(left, _EDGE, wide * share, high), code, kind="patch")
        left += wide * share
    # A white or pale yarn needs an edge to be seen on paper.
    yield Shape(box(_EDGE, _EDGE, wide, high), "none", _CUT, 0.15)


def _qr(code: str) -> Iterator[Shape]:
    """The dark squares of the code's QR, those beside one another as one."""
    import segno

    rows = [bytes(row) for row in segno.make(code, micro=False, error="m").matrix]
    left = _EDGE + _PATCH[0] / 2 - len(rows) * _MODULE / 2
    top = _EDGE + _PATCH[1] + _QUIET * _MODULE + 0.6
    for down, row in enumerate(rows):
        start = 0
        while start < len(row):
            end = start
            while end < len(row) and row[end]:
                end += 1
            if end > start:
                # A hair higher than its row, so that no white line shows between two rows.
                place = box(left + start * _MODULE, top + down * _MODULE, (end - start) * _MODULE, _MODULE + 0.02)
                yield Shape(place, "#000000", kind="qr")
            start = end + 1


def page_scenes(
    tags: Sequence[Tag], paper: str, style: Style = PLAIN, progress: Callable[[int, int], None] | None = None
) -> tuple[Scene, ...]:
    """The tags on pages, in mm, with cut marks. Raises BadInput for another paper than "a4" and "letter"."""
    width, height = paper_of(paper).size
    left, top = (width - ACROSS * TAG_MM[0]) / 2, (height - DOWN * TAG_MM[1]) / 2
    pages = []
    for start in range(0, len(tags), A_PAGE):
        here = tags[start : start + A_PAGE]
        shapes, labels = list(_cuts(len(here), left, top)), []
        for place, tag in enumerate(here):
            x, y = left + place % ACROSS * TAG_MM[0], top + place // ACROSS * TAG_MM[1]
            scene = tag_scene(tag, style)
            # Built anew and not by `replace`, which takes four times as long: a QR has a hundred shapes.
            shapes += [
                Shape(moved(one.points, x, y), one.fill, one.stroke, one.stroke_width, one.kind) for one in scene.shapes
            ]
            labels += [replace(label, x=label.x + x, y=label.y + y) for label in scene.labels]
        names = style.say(reason("Tags for {names}", names=listed(tag.name for tag in here)))
        title = style.say(reason("Tags to cut out"))
        pages.append(Scene(width, height, tuple(shapes), tuple(labels), title, names))
        if progress:
            progress(start + len(here), len(tags))
    return tuple(pages)


def _cuts(number: int, left: float, top: float) -> Iterator[Shape]:
    """A small cross at every corner of a tag."""
    corners = set()
    for place in range(number):
        column, row = place % ACROSS, place // ACROSS
        corners |= {(column + right, row + under) for right in (0, 1) for under in (0, 1)}
    for column, row in sorted(corners):
        x, y = left + column * TAG_MM[0], top + row * TAG_MM[1]
        yield Shape(box(x - 2, y - 0.05, 4, 0.1), _CUT, kind="cut")
        yield Shape(box(x - 0.05, y - 2, 0.1, 4), _CUT, kind="cut")


def tags_html(
    tags: Sequence[Tag], paper: str, style: Style = PLAIN, progress: Callable[[int, int], None] | None = None
) -> str:
    """Pages of tags for paper "a4" or "letter", to be printed at full size; everything stands in the one file.

    Raises BadInput for another paper.
    """
    pages = page_scenes(tags, paper, style, progress)
    title = style.say(counted(len(tags), "{n} tag to cut out", "{n} tags to cut out"))
    return sheets_html(pages, paper, title)

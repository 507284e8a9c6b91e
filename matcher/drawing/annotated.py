"""What was seen on a photograph, drawn on it: the reference, the yarns with their numbers, the colours beside them."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from matcher.drawing.lettering import font_of, written
from matcher.photographs.photo import Reading
from matcher.photographs.pixels import Box, Photograph
from matcher.photographs.white import White
from matcher.reasons.reason import Term, reason
from matcher.reasons.style import PLAIN, Style

if TYPE_CHECKING:
    from PIL import ImageDraw, ImageFont

_LONGEST = 1400  # pixels of the written picture
_STRIP = 46  # height of one line of colours below it
_INK, _PAPER, _EDGE = "#222222", "#ffffff", "#8a8a8a"


def annotated(photo: Photograph, reading: Reading, kind: str = "PNG", style: Style = PLAIN) -> bytes:
    """The picture as a file ("PNG" or "JPEG"): boxes drawn on it, and below a line for each yarn with its colours.

    The picture is drawn as the camera wrote it; the colours are those in daylight. The file holds pixels only: nothing
    of the photograph's metadata (place, time, camera) goes into it.
    """
    from PIL import Image, ImageDraw

    picture = Image.fromarray(photo.pixels)
    scale = min(1.0, _LONGEST / max(picture.size))
    if scale < 1:
        picture = picture.resize((round(photo.width * scale), round(photo.height * scale)), reducing_gap=2.0)
    wide = max(picture.width, 420)
    sheet = Image.new("RGB", (wide, picture.height + _STRIP * (len(reading.regions) + 1) + 12), _PAPER)
    sheet.paste(picture, (0, 0))
    draw = ImageDraw.Draw(sheet)
    size = max(14, picture.width // 60)
    for number, region in enumerate(reading.regions, 1):
        _frame(draw, region.box, scale, str(number), size)
    if reading.white is not None:
        _frame(draw, reading.white.box, scale, style.say(_reference(reading.white)), size)
    font = font_of(18)
    y = picture.height + 8
    for number, region in enumerate(reading.regions, 1):
        draw.text((10, y + 9), str(number), _INK, font=font)
        x, room = 46, wide - 56
        chips = min(room // 3, 300)
        for colour in region.colours:
            part = max(6, round(chips * colour.share))
            draw.rectangle((x, y, x + part, y + _STRIP - 10), colour.code)
            x += part + 1
        # White yarn needs an edge to be seen on paper.
        draw.rectangle((46, y, x - 1, y + _STRIP - 10), outline=_EDGE)
        draw.text((x + 10, y + 9), _fitting(draw, region.colour.words(), font, wide - x - 18), _INK, font=font)
        y += _STRIP
    said = reason("no white reference")
    if reading.white is not None:
        said = reason("{reference} at {box}", reference=_reference(reading.white), box=str(reading.white.box))
    draw.text((10, y + 6), _fitting(draw, style.say(said), font, wide - 20), _INK, font=font)
    kept = io.BytesIO()
    sheet.save(kept, kind, **({"quality": 90} if kind == "JPEG" else {}))
    return kept.getvalue()


def _reference(white: White) -> Term:
    return Term("grey card" if white.card else "white")


def _frame(draw: ImageDraw.ImageDraw, box: Box, scale: float, word: str, size: int) -> None:
    """A box in black and white, which shows on any ground, with its word on a white label."""
    left, top = box.x * scale, box.y * scale
    right, bottom = left + box.width * scale, top + box.height * scale
    thick = max(2, size // 6)
    draw.rectangle((left, top, right, bottom), outline=_INK, width=2 * thick)
    draw.rectangle(
        (left + thick / 2, top + thick / 2, right - thick / 2, bottom - thick / 2), outline=_PAPER, width=thick
    )
    font = font_of(size)
    around = draw.textbbox((left + 2 * thick + 4, top + 2 * thick + 2), word, font=font)
    draw.rectangle((around[0] - 5, around[1] - 4, around[2] + 5, around[3] + 4), _PAPER, _INK)
    draw.text((left + 2 * thick + 4, top + 2 * thick + 2), word, _INK, font=font)


def _fitting(draw: ImageDraw.ImageDraw, text: str, font: ImageFont.FreeTypeFont, width: float) -> str:
    """The text in letters that the font has, cut where it would run out of the picture."""
    text = written(text)
    while text and draw.textlength(text, font=font) > width:
        text = text[:-4].rstrip() + "..."
        if text == "...":
            return ""
    return text

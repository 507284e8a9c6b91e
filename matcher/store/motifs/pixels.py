"""Pictures of one pixel a stitch. All that can be told from the header is told before a pixel is decoded."""

from __future__ import annotations

import io
import struct
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from matcher.errors import BadInput
from matcher.knitting.motifs.motif import OWN_TALLEST, OWN_WIDEST
from matcher.reasons.reason import Words, listed, reason

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt
    from PIL import Image

MOST_ROLES = 16  # a choice; a picture with more colours is a drawing or a photo, not a grid

_PNG = b"\x89PNG\r\n\x1a\n"
_GIF = (b"GIF87a", b"GIF89a")
# How other kinds of pictures begin.
_OTHERS = {b"\xff\xd8\xff": "JPEG", b"II*\0": "TIFF", b"MM\0*": "TIFF", b"BM": "BMP", b"RIFF": "WEBP", b"8BPS": "PSD"}
_AS_PNG = reason("export it as PNG, one pixel a stitch")
_HEAD = "matcher motif"  # the keyword of the comment that a picture of ours carries
_COLOURS = "matcher motif colours"


@dataclass(frozen=True)
class Pixels:
    """A picture as places in its list of colours. rows: bottom row first, each from left to right.

    colours: codes such as "#6b7f4a", in the order in which they become roles; palette: whether that is a
    palette's order. head and marks: the motif's own head lines and marks, for a picture that carries them.
    """

    rows: tuple[tuple[int, ...], ...]
    colours: tuple[str, ...]
    palette: bool
    head: str = ""
    marks: tuple[str, ...] = ()


def is_picture(data: bytes) -> bool:
    """Whether a file's content begins as some kind of picture does."""
    return data.startswith((_PNG, *_GIF, *(start for start in _OTHERS if len(start) > 2))) or _is_bmp(data)


def _is_bmp(data: bytes) -> bool:
    """BM could begin a text as well; a picture's next four bytes are its own size."""
    return data[:2] == b"BM" and len(data) >= 6 and struct.unpack("<I", data[2:6])[0] == len(data)


def read_pixels(data: bytes, file: str) -> Pixels:
    """Read a PNG or GIF. Raises BadInput, with row (from the bottom) and stitch (from the right) where there is one."""
    if data.startswith(_PNG):
        _check_png(data, file)
        image = _opened(data, "PNG", file)
    elif data.startswith(_GIF):
        _check_gif(data, file)
        image = _opened(data, "GIF", file)
    else:
        raise _other(data, file)
    # A GIF whose palette is a plain ramp of greys is opened as grey; its values still are places in that palette.
    indexed = image.mode == "P" or image.format == "GIF"
    return _pixels(image, indexed, file)


def _check_png(data: bytes, file: str) -> None:
    """All that a PNG's blocks tell: its size, its depth, whether it moves, and whether it is whole."""
    if len(data) < 33:
        raise _cut_off(file)
    width, height, depth = struct.unpack(">IIB", data[16:25])
    _check_size(width, height, file)
    if depth > 8:
        todo = reason("save the picture with 8 bits a colour, or with a palette")
        raise BadInput(reason("{n} bits a colour", n=depth), file, todo)
    at, kind = len(_PNG), b""
    while kind != b"IEND":
        length, kind = struct.unpack(">I4s", data[at : at + 8]) if at + 12 <= len(data) else (0, b"")
        if not kind or at + 12 + length > len(data):
            raise _cut_off(file)
        if kind == b"acTL":
            raise _moving(file)
        at += 12 + length


def _check_gif(data: bytes, file: str) -> None:
    if len(data) < 13:
        raise _cut_off(file)
    width, height = struct.unpack("<HH", data[6:10])
    _check_size(width, height, file)
    if not data.rstrip(b"\0").endswith(b";"):
        raise _cut_off(file)


def _check_size(width: int, height: int, file: str) -> None:
    if width == 0 or height == 0:
        said = "the picture is {wide} pixels wide and {high} high: it holds no stitch"
        raise BadInput(reason(said, wide=width, high=height), file, _AS_PNG)
    if width > OWN_WIDEST or height > OWN_TALLEST:
        said = "the picture is {wide} by {high} pixels, and each would be a stitch"
        most = "give one of at most {wide} by {high}, one pixel a stitch"
        what, todo = reason(said, wide=width, high=height), reason(most, wide=OWN_WIDEST, high=OWN_TALLEST)
        raise BadInput(what, file, todo)


def _cut_off(file: str) -> BadInput:
    return BadInput(reason("the picture is cut off or damaged"), file, reason("save or copy it again"))


def _moving(file: str) -> BadInput:
    todo = reason("save the one that is the motif as PNG")
    return BadInput(reason("the picture moves: it holds several frames"), file, todo)


def _other(data: bytes, file: str) -> BadInput:
    """What another kind of picture is, as far as its header says."""
    from PIL import Image

    kind = next(name for start, name in _OTHERS.items() if data.startswith(start))
    mode = ""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            mode = Image.open(io.BytesIO(data), formats=[kind]).mode
    except Exception:  # it is refused whatever is wrong with it
        pass
    what = reason("the picture is a {kind}, not a PNG or GIF", kind=kind)
    if mode == "CMYK":
        said = "the picture is a {kind} in CMYK, the inks of a printing press, not a PNG or GIF"
        what = reason(said, kind=kind)
    if kind == "JPEG":
        what = reason("{what}; its stitches would blur into each other", what=what)
    return BadInput(what, file, _AS_PNG)


def _opened(data: bytes, kind: str, file: str) -> Image.Image:
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            image = Image.open(io.BytesIO(data), formats=[kind])
            # A frame may lie outside the size that the header gave.
            _check_size(*image.size, file)
            if getattr(image, "is_animated", False):
                raise _moving(file)
            image.seek(0)
            frame = image.tile[0].extents if image.tile else None
            if kind == "GIF" and frame != (0, 0, *image.size):
                raise BadInput(reason("the picture's frame leaves a part of it empty"), file, _AS_PNG)
            image.load()
    except BadInput:
        raise
    except Exception:  # a decoder meets damage in many ways, none of which is of use to her
        raise _cut_off(file) from None
    return image


def _pixels(image: Image.Image, indexed: bool, file: str) -> Pixels:
    import numpy as np

    index = np.asarray(image)
    rgba = np.asarray(image.convert("RGBA")).astype(np.int64)
    # As it is knitted: the bottom row first, each row from the right.
    knitted = rgba[::-1, ::-1]
    _check_clear(knitted[..., 3], file)
    codes = (knitted[..., 0] << 16) | (knitted[..., 1] << 8) | knitted[..., 2]
    used, first, place, count = np.unique(codes, return_index=True, return_inverse=True, return_counts=True)
    place = place.reshape(codes.shape)
    if len(used) > MOST_ROLES:
        what = reason("{n} colours in the picture, and each would be a role", n=len(used))
        raise BadInput(what, file, reason("reduce it to at most {n} colours, without smoothing", n=MOST_ROLES))
    names = [f"#{code:06x}" for code in used]
    head, marks, named = _comment(image)
    if head:
        order = _named_order(names, named, place, file)
        colours = tuple(named)
    else:
        if indexed:
            of_palette = index[::-1, ::-1]
            rank = [(int(of_palette[place == number].min()), 0) for number in range(len(used))]
        else:
            rank = [(-int(count[number]), int(first[number])) for number in range(len(used))]
        sequence = sorted(range(len(used)), key=lambda number: rank[number])
        order = np.argsort(sequence)
        colours = tuple(names[number] for number in sequence)
    rows = tuple(tuple(int(one) for one in row) for row in order[place][:, ::-1])
    return Pixels(rows, colours, indexed, head, marks)


def _check_clear(alpha: npt.NDArray[np.int64], file: str) -> None:
    """Refuse pixels that let something shine through; `alpha` is as it is knitted."""
    import numpy as np

    clear = np.argwhere(alpha < 255)
    if len(clear):
        row, stitch = (int(one) + 1 for one in clear[0])
        what = reason("a pixel is transparent, so its colour isn't known")
        raise BadInput(what, _at(file, row, stitch), reason("fill the picture and save it without transparency"))


def _at(file: str, row: int, stitch: int) -> Words:
    said = "{file}, row {row} from the bottom, stitch {stitch} from the right"
    return reason(said, file=file, row=row, stitch=stitch)


def _comment(image: Image.Image) -> tuple[str, tuple[str, ...], list[str]]:
    """Head lines, marks and colours that a picture of ours carries; empty for any other."""
    said = {key: value for key, value in image.info.items() if isinstance(value, str)}
    head, listed = said.get(_HEAD, ""), said.get(_COLOURS, "").split()
    marks, named = tuple(one[0] for one in listed), [one[1:] for one in listed]
    return (head, marks, named) if head and listed else ("", (), [])


def _named_order(
    names: Sequence[str], named: Sequence[str], place: npt.NDArray[np.intp], file: str
) -> npt.NDArray[np.intp]:
    """The place of each used colour among those that the comment names."""
    import numpy as np

    for number, code in enumerate(names):
        if code not in named:
            row, stitch = (int(one) + 1 for one in np.argwhere(place == number)[0])
            said = "{colour} isn't one of the colours that the picture's own comment gives to its roles"
            todo = reason("paint with {colours}, or save the picture without comments", colours=listed(named))
            raise BadInput(reason(said, colour=code), _at(file, row, stitch), todo)
    return np.array([named.index(code) for code in names], dtype=np.intp)


def pixels_png(rows: Sequence[Sequence[int]], colours: int, head: str, marks: str) -> bytes:
    """A PNG of one pixel a stitch, with its palette of greys and the comment that names the roles.

    rows: places in the palette, bottom row first.
    """
    from PIL import Image, PngImagePlugin

    greys = [round(245 - 225 * number / max(1, colours - 1)) for number in range(colours)]
    image = Image.new("P", (len(rows[0]), len(rows)))
    image.putpalette([channel for grey in greys for channel in (grey, grey, grey)])
    image.frombytes(b"".join(bytes(row) for row in reversed(rows)))
    comment = PngImagePlugin.PngInfo()
    comment.add_itxt(_HEAD, head)
    named = " ".join(f"{mark}#{grey:02x}{grey:02x}{grey:02x}" for mark, grey in zip(marks, greys, strict=True))
    comment.add_itxt(_COLOURS, named)
    written = io.BytesIO()
    image.save(written, "PNG", pnginfo=comment)
    return written.getvalue()

"""Opening a photograph: JPEG, PNG, WebP or HEIC to upright sRGB pixels; everything else it holds is left behind.

Size and kind are read from the header before anything is unpacked. Orientation (EXIF) and the embedded colour profile
are honoured: a Display P3 picture read as sRGB is off by 2 to 4 CIEDE2000.
"""

from __future__ import annotations

import io
import warnings
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from matcher.errors import BadInput, NotFound
from matcher.photographs.pixels import Photograph
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Words, reason

if TYPE_CHECKING:
    from PIL import Image

READ = ("JPEG", "PNG", "WEBP", "HEIF")
# Opened only to be named in the message that refuses them.
_NAMED = ("GIF", "TIFF", "BMP")
_LEAST_SIDE = 32
_MOST_TIMES = 20  # as long as wide: a choice; what is longer has too few blocks across to tell yarn from its ground


def open_photo(path: Path, most_megapixels: float) -> Photograph:
    """Read a photograph.

    most_megapixels: larger ones are refused by their header. Raises NotFound, or BadInput for anything that is no
    single colour photograph: each kind of fault has its own message.
    """
    if not path.exists():
        raise NotFound(reason("there is no file {file}", file=str(path)))
    if path.is_dir():
        raise BadInput(reason("this is a folder"), str(path), reason("name the picture in it"))
    if not path.is_file():
        raise BadInput(reason("this is a pipe or a device, not a file"), str(path), reason("name a picture"))
    image = _opened(path, most_megapixels)
    notes: list[Words] = []
    with image:
        _refuse(image, path)
        if image.format == "PNG" and _png_depth(path) == 16:
            notes.append(reason("16 bits a channel: read as 8, which is finer than what a camera knows of a colour"))
        profile = image.info.get("icc_profile")
        try:
            image.load()
        except Exception as fault:  # a damaged file can make a decoder raise anything
            raise _damaged(path, fault) from None
        upright = _upright(image)
    flat = _flattened(upright, path)
    if profile:
        flat, note = _in_srgb(flat, profile)
        notes += [note] if note else []
    pixels = np.array(flat, dtype=np.uint8)
    return Photograph(pixels, tuple(notes))


def _opened(path: Path, most_megapixels: float) -> Image.Image:
    """The file with its header read, its pixels not yet."""
    import pillow_heif
    from PIL import Image, UnidentifiedImageError

    pillow_heif.register_heif_opener()
    # Pillow's own limit is one for the whole program and stands between a warning and an error: ours is asked instead.
    limit = Image.MAX_IMAGE_PIXELS
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(path, formats=(*READ, *_NAMED))
    except UnidentifiedImageError:
        what = reason("this isn't a picture that can be read here, whatever its name says")
        raise BadInput(what, path.name, reason("give a JPEG, PNG, WebP or HEIC photograph")) from None
    except OSError as fault:
        if fault.strerror:
            what = reason("the picture can't be read ({why})", why=fault.strerror)
            raise BadInput(what, path.name, reason("check the file")) from None
        raise _damaged(path, fault) from None
    except Exception as fault:
        raise _damaged(path, fault) from None
    finally:
        Image.MAX_IMAGE_PIXELS = limit
    wide, high = image.size
    if wide * high > most_megapixels * 1e6:
        image.close()
        said = "the picture has {wide} x {high} pixels, more than {most} megapixels"
        what = reason(said, wide=wide, high=high, most=Number(most_megapixels))
        raise BadInput(what, path.name, reason("make it smaller: 2 megapixels are plenty"))
    return image


def _refuse(image: Image.Image, path: Path) -> None:
    """Kinds of picture that are no colour photograph."""
    kind = image.format or ""
    wide, high = image.size
    if getattr(image, "is_animated", False) and kind in ("PNG", "WEBP", "GIF"):
        what, todo = reason("the picture is animated"), reason("give one still picture")
    elif kind in _NAMED:
        what, todo = reason("this is a {kind} picture", kind=kind), reason("save it as JPEG or PNG and give that file")
    elif image.mode in ("CMYK", "YCCK"):
        what = reason("the picture is in CMYK, the colours of a printing press")
        todo = reason("export it for the screen, as sRGB")
    elif image.mode.startswith("I") or image.mode == "F":
        what, todo = reason("the picture is grey with 16 bits or more"), reason("a colour photograph is needed")
    elif image.mode in ("L", "LA", "1"):
        what, todo = reason("the picture is black and white"), reason("a colour photograph is needed")
    elif min(wide, high) < _LEAST_SIDE:
        what = reason("the picture has only {wide} x {high} pixels", wide=wide, high=high)
        todo = reason("give at least {n} each way", n=_LEAST_SIDE)
    elif max(wide, high) > _MOST_TIMES * min(wide, high):
        what = reason("the picture is a strip of {wide} x {high} pixels", wide=wide, high=high)
        todo = reason("cut it to at most {n} times as long as wide", n=_MOST_TIMES)
    else:
        return
    raise BadInput(what, path.name, todo)


def _flattened(image: Image.Image, path: Path) -> Image.Image:
    """RGB; a picture with parts that are see-through is refused, since they have no colour."""
    if image.mode in ("RGBA", "PA", "La", "RGBa") or "transparency" in image.info:
        image = image.convert("RGBA")
        lowest = image.getchannel("A").getextrema()[0]
        if isinstance(lowest, int | float) and lowest < 255:
            what = reason("the picture has see-through parts (alpha)")
            raise BadInput(what, path.name, reason("give the photograph before it was cut out"))
    return image if image.mode == "RGB" else image.convert("RGB")


def _upright(image: Image.Image) -> Image.Image:
    """Turned as the camera was held; the remark itself is dropped with all other metadata."""
    from PIL import ImageOps

    with suppress(Exception):  # a damaged remark turns nothing
        ImageOps.exif_transpose(image, in_place=True)
    return image


def _in_srgb(image: Image.Image, profile: bytes) -> tuple[Image.Image, Words]:
    """The picture in sRGB, and a remark where its profile cannot be used."""
    from PIL import ImageCms

    try:
        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        if "sRGB" in ImageCms.getProfileDescription(own):
            return image, ""
        ImageCms.profileToProfile(
            image, own, ImageCms.createProfile("sRGB"), ImageCms.Intent.RELATIVE_COLORIMETRIC, inPlace=True
        )
    except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
        return image, reason("the picture's colour profile can't be used, so it is read as ordinary sRGB")
    return image, ""


def _png_depth(path: Path) -> int:
    """Bits of a channel, from the header of a PNG (its 25th byte)."""
    with path.open("rb") as file:
        head = file.read(25)
    return head[24] if len(head) == 25 else 8


def _damaged(path: Path, fault: Exception) -> BadInput:
    if isinstance(fault, MemoryError):
        return BadInput(reason("there isn't enough memory"), path.name, reason("make the picture smaller"))
    todo = reason("copy it from the camera again; it may not have come over whole")
    return BadInput(reason("the picture is damaged or cut short"), path.name, todo)

"""A photograph as it is to be looked at: upright, in sRGB, of a size for a screen; nothing else of it is kept."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from matcher.store.catalogue.catalogue import Catalogue

_LONGEST = 1400  # pixels, a choice


@dataclass(frozen=True)
class Upright:
    """width and height [pixels] are of the whole picture, in which boxes are given; jpeg: what is shown of it."""

    width: int
    height: int
    jpeg: bytes


def upright(file: Path, catalogue: Catalogue) -> Upright:
    """A photograph to draw boxes on. Raises BadInput and NotFound as `photo` does."""
    from PIL import Image

    from matcher.store.photograph_files import open_photo

    seen = open_photo(file, catalogue.photo.most_megapixels)
    picture = Image.fromarray(seen.pixels)
    picture.thumbnail((_LONGEST, _LONGEST), reducing_gap=2.0)
    kept = io.BytesIO()
    picture.save(kept, "JPEG", quality=88)
    return Upright(seen.width, seen.height, kept.getvalue())

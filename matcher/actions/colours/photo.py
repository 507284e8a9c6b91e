"""Which colours does this photograph show?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.colours.take import take_colours, taken_asked
from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.keeping.done import Done
from matcher.actions.targets import target
from matcher.matching.scraps.identify import colour_error
from matcher.materials.colours.apart import seen_apart
from matcher.photographs.photo import Reading, Region, read_colours
from matcher.photographs.pixels import REFERENCE, YARN, Box, Photograph, parse_box
from matcher.reasons.reason import Field, Words
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.places import to_read

if TYPE_CHECKING:
    import pandas as pd

    from matcher.materials.lots import Bin

_MOST_LOTS = 5
_ENDINGS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG"}


@dataclass(frozen=True)
class NearLot:
    """A lot of the bin whose colour is like that of a region; within: whether the errors allow that it is the same.

    A lot of glossy fibre is allowed more, since sheen that is not seen as such makes it look lighter; so is one whose
    colour is a word, though less than the word may be off.
    """

    lot: str
    delta_e: float
    within: bool


@dataclass(frozen=True)
class SeenRegion:
    """One yarn of the picture, and the lots it may be (nearest first; empty without a bin)."""

    number: int
    region: Region
    lots: tuple[NearLot, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        region = self.region
        return {
            "region": self.number,
            "box": list(region.box),
            "kind": region.kind,
            "colours": [
                {
                    "lab": [round(value, 1) for value in one.lab],
                    "srgb": one.code,
                    "share": round(one.share, 3),
                    "se": round(one.se, 1),
                }
                for one in region.colours
            ],
            "se": round(region.se, 1),
            "colour": region.colour.words(),
            "lots": [{"lot": one.lot, "delta_e": round(one.delta_e, 1), "within": one.within} for one in self.lots],
        }


@dataclass(frozen=True)
class SeenPhoto:
    """What a photograph says, and where it was drawn. width and height [pixels] are of the upright picture.

    taken: which colours were written into lots; None where none was asked to be.
    """

    file: str
    width: int
    height: int
    reading: Reading
    regions: tuple[SeenRegion, ...]
    bin: str
    out: str
    taken: Done | None = None

    @property
    def warnings(self) -> tuple[Words, ...]:
        return self.reading.warnings

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        white = self.reading.white
        return {
            "width": self.width,
            "height": self.height,
            "white": None
            if white is None
            else {
                "box": list(white.box),
                "lab": [round(value, 1) for value in white.lab],
                "taken_as": [round(value, 1) for value in white.taken_as],
                "given": white.given,
            },
            "regions": [one.as_dict() for one in self.regions],
            "warnings": list(self.warnings),
            "taken": self.taken.values["taken"] if self.taken is not None else [],
        }

    def frame(self) -> pd.DataFrame:
        """One row a colour, as a pandas frame."""
        import pandas as pd

        rows = []
        for one in self.regions:
            for colour in one.region.colours:
                lab = dict(zip(("l", "a", "b"), (round(value, 1) for value in colour.lab), strict=True))
                rows.append(
                    {"region": one.number, "kind": one.region.kind, **lab, "srgb": colour.code}
                    | {"share": round(colour.share, 3), "se": round(colour.se, 1)}
                )
        return pd.DataFrame(rows)


def photo(
    file: Path | str,
    boxes: Sequence[str | Box] = (),
    white: str | Box | None = None,
    *,
    grey_card: bool = False,
    bin: DeskLike = None,
    out: Path | str | None = None,
    replace: bool = False,
    take: Sequence[str] = (),
    catalog: Catalogue | Path | str | None = None,
    style: Style = PLAIN,
) -> SeenPhoto:
    """Read the colours of yarns from a photograph; nothing of hers is changed unless she takes a colour.

    Parameters
    ----------
    file : JPEG, PNG, WebP or HEIC.
    boxes : where the yarns lie, "x,y,width,height" in pixels of the upright picture; looked for when none is given.
    white : where white paper (or with `grey_card` a card that reflects 18%) lies; white paper is looked for when left
        out.
    bin : whose lots are compared with what is seen; none when left out.
    out : where to write the picture with what was seen drawn on it, .png or .jpg, with words in this style.
    replace : write over a file of other content.
    take : colours to write into lots of the store, each "1=plum": the number of the yarn, and the lot's name or code.

    Raises
    ------
    BadInput, NotFound, BadSheets
    """
    from matcher.store.photograph_files import open_photo

    desk = desk_of(bin, catalog)
    rules = desk.catalogue.photo
    source = to_read(file)
    drawn = None if out is None else target(out, tuple(_ENDINGS), Field("out"), source)
    places = [parse_box(one, YARN) if isinstance(one, str) else one for one in boxes]
    white_place = parse_box(white, REFERENCE) if isinstance(white, str) else white
    hers = desk.bin if bin is not None else None
    picture = open_photo(source, rules.most_megapixels)
    reading = read_colours(picture, rules, places, white_place, grey_card)
    regions = tuple(
        SeenRegion(number, one, _near(one, hers, desk.catalogue) if hers is not None else ())
        for number, one in enumerate(reading.regions, 1)
    )
    taken = None
    if take:
        asked = taken_asked(take, len(regions))
        taken = take_colours({one.number: one.region.colour for one in regions}, asked, bin, desk.catalogue.contrast)
    if drawn is not None:
        _draw(picture, reading, drawn, style, replace)
    where = "" if hers is None else hers.source
    return SeenPhoto(str(file), picture.width, picture.height, reading, regions, where, str(drawn or ""), taken)


def _near(region: Region, hers: Bin, catalogue: Catalogue) -> tuple[NearLot, ...]:
    """The lots within the errors, nearest first; where there is none the nearest of all.

    A word may stand for colours that nobody would take for one another. It allows no more than such as merge: else a
    ball of mint may be any lot that is called cream.
    """
    rules, most = catalogue.photo, catalogue.contrast.quiet_delta_e
    if not hers.lots:
        return ()
    each = seen_apart(region.colour, [lot.colour for lot in hers.lots], whole=True).tolist()
    errors = [
        math.hypot(region.se, rules.gloss_sd * lot.yarn.blend.glossy_share, min(most, colour_error(lot.colour, 0.0)))
        for lot in hers.lots
    ]
    apart = sorted(zip(each, (lot.name for lot in hers.lots), errors, strict=True))
    found = [NearLot(name, delta_e, delta_e <= rules.near_errors * error) for delta_e, name, error in apart]
    return tuple(one for one in found[:_MOST_LOTS] if one.within) or tuple(found[:1])


def _draw(picture: Photograph, reading: Reading, place: Path, style: Style, replace: bool) -> None:
    from matcher.drawing.annotated import annotated
    from matcher.store.files import write_out

    content = annotated(picture, reading, _ENDINGS[place.suffix.casefold()], style)
    write_out({place: content}, replace=replace)

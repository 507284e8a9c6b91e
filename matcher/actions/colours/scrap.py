"""What she says of a scrap, read and checked: the clues, and what is to be said of them."""

from __future__ import annotations

import math
from pathlib import Path

from matcher.errors import BadInput
from matcher.matching.scraps.identify import Clues, colour_error, thickness_told
from matcher.materials.clues import IdentifyRules, Weighed, parse_weighed
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.reading.numerals import Unreadable
from matcher.materials.yarn import MeasuringRules
from matcher.photographs.photo import read_colours
from matcher.photographs.pixels import REFERENCE, YARN, parse_box
from matcher.reasons.quantities import Number, Tex
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.photograph_files import open_photo

_CLUES = (
    Field("colour"),
    Field("photo"),
    Field("weighed", '"12 m = 5.1 g"'),
    Field("wraps", "9"),
    Field("plies", "2"),
    Field("felts", "yes"),
)


def clues_given(
    catalogue: Catalogue,
    *,
    colour: str | None,
    weighed: str | None,
    wraps: float | None,
    plies: int | None,
    felts: str | None,
    photo: Path | str | None,
    box: str | None,
    white: str | None,
) -> tuple[Clues, list[Words]]:
    """The clues, as `whose` takes them, and remarks on them. Raises BadInput, also where none is given."""
    rules = catalogue.identify
    notes: list[Words] = []
    seen, se = _colour(colour, photo, box, white, catalogue, notes)
    clues = Clues(
        seen,
        se,
        _weighed(weighed, catalogue.measuring) if weighed is not None else None,
        _wraps(wraps),
        _plies(plies, rules),
        _felts(felts),
    )
    if not clues.given:
        raise BadInput(
            reason("nothing is said about the scrap"),
            todo=reason("give at least one of: {clues}", clues=listed(_CLUES, "or")),
        )
    return clues, [*notes, *_disagree(clues, rules)]


def _colour(
    text: str | None,
    photo: Path | str | None,
    box: str | None,
    white: str | None,
    catalogue: Catalogue,
    notes: list[Words],
) -> tuple[Colour | None, float]:
    """The scrap's colour and its root mean square error [CIEDE2000]."""
    if text is not None and photo is not None:
        both = listed((Field("colour"), Field("photo")))
        raise BadInput(reason("two colours are given"), both, reason("give one of them"))
    if photo is not None:
        reading = read_colours(
            open_photo(Path(photo).expanduser(), catalogue.photo.most_megapixels),
            catalogue.photo,
            [] if box is None else [parse_box(box, YARN)],
            None if white is None else parse_box(white, REFERENCE),
        )
        notes += reading.warnings
        if len(reading.regions) != 1:
            raise BadInput(
                counted(
                    len(reading.regions), "{n} yarn is seen in {file}", "{n} yarns are seen in {file}", file=str(photo)
                ),
                Field("photo"),
                reason(
                    "name the place of the scrap with {box} ({photo} shows the boxes)",
                    box=Field(YARN.name, "X,Y,W,H"),
                    photo=Action("photo"),
                ),
            )
        return reading.regions[0].colour, reading.regions[0].se
    if box is not None or white is not None:
        field = YARN if box is not None else REFERENCE
        raise BadInput(reason("no photograph is named"), field, reason("give it with {photo}", photo=Field("photo")))
    if text is None:
        return None, 0.0
    try:
        read = parse_colour(text, catalogue.colour_words)
    except Unreadable as fault:
        raise BadInput(fault.said, Field("colour")) from None
    if read.guessed:
        said = "a plain word says little of a colour: a code or {photo} tells more"
        notes.append(reason(said, photo=Field("photo")))
        return read, colour_error(read, catalogue.identify.eye_colour_se)
    return read, catalogue.identify.eye_colour_se


def _weighed(text: str, measuring: MeasuringRules) -> Weighed:
    try:
        return parse_weighed(text, measuring)
    except Unreadable as fault:
        raise BadInput(fault.said, Field("weighed")) from None


def _wraps(wraps: float | None) -> float | None:
    if wraps is not None and not 1.0 <= wraps <= 100.0:
        raise BadInput(
            reason("found {wraps} wraps in an inch", wraps=Number(wraps, 2)),
            Field("wraps"),
            reason("give a number from 1 to 100"),
        )
    return wraps


def _plies(plies: int | None, rules: IdentifyRules) -> int | None:
    if plies is not None and not 1 <= plies <= rules.most_plies:
        raise BadInput(
            reason("found {plies} plies", plies=plies),
            Field("plies"),
            reason("give a number from 1 to {most}", most=int(rules.most_plies)),
        )
    return plies


def _felts(text: str | None) -> bool | None:
    known = {"yes": True, "no": False, "?": None, "": None}
    folded = (text or "").strip().casefold()
    if folded not in known:
        raise BadInput(reason('found "{text}"', text=text or ""), Field("felts"), reason("give yes, no or ?"))
    return known[folded]


def _disagree(clues: Clues, rules: IdentifyRules) -> list[Words]:
    """A remark where weighing and winding can hardly be of one yarn."""
    if clues.weighed is None or clues.wraps is None:
        return []
    one, other = thickness_told(clues, rules)
    if abs(one.mean - other.mean) <= rules.disagree_errors * math.hypot(one.sd, other.sd):
        return []
    said = "the weighed length and the wraps disagree ({weighed} and {wound}): measure both again"
    return [reason(said, weighed=Tex(math.exp(one.mean)), wound=Tex(math.exp(other.mean)))]

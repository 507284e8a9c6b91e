"""Two colours knitted together in a motif: as different eyes see it, and from three distances."""

from __future__ import annotations

from matcher.drawing.distances import distances_scene
from matcher.drawing.flat_picture import captioned
from matcher.drawing.motif_picture import motif_scene
from matcher.drawing.scene import Scene
from matcher.drawing.sights import CAPTIONS, colours_as_seen
from matcher.errors import BadInput
from matcher.knitting.motifs.motif import Motif
from matcher.matching.afar import USUAL_GAUGE
from matcher.materials.colours.colour import Colour
from matcher.reasons.reason import Field, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue

_ACROSS = 12  # stitches and rows that are shown at least, a choice


def pair_in_sights(a: Colour, b: Colour, motif: Motif, catalogue: Catalogue, style: Style = PLAIN) -> Scene:
    """In daylight, in grey, and to each kind of colour-blind eyes, side by side.

    motif : of two colours. Raises BadInput for another.
    """
    repeats = -(-_ACROSS // motif.width), -(-_ACROSS // motif.height)
    stitches, rows = USUAL_GAUGE
    return captioned(
        [
            (style.say(CAPTIONS[sight]), motif_scene(motif, seen, stitches, rows, repeats, numbers=False, names={}))
            for sight, seen in colours_as_seen(_worn(a, b, motif), catalogue.vision).items()
        ]
    )


def pair_afar(a: Colour, b: Colour, motif: Motif, catalogue: Catalogue, style: Style = PLAIN) -> Scene:
    """In the hand, across a table and across a room, side by side. The rest as `pair_in_sights`."""
    return distances_scene(motif, _worn(a, b, motif), USUAL_GAUGE, catalogue.spatial, style)


def _worn(a: Colour, b: Colour, motif: Motif) -> dict[str, Colour]:
    if len(motif.role_names) != 2:
        what = reason("{motif} is of {n} colours", motif=motif.name, n=len(motif.role_names))
        raise BadInput(what, Field("motif"), reason("give one of two colours"))
    first, second = motif.role_names
    return {first: a, second: b}

"""All colours of a bin laid out for colourwork, and which of them read well together."""

from __future__ import annotations

import dataclasses
import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.targets import target
from matcher.drawing.palette_picture import Panel, Swatch, map_scene, strips_scene
from matcher.drawing.scene import Scene, png, svg
from matcher.errors import BadInput
from matcher.matching.contrast import verdict_of
from matcher.matching.guessed import tell_for_sure
from matcher.matching.palette import ALONE, EACH, MOST_COMPARED, NOTHING, ReadTogether, read_together, uses_of
from matcher.materials.colours.cielab import Lab
from matcher.materials.lots import Lot
from matcher.materials.uncertain import normal_z
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.files import write_out

if TYPE_CHECKING:
    import pandas as pd

WAYS = ("lightness", "hue", "map")
_LONGEST_SIDE = 6000.0
_PIXELS_A_UNIT = 2.0


@dataclass(frozen=True)
class PaletteLot:
    """One lot in its place: lab is the mean of its colours; free_m [m] of it are free; use: what these are enough for,
    by themselves (`ALONE`) or as one strand of several (`STRAND`), or `NOTHING`; kept: by her own decision."""

    lot: Lot
    lab: Lab
    free_m: float
    use: str
    kept: bool = False

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "lot": self.lot.name,
            "class": self.lot.yarn.weight_class,
            "lab": [round(value, 1) for value in self.lab],
            "colour": self.lot.colour.words(),
            "colour_guessed": self.lot.colour.guessed,
            "free_m": round(self.free_m, 2),
            "makes_something": self.use != NOTHING,
        }


@dataclass(frozen=True)
class Palette:
    """The lots of each class in order, and the best pairs and triples."""

    by: str
    classes: tuple[tuple[int, str, tuple[PaletteLot, ...]], ...]
    pairs: tuple[ReadTogether, ...]
    triples: tuple[ReadTogether, ...]
    notes: tuple[Words, ...]
    files: tuple[Path, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "by": self.by,
            "lots": [one.as_dict() for _, _, lots in self.classes for one in lots],
            "pairs": [_together(one) for one in self.pairs],
            "triples": [_together(one) for one in self.triples],
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row a lot, in order, as a pandas frame."""
        import pandas as pd

        rows = []
        for _, _, lots in self.classes:
            for one in lots:
                row = one.as_dict()
                light, a, b = row.pop("lab")
                rows.append(row | {"l": light, "a": a, "b": b})
        columns = ["lot", "class", "colour", "colour_guessed", "free_m", "makes_something", "l", "a", "b"]
        return pd.DataFrame(rows, columns=columns)

    def scene(self, style: Style = PLAIN) -> Scene:
        """The picture."""
        panels = [
            Panel(
                style.say(reason("class {number}, {name}", number=number, name=Term(name))),
                tuple(
                    Swatch(
                        one.lot.name,
                        one.lot.colour.patches(),
                        one.lab,
                        one.lot.colour.guessed,
                    )
                    for one in lots
                ),
            )
            for number, name, lots in self.classes
        ]
        return (
            map_scene(panels, style)
            if self.by == "map"
            else strips_scene(panels, reason("Colours by {by}", by=Term(self.by)), style)
        )


def _together(one: ReadTogether) -> dict[str, Any]:
    return {
        "lots": [pool.name for pool in one.pools],
        "reading": round(one.reading, 3),
        "verdict": verdict_of(one.reading),
        "chance": None if one.chance is None else round(one.chance, 3),
        "together": round(one.together, 3),
        "free_m": [round(pool.free.mean, 2) for pool in one.pools],
    }


def palette(
    bin: DeskLike = None,
    *,
    by: str = "lightness",
    svg: Path | str | None = None,
    png: Path | str | None = None,
    replace: bool = False,
    top: int = 5,
    eyes: str | None = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
    style: Style = PLAIN,
) -> Palette:
    """Lay out the lots of each class, and rank pairs and triples that read well together.

    Parameters
    ----------
    by : "lightness" (dark first), "hue" (greys first, then from red over yellow, green and blue) or "map" (a*, b*).
    svg, png : where to draw it, with words in this style. replace : write over files of other content.
    top : how many pairs and how many triples.
    eyes : whose decide besides ordinary ones: "ordinary" (none), "red", "green", "blue" (blind) or "any" of these.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.

    Raises
    ------
    BadInput, NotFound, BadSheets
    """
    if by not in WAYS:
        raise BadInput(
            reason('found "{by}"', by=by), Field("by"), reason("give {ways}", ways=listed(map(Term, WAYS), "or"))
        )
    if top < 0:
        raise BadInput(reason("found {top}", top=top), Field("top"), reason("give 0 or more"))
    desk = desk_of(bin, catalog, mending)
    catalogue, shelf = desk.seen_by(eyes), desk.shelf
    uses = uses_of(shelf.pools, desk.variants, catalogue.fabric, normal_z(catalogue.ranking.sure_at_least))
    useful = [pool for pool, use in zip(shelf.pools, uses, strict=True) if use == ALONE]
    use_of = {lot.name: use for pool, use in zip(shelf.pools, uses, strict=True) for lot in pool.lots}
    placed = []
    for lot in shelf.bin.lots:
        free_m = shelf.free[lot.name].mean
        use = use_of[lot.name] if free_m > 0 else NOTHING
        placed.append(PaletteLot(lot, lot.colour.mean(), free_m, use, lot.name in shelf.kept))
    placed.sort(key=lambda one: (_order(one.lab, by, catalogue.contrast.grey_chroma), one.lot.name))
    classes = tuple(
        (known.number, known.name, tuple(one for one in placed if one.lot.yarn.weight_class == known.number))
        for known in catalogue.classes
    )
    notes: list[Words] = [*shelf.notes]
    if guessed := tell_for_sure(lot.name for lot in shelf.bin.lots if lot.colour.guessed):
        notes.append(guessed)
    if len(useful) > MOST_COMPARED:
        notes.append(reason("pairs and triples are sought among the {n} yarns with most free", n=MOST_COMPARED))
    if useful and top:
        times = {1: Term("once"), 2: Term("twice")}.get(EACH) or counted(EACH, "{n} time", "{n} times")
        notes.append(reason("each yarn appears at most {times} in each list", times=times))
    pairs, triples = (
        read_together(useful, number, top, catalogue.contrast, catalogue.together, catalogue.vision)
        for number in (2, 3)
    )
    found = Palette(by, tuple(one for one in classes if one[2]), pairs, triples, tuple(notes), ())
    return dataclasses.replace(found, files=_drawn(found, svg, png, style, replace))


def _order(lab: Lab, by: str, grey_chroma: float) -> tuple[float, ...]:
    """Dark to light; by hue: greys first, then round the circle in twelve parts, dark to light in each."""
    if by == "lightness":
        return (lab[0],)
    chroma, hue = math.hypot(lab[1], lab[2]), math.degrees(math.atan2(lab[2], lab[1])) % 360.0
    if chroma < grey_chroma:
        return (-1.0, lab[0])
    return (hue // 30.0, lab[0])


def _drawn(
    found: Palette, to_svg: Path | str | None, to_png: Path | str | None, style: Style, replace: bool
) -> tuple[Path, ...]:
    if to_svg is None and to_png is None:
        return ()
    scene = found.scene(style)
    contents: dict[Path, bytes] = {}
    if to_svg is not None:
        contents[target(to_svg, (".svg",), Field("svg"))] = svg(scene).encode()
    if to_png is not None:
        scale = min(_PIXELS_A_UNIT, _LONGEST_SIDE / max(scene.width, scene.height))
        contents[target(to_png, (".png",), Field("png"))] = png(scene, scale)
    return write_out(contents, replace=replace)

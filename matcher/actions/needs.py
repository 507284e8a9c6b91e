"""What an accessory of the catalogue takes, and what any piece of the knitter's own pattern takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.learning.history import History
from matcher.actions.meant import accessory_meant, class_meant, size_meant
from matcher.errors import BadInput
from matcher.knitting.accessory import Accessory
from matcher.knitting.asked import check_rows, check_tex, check_within
from matcher.knitting.calibration import calibrated
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.knitting.needs import RoleNeed, needs_table
from matcher.knitting.piece import PieceNeed, piece_need
from matcher.materials.reading.units import Unreadable, parse_gauge
from matcher.materials.rules import SheetLimits
from matcher.materials.yarn import tex_measured
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Action, Field, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Needs:
    """What an accessory takes, a row for each size and weight class (plain values, see `needs_table`).

    history: what the knitter's own finished pieces and swatches made of the figures. told: how her words were read.
    """

    accessory: Accessory
    rows: tuple[dict[str, Any], ...]
    called: Mapping[str, str]  # what each structure is called
    history: History
    told: tuple[Words, ...] = ()

    @property
    def notes(self) -> tuple[Words, ...]:
        """How her words were read, and a remark where the figures follow her own knitting."""
        follows = _follows(self.history)
        return (*self.told, follows) if follows else self.told

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        return {
            "accessory": self.accessory.name,
            "key": self.accessory.key,
            "source": self.accessory.source,
            "needs": [_rounded(row) for row in self.rows],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each size, class and role, as a pandas frame."""
        import pandas as pd

        wanted = ("role", "metres", "sd", "grams", "stitches")
        return pd.DataFrame(
            [
                {
                    "size": row["size"],
                    "class": row["class"],
                    "tex": row["tex"],
                    **{key: role[key] for key in wanted},
                }
                for row in self.rows
                for role in row["roles"]
            ]
        )


def _follows(history: History) -> Words:
    if history.learnt is None:
        return ""
    said = "These estimates follow your own knitting: {history} ({calibration} shows it)."
    return reason(said, history=history.words, calibration=Action("calibration"))


def needs(
    accessory: str,
    *,
    size: str | None = None,
    weight_class: str | int | None = None,
    tex: float | None = None,
    swatch: str | None = None,
    bin: DeskLike = None,
    catalog: Path | str | None = None,
) -> Needs:
    """Metres and grams of every role of an accessory, with the working.

    Parameters
    ----------
    accessory : its name or its key, or words of its name that no other has; size : its name, or "M", "age 5".
    weight_class : its number or a name such as "DK".
    tex : of the yarn [g per 1000 m], in place of the classes; swatch : "22 st x 30 rows" in 10 cm of plain knitting.
    bin : the store whose history the needs follow; None takes the one that is read when none is named, if there is one.

    Raises
    ------
    NotFound, BadInput, CatalogueError
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.catalogue
    told: list[Words] = []
    entry = accessory_meant(accessory, catalogue, told)
    wanted_size = size_meant(size, catalogue.sizes, entry.sizes, "size", told) if size else None
    number = class_meant(weight_class, catalogue, told) if weight_class is not None else None
    if number is not None and number not in entry.classes:
        made = reason("{accessory} isn't made in class {number}", accessory=Term(entry.name), number=number)
        suits = listed((str(one) for one in entry.classes), "or")
        raise BadInput(made, Field("class"), reason("give {classes}", classes=suits))
    gauge = _gauge(tex, swatch, entry, catalogue)
    history = desk.history

    def as_she_knits(found: tuple[RoleNeed, ...], at: Gauge) -> tuple[RoleNeed, ...]:
        return calibrated(found, entry, history.learnt, from_swatch=at.from_swatch_rows)

    rows = needs_table(
        entry,
        catalogue.sizes,
        catalogue.motifs,
        catalogue.fabric,
        catalogue.classes,
        only_size=wanted_size,
        only_class=number,
        gauge=gauge,
        tex=tex,
        as_she_knits=as_she_knits,
    )
    called = {name: one.words for name, one in catalogue.fabric.structures.items()}
    return Needs(entry, tuple(rows), called, history, tuple(told))


def _gauge(tex: float | None, swatch: str | None, entry: Accessory, catalogue: Catalogue) -> Gauge | None:
    if swatch is not None:
        return gauge_of_swatch(swatch, catalogue, entry.firmness)
    if tex is not None:
        check_tex(tex, catalogue.limits)
        return gauge_of_tex(tex, catalogue.fabric, entry.firmness)
    return None


def gauge_of_swatch(swatch: str, catalogue: Catalogue, firmness: float = 1.0) -> Gauge:
    """The gauge of "22 st x 30 rows" in 10 cm, knitted for something so firm; raises BadInput."""
    stitches, rows = _swatch(swatch, catalogue.limits)
    if rows is None:
        return Gauge.from_stitches(stitches, catalogue.fabric, firmness)
    return Gauge.from_swatch(stitches, rows, catalogue.fabric, firmness)


def _swatch(text: str, limits: SheetLimits) -> tuple[float, float | None]:
    try:
        stitches, rows = parse_gauge(text)
    except Unreadable as fault:
        how = reason('write it as "22 st x 30 rows" (in 10 cm)')
        raise BadInput(fault.said, Field("swatch"), how) from None
    least, most = limits.least_stitches_10cm, limits.most_stitches_10cm
    told = reason("a gauge of {n} stitches in 10 cm", n=Number(stitches, 1))
    check_within(told, "swatch", stitches, least, most)
    if rows is not None:
        told = reason("a gauge of {n} rows in 10 cm", n=Number(rows, 1))
        check_within(told, "swatch", rows, limits.least_rows_10cm, limits.most_rows_10cm)
        check_rows(stitches, rows, "swatch", limits)
    return stitches, rows


def piece(
    structure: str,
    stitches: int,
    *,
    height_cm: float | None = None,
    rows: int | None = None,
    tex: float | None = None,
    weight_class: str | int | None = None,
    swatch: str | None = None,
    colours: int = 2,
    bin: DeskLike = None,
    catalog: Path | str | None = None,
) -> PieceNeed:
    """Metres and grams, with their spread, of any piece of the knitter's own pattern.

    Parameters
    ----------
    structure : one of the catalogue's, such as "stocking", "rib" or "stranded" (then `colours` in each round).
    swatch : "22 st x 30 rows" in 10 cm of plain knitting; with both it narrows the spread.
    bin : the store whose history it follows, as in `needs`.

    Raises BadInput when something is missing or makes no sense.
    """
    desk = desk_of(bin, catalog)
    catalogue = desk.catalogue
    told: list[Words] = []
    if tex is not None:
        check_tex(tex, catalogue.limits)
    found = piece_need(
        structure,
        stitches,
        catalogue.fabric,
        catalogue.classes,
        height_cm=height_cm,
        rows=rows,
        tex=tex_measured(tex, catalogue.measuring) if tex is not None else None,
        weight_class=class_meant(weight_class, catalogue, told) if weight_class is not None else None,
        swatch=_swatch(swatch, catalogue.limits) if swatch is not None else None,
        colours=colours,
        calibration=desk.history.learnt,
    )
    follows = _follows(desk.history)
    return replace(found, notes=(*told, follows) if follows else tuple(told))


def _rounded(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(one) for one in value]
    return round(value, 4) if isinstance(value, float) else value

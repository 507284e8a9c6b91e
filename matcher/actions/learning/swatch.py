"""A swatch that was weighed: how her loop compares with the usual one, noted in the store."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import desk_of
from matcher.actions.learning.calibration import ratio_of, spread_of, than_estimated
from matcher.actions.learning.history import History, history_in, swatch_metres
from matcher.actions.learning.measured import gauge_noted, gauge_of_size, note_of
from matcher.actions.names import near_names, typed
from matcher.errors import BadInput, NotFound
from matcher.knitting.asked import check_structure, check_tex, check_within
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.materials.yarn import tex_in_cells
from matcher.reasons.quantities import Mass, Share, StitchLength, Tex
from matcher.reasons.reason import Field, Term, Words, counted, reason
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd

    from matcher.store.database.rows import Rows


@dataclass(frozen=True)
class Swatched:
    """A swatch against the figures. loop_cm: yarn in one stitch, usual_loop_cm: by the figures, both [cm]."""

    lot: str
    yarn: str
    tex: float
    structure: str
    knitted: Words  # what the structure is called
    stitches: int
    rows: int
    grams: float
    loop_cm: float
    usual_loop_cm: float
    ratio: float  # used over predicted
    gauge: Gauge | None  # as measured, where she gave the size
    before: History
    after: History
    gauge_loop_cm: float | None = None  # usual at the gauge as measured, where it is one of such a fabric

    @property
    def counts(self) -> bool:
        """Whether it is believed."""
        return len(self.after.counted) > len(self.before.counted)

    @property
    def words(self) -> tuple[Words, ...]:
        """What it says, in sentences."""
        tex = Tex(self.tex)
        said = [than_estimated(self.ratio, "Your swatch used {more} yarn {than}.", tex=tex)]
        if not self.counts:
            far = "That is so far off that it is noted but not counted: check the weight, the stitches and the rows."
            return (*said, reason(far))
        was, now = (one.calibration.shared(self.structure, "") for one in (self.before, self.after))
        spread, before = Share(spread_of(now)), Share(spread_of(was))
        change = round(100 * (ratio_of(now) - 1))
        template = "Estimates in {structure} stay as they are ({sure})."
        if change:
            template = "Estimates in {structure} are now lowered by {by} ({sure})."
        if change > 0:
            template = "Estimates in {structure} are now raised by {by} ({sure})."
        same = str(spread) == str(before)
        sure = reason("±{spread}, as before" if same else "±{spread}; before ±{before}", spread=spread, before=before)
        return (*said, reason(template, structure=self.knitted, by=Share(abs(change) / 100), sure=sure))

    @property
    def took(self) -> Words:
        """Her loop beside the usual one."""
        figures = {"loop": StitchLength(self.loop_cm), "usual": StitchLength(self.usual_loop_cm)}
        if self.gauge_loop_cm is None:
            return reason("One stitch takes {loop} of yarn; {usual} is usual for this yarn.", **figures)
        took = "One stitch takes {loop} of yarn; {usual} is usual for this yarn, and {own} at your gauge."
        return reason(took, **figures, own=StitchLength(self.gauge_loop_cm))

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON."""
        was, now = self.before.calibration.knitter, self.after.calibration.knitter
        gauge = self.gauge
        return {
            "lot": self.lot,
            "yarn": self.yarn,
            "tex": round(self.tex, 2),
            "structure": self.structure,
            "stitches": self.stitches,
            "rows": self.rows,
            "grams": self.grams,
            "loop_cm": round(self.loop_cm, 4),
            "usual_loop_cm": round(self.usual_loop_cm, 4),
            "ratio": round(self.ratio, 4),
            "counts": self.counts,
            "gauge": None
            if gauge is None
            else {"stitches_10cm": round(gauge.stitches_10cm, 2), "rows_10cm": round(gauge.rows_10cm, 2)},
            "before": {"ratio": round(ratio_of(was), 4), "sd": round(was.sd, 4)},
            "after": {"ratio": round(ratio_of(now), 4), "sd": round(now.sd, 4)},
        }

    def frame(self) -> pd.DataFrame:
        """One row, as a pandas frame."""
        import pandas as pd

        plain = {key: value for key, value in self.as_dict().items() if not isinstance(value, dict)}
        return pd.DataFrame([plain])


def swatch(
    lot: str | None = None,
    *,
    stitches: int,
    rows: int,
    grams: float,
    structure: str = "stocking",
    tex: float | None = None,
    size: str | None = None,
    note: str = "",
    bin: Path | str | None = None,
    catalog: Path | str | None = None,
) -> Swatched:
    """Note a swatch in the store; needs follow it from then on.

    Parameters
    ----------
    lot : the lot it was knitted from, by name or short code; without one, `tex` [g per 1000 m] of the yarn.
    stitches, rows, grams : of the whole swatch, weighed with its edges and ends.
    size : width and height such as "18 x 17 cm", where it was measured: gives the gauge.

    Raises
    ------
    NotFound, BadInput, CatalogueError
    """
    catalogue = desk_of(None, catalog).catalogue
    _refuse(structure, stitches, rows, grams, tex, catalogue)
    gauge = gauge_of_size(size, stitches, rows, catalogue) if size else None
    from matcher.actions.place import store_file
    from matcher.store.database.store import open_store

    with open_store(store_file(bin)) as store:
        name, yarn, density = _yarn(store, lot, tex, catalogue)
        before = history_in(store, catalogue)
        with store.action(f"swatch {name or yarn or f'of {Tex(density)}'}") as act:
            act.insert(
                "swatches",
                {
                    "made_on": act.today,
                    "lot": name,
                    "yarn": yarn,
                    "tex": density,
                    "structure": structure,
                    "stitches": float(stitches),
                    "rows": float(rows),
                    "grams": grams,
                    "note": note_of(size, typed(note, Field("note"))),
                },
            )
        after = history_in(store, catalogue)
    predicted_m = swatch_metres(structure, stitches, rows, density, catalogue)
    factor = catalogue.fabric.loop(structure)
    usual = gauge_of_tex(density, catalogue.fabric).loop_cm * factor
    swatched = {"structure": structure, "stitches": stitches, "rows": rows, "note": note_of(size, "")}
    measured = gauge_noted(swatched, catalogue)
    ratio = 1000.0 * grams / density / predicted_m
    knitted = Term(catalogue.fabric.structure(structure).words)
    return Swatched(
        name, yarn, density, structure, knitted, stitches, rows, grams, usual * ratio, usual, ratio, gauge, before,
        after, measured.loop_cm * factor if measured else None,
    )  # fmt: skip


def _refuse(structure: str, stitches: int, rows: int, grams: float, tex: float | None, catalogue: Catalogue) -> None:
    limits = catalogue.fabric.limits
    least = limits.swatch_least_stitches
    check_structure(structure, catalogue.fabric)
    of_stitches = counted(stitches, "a swatch of {n} stitch", "a swatch of {n} stitches")
    check_within(of_stitches, "stitches", stitches, least, limits.swatch_most_stitches)
    check_within(
        counted(rows, "a swatch of {n} row", "a swatch of {n} rows"), "rows", rows, least, limits.swatch_most_rows
    )
    if not limits.swatch_least_g <= grams <= limits.swatch_most_g:
        give = reason(
            "give a weight from {least} to {most}",
            least=Mass(limits.swatch_least_g),
            most=Mass(limits.swatch_most_g),
        )
        raise BadInput(reason("a swatch of {mass}", mass=Mass(grams)), Field("grams"), give)
    if tex is not None:
        check_tex(tex, catalogue.limits)


def _yarn(store: Rows, lot: str | None, tex: float | None, catalogue: Catalogue) -> tuple[str, str, float]:
    """The lot's name, its yarn's name and tex. The tex of a class alone is too vague to learn from."""
    if lot is None:
        if tex is None:
            add = reason("name its lot, or add {tex}", tex=Field("tex", "380"))
            raise BadInput(reason("the yarn's thickness isn't known"), "", add)
        return "", "", tex
    row = store.named("lots", lot)
    if row is None:
        near = near_names(lot, (one["lot"] for one in store.lots()))
        raise NotFound(reason('there is no lot "{lot}"', lot=lot), near=near)
    told = tex_in_cells(row, catalogue.measuring)
    if tex is None and told is None:
        weigh = reason("weigh 20 m of it: 7.8 g make {tex}", tex=Field("tex", "390"))
        vague = reason("only the weight class of {lot} is known, which is too vague to learn from", lot=row["lot"])
        raise BadInput(vague, "", weigh)
    return row["lot"], row["yarn"], told[0].mean if tex is None and told is not None else tex or 0.0

"""What finished accessories and swatches say of how this knitter knits: before, what was noted, and now."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.learning.history import FINISHED, History, Noted, history_at
from matcher.actions.targets import target
from matcher.drawing.calibration_plot import PlotRow, calibration_scene
from matcher.drawing.scene import Scene
from matcher.drawing.scene import png as as_png
from matcher.drawing.scene import svg as as_svg
from matcher.knitting.calibration import Calibration
from matcher.knitting.fabric import PLAIN
from matcher.materials.uncertain import Estimate
from matcher.reasons.quantities import Quantity, Share, Tex
from matcher.reasons.reason import Field, Term, Words, reason
from matcher.reasons.style import PLAIN as PLAIN_STYLE
from matcher.reasons.style import Style
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.files import write_out

if TYPE_CHECKING:
    import pandas as pd

MOST_ROWS = 40  # of what was noted, in a picture


@dataclass(frozen=True)
class Next:
    """What to expect of a next piece: log of used over the figures, with the spread all its roles share."""

    structure: str
    accessory: str  # key; "" for one that was never finished
    name: str | Tex
    knitted: Words  # what the structure is called
    now: Estimate

    @property
    def words(self) -> Words:
        """Such as "something new, in rib" or "ribbed hat again, in rib"."""
        if self.accessory:
            return reason("{accessory} again, in {structure}", accessory=self.name, structure=self.knitted)
        return reason("something new, in {structure}", structure=self.knitted)


@dataclass(frozen=True)
class Calibrated:
    """The history of a store and what follows from it. `source` is the store's file, empty without one."""

    history: History
    next: tuple[Next, ...]
    source: str = ""

    @property
    def calibration(self) -> Calibration:
        return self.history.calibration

    @property
    def words(self) -> Words:
        """The whole of it in one sentence."""
        if not self.calibration.seen:
            said = "No pieces or swatches recorded yet; estimates assume average tension (±{spread})."
            return reason(said, spread=Share(self.calibration.prior.shared_sd()))
        knitter, by = self.calibration.knitter, self.history.words
        said = "Judging by {by}, you use {more} yarn {than} (±{spread})."
        return than_estimated(ratio_of(knitter), said, by=by, spread=Share(spread_of(knitter)))

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON. Ratios are used over predicted; an sd is a part of the yarn."""
        prior, history = self.calibration.prior, self.history
        terms = self.calibration.terms
        structures = terms[: len(self.calibration.structures)]
        return {
            "finished": history.pieces,
            "swatches": history.swatches,
            "left_out": len(history.noted) - len(history.counted),
            "prior": {
                "shared_sd": round(prior.shared_sd(), 4),
                "knitter_sd": round(prior.knitter_sd, 4),
                "structure_sd": round(prior.structure_sd, 4),
                "accessory_sd": round(prior.entry_sd, 4),
                "piece_sd": round(prior.piece_sd, 4),
                "role_sd": round(prior.role_sd, 4),
            },
            "data": [self._row(one) for one in history.noted],
            "posterior": {
                "knitter": _term(self.calibration.knitter),
                "structures": [{"structure": name, **_term(term)} for name, term in structures],
                "accessories": [{"accessory": name, **_term(term)} for name, term in terms[len(structures) :]],
            },
            "next": [
                {
                    "structure": one.structure,
                    "accessory": one.accessory,
                    "ratio": round(ratio_of(one.now), 4),
                    "sd_before": round(prior.shared_sd(one.structure), 4),
                    "sd": round(one.now.sd, 4),
                }
                for one in self.next
            ],
        }

    def _row(self, one: Noted) -> dict[str, Any]:
        return {
            "kind": one.kind,
            "name": one.name,
            "role": one.role,
            "structure": one.told.structure,
            "accessory": one.told.entry,
            "date": one.date,
            "predicted_m": round(one.predicted_m, 2),
            "used_m": round(one.used_m, 2),
            "ratio": round(one.ratio, 4),
            "sd": round(one.told.sd, 4),
            "counts": self.history.counts(one),
        }

    def frame(self) -> pd.DataFrame:
        """One row for each role that was finished and each swatch, as a pandas frame."""
        import pandas as pd

        return pd.DataFrame([self._row(one) for one in self.history.noted])

    def scene(self, style: Style = PLAIN_STYLE) -> Scene:
        """The plot: before, now, and what was noted, the newest last."""
        prior = self.calibration.prior
        bands = [PlotRow(reason("the estimates"), Estimate(0.0, prior.shared_sd()), "before")]
        if self.calibration.seen:
            bands.append(PlotRow(reason("you, in everything you knit"), self.calibration.knitter, "now"))
            bands += [PlotRow(one.words, one.now, "now") for one in self.next]
        dots = [
            PlotRow(label_of(one), Estimate(one.told.log_ratio, one.told.sd), "noted" if believed else "left out")
            for one in self.history.noted[-MOST_ROWS:]
            for believed in (self.history.counts(one),)
        ]
        return calibration_scene((*bands, *dots), self.words, style)


def calibration(bin: DeskLike = None, *, catalog: Path | str | None = None) -> Calibrated:
    """What the history in a store says of how this knitter knits.

    bin: a store; or None for the one that is read when none is named, and where there is none, no history.

    Raises
    ------
    NotFound, BadInput (what is no store), CatalogueError
    """
    desk = desk_of(bin, catalog)
    if desk.store is None and desk.place is not None and isinstance(bin, Path | str):
        history_at(desk.place, desk.catalogue)  # says what is wrong with it
    return Calibrated(desk.history, _next(desk.history, desk.catalogue), str(desk.store or ""))


def write_plots(
    found: Calibrated,
    *,
    svg: Path | str | None = None,
    png: Path | str | None = None,
    replace: bool = False,
    style: Style = PLAIN_STYLE,
) -> tuple[Path, ...]:
    """The plot as files; returns where they are. Raises BadInput where one cannot be written.

    replace: write over files of other content.
    """
    contents: dict[Path, bytes] = {}
    if svg is not None:
        contents[target(svg, (".svg",), Field("svg"))] = as_svg(found.scene(style)).encode()
    if png is not None:
        contents[target(png, (".png",), Field("png"))] = as_png(found.scene(style), 2.0)
    return write_out(contents, replace=replace)


def _next(history: History, catalogue: Catalogue) -> tuple[Next, ...]:
    """Something new in each structure that was knitted, and each accessory again in what it mostly was."""
    known = history.calibration
    words = {one: Term(catalogue.fabric.structure(one).words) for one in known.structures}
    found = [Next(one, "", "", words[one], known.shared(one, "")) for one in known.structures]
    for entry in known.entries:
        knitted = [one for one in history.counted if one.kind == FINISHED and one.told.entry == entry]
        lengths: dict[str, float] = {}
        for one in knitted:
            lengths[one.told.structure] = lengths.get(one.told.structure, 0.0) + one.predicted_m
        structure = max(sorted(lengths), key=lambda name: lengths[name], default=PLAIN)
        found.append(
            Next(structure, entry, knitted[-1].name, words.get(structure, structure), known.shared(structure, entry))
        )
    return tuple(found)


def label_of(one: Noted) -> Words:
    """A finished role or a swatch in a few words."""
    if one.kind == FINISHED:
        return reason("{accessory}, {role}", accessory=one.name, role=Term(one.role))
    return reason("swatch of {yarn}", yarn=one.name)


def than_estimated(ratio: float, template: str, **values: Words | Quantity) -> Words:
    """A sentence on used over predicted: its {more} and {than} become "3 % more" and "than estimated"."""
    change = round(100.0 * (ratio - 1.0))
    more, than = reason("as much"), reason("as estimated")
    if change:
        said = "{part} more" if change > 0 else "{part} less"
        more, than = reason(said, part=Share(abs(change) / 100)), reason("than estimated")
    return reason(template, more=more, than=than, **values)


def ratio_of(logarithm: Estimate) -> float:
    """Used over predicted, from its logarithm."""
    return math.exp(logarithm.mean)


def spread_of(logarithm: Estimate) -> float:
    """Standard deviation of used over predicted, as a part of the figures."""
    return logarithm.sd * math.exp(logarithm.mean)


def _term(logarithm: Estimate) -> dict[str, float]:
    return {"ratio": round(ratio_of(logarithm), 4), "sd": round(logarithm.sd, 4)}

"""What finished accessories and swatches say of how this knitter knits: before, what was noted, and now."""

from __future__ import annotations

import math
import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.learning.history import FINISHED, History, Noted, history_at
from matcher.drawing.calibration_plot import PlotRow, calibration_scene
from matcher.drawing.scene import Scene, png, svg
from matcher.errors import BadInput
from matcher.knitting.calibration import Calibration
from matcher.knitting.fabric import PLAIN
from matcher.materials.uncertain import Estimate
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    import pandas as pd

MOST_ROWS = 40  # of what was noted, in a picture


@dataclass(frozen=True)
class Next:
    """What to expect of a next piece: log of used over the figures, with the spread all its roles share."""

    structure: str
    accessory: str  # key; "" for one that was never finished
    name: str
    knitted: str  # what the structure is called
    now: Estimate

    @property
    def words(self) -> str:
        """Such as "something new, in rib" or "ribbed hat again, in rib"."""
        what = f"{self.name} again" if self.accessory else "something new"
        return f"{what}, in {self.knitted}"


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
    def words(self) -> str:
        """The whole of it in one sentence."""
        if not self.calibration.seen:
            spread = percent(self.calibration.prior.shared_sd)
            return f"Nothing of yours is known yet, so the figures stand as they are, give or take {spread}."
        knitter = self.calibration.knitter
        more = ratio_of(knitter) - 1.0
        if round(100 * more) == 0:
            start = "You use what the figures say"
        else:
            start = f"You use {percent(abs(more))} {'more' if more > 0 else 'less'} yarn than the figures"
        return f"{start}, give or take {percent(spread_of(knitter))}, by {self.history.words}."

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
                "shared_sd": round(prior.shared_sd, 4),
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
                    "sd_before": round(prior.shared_sd, 4),
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

    def scene(self) -> Scene:
        """The plot: before, now, and what was noted, the newest last."""
        prior = self.calibration.prior
        bands = [PlotRow("the figures alone", Estimate(0.0, prior.shared_sd), "before")]
        if self.calibration.seen:
            bands.append(PlotRow("you, in all you knit", self.calibration.knitter, "now"))
            bands += [PlotRow(one.words, one.now, "now") for one in self.next]
        dots = [
            PlotRow(label_of(one), Estimate(one.told.log_ratio, one.told.sd), "noted" if believed else "left out")
            for one in self.history.noted[-MOST_ROWS:]
            for believed in (self.history.counts(one),)
        ]
        return calibration_scene((*bands, *dots), self.words)


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


def write_plot(found: Calibrated, path: Path, kind: str) -> None:
    """The plot as a file, "svg" or "png"; never half of one. Raises BadInput where it cannot be written."""
    scene = found.scene()
    content = svg(scene).encode() if kind == "svg" else png(scene, 2.0)
    unfinished = path.with_name(f".{path.name}.part")
    try:
        unfinished.write_bytes(content)
        os.replace(unfinished, path)
    except OSError as fault:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
        why = (fault.strerror or "it cannot be written").lower()
        raise BadInput("the plot cannot be written", str(path), f"{why}: name another file") from None


def _next(history: History, catalogue: Catalogue) -> tuple[Next, ...]:
    """Something new in each structure that was knitted, and each accessory again in what it mostly was."""
    known = history.calibration
    words = {name: catalogue.fabric.structure(name).words for name in catalogue.fabric.structures}
    found = [Next(one, "", "", words.get(one, one), known.shared(one, "")) for one in known.structures]
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


def label_of(one: Noted) -> str:
    """A finished role or a swatch in a few words."""
    return f"{one.name}, {one.role}" if one.kind == FINISHED else f"swatch of {one.name}"


def ratio_of(logarithm: Estimate) -> float:
    """Used over predicted, from its logarithm."""
    return math.exp(logarithm.mean)


def spread_of(logarithm: Estimate) -> float:
    """Standard deviation of used over predicted, as a part of the figures."""
    return logarithm.sd * math.exp(logarithm.mean)


def percent(part: float) -> str:
    """A part as "6 %"."""
    return f"{100.0 * part:.0f} %"


def _term(logarithm: Estimate) -> dict[str, float]:
    return {"ratio": round(ratio_of(logarithm), 4), "sd": round(logarithm.sd, 4)}

"""What a store holds of finished pieces and swatches, as observations of how this knitter knits."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.learning.measured import gauge_noted
from matcher.knitting.calibration import Calibration, Observation, Prior, calibrate, is_far, prior_of
from matcher.knitting.fabric import PLAIN, Gauge, gauge_of_tex, piece_length
from matcher.materials.yarn import class_of_tex, scale_step_g, tex_from_class, tex_in_cells, tex_measured
from matcher.reasons.quantities import Tex
from matcher.reasons.reason import Words, counted, listed
from matcher.store.catalogue.catalogue import Catalogue

if TYPE_CHECKING:
    from matcher.store.database.rows import Rows

FINISHED, SWATCH = "finished", "swatch"


@dataclass(frozen=True)
class Noted:
    """One role of a finished accessory, or one swatch: metres by the figures and metres used, and what it tells."""

    kind: str  # FINISHED or SWATCH
    name: str | Tex  # the accessory's name, or the yarn of the swatch
    role: str
    date: str
    predicted_m: float
    used_m: float
    told: Observation
    weight_class: int
    gauge: tuple[float, float] = (0.0, 0.0)  # stitches and rows in 10 cm, 0 where they were not noted
    at_gauge_m: float | None = None  # metres by the figures at that gauge, where `predicted_m` is for another

    @property
    def ratio(self) -> float:
        """Used over predicted."""
        return self.used_m / self.predicted_m


def tex_spread(lot: Mapping[str, str] | None, tex: float, catalogue: Catalogue) -> float:
    """Relative standard deviation of a lot's tex, by what its row in the store says of the yarn.

    A lot that is gone since is taken to have had a ball band, as most have.
    """
    measuring = catalogue.measuring
    if lot is None:
        return measuring.label_sd_fraction
    told = tex_in_cells(lot, measuring)
    spread = told[0] if told else tex_from_class(class_of_tex(tex, catalogue.classes), catalogue.classes)
    return spread.sd / spread.mean if spread.mean > 0 and math.isfinite(spread.sd) else measuring.label_sd_fraction


def finished_pieces(
    used: Sequence[Mapping[str, Any]], lots: Mapping[str, Mapping[str, str]], prior: Prior, catalogue: Catalogue
) -> list[Noted]:
    """What each role of each finished accessory used, in order of the day. Several lots of one role are one."""
    roles: dict[tuple[int, str], list[Mapping[str, Any]]] = {}
    for row in used:
        roles.setdefault((row["work"], row["role"]), []).append(row)
    found = []
    for (work, role), rows in roles.items():
        first = rows[0]
        predicted_m, used_m = sum(row["predicted_m"] for row in rows), sum(row["used_m"] for row in rows)
        # Each lot was weighed before and after: two roundings, of a step over the root of 12 each.
        errors_m = []
        for row in rows:
            step_g = scale_step_g(row["used_g"], catalogue.measuring)
            errors_m.append(1000.0 * math.sqrt(2.0 / 12.0) * step_g / row["tex"])
            errors_m.append(row["used_m"] * tex_spread(lots.get(row["lot"]), row["tex"], catalogue))
        structure, entry = first["structure"] or PLAIN, first["accessory"]
        told = Observation(
            f"work {work}",
            structure,
            entry,
            math.log(used_m / predicted_m),
            math.hypot(prior.role_sd, *(error / used_m for error in errors_m)),
        )
        known = catalogue.accessories.get(entry)
        name = known.name if known else entry
        gauge = first.get("stitches_10cm", 0.0), first.get("rows_10cm", 0.0)
        yarn = class_of_tex(first["tex"], catalogue.classes)
        found.append(Noted(FINISHED, name, role, first["ended_on"], predicted_m, used_m, told, yarn, gauge))
    return sorted(found, key=lambda one: one.date)


def swatch_metres(
    structure: str, stitches: float, rows: float, tex: float, catalogue: Catalogue, measured: Gauge | None = None
) -> float:
    """Metres that a swatch takes by the figures: its stitches, cast-on and bind-off, two tails [m].

    Knitted with the loop that is usual for the tex, or with that of the gauge that was measured; a stranded swatch with
    two colours in every round.
    """
    colours = 2.0 if catalogue.fabric.structure(structure).stranded else 1.0
    gauge = measured or gauge_of_tex(tex, catalogue.fabric)
    return piece_length(structure, stitches, rows, gauge, catalogue.fabric, colours).whole


def swatches(
    rows: Sequence[Mapping[str, Any]], lots: Mapping[str, Mapping[str, str]], catalogue: Catalogue
) -> list[Noted]:
    """What each weighed swatch took, in order of the day.

    Used over predicted goes with grams / tex**1.5 (the tex gives the length, and the loop that is usual), so an
    error of the tex counts one and a half times; the usual tightness has a spread of its own. It tells her tension
    against what is usual, so a gauge that was measured is left out of it: it would take that very tension away.
    """
    constants = catalogue.fabric
    found = []
    for row in rows:
        if not row["grams"]:
            continue
        tex, grams = row["tex"], row["grams"]
        predicted_m = swatch_metres(row["structure"], row["stitches"], row["rows"], tex, catalogue)
        used_m = 1000.0 * grams / tex
        # A class alone was refused: what is not from a ball band was weighed or counted.
        banded = tex_in_cells(lots.get(row["lot"], {}), catalogue.measuring)
        density = banded[0] if banded else tex_measured(tex, catalogue.measuring)
        told = Observation(
            f"swatch {row['id']}",
            row["structure"],
            "",
            math.log(used_m / predicted_m),
            math.hypot(
                scale_step_g(grams, catalogue.measuring) / math.sqrt(12.0) / grams,
                1.5 * density.sd / density.mean,
                constants.tightness_sd / constants.tightness,
            ),
        )
        name = row["lot"] or row["yarn"] or Tex(tex)
        usual, yarn = gauge_of_tex(tex, constants), class_of_tex(tex, catalogue.classes)
        gauge = usual.stitches_10cm, usual.rows_10cm
        noted = Noted(SWATCH, name, "", row["made_on"], predicted_m, used_m, told, yarn, gauge)
        if measured := gauge_noted(row, catalogue):
            at_gauge_m = swatch_metres(row["structure"], row["stitches"], row["rows"], tex, catalogue, measured)
            noted = replace(noted, at_gauge_m=at_gauge_m, gauge=(measured.stitches_10cm, measured.rows_10cm))
        found.append(noted)
    return sorted(found, key=lambda one: one.date)


@dataclass(frozen=True)
class History:
    """All that is known of how she knits: what was noted, and what follows from it."""

    noted: tuple[Noted, ...]
    calibration: Calibration

    def counts(self, one: Noted) -> bool:
        """Whether it is believed; what is far from all figures looks like a slip and is left out."""
        return not is_far(one.told, self.calibration.prior)

    @property
    def counted(self) -> tuple[Noted, ...]:
        """All that is believed."""
        return tuple(one for one in self.noted if self.counts(one))

    @property
    def learnt(self) -> Calibration | None:
        """What needs follow; None, without a history, leaves them as they were."""
        return self.calibration if self.calibration.seen else None

    @property
    def pieces(self) -> int:
        """Finished pieces that count."""
        return len({one.told.piece for one in self.counted if one.kind == FINISHED})

    @property
    def swatches(self) -> int:
        """Swatches that count."""
        return sum(one.kind == SWATCH for one in self.counted)

    @property
    def words(self) -> Words:
        """Such as "4 finished pieces and 1 swatch"; empty without a history."""
        several = (
            (self.pieces, counted(self.pieces, "{n} finished piece", "{n} finished pieces")),
            (self.swatches, counted(self.swatches, "{n} swatch", "{n} swatches")),
        )
        return listed((said for number, said in several if number), "and") if self.learnt else ""


def no_history(catalogue: Catalogue) -> History:
    """Before anything is finished."""
    return History((), Calibration(prior_of(catalogue.calibration, catalogue.fabric)))


def history_at(path: Path, catalogue: Catalogue) -> History:
    """The history in a store's file. Raises NotFound or BadInput for what is no store."""
    from matcher.store.database.store import open_store

    with open_store(path) as store:
        return history_in(store, catalogue)


def history_in(store: Rows, catalogue: Catalogue) -> History:
    """The history in an open store."""
    prior = prior_of(catalogue.calibration, catalogue.fabric)
    used, made = store.rows("used"), store.rows("swatches")
    if not used and not made:
        return no_history(catalogue)
    lots = {lot["lot"]: lot for lot in store.lots()}
    works = {work["id"]: work for work in store.rows("works")}
    used = [{**works.get(row["work"], {}), **row} for row in used]
    noted = (*finished_pieces(used, lots, prior, catalogue), *swatches(made, lots, catalogue))
    return History(noted, calibrate([one.told for one in noted], prior))

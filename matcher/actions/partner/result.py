"""A partner as a person and a program get it: fits, roles, contrasts, ways out, files."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from matcher.actions.partner.choices import Offered
from matcher.actions.partner.wearing import Worn
from matcher.actions.roles import Contrast, RoleYarn
from matcher.knitting.accessory import Accessory
from matcher.knitting.fit.cast_ons import Remedy
from matcher.knitting.fit.fitted import CastOn, Fitted
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.knitting.motifs.motif import Motif
from matcher.matching.recolour.exchanges import Exchange
from matcher.matching.recolour.recolouring import Recolouring
from matcher.matching.together import RuleVerdict
from matcher.materials.lots import Garment
from matcher.reasons.reason import Words
from matcher.store.recipes import Body, Recipe

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Partner:
    """One accessory fitted to match a garment. `fit` is the one of `fits` that all the rest is worked out for."""

    garment: Garment
    accessory: Accessory
    motif: Motif
    worn: Worn
    fits: tuple[Fitted, ...]
    fit: Fitted
    remedies: tuple[Remedy, ...]
    roles: tuple[RoleYarn, ...]
    contrasts: tuple[tuple[Contrast, int], ...]  # with the sides that the two roles share
    exchanges: tuple[Exchange, ...]
    recolourings: tuple[Recolouring, ...]
    sure: float
    sure_at_least: float
    kept: tuple[ReserveGroup, ...]  # what the garment's reserve holds
    care: Words
    together: tuple[RuleVerdict, ...]
    warnings: tuple[Words, ...]
    cautions: tuple[Words, ...]
    notes: tuple[Words, ...]
    people: tuple[str, ...] = ()
    files: tuple[Path, ...] = ()
    offered: tuple[Offered, ...] = ()  # of each role, where it was asked for

    @property
    def enough(self) -> bool:
        """Whether every role has yarn, and as surely as was asked."""
        return self.sure >= self.sure_at_least

    @property
    def recipe(self) -> Recipe:
        """What it is made from: its pattern and its metres come out of it again."""
        fit, wearing = self.fit, self.worn.wearing
        size, sizes = wearing.size, wearing.sizes
        return Recipe(
            self.accessory.key,
            size,
            fit.gauge,
            {role.role: role.held for role in self.roles},
            self.people,
            None if size == self.worn.like_size else Body(sizes.table[size], sizes.wearer(size)),
            (self.motif,),
            CastOn(fit.stitches, fit.repeats, fit.plain_columns),
        )

    def as_dict(self) -> dict[str, Any]:
        """Plain values, the keys of the JSON. Keys inside `longest_floats` and an exchange's `roles` name roles."""
        gauge = self.fit.gauge
        return {
            "garment": self.garment.name,
            "accessory": self.accessory.name,
            "key": self.accessory.key,
            "size": self.worn.size,
            "motif": {"name": self.motif.name, "width": self.motif.width, "height": self.motif.height},
            "gauge": {
                "stitches_10cm": round(gauge.stitches_10cm, 2),
                "rows_10cm": round(gauge.rows_10cm, 2),
                "from": self.worn.gauge_from,
            },
            "body_cm": round(self.fit.body_cm, 2),
            "fit": self.fits.index(self.fit) + 1,
            "fits": [_fit_dict(one) for one in self.fits],
            "would_help": [
                {"kind": one.kind, "value": round(one.value, 2), "stitches": one.stitches, "words": one.words}
                for one in self.remedies
            ],
            "roles": [
                {**role.as_dict(), "stitches": role.need.stitches, "float_m": round(role.need.float_m, 2)}
                for role in self.roles
            ],
            "longest_floats": dict(self.fit.longest_floats),
            "contrasts": [{**one.as_dict(), "shared_edges": sides} for one, sides in self.contrasts],
            "exchanges": [
                {
                    "kind": one.kind,
                    "words": one.words,
                    "roles": dict(one.roles),
                    "sure": round(one.sure, 6),
                    "reading": round(one.reading, 6),
                    "order_kept": one.order_kept,
                    "buy_g": round(one.buy_g, 1),
                    "warnings": list(one.warnings),
                }
                for one in self.exchanges
            ],
            "recolourings": [
                {
                    "lots": [[lot.name for lot in pool.lots] for pool in one.pools],
                    "score": round(one.score, 6),
                    "parts": {name.replace(" ", "_"): round(value, 6) for name, value in one.parts.items()},
                    "sure": round(one.sure, 6),
                    "least": list(one.least),
                }
                for one in self.recolourings
            ],
            "sure": round(self.sure, 6),
            "sure_at_least": self.sure_at_least,
            "kept": [
                {"colour": one.colour, "reserve_m": round(one.reserve_m, 2), "because": one.because}
                for one in self.kept
            ],
            "care": self.care,
            "warnings": [*self.warnings, *self.cautions],
            "notes": list(self.notes),
            "files": [str(path) for path in self.files],
        }

    def frame(self) -> pd.DataFrame:
        """One row for each role, as a pandas frame."""
        import pandas as pd

        rows = [{**role.as_dict(), "lots": " ".join(lot.name for lot in role.lots)} for role in self.roles]
        for row, role in zip(rows, self.roles, strict=True):
            row |= {"stitches": role.need.stitches, "float_m": role.need.float_m}
        return pd.DataFrame(rows)


def _fit_dict(one: Fitted) -> dict[str, Any]:
    return {
        "stitches": one.stitches,
        "cast_on": one.cast_on,
        "repeats": one.repeats,
        "plain_columns": one.plain_columns,
        "rounds": [
            {
                "part": part.part,
                "rounds": part.rounds,
                "structure": part.structure,
                "first": part.first,
                "last": part.last,
                "role": part.role,
            }
            for part in one.parts
        ],
        "pieces": one.pieces,
        "extra": [
            {"part": part.part, "rounds": part.rounds, "first": part.first, "last": part.last, "pieces": pieces}
            for part, pieces in one.extra
        ],
        "narrows_from": one.crown_from,
        "motif_rows": one.motif_rows,
        "placed": one.placed,
        "circumference_cm": round(one.around_cm, 2),
        "ease_cm": round(one.ease_cm, 2),
        "off_by_cm": round(one.off_by_cm, 2),
    }

"""Whether "give or take" is true: invented knitters whose tension is known, and how often the interval holds it.

Each knitter is drawn from what the catalogue believes; her pieces are weighed on a scale of whole grams, with ball
bands that are wrong, as the store would hold it. Nothing of the arithmetic under test is used to draw them. With 1,500
knitters the share's own standard error is 0.56 in 100, so 93 to 97 is three and a half of them on either side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from matcher.actions.learning.history import finished_pieces, swatch_metres, swatches
from matcher.knitting.calibration import Prior, calibrate, calibrated, prior_of
from matcher.knitting.needs import RoleNeed, ZoneWorking
from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

KNITTERS = 1500
Z95 = 1.959964
STRUCTURES = ("rib", "stocking", "stranded")
ENTRIES = ("hat-ribbed", "cowl-ribbed", "own mitts")
BANDED = {"lot": {"ball_grams": "50", "ball_metres": "125"}}


@dataclass
class Knitter:
    """One invented knitter: her own terms, and pieces as she knits them."""

    rng: np.random.Generator
    prior: Prior
    catalogue: Catalogue

    def __post_init__(self) -> None:
        normal = self.rng.normal
        self.tension = float(normal(0, self.prior.knitter_sd))
        # What the structure does in her hands, and what the model of it gets wrong.
        self.by_structure = {
            one: float(normal(0, self.prior.structure_sd) + normal(0, self.catalogue.fabric.bias(one)))
            for one in STRUCTURES
        }
        self.by_entry = {one: float(normal(0, self.prior.entry_sd)) for one in ENTRIES}

    def really(self, roles: list[tuple[str, float]], entry: str | None) -> list[float]:
        """Metres that each role of one piece really takes."""
        day = self.rng.normal(0, self.prior.piece_sd)
        shared = self.tension + day + (self.by_entry[entry] if entry else 0.0)
        return [
            metres
            * math.exp(shared + self.by_structure[structure] + self.rng.normal(0, self.prior.role_sd if entry else 0))
            for structure, metres in roles
        ]

    def weighed(self, metres: float, tex: float) -> float:
        """Grams used, as two weighings in whole grams tell it; the band's tex is off."""
        band_sd = self.catalogue.measuring.label_sd_fraction
        grams = metres * tex * math.exp(self.rng.normal(0, band_sd)) / 1000.0
        before = self.rng.uniform(grams + 5, grams + 200)
        return float(round(before) - round(before - grams))

    def finished(self, work: int) -> list[dict[str, Any]]:
        """Rows of a finished accessory of one to three roles."""
        entry = ENTRIES[self.rng.integers(len(ENTRIES))]
        chosen = self.rng.permutation(STRUCTURES)[: self.rng.integers(1, 4)]
        roles = [(str(one), float(self.rng.uniform(25, 160))) for one in chosen]
        tex = float(self.rng.uniform(250, 500))
        rows = []
        for (structure, predicted), metres in zip(roles, self.really(roles, entry), strict=True):
            grams = self.weighed(metres, tex)
            if grams > 0:
                rows.append(
                    {
                        "work": work, "role": structure, "lot": "lot", "predicted_m": predicted, "tex": tex,
                        "used_m": 1000.0 * grams / tex, "used_g": grams, "structure": structure,
                        "accessory": entry, "ended_on": "2026-01-01",
                    }
                )  # fmt: skip
        return rows

    def swatch(self, number: int) -> dict[str, Any]:
        """A weighed swatch: the tex of its band is off, and the usual loop of a yarn has a spread of its own."""
        structure = STRUCTURES[self.rng.integers(2)]
        constants = self.catalogue.fabric
        tex = float(self.rng.uniform(250, 500))
        true_tex = tex * math.exp(self.rng.normal(0, self.catalogue.measuring.label_sd_fraction))
        usual = swatch_metres(structure, 40, 50, true_tex, self.catalogue)
        usual *= math.exp(self.rng.normal(0, constants.tightness_sd / constants.tightness))
        (metres,) = self.really([(structure, usual)], None)
        return {
            "id": number, "lot": "lot", "yarn": "", "tex": tex, "structure": structure, "stitches": 40.0, "rows": 50.0,
            "grams": float(round(metres * true_tex / 1000.0)), "made_on": "2026-01-01",
        }  # fmt: skip


def need(structure: str, metres: float, catalogue: Catalogue) -> RoleNeed:
    line = ZoneWorking("tube", "tube", structure, 1, 80, 80, 60, 1.0, 4800.0, 0.0, 2.0, 0.0, metres)
    fabric = catalogue.fabric
    shared, own = math.hypot(fabric.gauge_sd_no_swatch, fabric.bias(structure)), fabric.share_sd
    return RoleNeed("main", metres, shared * metres, own * metres, 4800, 0.0, 0.0, 0.0, False, (line,))


def covered(pieces: int, made: int, seed: int) -> tuple[float, float, float, float]:
    """Share of knitters whose tension, and whose next piece, lies in the 95 % interval; its width, and the prior's."""
    catalogue = load_catalogue()
    prior = prior_of(catalogue.calibration, catalogue.fabric)
    rng = np.random.default_rng(seed)
    tension = new = 0
    width, before = [], []
    for _ in range(KNITTERS):
        knitter = Knitter(rng, prior, catalogue)
        used = [row for work in range(pieces) for row in knitter.finished(work)]
        noted = [
            *finished_pieces(used, BANDED, prior, catalogue),
            *swatches([knitter.swatch(number) for number in range(made)], BANDED, catalogue),
        ]
        known = calibrate([one.told for one in noted], prior)
        tension += abs(knitter.tension - known.knitter.mean) <= Z95 * known.knitter.sd
        entry, structure = ENTRIES[rng.integers(3)], STRUCTURES[rng.integers(3)]
        (metres,) = knitter.really([(structure, 100.0)], entry)
        (told,) = calibrated((need(structure, 100.0, catalogue),), entry, known)
        new += abs(math.log(metres / told.length_m)) <= Z95 * told.sd_m / told.length_m
        width.append(told.sd_m / told.length_m)
        before.append(math.hypot(prior.shared_sd(structure), prior.role_sd))
    return tension / KNITTERS, new / KNITTERS, float(np.mean(width)), float(np.mean(before))


@pytest.mark.parametrize(("pieces", "made"), [(0, 0), (1, 0), (4, 1), (10, 0), (0, 3)])
def test_the_95_in_100_interval_holds_93_to_97_in_100_knitters(pieces: int, made: int):
    """Of her tension, and of the metres of her next piece, on the logarithm."""
    tension, new, width, before = covered(pieces, made, seed=100 * pieces + made)
    assert 0.93 <= tension <= 0.97
    assert 0.93 <= new <= 0.97
    assert width <= before + 1e-12
    if pieces >= 4:
        assert width < 0.8 * before

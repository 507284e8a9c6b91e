"""The search finds what plain enumeration finds where hardly any pair reads, and what belongs together decides."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import generated
import pytest
from agreement import agree

from matcher.matching.ranking.scope import Wishes
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.lots import Bin


def _lab(kind: str, pick: Random, place: int) -> Lab:
    """Greys of near lightness; or colours of one lightness, the first of which stands out."""
    if kind == "greys":
        return pick.uniform(30, 48), pick.gauss(0, 1), pick.gauss(0, 1)
    light = pick.choice([14.0, 91.0]) if place == 0 else pick.uniform(47, 53)
    return light, pick.gauss(0, 20), pick.gauss(0, 20)


@pytest.mark.parametrize("kind", ["greys", "hardly"])
@pytest.mark.parametrize(
    ("lots", "roles", "number", "together"), [(7, 2, 6, False), (7, 3, 5, False), (6, 2, 3, True), (5, 3, 2, True)]
)
def test_of_bins_in_which_hardly_any_pair_reads(kind: str, lots: int, roles: int, number: int, together: bool) -> None:
    found = 0
    for seed in range(number):
        pick = Random(f"{kind} {lots} {roles} {seed}")
        bin, entries = generated.rich(seed, lots, roles, together)
        owners = {**bin.garments, "second": replace(bin.garments["first"], name="second", status="gone")}
        owners["first"] = replace(owners["first"], status="gone")
        alike = [
            replace(
                lot,
                colour=Colour("solid", ((_lab(kind, pick, place), 1.0),)),
                garment=pick.choice(["", "first", "second", "second"]),
                dye_lot=str(place),
            )
            for place, lot in enumerate(bin.lots)
        ]
        wishes = Wishes(sure=0.5, least_contrast=pick.choice([None, "quiet"]), varied=False, held_together=together)
        found += agree(Bin(tuple(alike), owners), entries, wishes)
    assert found > number // 2

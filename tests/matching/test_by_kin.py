"""Long lists of threads of several strands are searched in parts, by who could belong together with anybody: bins of lots
so small that two must be held together, some of them from one garment, are held against the enumeration."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from random import Random
from typing import Any

import agreement
import pytest
from test_companions import VARIANTS, bin_of, lot

from matcher.knitting.fabric import tex_range
from matcher.matching.ranking import descent
from matcher.matching.ranking.descent import Descent
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.scope import Wishes
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue


def of_small_lots(pick: Random, number: int, homes: Sequence[str]) -> Bin:
    """Lots of which two make a thread, each long enough for one strand of it."""
    return bin_of(
        [
            lot(f"lot {place}", pick.choice(homes), pick.choice([15.0, 50.0, 85.0]), pick.uniform(14, 40))
            for place in range(number)
        ]
    )


@pytest.mark.parametrize(("roles", "lots"), [(1, 6), (2, 5), (3, 6)])
def test_in_parts_the_list_is_that_of_the_enumeration(monkeypatch: pytest.MonkeyPatch, roles: int, lots: int) -> None:
    parts: list[int] = []
    by_kin = Descent._by_kin

    def counted(*asked: Any) -> Iterator[list[RoleList]]:
        found = list(by_kin(*asked))
        parts.append(len(found))
        return iter(found)

    @contextmanager
    def in_parts() -> Iterator[None]:
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(descent, "_LONG", 0)
            patch.setattr(Descent, "_by_kin", counted)
            yield

    monkeypatch.setattr(agreement, "WAYS", (in_parts, agreement.with_tables))
    constants, pick, made = load_catalogue().fabric, Random(roles), 0
    thick = [
        (key, one.size)
        for key, several in sorted(VARIANTS.items())
        for one in several
        if len(one.filled) == roles and tex_range(one.gauge, constants)[0] > 450.0
    ]
    wishes = Wishes(sure=0.5, least_contrast="quiet", each=12, top=12)
    # What lies in a thing of one colour belongs together by its own strands.
    homes = ["", "first", "first"] if roles == 1 else ["", "", "", "first"]
    for _ in range(8):
        key, size = pick.choice(thick)
        made += agreement.agree(of_small_lots(pick, lots, homes), {key: (size,)}, wishes) > 0
    assert made > 2
    # Some lists fell apart: into several parts, or none that could beat what was found.
    assert any(number != 1 for number in parts) == (roles > 1)

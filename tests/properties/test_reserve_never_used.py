"""No suggestion takes a metre that is held back, on any generated bin.

What is held is added up here once more from the reserve's own groups, lot by lot, and the metres that a
suggestion takes are cut from its lots one after the other, with the tails of each join.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.actions.ranking.suggest import suggest
from matcher.actions.ranking.suggestion import Suggestion, Suggestions
from matcher.knitting.mending.reserve import reserves
from matcher.matching.pools import Pool, stock_of
from matcher.materials.lots import MENDING, USUAL, Bin, Lot
from matcher.store.catalogue.catalogue import Catalogue

Entries = dict[str, tuple[str, ...]]
TIMES = int(os.environ.get("EXAMPLES", "1"))
NEAR = 1e-6


def examples(number: int) -> settings:
    return settings(
        max_examples=number * TIMES,
        deadline=None,
        derandomize=TIMES == 1,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def told(bin: Bin, catalogue: Catalogue, sure: float, together: bool, mending: str = USUAL) -> Suggestions:
    return suggest(Desk(bin, catalogue, mending), sure=sure, top=30, each=3, held_together=together)


def held_in(bin: Bin, catalogue: Catalogue, mending: str) -> dict[str, float]:
    """Metres held of each lot [m]."""
    held = {lot.name: 0.0 for lot in bin.lots}
    for group in reserves(bin, catalogue.repairs, catalogue.fabric, catalogue.sizes, mending):
        for name, metres in group.held.items():
            held[name] += metres
    return held


def threads_of(one: Suggestion, pools: tuple[Pool, ...]) -> Iterator[tuple[Pool, float]]:
    """Each pool that a suggestion takes from, and the metres that it takes: the mean need of the role, each strand."""
    filled = [role for role in one.roles if not role.brought]
    for role, thread in zip(filled, one.found.threads, strict=True):
        assert {lot.name for lot in role.lots} == {lot.name for place, _ in thread for lot in pools[place].lots}
        for place, strands in thread:
            yield pools[place], strands * role.need.length_m


def cut_from(pool: Pool, metres: float, free: dict[str, float], tail_m: float) -> dict[str, float]:
    """Metres cut from each lot of a pool, the longest first, with two tails at each join."""
    cut: dict[str, float] = {}
    for lot in sorted(pool.lots, key=lambda lot: -free[lot.name]):
        tails = 2 * tail_m if cut else 0.0
        if metres > NEAR and free[lot.name] > tails:
            cut[lot.name] = min(metres, free[lot.name] - tails) + tails
            metres -= cut[lot.name] - tails
    assert metres <= NEAR, f"{metres:.3f} m of {pool.name} are not there but for the reserve"
    return cut


def hold(bin: Bin, entries: Entries, sure: float, together: bool, mending: str) -> tuple[int, int]:
    """Check every suggestion of a bin; how many there were, and how many took from a lot with a reserve."""
    catalogue = generated.cut(entries)
    found = told(bin, catalogue, sure, together, mending)
    pools = stock_of(Desk(bin, catalogue, mending).shelf.pools, catalogue.together).pools
    held = held_in(bin, catalogue, mending)
    lots: dict[str, Lot] = {lot.name: lot for lot in bin.lots}
    free = {name: lot.length.mean - held[name] for name, lot in lots.items()}
    beside_reserve = 0
    for one in found:
        used = dict.fromkeys(lots, 0.0)
        for pool, metres in threads_of(one, pools):
            for name, cut in cut_from(pool, metres, free, catalogue.measuring.tail_m).items():
                used[name] += cut
        assert any(used.values())
        for name, lot in lots.items():
            assert used[name] <= lot.length.mean - held[name] + NEAR, f"{one.accessory} takes the reserve of {name}"
        for role in one.roles:
            nothing_free = [free[lot.name] <= 0 for lot in role.lots]
            assert not role.lots or not all(nothing_free), f"{role.role} has nothing but held lots"
            if not role.brought:
                assert role.left_m >= -NEAR
                assert role.need_m <= role.on_hand_m - role.reserve_m + NEAR
                assert role.reserve_m == pytest.approx(sum(held[lot.name] for lot in role.lots), abs=NEAR)
        beside_reserve += any(held[name] > 0 for name, metres in used.items() if metres > 0)
    return len(found), beside_reserve


@st.composite
def questions(draw: st.DrawFn) -> tuple[Bin, Entries]:
    classes = draw(st.sampled_from([(0, 1), (1, 2), (2, 3), (3,), (3, 4), (4, 5)]))
    bin = draw(generated.bins(8, classes, least=3))
    return bin, draw(generated.entries(tuple({up for one in classes for up in (one, one + 1, one + 2)}), 3))


@given(questions(), st.sampled_from([0.5, 0.95]), st.booleans(), st.sampled_from(MENDING))
@examples(30)
def test_no_reserved_metre_is_used(question: tuple[Bin, Entries], sure: float, together: bool, mending: str) -> None:
    hold(*question, sure, together, mending)


def test_no_reserved_metre_is_used_in_rich_bins() -> None:
    """Bins from which much can be made, so that the property is not held by empty lists."""
    counts: list[tuple[int, int]] = []

    @given(st.sampled_from(range(10**9)), st.sampled_from([1, 2, 3]), st.booleans(), st.sampled_from(MENDING))
    @examples(18)
    def run(seed: int, roles: int, together: bool, mending: str) -> None:
        counts.append(hold(*generated.rich(seed, 6 if together else 10, roles, together), 0.8, together, mending))

    run()
    assert sum(found for found, _ in counts) >= 50
    assert sum(beside for _, beside in counts) >= 10


def test_a_lot_that_is_held_whole_is_never_the_yarn_of_a_role() -> None:
    """Set by hand to more than is there, every lot is out of reach; but for one, only that one is used."""

    lengths: list[int] = []

    @given(st.sampled_from(range(10**9)), st.integers(0, 7))
    @examples(8)
    def run(seed: int, spared: int) -> None:
        bin, entries = generated.rich(seed, 8, 1, False)
        lots = tuple(
            generated.with_reserve(lot, 0.0 if place == spared else 10_000.0) for place, lot in enumerate(bin.lots)
        )
        found = told(Bin(lots, bin.garments), generated.cut(entries), 0.5, False)
        for one in found:
            assert all(role.brought or role.lots[0].name == lots[spared].name for role in one.roles)
        lengths.append(len(found))
        nothing = tuple(generated.with_reserve(lot, 10_000.0) for lot in bin.lots)
        assert not told(Bin(nothing, bin.garments), generated.cut(entries), 0.5, True).suggestions

    run()
    assert any(lengths)

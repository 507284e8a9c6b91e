"""`plan_set` as a notebook calls it, against trying every set: reserves, claims, decisions, lots to keep and to use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from random import Random
from typing import Any

import generated
import pytest
from agreement import examples
from hypothesis import given
from hypothesis import strategies as st
from plain_sets import Problem, Thing, TooMany

from matcher.actions.desk import Desk
from matcher.actions.sets.plan import plan_set
from matcher.actions.sets.result import PlannedSet
from matcher.knitting.accessory import Accessory
from matcher.matching.sets.aims import AIMS, FEW, USE_UP
from matcher.materials.lots import KEEP, Bin, Decision
from matcher.store.catalogue.catalogue import Catalogue

NEAR = 1e-6
TRIED = 3000
Sizes = Mapping[str, AbstractSet[str]]


@dataclass(frozen=True)
class Question:
    """A bin, what is asked of it, and the same as a problem that can be tried out."""

    desk: Desk
    asked: dict[str, Any]
    problem: Problem


def question(number: int) -> Question:
    """Of a few lots one is claimed in part, one has a reserve, and perhaps one is kept by a decision."""
    pick = Random(number)
    bin, entries = generated.rich(pick.randrange(10**9), pick.randint(3, 5), pick.choice([1, 1, 2]), together=False)
    catalogue = generated.cut({key: generated.WHOLE.accessories[key].sizes for key in entries})
    bin = held_back(bin, pick)
    names = [lot.name for lot in bin.lots]
    keep, must = (pick.sample(names, pick.choice([0, 0, 1])) for _ in range(2))
    asked: dict[str, Any] = {
        "aim": pick.choice(AIMS),
        "sure": pick.choice([0.5, 0.8, 0.95, 0.99]),
        "each_different": pick.random() < 0.3,
        "keep": keep,
        "must": [name for name in must if name not in keep],
    }
    problem = Problem(
        bin,
        catalogue,
        asked["aim"],
        (),
        (),
        must=tuple(frozenset((name,)) for name in asked["must"]),
        sure=asked["sure"],
        held_together=True,
        left_alone=frozenset(keep) | frozenset(bin.decisions),
        seed=str(number),
    )
    wanted = [wish(problem, pick) for _ in range(pick.choice([0, 1, 1, 2]))]
    if not wanted or asked["aim"] in (USE_UP, FEW):
        wanted.append(anything(catalogue, small=asked["aim"] in (USE_UP, FEW)))
    asked["want"] = [text for text, _, _ in wanted if text]
    gauges = {
        key: {(way.size, way.gauge.stitches_10cm) for way in several if way.needs}
        for key, several in problem.plain.ways.items()
    }
    wants = tuple(
        {key: frozenset(one for one in gauges[key] if one[0] in sizes) for key, sizes in those.items()}
        for _, _, those in wanted
    )
    ranking = catalogue.ranking
    of_one = max(int(ranking.of_one_accessory), int(ranking.of_one_accessory_share * len(problem.names)))
    of_one = 1 if asked["each_different"] else of_one
    return Question(
        Desk(bin, catalogue),
        asked,
        replace(problem, wants=wants, numbers=tuple(number for _, number, _ in wanted), of_one=of_one),
    )


def held_back(bin: Bin, pick: Random) -> Bin:
    lots = list(bin.lots)
    for change in ({"claimed_m": pick.uniform(1, 40)}, {"reserve_m": pick.uniform(1, 40)}, {"garment": "first"}):
        at = pick.randrange(len(lots))
        lots[at] = replace(lots[at], **change)
    decided = pick.sample([lot.name for lot in lots], pick.choice([0, 0, 1]))
    return replace(bin, lots=tuple(lots), decisions={name: Decision(KEEP, "2026-11-25") for name in decided})


def wish(problem: Problem, pick: Random) -> tuple[str, int, Sizes]:
    """In her words and as sizes by key: something that can be made by itself where there is anything, or not."""
    entries = problem.catalogue.accessories
    possible = sorted({(one.key, one.size) for one in problem.plain.all()})
    every = sorted((key, size) for key, entry in entries.items() for size in entry.sizes)
    key, size = pick.choice(possible if possible and pick.random() < 0.8 else every)
    number = pick.choice([1, 1, 2])
    if pick.random() < 0.7:
        return f"{number} {key} for {size}", number, {key: {size}}
    gifts = {key: {size} for key, entry in entries.items() if is_gift(entry, small=False) and size in entry.sizes}
    return f"{number} things for {size}", number, gifts


def anything(catalogue: Catalogue, small: bool) -> tuple[str, None, Sizes]:
    """Whatever an adult can wear or use: what she gets who wants nothing in particular, or who wants yarn used up."""
    wearer = catalogue.sizes.wearer
    return (
        "",
        None,
        {
            key: {size for size in entry.sizes if wearer(size) in ("adult", "anyone")}
            for key, entry in catalogue.accessories.items()
            if is_gift(entry, small)
        },
    )


def is_gift(entry: Accessory, small: bool) -> bool:
    return entry.kind != "yoke" and (small or not entry.small) and not any(role.bring for role in entry.roles)


def things_of(found: PlannedSet, problem: Problem) -> list[Thing]:
    """What was planned, as it stands in the enumeration."""
    pool_of = {lot.name: pool.name for pool in problem.plain.pools for lot in pool.lots}
    every = {one.identity: one for one in problem.things}
    things = []
    for one in found:
        variant = one.found.variant
        strands = tuple(
            tuple(sorted((pool_of[strand.lots[0]], strand.count) for strand in role.held))
            for role in one.roles
            if not role.brought
        )
        made = variant.accessory.key, variant.size, variant.gauge.stitches_10cm, strands
        want = int(variant.party.split(":")[0])
        things.append(every[want, *made])
    return things


def hold(number: int) -> int:
    """Hold one question against every set; how many things are in the best, -1 where they are too many to try."""
    asked = question(number)
    problem = asked.problem
    try:
        certain, edge = problem.best(TRIED)
    except TooMany:
        return -1
    found = plan_set(asked.desk, time_limit=30.0, **asked.asked)
    best, things = found.best, things_of(found.best, problem)
    total = problem.total(things)
    assert best.proved
    assert certain - NEAR <= total <= edge + NEAR
    assert problem.allowed(things)
    assert best.objective == pytest.approx(problem.worth(things), abs=NEAR)
    assert best.sure == pytest.approx(problem.chance(things), abs=NEAR)
    # What is missing is told, and nothing else.
    has = Counter(thing.want for thing in things)
    short = [place for place, wanted in enumerate(problem.numbers) if wanted is not None and has[place] < wanted]
    assert [one.place for one in found.not_possible if one.place is not None] == short
    used = {one.lot.name: one for one in best.lots}
    for name in asked.asked["must"]:
        (pool,) = [pool for pool in problem.stock.pools if any(lot.name == name for lot in pool.lots)] or [None]
        given = pool is not None and any(lot.name in used for lot in pool.lots)
        assert given != any(str(one.want) == f"something of {name}" for one in found.not_possible)
    assert not used.keys() & problem.left_alone
    # No metre twice: each lot's are what the things take, and what is kept and claimed stays out of reach.
    free = asked.desk.undecided.free
    for name, one in used.items():
        assert one.claimed_m == one.lot.claimed_m
        assert one.on_hand_m - one.claimed_m - one.reserve_m == pytest.approx(free[name].mean, abs=NEAR)
        assert one.used_m + one.left_m == pytest.approx(free[name].mean, abs=NEAR)
        assert one.left_m >= -NEAR
    taken = sum(take.metres for thing in things for take in thing.takes)
    assert sum(one.used_m for one in used.values()) == pytest.approx(taken, rel=1e-6)
    return len(things)


def hold_all(numbers: int) -> None:
    made = []

    @given(st.sampled_from(range(10**9)))
    @examples(numbers)
    def each(number: int) -> None:
        made.append(hold(number))

    each()
    assert sum(length > 1 for length in made) >= numbers / 8


def test_what_is_planned_is_the_best_there_is() -> None:
    hold_all(5)


@pytest.mark.long  # of each bin every set is tried
@pytest.mark.timeout(900)
def test_it_is_of_many_bins() -> None:
    hold_all(30)

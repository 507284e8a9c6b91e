"""What a chance asks in straight lines, in pairs and in cuts never rules out a set that is sure enough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import pytest
import random_sets
from scipy.special import log_ndtr

from matcher.matching.ranking.prices import stretch
from matcher.matching.sets.aims import Aim
from matcher.matching.sets.chance import MOST_DOUBT, Lengths, chance_of_set, log_chances
from matcher.matching.sets.column import Takes
from matcher.matching.sets.conflicts import cliques, conflicts
from matcher.matching.sets.cuts import cuts_against
from matcher.matching.sets.risk import Risk, risk_of
from matcher.matching.sets.selection import Rules
from matcher.matching.sets.wants import Asked

CHANCES = (0.5, 0.6, 0.8, 0.9, 0.95, 0.99, 0.999)
# The table of the normal distribution is within 4e-8.
NEAR = 1e-6


def flat(things: list[Takes], name: str) -> np.ndarray:
    return np.concatenate([getattr(one, name) for one in things])


def crossed(lengths: Lengths, things: list[Takes], risk: Risk) -> list[str]:
    """Which lines a set crosses."""
    pool, metres, shared, own = (flat(things, name) for name in ("pool", "metres", "shared_sd", "own_sd"))
    found = []
    for place, node in enumerate(risk.nodes):
        needed = metres * stretch(float(node), shared, own)
        each = np.bincount(pool, needed, minlength=len(lengths.free_m))
        if (each > risk.most_m[place] * (1 + NEAR)).any():
            found.append(f"a pool by itself at {node:.2f}")
        least = np.maximum(0.0, (risk.offset + risk.slope * each).max(axis=0))
        for number, (group, most) in enumerate(zip(risk.groups, risk.most_risk[:, place], strict=True)):
            if least[group].sum() > most + NEAR:
                found.append(f"group {number} at {node:.2f}")
            for one in things:
                spare = np.log(lengths.free_m[one.pool] / one.metres) - one.shared_sd * node
                doubt = np.hypot(lengths.log_sd[one.pool], one.own_sd)
                if -log_ndtr(spare / doubt)[group[one.pool]].sum() > most + NEAR:
                    found.append(f"a thing by itself in group {number} at {node:.2f}")
    return found


def hold(sure: float, bins: int) -> None:
    rng = np.random.default_rng(int(1000 * sure))
    met = 0
    for _ in range(bins):
        lengths, sets = random_sets.sets(rng, 8, sure)
        every = [one for things in sets for one in things]
        if every:
            least, most = float(flat(every, "shared_sd").min()), float(flat(every, "own_sd").max())
            risk = risk_of(lengths, sure, least, most)
        for things in sets:
            met += 1
            assert crossed(lengths, things, risk) == []
    assert met > 4 * bins


@pytest.mark.parametrize("sure", CHANCES)
def test_no_line_is_crossed_by_a_set_that_is_sure_enough(sure: float) -> None:
    hold(sure, 10)


@pytest.mark.long(whole_of="test_no_line_is_crossed_by_a_set_that_is_sure_enough")  # thousands, each with its chance
@pytest.mark.timeout(1800)
@pytest.mark.parametrize("sure", CHANCES)
def test_no_line_is_crossed_by_any_of_many_sets(sure: float) -> None:
    hold(sure, 60)


@dataclass(frozen=True)
class Drawn:
    """Stands for a column: something for a want."""

    want: int
    takes: Takes
    place: int
    value: float = 1.0

    @property
    def found(self) -> Drawn:
        return self

    @property
    def pools(self) -> frozenset[int]:
        return frozenset(self.takes.pool.tolist())

    @property
    def key(self) -> str:
        return str(self.place)

    mark = key


def question(rng: np.random.Generator) -> tuple[Rules, list[Drawn], np.ndarray]:
    """Things of several wants, of some of which the set can hold only one, and their chances."""
    lengths, sure = random_sets.pools(rng), float(rng.choice([0.6, 0.9, 0.95, 0.99]))
    numbers = [None if rng.random() < 0.3 else int(rng.integers(1, 3)) for _ in range(4)]
    things = [random_sets.thing(rng, lengths, (0.18, 0.25), 0.03) for _ in range(14)]
    columns = [
        Drawn(int(rng.integers(4)), one, place)
        for place, one in enumerate(things)
        if chance_of_set(lengths, [one]) >= sure
    ]
    nothing = np.zeros(len(lengths.free_m))
    aim = Aim("most", None, 0.0, 1.0, *[nothing] * 4)
    rules = Rules(lengths, Asked(numbers, 3, (), nothing, sure), aim)
    return rules, columns, np.array([log_chances(lengths, one.takes) for one in columns])


def is_set(rules: Rules, columns: list[Drawn], places: Sequence[int]) -> bool:
    """Whether these can be a set, as to numbers and as sure as asked."""
    of = Counter(columns[place].want for place in places)
    numbers = rules.asked.numbers
    return all((numbers[want] or len(places)) >= number for want, number in of.items()) and (
        chance_of_set(rules.stock, [columns[place].takes for place in places]) >= rules.asked.sure + 1e-7
    )


def hold_cuts(questions: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    made = 0
    for _ in range(questions):
        rules, columns, chances = question(rng)
        if len(columns) < 3:
            continue
        for _ in range(6):
            chosen = rng.permutation(len(columns))[: int(rng.integers(2, min(7, len(columns)) + 1))].tolist()
            if chance_of_set(rules.stock, [columns[place].takes for place in chosen]) >= rules.asked.sure:
                continue
            for values, at_most in cuts_against(rules, columns, chances, chosen):
                made += 1
                assert set(values) <= set(range(len(columns)))
                for number in range(1, 5):
                    ruled_out = [
                        places
                        for places in combinations(range(len(columns)), number)
                        if sum(values.get(place, 0.0) for place in places) > at_most + 1e-9
                    ]
                    some = [ruled_out[at] for at in rng.permutation(len(ruled_out))[:12]]
                    assert not any(is_set(rules, columns, places) for places in some)
    assert made > questions


def test_no_cut_rules_out_a_set_that_is_sure_enough() -> None:
    hold_cuts(15, seed=3)


@pytest.mark.long  # each cut is held against every set of up to four things
@pytest.mark.timeout(1800)
def test_none_of_many_cuts_does() -> None:
    hold_cuts(40, seed=4)


def test_a_choice_is_ruled_out_by_what_is_told_of_it() -> None:
    rng = np.random.default_rng(5)
    for _ in range(30):
        rules, columns, chances = question(rng)
        if chance_of_set(rules.stock, [one.takes for one in columns]) < rules.asked.sure - 1e-6:
            every = range(len(columns))
            cuts = list(cuts_against(rules, columns, chances, every))
            assert any(sum(values.get(place, 0.0) for place in every) > at_most for values, at_most in cuts)


def test_two_are_in_conflict_where_they_are_not_sure_enough_together() -> None:
    rng = np.random.default_rng(6)
    met = 0
    for _ in range(40):
        rules, columns, chances = question(rng)
        if not columns:
            continue
        apart = conflicts(rules, columns, np.exp(chances))
        for a, b in combinations(range(len(columns)), 2):
            sure = chance_of_set(rules.stock, [columns[a].takes, columns[b].takes])
            assert apart[a, b] == apart[b, a]
            assert sure < rules.asked.sure or not apart[a, b]
            # Of two that share no pool, what little is known of a length is not held against them here.
            if rules.stock.log_sd.max() <= MOST_DOUBT and sure < rules.asked.sure - 1e-7:
                assert apart[a, b]
        covered = np.zeros_like(apart)
        for members in cliques(apart):
            assert all(apart[a, b] for a, b in combinations(members, 2))
            covered[np.ix_(members, members)] = True
            met += 1
        assert not (apart & ~covered).any()
    assert met > 40

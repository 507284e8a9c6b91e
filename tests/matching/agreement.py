"""Holding the search against the enumeration of all assignments: the same accessories, order and scores.

The enumeration and its definitions were written apart from the search. A longer run by hand, of any file that uses this:
`EXAMPLES=50 python -m pytest --timeout 0 tests/matching/test_exactness_single.py`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from types import ModuleType
from typing import Any

import enumeration
import generated
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from matcher.actions.desk import Desk
from matcher.knitting.calibration import Calibration
from matcher.matching import colour_table
from matcher.matching.pools import stock_of
from matcher.matching.ranking import (
    ahead,
    blocks,
    closer,
    companions,
    descent,
    held,
    mates,
    role_by_role,
    role_list,
    searcher,
    unread,
)
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Party, Scope, Wishes, scope_of
from matcher.matching.ranking.search import Outcome, search_scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.variants import Knowledge, variants_of
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue

Entries = dict[str, tuple[str, ...]]
Question = tuple[Bin, Entries, Wishes]
Every = dict[tuple[object, ...], enumeration.Assignment]
TIMES = int(os.environ.get("EXAMPLES", "1"))
# The search takes its chances from a table of the normal distribution that is within 4e-8.
NEAR = 1e-7
LEVELS = (None, None, "quiet", "readable", "clear")
CHANCES = (None, 0.5, 0.5, 0.8, 0.999)
AROUND = [(0,), (0, 1), (1, 2), (2, 3), (3,), (3, 4), (4,), (4, 5), (5, 6)]


def examples(number: int) -> Callable[[Any], Any]:
    return settings(
        max_examples=number * TIMES,
        deadline=None,
        derandomize=TIMES == 1,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )


def ready(
    bin: Bin,
    catalogue: Catalogue,
    wishes: Wishes,
    history: Calibration | None = None,
    parties: Sequence[Party] = (),
) -> tuple[Searcher, Scope]:
    """The bin ready to be searched, and what of the catalogue is asked for."""
    known = Knowledge(catalogue.sizes, catalogue.motifs, catalogue.fabric, catalogue.classes, history)
    scope = scope_of({key: variants_of(one, known) for key, one in catalogue.accessories.items()}, wishes, parties)
    stock = stock_of(Desk(bin, catalogue).shelf.pools, catalogue.together)
    return searcher_of(stock, scope, catalogue), scope


def outcome_in(
    bin: Bin,
    catalogue: Catalogue,
    wishes: Wishes,
    history: Calibration | None = None,
    parties: Sequence[Party] = (),
) -> Outcome:
    return search_scope(*ready(bin, catalogue, wishes, history, parties))


def found_in(
    bin: Bin,
    catalogue: Catalogue,
    wishes: Wishes,
    history: Calibration | None = None,
    parties: Sequence[Party] = (),
) -> list[Found]:
    return list(outcome_in(bin, catalogue, wishes, history, parties).chosen)


def identity(found: Found, names: Sequence[str]) -> tuple[object, ...]:
    strands = tuple(tuple(sorted((names[place], count) for place, count in thread)) for thread in found.threads)
    return found.variant.accessory.key, found.variant.size, found.variant.gauge.stitches_10cm, strands


def enumerated(
    bin: Bin, catalogue: Catalogue, wishes: Wishes, history: Calibration | None = None
) -> enumeration.Enumeration:
    return enumeration.Enumeration(
        bin,
        catalogue,
        chance=wishes.sure,
        least_contrast=wishes.least_contrast,
        held_together=wishes.held_together,
        lots=wishes.lots,
        garment=wishes.garment,
        colourwork=wishes.colourwork,
        sizes=wishes.sizes,
        history=history,
    )


# What large bins alone come to, brought to bins of a few lots: not all pairs of candidates can be looked at, and each list
# of threads of several strands is searched in parts.
_NO_TABLES: dict[tuple[ModuleType, str], float] = {
    (closer, "DENSE"): 0,
    (role_by_role, "DENSE"): 0,
    (role_by_role, "TABLED"): 0,
    (companions, "_CELLS"): 50,
    (searcher, "_FEW_POOLS"): 0,
    (role_by_role, "_REMEMBERED"): 0,
    (descent, "_LONG"): 0,
    (colour_table, "_FEW_COLOURS"): 0,
    (unread, "FEW"): 0,
}
# And of all that is looked at in portions the first are of one or two, so that there is something after them.
_SMALL_STEPS: dict[tuple[ModuleType, str], float] = {
    (mates, "_CROWD"): 2,
    (descent, "_FIRST_STRANDS"): 2,
    (role_by_role, "_FIRST_PORTION"): 1,
    (role_by_role, "_FIRST_BUNCH"): 1,
    (role_by_role, "_MOST_AT_ONCE"): 2,
    (role_list, "_FIRSTS"): 1,
    (held, "_FEW"): 0,
    (blocks, "_SMALL"): 0,
    (closer, "_MOST_APART"): 2.0,
}


@contextmanager
def _with(constants: Mapping[tuple[ModuleType, str], float]) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for (module, name), value in constants.items():
            patch.setattr(module, name, value)
        yield


def without_tables() -> AbstractContextManager[None]:
    """The way in which large bins are searched."""
    return _with(_NO_TABLES)


def in_small_steps() -> AbstractContextManager[None]:
    """The same, and what comes after the first portion with it."""
    return _with(_NO_TABLES | _SMALL_STEPS)


def with_tables() -> AbstractContextManager[None]:
    """The way in which small bins are searched, with little looked at at once."""
    return _with({(ahead, "_CELLS"): 3})


# The ways in which every search is held to the enumeration; where the search itself goes several ways, each has one.
WAYS: tuple[Callable[[], AbstractContextManager[None]], ...] = (in_small_steps, with_tables)
_KNOWN: dict[str, tuple[enumeration.Enumeration, Every]] = {}


def _known(
    bin: Bin, entries: Entries, catalogue: Catalogue, wishes: Wishes, history: Calibration | None = None
) -> tuple[enumeration.Enumeration, Every]:
    """The enumeration and all its assignments: counted once for a question that several ways of searching are held to."""
    asked = repr((bin, entries, wishes, history))
    if asked not in _KNOWN:
        if len(_KNOWN) == 32:
            _KNOWN.clear()
        plain = enumerated(bin, catalogue, wishes, history)
        _KNOWN[asked] = plain, {one.identity: one for one in plain.all()}
    return _KNOWN[asked]


def agree(bin: Bin, entries: Entries, wishes: Wishes, history: Calibration | None = None) -> int:
    """Hold the search against the enumeration; the length of the list."""
    catalogue = generated.cut(entries)
    plain, every = _known(bin, entries, catalogue, wishes, history)
    expected = plain.ranked(every.values(), wishes.each, wishes.top)
    names = [pool.name for pool in plain.pools]
    lengths = []
    for way in WAYS:
        with way():
            lengths.append(_is_list(found_in(bin, catalogue, wishes, history), expected, every, names))
    return lengths[-1]


def _is_list(
    found: Sequence[Found],
    expected: Sequence[enumeration.Assignment],
    every: Mapping[tuple[object, ...], enumeration.Assignment],
    names: Sequence[str],
) -> int:
    """Hold a list against the expected one; its length."""
    assert [one.score for one in found] == pytest.approx([one.score for one in expected], abs=NEAR)
    for one, other in zip(found, expected, strict=True):
        # Of accessories that score alike, rounding decides which name comes first.
        assert one.variant.accessory.name == other.name or _tied(one.score, expected) > 1
    chosen = [identity(one, names) for one in found]
    assert len(set(chosen)) == len(chosen), "the same assignment stands twice in the list"
    for one, chose in zip(found, chosen, strict=True):
        assert chose in every, "an assignment that is not allowed"
        assert one.score == pytest.approx(every[chose].score, abs=NEAR)
        assert one.sure == pytest.approx(every[chose].sure, abs=NEAR)
    return len(found)


def agree_varied(bin: Bin, entries: Entries, wishes: Wishes) -> tuple[int, int]:
    """Hold both lists of a varied search against the rule, place by place; how long they are."""
    catalogue = generated.cut(entries)
    plain, every = _known(bin, entries, catalogue, wishes)
    every = {key: one for key, one in every.items() if not wishes.kinds or one.kind in wishes.kinds}
    names = [pool.name for pool in plain.pools]
    lengths = []
    for way in WAYS:
        with way():
            lengths.append(hold_varied(outcome_in(bin, catalogue, wishes), every, names, wishes, catalogue))
    return lengths[-1]


def hold_varied(
    outcome: Outcome,
    every: Mapping[tuple[object, ...], enumeration.Assignment],
    names: Sequence[str],
    wishes: Wishes,
    catalogue: Catalogue,
) -> tuple[int, int]:
    """Hold both lists of an outcome against the rule; every: all assignments by what is knitted, names: of the pools."""
    apart = [one for one in every.values() if one.kind == "small" and "small" not in wishes.kinds]
    large = [one for one in every.values() if one not in apart]
    main, small = ([every[identity(one, names)] for one in several] for several in (outcome.chosen, outcome.small))
    ranking = catalogue.ranking
    of_a_kind = None if wishes.kinds else int(ranking.of_a_kind)
    _follows(outcome.chosen, main, large, wishes.each, wishes.top, of_a_kind, ())
    _follows(outcome.small, small, apart, wishes.each, int(ranking.small_things), None, [one.lots for one in main])
    return len(main), len(small)


def _follows(
    found: Sequence[Found],
    same: Sequence[enumeration.Assignment],
    every: Sequence[enumeration.Assignment],
    each: int,
    top: int,
    of_a_kind: int | None,
    taken: Sequence[frozenset[str]],
) -> None:
    """Each place is held by one of the best that the rule allows there, and the list ends where it allows no more."""
    for place, (one, chose) in enumerate(zip(found, same, strict=True)):
        allowed = enumeration.Enumeration.allowed_next(every, same[:place], each, of_a_kind, taken)
        assert chose in allowed
        assert one.score == pytest.approx(chose.score, abs=NEAR)
        assert chose.score >= max(other.score for other in allowed) - NEAR
    assert len(found) <= top
    assert len(found) == top or not enumeration.Enumeration.allowed_next(every, same, each, of_a_kind, taken)


def _tied(score: float, expected: Sequence[object]) -> int:
    return sum(abs(one.score - score) <= 2 * NEAR for one in expected)


@st.composite
def wishes(draw: st.DrawFn, together: bool) -> Wishes:
    return Wishes(
        sure=draw(st.sampled_from(CHANCES)),
        top=draw(st.sampled_from([1, 10, 10])),
        each=draw(st.sampled_from([1, 1, 3])),
        least_contrast=draw(st.sampled_from(LEVELS)),
        held_together=together,
    )


@st.composite
def questions(draw: st.DrawFn, most: int, roles: int, together: bool) -> Question:
    """A bin, a catalogue cut to what such yarn can become, and a wish."""
    classes = draw(st.sampled_from(AROUND))
    reached = tuple({up for one in classes for up in range(one, one + (4 if together else 1))})
    bin = draw(generated.bins(most, classes, least=most - 4))
    return bin, draw(generated.entries(reached, roles)), draw(wishes(together))


def agree_on_rich(lots: int, roles: int, number: int, together: bool) -> int:
    """How many of the bins could become anything; every one of them is held against the enumeration."""
    made: list[int] = []

    # Whole numbers would be drawn from those that stand in whatever modules are loaded, another lot in each process.
    @given(st.sampled_from(range(10**9)), wishes(together))
    @examples(number)
    def hold(seed: int, wishes: Wishes) -> None:
        made.append(agree(*generated.rich(seed, lots, roles, together), wishes))

    hold()
    return sum(length > 0 for length in made)

"""The nearest of all near misses, and what it lacks, against plain enumeration: of a bin, and of a pool in parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import generated
import pytest
from agreement import AROUND, CHANCES, LEVELS, NEAR, Question, examples, identity, ready
from hypothesis import given
from hypothesis import strategies as st
from plain_near import Miss, NearMisses
from test_rounds_of_parts import OnlyNames, cut

from matcher.matching.ranking.lacks import lacks
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.near_miss import NearMiss, near_misses
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope, Wishes
from matcher.matching.ranking.search import search_scope
from matcher.matching.ranking.searcher import Searcher
from matcher.matching.rounds.parts import Ask, InTurn, search_parts
from matcher.materials.lots import Lot
from matcher.materials.uncertain import Estimate
from matcher.reasons.reason import Counted, Reason, Words
from matcher.store.catalogue.catalogue import Catalogue


@st.composite
def asked(draw: st.DrawFn, most: int, roles: int) -> Question:
    """A bin of mostly short lots, and wishes that much of the catalogue falls short of."""
    classes = draw(st.sampled_from(AROUND))
    reached = tuple({up for one in classes for up in (one, one + 1)})
    bin = draw(generated.bins(most, classes, least=most - 3))
    part = draw(st.sampled_from([1.0, 0.5, 0.2]))  # of what there is: much is short
    bin = replace(bin, lots=tuple(_part(lot, part) for lot in bin.lots))
    entries = draw(generated.entries(reached, roles))
    sizes = draw(st.sampled_from([(), (), *((size,) for sizes in entries.values() for size in sizes)]))
    lots = draw(st.sampled_from([(), (), (min(bin.lots, key=lambda lot: lot.length.mean).name,)]))
    wishes = Wishes(
        sure=draw(st.sampled_from((*CHANCES, 0.95, 0.999))),
        least_contrast=draw(st.sampled_from((*LEVELS, "clear"))),
        held_together=False,
        sizes=sizes,
        lots=lots,
    )
    return bin, entries, wishes


def _part(lot: Lot, part: float) -> Lot:
    return replace(lot, mass_g=part * lot.mass_g, length=Estimate(part * lot.length.mean, part * lot.length.sd))


def plain_of(question: Question, catalogue: Catalogue) -> NearMisses:
    bin, _, wishes = question
    return NearMisses(
        bin,
        catalogue,
        chance=wishes.sure,
        least_contrast=wishes.least_contrast,
        held_together=False,
        lots=wishes.lots,
        sizes=wishes.sizes,
    )


def hold(question: Question, few: int = 60) -> int:
    """Hold the near misses of a bin against the enumeration; how many there are."""
    bin, entries, wishes = question
    catalogue = generated.cut(entries)
    catalogue = replace(catalogue, ranking=replace(catalogue.ranking, near_miss_pools=float(few)))
    plain = plain_of(question, catalogue)
    searcher, scope = ready(bin, catalogue, wishes)
    made = can_be_made(searcher, scope, search_scope(searcher, scope))
    assert made == {one.key for one in plain.all()}
    return hold_near(near_misses(searcher, scope, catalogue, made), plain, scope, made)


def hold_near(near: Sequence[NearMiss], plain: NearMisses, scope: Scope, made: frozenset[str]) -> int:
    """Hold near misses, and all that is said of them, against the enumeration; how many there are."""
    expected = plain.nearest(set(made), set(scope.variants))
    best = sorted((misses[0] for misses in expected.values()), key=lambda one: (-round(one.nearness, 9), one.name))
    best = best[: int(plain.catalogue.ranking.near_misses)]
    assert [one.found.score for one in near] == pytest.approx([one.nearness for one in best], abs=NEAR)
    keys = [one.found.variant.accessory.key for one in near]
    assert len(set(keys)) == len(keys)
    first = {lot.name: pool.name for pool in plain.pools for lot in pool.lots}
    for one, other in zip(near, best, strict=True):
        key = one.found.variant.accessory.key
        assert key == other.key or sum(abs(other.nearness - some.nearness) < 2 * NEAR for some in best) > 1
        names = [first[pool.lots[0].name] for pool in one.stock.pools]
        (miss,) = [some for some in expected[key] if some.identity == identity(one.found, names)]
        assert miss.nearness >= expected[key][0].nearness - NEAR
        assert one.found.sure == pytest.approx(miss.sure, abs=NEAR)
        hold_lacks(one, miss, plain)
    return len(near)


def hold_lacks(near: NearMiss, miss: Miss, plain: NearMisses) -> None:
    """What is lacking, as figures and as it is said."""
    found, short = lacks(near.found, near.stock, plain.chance), plain.short(miss)
    # What is less than would be shown is no lack, and what is sure to the last place may be either.
    told = {one.role: one.metres for one in found}
    for one in short:
        if one.metres > 0.07:
            assert told.pop(one.role) == pytest.approx(one.metres, abs=0.02, rel=1e-4)
        else:
            told.pop(one.role, None)
    assert all(metres < 0.07 for metres in told.values())
    said = [_said(words) for words in near.lacks]
    shorts = {str(values["role"]): _said(values["short"]) for template, values in said if "{short}" in template}
    assert shorts.keys() == {one.role for one in found}
    for one in found:
        template, values = shorts[one.role]
        if template == "just short":
            assert one.metres < 0.05
        else:
            assert (template, values["m"].m) == ("{m} short", one.metres)
    quiet = miss.contrast is not None and miss.contrast < miss.asked - 1e-9
    assert any(template.startswith("colours that read") for template, _ in said) == quiet
    assert any(template.startswith("a little certainty") for template, _ in said) == (not found and not quiet)
    assert said, "a near miss lacks something"
    hold_other_size([str(values["size"]) for template, values in said if template.startswith("fits")], miss, plain)


def hold_other_size(told: list[str], miss: Miss, plain: NearMisses) -> None:
    """The size that fits is that of the best which can be made in another size."""
    if not plain.sizes:
        assert not told
        return
    sizes, plain.sizes = (
        plain.sizes,
        [one for one in plain.catalogue.accessories[miss.key].sizes if one not in plain.sizes],
    )
    try:
        possible = [one for one in plain.all() if one.key == miss.key] if plain.sizes else []
    finally:
        plain.sizes = sizes
    assert len(told) == bool(possible)
    if told:
        best = max(one.score for one in possible)
        assert max(one.score for one in possible if one.size == told[0]) == pytest.approx(best, abs=NEAR)


def _said(words: Words) -> tuple[str, dict[str, object]]:
    assert isinstance(words, Reason | Counted)
    return (words.template if isinstance(words, Reason) else words.one), dict(words.values)


def test_the_nearest_is_the_nearest_of_all() -> None:
    number: list[int] = []

    @given(asked(most=6, roles=3))
    @examples(60)
    def held(question: Question) -> None:
        number.append(hold(question))

    held()
    assert sum(one > 0 for one in number) > len(number) / 6


def test_it_is_looked_for_among_the_lots_with_most_yarn_and_those_asked_for() -> None:
    number: list[int] = []

    @given(asked(most=7, roles=2))
    @examples(30)
    def held(question: Question) -> None:
        number.append(hold(question, few=3))

    held()
    assert any(number)


def test_where_each_role_is_sure_by_itself_and_not_all_together() -> None:
    number = 0
    for seed in range(60):
        bin, entries = generated.rich(seed, 3, 2, together=False)
        plain = plain_of((bin, entries, wishes := Wishes(held_together=False)), generated.cut(entries))
        for misses in plain.nearest(set(), set(entries)).values():
            alone = min(plain.chance_with(misses[0], {}, [role]) for role in range(len(misses[0].needs)))
            if 0.5 < misses[0].sure + 0.002 < alone < 0.999:
                number += hold((bin, entries, replace(wishes, sure=(misses[0].sure + alone) / 2)))
    assert number


def in_parts(
    searcher: Searcher, scope: Scope, catalogue: Catalogue, seed: int
) -> tuple[list[NearMiss], frozenset[str]]:
    """The near misses of a stock that was cut, and what can be made of it, as a pool of many files tells them."""
    ask = Ask(OnlyNames(searcher.stock), scope, catalogue, largest=int(catalogue.ranking.near_miss_pools))
    parted = search_parts(ask, cut(searcher.stock, seed), InTurn())
    largest = searcher_of(parted.largest, scope, catalogue)
    return near_misses(largest, scope, catalogue, parted.made), parted.made


@pytest.mark.parametrize("few", [4, 60])
def test_of_a_pool_in_parts_they_are_those_of_the_whole(few: int) -> None:
    number: list[int] = []

    @given(asked(most=7, roles=3), st.integers(0, 1000))
    @examples(20)
    def held(question: Question, seed: int) -> None:
        bin, entries, wishes = question
        question = bin, entries, replace(wishes, lots=(), sizes=())  # which no pool is asked for
        catalogue = generated.cut(entries)
        catalogue = replace(catalogue, ranking=replace(catalogue.ranking, near_miss_pools=float(few)))
        plain = plain_of(question, catalogue)
        searcher, scope = ready(bin, catalogue, question[2])
        longest = sorted(searcher.stock.free_m.tolist(), reverse=True)
        if not longest or (len(longest) > few and longest[few - 1] == longest[few]):
            return  # of equals any may be left out, and which hangs on how it was cut
        near, made = in_parts(searcher, scope, catalogue, seed)
        assert made == {one.key for one in plain.all()}
        number.append(hold_near(near, plain, scope, made))

    held()
    assert any(number)

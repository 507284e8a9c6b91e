"""Several people at once: sizes, skins, eyes and tastes of each, in one exact list, held against plain enumeration."""

from __future__ import annotations

from dataclasses import replace

import agreement
import enumeration
import generated
import pytest
from hypothesis import given
from hypothesis import strategies as st

from matcher.matching.ranking.scope import Party, Wishes
from matcher.materials.colours.vision import WHOSE
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import Catalogue


@st.composite
def parties(draw: st.DrawFn, bin: Bin, catalogue: Catalogue) -> tuple[Party, ...]:
    """Two or three people, each with some sizes of some accessories and some lots barred."""
    names = [lot.name for lot in bin.lots]
    some = st.frozensets(st.sampled_from(names), max_size=len(names) // 2)
    found = []
    for name in draw(st.sampled_from([["Ada"], ["Ada", "Bea"], ["Ada", "Bea", "Cy"]])):
        sizes = {
            key: frozenset(draw(st.lists(st.sampled_from(one.sizes), max_size=2)))
            for key, one in catalogue.accessories.items()
        }
        eyes = WHOSE[draw(st.sampled_from(["ordinary", "red", "red-green", "any"]))]
        off_skin, unwanted, wanted = draw(some), draw(some), draw(st.sampled_from([frozenset(), frozenset(names[:2])]))
        found.append(Party(name, sizes, {}, eyes, off_skin, unwanted, wanted))
    return tuple(found)


def with_yarns_apart(catalogue: Catalogue, lots: list[str], data: st.DataObject) -> Catalogue:
    """The catalogue with a wish that some lots never meet some others, or with none."""
    some = st.frozensets(st.sampled_from(lots), max_size=2)
    pairs = tuple(data.draw(st.lists(st.tuples(some, some), max_size=2)))
    return replace(catalogue, together=replace(catalogue.together, never_meet=pairs))


def enumerated(
    bin: Bin, catalogue: Catalogue, wishes: Wishes, parties: tuple[Party, ...]
) -> dict[tuple[object, ...], enumeration.Assignment]:
    """Every assignment that is for somebody, by what is knitted, with the best score that anybody gives it."""
    every: dict[tuple[object, ...], enumeration.Assignment] = {}
    for party in parties:
        plain = enumeration.Enumeration(
            bin,
            catalogue.seen_by(party.eyes),
            chance=wishes.sure,
            least_contrast=wishes.least_contrast,
            held_together=wishes.held_together,
            lots=tuple(party.wanted),
            party=party,
        )
        for one in plain.all():
            if one.identity not in every or one.score > every[one.identity].score:
                every[one.identity] = one
    return every


@pytest.mark.parametrize("together", [False, True])
def test_the_list_for_several_people_is_the_true_one(together: bool) -> None:
    lengths: list[int] = []

    @given(st.sampled_from(range(10**9)), st.data())
    @agreement.examples(6)
    def hold(seed: int, data: st.DataObject) -> None:
        bin, entries = generated.rich(seed, 5 if together else 8, 2, together)
        catalogue = with_yarns_apart(generated.cut(entries), [lot.name for lot in bin.lots], data)
        wishes, who = data.draw(agreement.wishes(together)), data.draw(parties(bin, catalogue))
        every = enumerated(bin, catalogue, wishes, who)
        expected = enumeration.Enumeration.ranked(every.values(), wishes.each, wishes.top)
        found = agreement.found_in(bin, catalogue, wishes, parties=who)
        assert [one.score for one in found] == pytest.approx([one.score for one in expected], abs=agreement.NEAR)
        names = [pool.name for pool in enumeration.free_pools(bin, catalogue)]
        chosen = [agreement.identity(one, names) for one in found]
        assert len(set(chosen)) == len(chosen), "the same assignment stands twice in the list"
        for one, chose in zip(found, chosen, strict=True):
            assert one.score == pytest.approx(every[chose].score, abs=agreement.NEAR)
        lengths.append(len(found))

    hold()
    assert sum(length > 0 for length in lengths) >= len(lengths) // 3


def test_a_varied_list_for_several_people_is_what_the_rule_makes_of_it() -> None:
    lengths: list[int] = []

    @given(st.sampled_from(range(10**9)), st.data())
    @agreement.examples(8)
    def hold(seed: int, data: st.DataObject) -> None:
        bin, entries = generated.rich(seed, 6, 2, False)
        catalogue = generated.cut(entries)
        wishes = replace(data.draw(agreement.wishes(False)), varied=True)
        who = data.draw(parties(bin, catalogue))
        outcome = agreement.outcome_in(bin, catalogue, wishes, parties=who)
        names = [pool.name for pool in enumeration.free_pools(bin, catalogue)]
        every = enumerated(bin, catalogue, wishes, who)
        main, _ = agreement.hold_varied(outcome, every, names, wishes, catalogue)
        lengths.append(main)

    hold()
    assert sum(length > 0 for length in lengths) >= len(lengths) // 3

"""A varied list is what its rule makes of all assignments that there are, enumerated plainly."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import generated
import pytest
from agreement import agree_varied, examples
from hypothesis import given
from hypothesis import strategies as st

from matcher.matching.ranking import varied
from matcher.matching.ranking.scope import Wishes
from matcher.materials.lots import Bin, Garment


def question(seed: int, together: bool) -> tuple[Bin, generated.Entries, Wishes]:
    """A small bin of which most lots come from three garments, and so many entries that kinds and lots run out."""
    pick = Random(seed)
    roles = pick.choice([1, 2, 2, 3])
    bin, _ = generated.rich(seed, pick.choice([2, 3, 5] if together else [3, 5, 7]), roles, together)
    owner = Garment("", "pullover", "gone", "", None, None, None, (), "", "")
    garments = {name: replace(owner, name=name) for name in ("first", "second", "third")}
    lots = tuple(replace(lot, garment=pick.choice(["", *garments])) for lot in bin.lots)
    if pick.random() < 0.3:  # a twin of everything: many assignments score the same
        lots += tuple(replace(lot, name=f"{lot.name} again", dye_lot="9") for lot in lots[:2])
    classes = {lot.yarn.weight_class for lot in lots}
    reached = {number + more for number in classes for more in range(3 if together else 1)}
    suiting = [
        key
        for key, one in generated.WHOLE.accessories.items()
        if set(one.classes) & reached and len(one.roles) <= roles + (not together) and not one.roles[0].bring
    ]
    keys = pick.sample(suiting, min(len(suiting), 8 if together else 16))
    entries = {key: (pick.choice(generated.WHOLE.accessories[key].sizes),) for key in sorted(keys)}
    wishes = Wishes(
        sure=pick.choice([None, 0.5, 0.5]),
        top=pick.choice([3, 10, 10, 13, 25]),
        each=pick.choice([1, 1, 2]),
        kinds=pick.choice([(), (), (), ("hat", "small")]),
        least_contrast=pick.choice([None, "quiet"]),
        held_together=together,
        varied=True,
        colourwork=pick.random() < 0.2,
    )
    return Bin(lots, garments), entries, wishes


def agree_on_varied(number: int, together: bool) -> list[tuple[int, int]]:
    """How long both lists of each bin are; every one of them is held against the rule."""
    lengths: list[tuple[int, int]] = []

    @given(st.sampled_from(range(10**9)))
    @examples(number)
    def hold(seed: int) -> None:
        lengths.append(agree_varied(*question(seed, together)))

    hold()
    return lengths


# With nothing to spare all is tried; with what is kept usually, a third of it shows that it changes nothing.
@pytest.mark.parametrize(
    ("together", "number", "spare"),
    [(False, 14, 0), (False, 7, varied.SPARE), (True, 3, 0), (True, 2, varied.SPARE)],
    ids=["single, none to spare", "single", "held together, none to spare", "held together"],
)
def test_the_list_is_the_rule_applied_to_all_assignments(
    together: bool, number: int, spare: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where so few of each accessory are kept that others often take the lots of all of them."""
    monkeypatch.setattr(varied, "SPARE", spare)
    lengths = agree_on_varied(number, together)
    assert sum(main >= 3 for main, _ in lengths) >= number // 4
    assert any(small for _, small in lengths)

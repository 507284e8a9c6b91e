"""Bars that were too high are lowered for good, so that rounds come to an end."""

from __future__ import annotations

import generated
import numpy as np
import pytest
from agreement import ready

from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import Outcome, search_scope
from matcher.matching.rounds.bars import Bars


@pytest.mark.parametrize("varied", [False, True])
def test_what_was_lowered_is_not_lifted_again(varied: bool) -> None:
    bin, entries = generated.rich(3, 7, 2, False)
    catalogue = generated.cut(entries)
    searcher, scope = ready(bin, catalogue, Wishes(sure=0.5, top=1, varied=varied, held_together=False))
    found = search_scope(searcher, scope)
    bars = Bars(scope, catalogue.ranking)
    bars.lower(found)
    high = dict(bars.by_key)
    assert max(high.values()) > -np.inf
    # Nothing was found above them: so they are in doubt.
    assert not bars.settle(Outcome((), (), frozenset(), False))
    low = dict(bars.by_key)
    assert min(low.values()) < min(high.values())
    bars.lift(found)
    lowered = [key for key in low if low[key] < high[key]]
    assert {key: bars.by_key[key] for key in lowered} == {key: low[key] for key in lowered}

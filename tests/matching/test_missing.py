"""Where there are too many strands to hold or to look at, the most that one of those could score is told, and never too low."""

from __future__ import annotations

from types import ModuleType

import pytest
from agreement import outcome_in
from generated import cut, rich

from matcher.matching.ranking import choices, found
from matcher.matching.ranking.scope import Wishes


@pytest.mark.parametrize(("where", "limit", "most"), [(choices, "_MOST", 0), (found, "_MOST_LOOKED_AT", 0)])
def test_what_is_missing_scores_no_more_than_is_said(
    where: ModuleType, limit: str, most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    missed = 0
    for seed in range(12):
        bin, entries = rich(seed, 7, 1, True)
        catalogue = cut(entries)
        whole = outcome_in(bin, catalogue, Wishes(sure=0.5))
        assert not whole.cut_short
        assert whole.missing == float("-inf")
        with monkeypatch.context() as patch:
            patch.setattr(where, limit, most)
            short = outcome_in(bin, catalogue, Wishes(sure=0.5))
        for one, other in zip(whole.chosen, short.chosen, strict=False):
            if one.score > other.score + 1e-9:
                assert short.cut_short
                assert short.missing >= one.score - 1e-9
                missed += 1
        if len(whole.chosen) > len(short.chosen):
            assert short.missing >= whole.chosen[-1].score - 1e-9
            missed += 1
    assert missed

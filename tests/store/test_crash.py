"""A process that is killed at any moment leaves a store that opens, verifies, and holds all or nothing of its last action."""

from __future__ import annotations

import pytest
from rows_of_kills import rows_of_kills
from small_process import in_a_small_process

WHOLE = pytest.mark.long(
    whole_of="test_killed_at_any_of_many_moments_a_store_holds_all_or_nothing_of_the_last_action[5-40]"
)


# All that was done is looked over after each kill: many rows take less than long ones.
@pytest.mark.parametrize(("rows", "kills"), [(5, 40), pytest.param(10, 50, marks=WHOLE)])
@in_a_small_process
def test_killed_at_any_of_many_moments_a_store_holds_all_or_nothing_of_the_last_action(rows: int, kills: int):
    cut, done_all, done_nothing = rows_of_kills(rows, kills)
    # The test is worth something only if many kills struck an action under way.
    assert cut > rows * kills // 4
    assert done_all > rows * kills // 40
    assert done_nothing > rows * kills // 40
    print(f"{cut} actions cut, of these {done_all} done and {done_nothing} not")

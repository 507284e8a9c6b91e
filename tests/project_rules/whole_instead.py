"""Where long tests are run too, the few cases by day of which a long test is the whole are not run beside it.

A long test says so where it is marked: `pytest.mark.long(whole_of="test_flips[150]")`. It does the very same as that case,
from the same seed and under the same asserts, and goes on. Of cases by the same parameters the test's name is enough.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.hookimpl(trylast=True)  # what wasn't asked for is gone then
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    contained = {(one.path, name) for one in items for name in _whole_of(one)}
    left_out = [one for one in items if (one.path, one.name) in contained]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [one for one in items if (one.path, one.name) not in contained]


def _whole_of(item: pytest.Item) -> Iterator[str]:
    """The cases that an item does as well, by their names."""
    parameters = item.name.removeprefix(item.name.partition("[")[0])
    for mark in item.iter_markers("long"):
        if named := mark.kwargs.get("whole_of"):
            yield named if "[" in named else named + parameters

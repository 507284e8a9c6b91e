"""What the pages and screens show is searched once, in whatever units, order and form it is shown."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from read_once import read_once
from searched_once import searched_once


@pytest.fixture(autouse=True, scope="module")  # so that it ends where tests of the search itself begin
def nothing_is_searched_or_read_twice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with searched_once(tmp_path_factory), read_once():
        yield

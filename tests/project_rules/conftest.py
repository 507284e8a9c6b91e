"""What the pages and screens show is searched once, in whatever units, order and form it is shown."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from searched_once import searched_once


@pytest.fixture(autouse=True, scope="module")  # so that it ends where tests of the search itself begin
def no_question_is_searched_twice(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with searched_once(tmp_path_factory):
        yield

"""The catalogue's own standards, for reading small sheets."""

from __future__ import annotations

import pytest

from matcher.store.catalogue.catalogue import Catalogue, load_catalogue


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return load_catalogue()

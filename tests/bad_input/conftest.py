"""What tests of bad input share: the catalogue, the demo, and the command line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from matcher.store.catalogue.catalogue import Catalogue, load_catalogue

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return load_catalogue()


@pytest.fixture
def run() -> Callable[..., Result]:
    """Run a command in this process."""
    from matcher.cli.commands import app

    return lambda *arguments: CliRunner().invoke(app, [str(one) for one in arguments])


@pytest.fixture
def demo() -> Path:
    """The folder of the demo."""
    return ROOT / "demo"

"""What she wrote of one thing of a store, as it is shown to her."""

from __future__ import annotations

from pathlib import Path

from matcher.actions.looking.show import show
from matcher.store.written import Written


def written(name: str, *, bin: Path, what: str = "lot") -> tuple[Written, ...]:
    """Her own headings and cells of a lot, garment or person."""
    (thing,) = show(name, bin, what=what).things
    return thing.written

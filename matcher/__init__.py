"""What a hand-knitter's leftover yarn could become. Every name here is loaded when it is first used."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.actions.context import read_bin
    from matcher.actions.contrast import contrast
    from matcher.actions.knit import needs, piece
    from matcher.actions.reserve import reserve
    from matcher.actions.suggest import suggest

_HOME = {
    "read_bin": "matcher.actions.context",
    "suggest": "matcher.actions.suggest",
    "contrast": "matcher.actions.contrast",
    "needs": "matcher.actions.knit",
    "piece": "matcher.actions.knit",
    "reserve": "matcher.actions.reserve",
}

__all__ = ["contrast", "needs", "piece", "read_bin", "reserve", "suggest"]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'matcher' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])

"""What a hand-knitter's leftover yarn could become. Every name here is loaded when it is first used."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.actions.calibration import calibration
    from matcher.actions.companion import companion
    from matcher.actions.context import read_bin
    from matcher.actions.contrast import contrast
    from matcher.actions.export import export
    from matcher.actions.intake import intake
    from matcher.actions.keep_begin import begin
    from matcher.actions.keep_cells import add, change, garment
    from matcher.actions.keep_lots import join, mended, move, split, weigh
    from matcher.actions.keep_store import undo, verify
    from matcher.actions.keep_works import abandon, finish
    from matcher.actions.knit import needs, piece
    from matcher.actions.lookalikes import lookalikes
    from matcher.actions.motif import motif
    from matcher.actions.palette import palette
    from matcher.actions.photo import photo
    from matcher.actions.reserve import reserve
    from matcher.actions.suggest import suggest
    from matcher.actions.swatch import swatch
    from matcher.actions.tags import tags
    from matcher.actions.triage import triage
    from matcher.actions.whose import whose

_HOME = {
    "whose": "matcher.actions.whose",
    "palette": "matcher.actions.palette",
    "lookalikes": "matcher.actions.lookalikes",
    "triage": "matcher.actions.triage",
    "tags": "matcher.actions.tags",
    "intake": "matcher.actions.intake",
    "export": "matcher.actions.export",
    "read_bin": "matcher.actions.context",
    "suggest": "matcher.actions.suggest",
    "companion": "matcher.actions.companion",
    "contrast": "matcher.actions.contrast",
    "needs": "matcher.actions.knit",
    "piece": "matcher.actions.knit",
    "motif": "matcher.actions.motif",
    "photo": "matcher.actions.photo",
    "reserve": "matcher.actions.reserve",
    "calibration": "matcher.actions.calibration",
    "swatch": "matcher.actions.swatch",
    "begin": "matcher.actions.keep_begin",
    "add": "matcher.actions.keep_cells",
    "change": "matcher.actions.keep_cells",
    "garment": "matcher.actions.keep_cells",
    "join": "matcher.actions.keep_lots",
    "mended": "matcher.actions.keep_lots",
    "move": "matcher.actions.keep_lots",
    "split": "matcher.actions.keep_lots",
    "weigh": "matcher.actions.keep_lots",
    "undo": "matcher.actions.keep_store",
    "verify": "matcher.actions.keep_store",
    "abandon": "matcher.actions.keep_works",
    "finish": "matcher.actions.keep_works",
}

__all__ = [
    "abandon",
    "add",
    "begin",
    "calibration",
    "change",
    "companion",
    "contrast",
    "export",
    "finish",
    "garment",
    "intake",
    "join",
    "lookalikes",
    "mended",
    "motif",
    "move",
    "needs",
    "palette",
    "photo",
    "piece",
    "read_bin",
    "reserve",
    "split",
    "suggest",
    "swatch",
    "tags",
    "triage",
    "undo",
    "verify",
    "weigh",
    "whose",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'matcher' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])

"""What a hand-knitter's leftover yarn could become. Every name here is loaded when it is first used."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from matcher.actions.beginning.begin import begin
    from matcher.actions.collection.pool import pool
    from matcher.actions.colours.contrast import contrast
    from matcher.actions.colours.lookalikes import lookalikes
    from matcher.actions.colours.palette import palette
    from matcher.actions.colours.photo import photo
    from matcher.actions.colours.whose import whose
    from matcher.actions.desk import read_bin
    from matcher.actions.instead.instead import instead
    from matcher.actions.keeping.cells import add, change, garment
    from matcher.actions.keeping.export import export
    from matcher.actions.keeping.intake import intake
    from matcher.actions.keeping.lots import join, mended, move, split
    from matcher.actions.keeping.people import person
    from matcher.actions.keeping.store import undo, verify
    from matcher.actions.keeping.tags import tags
    from matcher.actions.keeping.triage import triage
    from matcher.actions.keeping.wishes import wishes
    from matcher.actions.learning.calibration import calibration
    from matcher.actions.learning.swatch import swatch
    from matcher.actions.looking.listing import listing
    from matcher.actions.looking.overview import overview
    from matcher.actions.looking.show import show
    from matcher.actions.motifs.motif import motif
    from matcher.actions.needs import needs, piece
    from matcher.actions.partner.partner import partner
    from matcher.actions.pattern.pattern import pattern
    from matcher.actions.progress.row import row
    from matcher.actions.progress.weigh import weigh
    from matcher.actions.progress.works import abandon, finish
    from matcher.actions.ranking.gap import gap
    from matcher.actions.ranking.suggest import suggest
    from matcher.actions.ranking.why_not import why
    from matcher.actions.reserve import reserve
    from matcher.actions.sets.plan import plan_set

_HOME = {
    "whose": "matcher.actions.colours.whose",
    "palette": "matcher.actions.colours.palette",
    "lookalikes": "matcher.actions.colours.lookalikes",
    "triage": "matcher.actions.keeping.triage",
    "tags": "matcher.actions.keeping.tags",
    "intake": "matcher.actions.keeping.intake",
    "export": "matcher.actions.keeping.export",
    "read_bin": "matcher.actions.desk",
    "gap": "matcher.actions.ranking.gap",
    "suggest": "matcher.actions.ranking.suggest",
    "plan_set": "matcher.actions.sets.plan",
    "partner": "matcher.actions.partner.partner",
    "pattern": "matcher.actions.pattern.pattern",
    "contrast": "matcher.actions.colours.contrast",
    "instead": "matcher.actions.instead.instead",
    "needs": "matcher.actions.needs",
    "piece": "matcher.actions.needs",
    "listing": "matcher.actions.looking.listing",
    "overview": "matcher.actions.looking.overview",
    "show": "matcher.actions.looking.show",
    "motif": "matcher.actions.motifs.motif",
    "photo": "matcher.actions.colours.photo",
    "pool": "matcher.actions.collection.pool",
    "reserve": "matcher.actions.reserve",
    "calibration": "matcher.actions.learning.calibration",
    "swatch": "matcher.actions.learning.swatch",
    "begin": "matcher.actions.beginning.begin",
    "add": "matcher.actions.keeping.cells",
    "change": "matcher.actions.keeping.cells",
    "garment": "matcher.actions.keeping.cells",
    "join": "matcher.actions.keeping.lots",
    "mended": "matcher.actions.keeping.lots",
    "move": "matcher.actions.keeping.lots",
    "person": "matcher.actions.keeping.people",
    "split": "matcher.actions.keeping.lots",
    "weigh": "matcher.actions.progress.weigh",
    "undo": "matcher.actions.keeping.store",
    "verify": "matcher.actions.keeping.store",
    "row": "matcher.actions.progress.row",
    "abandon": "matcher.actions.progress.works",
    "finish": "matcher.actions.progress.works",
    "wishes": "matcher.actions.keeping.wishes",
    "why": "matcher.actions.ranking.why_not",
}

__all__ = [
    "abandon",
    "add",
    "begin",
    "calibration",
    "change",
    "contrast",
    "export",
    "finish",
    "gap",
    "garment",
    "instead",
    "intake",
    "join",
    "listing",
    "lookalikes",
    "mended",
    "motif",
    "move",
    "needs",
    "overview",
    "palette",
    "partner",
    "pattern",
    "person",
    "photo",
    "piece",
    "plan_set",
    "pool",
    "read_bin",
    "reserve",
    "row",
    "show",
    "split",
    "suggest",
    "swatch",
    "tags",
    "triage",
    "undo",
    "verify",
    "weigh",
    "whose",
    "why",
    "wishes",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'matcher' has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])

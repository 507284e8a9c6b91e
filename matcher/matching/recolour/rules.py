"""What a sharing-out goes by."""

from __future__ import annotations

from typing import Protocol

from matcher.matching.rules import MatchingRules
from matcher.materials.rules import RecolourRules


class Rules(MatchingRules, Protocol):
    """What a sharing-out is valued by, besides what all matching goes by."""

    @property
    def recolour(self) -> RecolourRules: ...

"""What standing in goes by."""

from __future__ import annotations

from typing import Protocol

from matcher.matching.rules import MatchingRules
from matcher.materials.clues import IdentifyRules
from matcher.materials.rules import InsteadRules


class Rules(MatchingRules, Protocol):
    """How likeness is valued, besides what all matching goes by."""

    @property
    def instead(self) -> InsteadRules: ...

    @property
    def identify(self) -> IdentifyRules: ...

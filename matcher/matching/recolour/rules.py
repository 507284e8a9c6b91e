"""What a sharing-out goes by; a catalogue has it all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants
from matcher.materials.rules import ContrastRules, RecolourRules, TogetherRules


class Rules(Protocol):
    """How colours read, which yarns go together and suit a gauge, and what a sharing-out is valued by."""

    @property
    def contrast(self) -> ContrastRules: ...

    @property
    def together(self) -> TogetherRules: ...

    @property
    def fabric(self) -> FabricConstants: ...

    @property
    def recolour(self) -> RecolourRules: ...

    @property
    def vision(self) -> Mapping[str, npt.NDArray[np.float64]]:
        """A matrix (3, 3) for each deficiency of colour vision."""
        ...

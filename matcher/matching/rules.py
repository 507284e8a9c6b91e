"""What all matching goes by; a catalogue has it all, and no more of it is known here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants
from matcher.knitting.motifs.motif import Motif
from matcher.materials.colours.eye import SpatialRules
from matcher.materials.rules import ContrastRules, TogetherRules


class MatchingRules(Protocol):
    """How colours read, which yarns go together, and which suit a gauge."""

    @property
    def contrast(self) -> ContrastRules: ...

    @property
    def together(self) -> TogetherRules: ...

    @property
    def fabric(self) -> FabricConstants: ...

    @property
    def spatial(self) -> SpatialRules: ...

    @property
    def motifs(self) -> Mapping[str, Motif]: ...

    @property
    def vision(self) -> Mapping[str, npt.NDArray[np.float64]]:
        """A matrix (3, 3) for each deficiency of colour vision."""
        ...

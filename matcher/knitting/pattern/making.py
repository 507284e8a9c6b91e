"""What is to be made: an entry, fitted; what a construction starts from."""

from __future__ import annotations

from dataclasses import dataclass

from matcher.knitting.accessory import Accessory
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted


@dataclass(frozen=True)
class Making:
    """An entry, its fit in whole stitches and rounds, and the figures of the fabric."""

    accessory: Accessory
    fitted: Fitted
    constants: FabricConstants

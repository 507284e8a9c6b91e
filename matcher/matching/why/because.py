"""One rule that speaks for or against something: its figure, what was asked, and both in a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from matcher.reasons.reason import Words
from matcher.reasons.style import Sayable


@dataclass(frozen=True)
class Because:
    """rule : a word for it, such as "yarn" or "contrast". figure, asked : what it is, and what it is held against."""

    rule: str
    figure: Sayable | str
    asked: Sayable | str
    said: Words

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON; words are values still, for a face to say."""
        return {"rule": self.rule, "figure": self.figure, "asked": self.asked, "said": self.said}

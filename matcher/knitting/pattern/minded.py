"""What she is to mind of a pattern, by its yarns and whom it is for: no stitch hangs on it, and every page has it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from matcher.reasons.reason import Term, Words, reason


@dataclass(frozen=True)
class Minded:
    """warnings: of these very yarns, the weightiest first. cautions: whatever the yarns, of such a thing."""

    warnings: tuple[Words, ...] = ()
    cautions: tuple[Words, ...] = ()

    def and_of(self, warnings: Iterable[Words]) -> Minded:
        """The same with more warnings behind its own."""
        return replace(self, warnings=(*self.warnings, *warnings))

    @property
    def sections(self) -> tuple[tuple[Words, tuple[Words, ...]], ...]:
        """Each heading with its sentences, as they stand before all that is knitted."""
        both = (reason("Mind"), self.warnings), (Term("Take care"), self.cautions)
        return tuple((heading, words) for heading, words in both if words)


def mind_words(warning: Words) -> Words:
    """A warning as a remark by itself."""
    return reason("Mind: {words}.", words=warning)


NOTHING = Minded()

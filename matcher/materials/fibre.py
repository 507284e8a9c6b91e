"""Fibres and blends: what a yarn is made of, and what follows for moisture, felting, stretch and halo."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from matcher.materials.reading.names import nearest
from matcher.materials.reading.numerals import Unclear
from matcher.reasons.quantities import Share
from matcher.reasons.reason import Term, Words, counted, listed, reason

# Labels round to whole per cents, so three thirds come to 99.
SUM_SLACK_PERCENT = 1.5


@dataclass(frozen=True)
class Fibre:
    """One fibre. regain_percent: agreed allowance for moisture [% of dry mass]; words: its spellings."""

    name: str
    words: tuple[str, ...]
    regain_percent: float
    felts: bool
    stretch: str  # "elastic" | "inelastic"
    halo: bool
    animal: bool
    glossy: bool
    source: str
    how_obtained: str

    @cached_property
    def spellings(self) -> frozenset[str]:
        """Its name and its other words, as a word is compared with them."""
        return frozenset(map(_fold, (self.name, *self.words)))


@dataclass(frozen=True)
class Blend:
    """Fibres with their shares; the shares sum to 1. No parts: the fibre is not known."""

    parts: tuple[tuple[Fibre, float], ...] = ()

    @property
    def known(self) -> bool:
        return bool(self.parts)

    @property
    def regain_percent(self) -> float:
        """Moisture the yarn takes up in standard air [% of dry mass], weighted by share; 0 when unknown."""
        return sum(fibre.regain_percent * share for fibre, share in self.parts)

    @property
    def felting_share(self) -> float:
        return sum(share for fibre, share in self.parts if fibre.felts)

    @property
    def inelastic_share(self) -> float:
        return sum(share for fibre, share in self.parts if fibre.stretch == "inelastic")

    @property
    def halo_share(self) -> float:
        return sum(share for fibre, share in self.parts if fibre.halo)

    @property
    def glossy_share(self) -> float:
        """Of fibres that mirror light: their highlights make a yarn look lighter than it is."""
        return sum(share for fibre, share in self.parts if fibre.glossy)

    @property
    def animal(self) -> bool:
        return any(fibre.animal for fibre, _ in self.parts)

    def words(self) -> Words:
        """Such as "80% wool, 20% nylon", the largest share first."""
        if not self.parts:
            return reason("fibre not known")
        parts = sorted(self.parts, key=lambda part: -part[1])
        return listed(
            reason(
                "{share} {fibre}",
                share=Share(share, 1),
                fibre=Term(fibre.name),
            )
            for fibre, share in parts
        )


UNKNOWN = ("", "unknown", "not known", "?", "-")

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_SEPARATOR = re.compile(r"[,;/+&|\n]|\band\b")


def parse_blend(text: str, fibres: Sequence[Fibre]) -> Blend:
    """Read "80% wool 20% nylon", "wool 80 / nylon 20", "merino/silk 70/30", "wool" or "unknown".

    Raises Unclear for an unknown fibre (with the nearest known one), for a fibre named
    twice, and for shares that do not come to 100%.
    """
    folded = " ".join(text.casefold().replace("%", " % ").split())
    if folded in UNKNOWN:
        return Blend()
    if re.search(r"-\s*\d", folded):
        raise Unclear(reason("a share cannot be negative: write a blend such as 80% wool 20% nylon"))
    # A comma between digits is a decimal comma; anything else that separates is only a space to us.
    spaced = re.sub(r"(?<=\d),(?=\d)", ".", folded)
    pieces = [piece for piece in re.split(r"(\d+(?:\.\d+)?)", _SEPARATOR.sub("\n", spaced)) if piece.strip(" %")]
    shares: list[float] = []
    names: list[str] = []
    for piece in pieces:
        if _NUMBER.fullmatch(piece.strip()):
            shares.append(float(piece))
        else:
            names.extend(name for name in (line.strip(" %.:-()") for line in piece.split("\n")) if name)
    if not names:
        raise Unclear(reason("a share without a fibre: write a blend such as 80% wool 20% nylon"))
    found = [find_fibre(name, fibres) for name in names]
    twice = sorted({fibre.name for fibre in found if found.count(fibre) > 1})
    if twice:
        said = "{fibre} stands twice: give each fibre once, such as 80% wool 20% nylon"
        raise Unclear(reason(said, fibre=Term(twice[0])))
    if not shares and len(found) == 1:
        return Blend(((found[0], 1.0),))
    if len(shares) != len(found):
        fibres_named = counted(len(found), "{n} fibre", "{n} fibres")
        shares_named = counted(len(shares), "{n} share", "{n} shares") if shares else reason("no shares")
        said = "{fibres} but {shares}: give each fibre its share, such as 80% wool 20% nylon"
        raise Unclear(reason(said, fibres=fibres_named, shares=shares_named))
    total = sum(shares)
    if total > 100 + SUM_SLACK_PERCENT:
        raise Unclear(reason("the shares come to {total}, over 100%: check the label", total=Share(total / 100, 1)))
    if total < 100 - SUM_SLACK_PERCENT:
        said = "the shares come to {total}: {missing} is missing; name that fibre too"
        raise Unclear(reason(said, total=Share(total / 100, 1), missing=Share(1 - total / 100, 1)))
    parts = [(fibre, share / total) for fibre, share in zip(found, shares, strict=True) if share > 0]
    return Blend(tuple(parts))


def find_fibre(word: str, fibres: Sequence[Fibre]) -> Fibre:
    """The fibre of that name or spelling; Unclear with the nearest one when there is none."""
    folded = _fold(word)
    for fibre in fibres:
        if folded in fibre.spellings:
            return fibre
    raise Unclear(lambda: _unknown(word, fibres))


def _unknown(word: str, fibres: Sequence[Fibre]) -> Words:
    spelled = {spelling: fibre for fibre in fibres for spelling in fibre.spellings}
    near = nearest(_fold(word), sorted(spelled))
    hint = reason("write unknown if the label is lost")
    if near:
        hint = reason("did you mean {fibre}?", fibre=Term(spelled[near].name))
    return reason('no fibre called "{word}" is known: {hint}', word=word.strip(), hint=hint)


def _fold(word: str) -> str:
    return " ".join(re.sub(r"[-_()]", " ", word.casefold()).split())

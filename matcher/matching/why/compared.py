"""What one assignment has that another has not, in the parts of the score."""

from __future__ import annotations

from matcher.matching.contrast import verdict_of
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.score import PARTS
from matcher.matching.why.because import Because
from matcher.materials.rules import RankingRules
from matcher.reasons.quantities import Chance, Share
from matcher.reasons.reason import Reason, Term, reason
from matcher.reasons.style import Sayable

_TELLING = 0.005  # of the score: what weighs less decides nothing that anybody would see


def ahead_of(better: Found, other: Found, rules: RankingRules) -> list[Because]:
    """Where the one is ahead of the other, the weightiest part first: `figure` is the other's, `asked` the one's."""
    gains = {part: float(getattr(rules, f"weight_{part}")) * (better.parts[part] - other.parts[part]) for part in PARTS}
    told = sorted((part for part in PARTS if gains[part] > _TELLING), key=lambda part: -gains[part])
    return [_told(part, better, other) for part in told]


def _told(part: str, better: Found, other: Found) -> Because:
    figure, asked = _figure(part, other), _figure(part, better)
    if figure == asked:  # the same verdict, further from the next
        figure, asked = (_of_clear(figure, found.parts[part]) for found in (other, better))
    return Because(part, figure, asked, _said(part, asked, figure))


def _figure(part: str, found: Found) -> Sayable:
    value = found.parts[part]
    if part == "sure":
        return Chance(value, 1)
    if part == "contrast":
        return Term(verdict_of(value) if found.variant.edges else "one colour")
    return Share(value)


def _of_clear(verdict: Sayable, reading: float) -> Reason:
    return reason("{verdict} ({share} of clear)", verdict=verdict, share=Share(reading))


def _said(part: str, one: Sayable, other: Sayable) -> Reason:
    if part == "sure":
        return reason("it is surer that its yarn is enough: {one}, against {other}", one=one, other=other)
    if part == "contrast":
        return reason("its colours read better: {one}, against {other}", one=one, other=other)
    if part == "together":
        return reason("its yarns go better together: {one} of what they could, against {other}", one=one, other=other)
    if part == "use":
        said = "it uses up more yarn that little else could use: {one} of what there could be, against {other}"
        return reason(said, one=one, other=other)
    if part == "leftover":
        return reason("what it leaves over stays more useful: {one}, against {other}", one=one, other=other)
    return reason("its lots belong together more: {one}, against {other}", one=one, other=other)

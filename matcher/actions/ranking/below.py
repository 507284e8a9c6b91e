"""Why what can be made does not stand in the list."""

from __future__ import annotations

from collections.abc import Iterator

from matcher.actions.ranking.question import Laid
from matcher.knitting.accessory import Accessory
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.search import Outcome
from matcher.matching.why.because import Because
from matcher.matching.why.compared import ahead_of
from matcher.materials.rules import RankingRules
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Listed, Term, counted, listed, reason

Numbered = tuple[int, Found] | None
"""One of the list, with its number."""


def compared(here: tuple[int, Found], beside: tuple[int, Found], rules: RankingRules) -> Iterator[Because]:
    """What the one that stands before has that the other has not."""
    before, after = sorted((here, beside), key=lambda one: one[0])
    told = ahead_of(before[1], after[1], rules)
    yield from told
    if not told:
        said = reason("number {one} and number {other} are as good as each other", one=before[0], other=after[0])
        yield Because("score", Number(here[1].score, 4), Number(beside[1].score, 4), said)


def below(
    entry: Accessory, shown: Outcome, best: Found, same: Numbered, last: Numbered, laid: Laid, varied: bool
) -> Iterator[Because]:
    """best : what would stand there. same : the accessory of other lots. last : what it would have to be better than
    to stand there."""
    pools, ranking = laid.stock.pools, laid.catalogue.ranking

    def lots(one: Found) -> Listed:
        return listed((pools[at].name for at in sorted(one.pools)), "and")

    if same is not None:
        number, other = same
        figure, asked = lots(best), lots(other)
        said = "each accessory stands in the list once, and this is number {number}, from {lots}"
        yield Because("once", figure, asked, reason(said, number=number, lots=asked))
        yield from ahead_of(other, best, ranking)
        return
    every = (*shown.chosen, *shown.small)
    twin = next((place for place, one in enumerate(every, 1) if one.pools == best.pools), None)
    if varied and twin is not None:
        said = "number {number} takes the same lots, and nothing else stands in the list that takes just these"
        yield Because("same lots", lots(best), reason("number {number}", number=twin), reason(said, number=twin))
    of_kind = sum(one.variant.accessory.kind == entry.kind for one in shown.chosen)
    if varied and not entry.small and of_kind >= ranking.of_a_kind:
        template = "{n} of its kind ({kind}) stand in the list already, and of ten places no kind gets more"
        full = counted(of_kind, template, template, kind=Term(entry.kind))
        yield Because("kind", Number(of_kind), Number(ranking.of_a_kind), full)
    if last is None:
        return
    number, other = last
    ahead = ahead_of(other, best, ranking) if other.score >= best.score else []
    if not ahead and twin is None and of_kind < ranking.of_a_kind:
        said = "number {number}, the last, is as good as this or better by a hair"
        yield Because("score", Number(best.score, 4), Number(other.score, 4), reason(said, number=number))
    yield from ahead

"""What is said of the yarns beside each other in one fabric: contrast, care, warnings, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from matcher.actions.partner.fitting import Fitting
from matcher.actions.partner.settle import Settled
from matcher.actions.partner.sharing import Shared
from matcher.actions.roles import Contrast, cautions_of, guesses, yarn_warnings
from matcher.actions.thickness import thickness_warnings
from matcher.actions.whom.skins import no_promise, skin_warnings
from matcher.knitting.fabric import FabricConstants
from matcher.knitting.fit.fitted import Fitted
from matcher.matching.contrast import judge, vanishing_words
from matcher.matching.pools import Pool
from matcher.matching.together import RuleVerdict, worst_together
from matcher.materials.care import care_words
from matcher.reasons.reason import Term, Words, counted, reason

# Nobody asks for a contrast here: stitches vanish where the two colours run into one.
_LEAST = "quiet"


@dataclass(frozen=True)
class Judged:
    """contrasts: each pair of roles that touch, with the sides they share; the pair that shares most first."""

    contrasts: tuple[tuple[Contrast, int], ...]
    together: tuple[RuleVerdict, ...]
    care: Words
    warnings: tuple[Words, ...]
    cautions: tuple[Words, ...]


def judged_of(settled: Settled, fitting: Fitting, shared: Shared) -> Judged:
    """Judge the yarns that were given."""
    catalogue, given = settled.catalogue, shared.given
    contrasts = _contrasts(settled, fitting, shared)
    together = worst_together([[(pool.yarn, 1)] for pool in given], settled.accessory.next_to_skin, catalogue.together)
    warnings = (
        *(one.reason for one in together if one.verdict != "fits"),
        *thickness_warnings(
            ((pool.name, pool.yarn.tex.mean) for pool in given), fitting.asked.gauge, settled.catalogue.fabric
        ),
        *_on_skin(settled, given),
        *yarn_warnings(given),
        *_knitting(fitting.chosen, catalogue.fabric),
        *_vanishing(one for one, _ in contrasts),
        *guesses([one for one, _ in contrasts], given),
    )
    cautions = cautions_of(settled.accessory, settled.worn.like_size, given, catalogue)
    if max(fitting.chosen.longest_floats.values(), default=0) > catalogue.fabric.long_float:
        cautions = (*cautions, catalogue.cautions["floats"])
    if settled.person is not None and settled.accessory.next_to_skin:
        cautions = (*cautions, *no_promise([settled.person]))
    care = care_words(pool.yarn.wash for pool in given) if given else reason("no yarn is chosen yet")
    return Judged(contrasts, together, care, tuple(dict.fromkeys(warnings)), tuple(dict.fromkeys(cautions)))


def _on_skin(settled: Settled, given: Iterable[Pool]) -> Iterator[Words]:
    """Yarns that are to be minded by somebody who does not bear all."""
    if settled.person is not None:
        yield from skin_warnings([settled.person], settled.accessory, given)


def _contrasts(settled: Settled, fitting: Fitting, shared: Shared) -> tuple[tuple[Contrast, int], ...]:
    catalogue, found = settled.catalogue, []
    for a, b, sides in fitting.asked.touching():
        first, second = shared.pools[a], shared.pools[b]
        if first is not None and second is not None:
            judged = judge(first.colour, second.colour, catalogue.vision, catalogue.contrast, _LEAST)
            found.append((Contrast((a, b), judged), sides))
    return tuple(sorted(found, key=lambda one: -one[1]))


def _knitting(fitted: Fitted, fabric: FabricConstants) -> list[Words]:
    """Floats that are too long, and rounds that are slow and thick."""
    words: list[Words] = [
        reason(
            "the longest float of {role} passes {passed} stitches: catch it on the way", role=Term(role), passed=passed
        )
        for role, passed in fitted.longest_floats.items()
        if passed > fabric.long_float
    ]
    many = sum(len(set(row)) >= fabric.many_colours for part in fitted.parts for row in part.rows)
    if many:
        one, several = (
            "{n} round uses three colours or more at once",
            "{n} rounds use three colours or more at once",
        )
        words.append(counted(many, one, several))
    return words


def _vanishing(contrasts: Iterable[Contrast]) -> list[Words]:
    return [
        reason(
            "{first} and {second}: {vanishing}",
            first=Term(one.roles[0]),
            second=Term(one.roles[1]),
            vanishing=vanishing_words(one.judged.vanishing),
        )
        for one in contrasts
        if one.judged.vanishing >= 0.05
    ]

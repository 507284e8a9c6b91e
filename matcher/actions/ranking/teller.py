"""Turns what the search found into suggestions, with all that is to be said of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

import numpy as np

from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.ranking.why import why
from matcher.actions.roles import Contrast, RoleYarn, cautions_of, guesses, role_yarn, yarn_warnings
from matcher.actions.whom.bodies import body_measures
from matcher.actions.whom.parties import ForOne, Whom
from matcher.actions.whom.skins import no_promise, skin_warnings
from matcher.actions.whom.told import for_whom
from matcher.knitting.accessory import Accessory, contrast_pairs, longest_float
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.matching.contrast import Judgement, judge, vanishing_words
from matcher.matching.kept import KeptHues
from matcher.matching.pools import Pool, Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.together import worst_together
from matcher.matching.variants import Variant
from matcher.materials.care import care_words
from matcher.materials.colours.difference import ciede2000
from matcher.reasons.reason import Action, Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue


class Teller:
    """Knows the catalogue, whom she knits for, the reserves and what was asked."""

    def __init__(self, who: Whom, groups: Sequence[ReserveGroup], scope: Scope) -> None:
        self.who, self.groups, self.scope = who, groups, scope
        self.kept = KeptHues(who.catalogue.motifs, who.catalogue.spatial)

    def _catalogue(self, variant: Variant) -> Catalogue:
        """The catalogue as those see it whom a variant was found for."""
        party = self.scope.parties.get(variant.party)
        return self.who.catalogue.seen_by(party.eyes) if party else self.who.catalogue

    def suggestion(self, rank: int, found: Found, stock: Stock) -> Suggestion:
        """The suggestion with all that is said about it; `stock` is where its pools stand."""
        variant = found.variant
        catalogue = self._catalogue(variant)
        threads = [[(stock.pools[pool], count) for pool, count in thread] for thread in found.threads]
        of_role = dict(zip((need.role for need in variant.filled), threads, strict=True))
        roles = tuple(
            role_yarn(need, of_role.get(need.role, ()), self.groups, brought=need.role not in of_role)
            for need in variant.needs
        )
        pools = [pool for thread in threads for pool, _ in thread]
        contrasts = self._contrasts(found, roles)
        people = self._people(found, pools, roles, contrasts)
        wearers = [one.one for one in people]
        promise = tuple(no_promise(wearers)) if variant.accessory.next_to_skin else ()
        yarns = [[(pool.yarn, count) for pool, count in thread] for thread in threads]
        together = worst_together(yarns, variant.accessory.next_to_skin, catalogue.together)
        alike = self._alike(roles, {frozenset(one.roles) for one in contrasts})
        because = why(found, stock, roles, contrasts, alike, catalogue.ranking)
        warnings = [
            *(one.reason for one in together if one.verdict == "warns"),
            *skin_warnings(wearers, variant.accessory, pools),
            *yarn_warnings(pools),
            *self._warnings(found, roles, contrasts, alike),
            *guesses(contrasts, pools),
        ]
        return Suggestion(
            rank,
            found,
            roles,
            contrasts,
            together,
            care_words(pool.yarn.wash for pool in pools),
            tuple(dict.fromkeys(warnings)),
            (*cautions_of(variant.accessory, variant.size, pools, catalogue), *promise),
            because.reasons,
            because.short,
            catalogue.sizes.wearer(variant.size) == "baby",
            tuple(one.one.name for one in people) if _for_somebody(variant.accessory) else (),
        )

    def _people(
        self, found: Found, pools: Sequence[Pool], roles: Sequence[RoleYarn], contrasts: Sequence[Contrast]
    ) -> tuple[ForOne, ...]:
        colours = {role.role: role.colour for role in roles if role.colour}
        variant = found.variant
        kept = self.kept.of(variant.accessory, variant.gauge)
        touching = [(colours[a], colours[b], kept[frozenset((a, b))]) for a, b in (one.roles for one in contrasts)]
        least = self.scope.contrast[variant.accessory.key]
        return for_whom(self.who.people, variant, pools, touching, least, self.who.catalogue)

    def _contrasts(self, found: Found, roles: Sequence[RoleYarn]) -> tuple[Contrast, ...]:
        colours = {role.role: role.colour for role in roles if role.colour}
        accessory, catalogue = found.variant.accessory, self._catalogue(found.variant)
        least = self.scope.contrast[accessory.key]
        kept = self.kept.of(accessory, found.variant.gauge)

        def judged(a: str, b: str) -> Judgement:
            rules = catalogue.contrast.in_motif(kept[frozenset((a, b))])
            return judge(colours[a], colours[b], catalogue.vision, rules, least)

        return tuple(
            Contrast((a, b), judged(a, b))
            for a, b in contrast_pairs(accessory, catalogue.motifs)
            if a in colours and b in colours
        )

    def _warnings(
        self, found: Found, roles: Sequence[RoleYarn], contrasts: Sequence[Contrast], alike: Sequence[Words]
    ) -> Iterator[Words]:
        catalogue = self.who.catalogue
        floats = longest_float(found.variant.accessory, catalogue.motifs)
        if floats > catalogue.fabric.long_float:
            yield reason("the longest float passes {number} stitches: catch it on the way", number=floats)
        for named in alike:
            yield reason("{roles} look alike, so that fewer colours will be seen", roles=named)
        if any(role.brought for role in roles):
            yield reason(
                "the main colour is yours to bring: compare it with these first ({contrast})",
                contrast=Action("contrast"),
            )
        for one in contrasts:
            if one.judged.vanishing >= catalogue.ranking.vanishing_said:
                a, b = map(Term, one.roles)
                yield reason("{a} and {b}: {vanishing}", a=a, b=b, vanishing=vanishing_words(one.judged.vanishing))

    def _alike(self, roles: Sequence[RoleYarn], touching: Set[frozenset[str]]) -> list[Words]:
        """Which roles are of one colour to the eye: where they don't touch, nothing asks that they differ."""
        colours = {role.role: np.array(role.colour.mean()) for role in roles if role.colour}
        alike: dict[str, list[str]] = {}
        for role, lab in colours.items():
            for first in alike:
                near = float(ciede2000(colours[first], lab)) < self.who.catalogue.contrast.quiet_delta_e
                if near and frozenset((first, role)) not in touching:
                    alike[first].append(role)
                    break
            else:
                alike[role] = []
        return [listed([Term(one) for one in (first, *others)], "and") for first, others in alike.items() if others]


def _for_somebody(accessory: Accessory) -> bool:
    """Whether it matters who has it: a cosy is for anybody."""
    return accessory.next_to_skin or bool(body_measures(accessory))

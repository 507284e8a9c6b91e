"""Turns what the search found into suggestions, with all that is to be said of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.roles import Contrast, RoleYarn, cautions_of, role_yarn, yarn_warnings
from matcher.knitting.accessory import contrast_pairs, longest_float
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.matching.contrast import judge, vanishing_words
from matcher.matching.pools import Stock
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Scope
from matcher.matching.together import worst_together
from matcher.materials.care import care_words
from matcher.reasons.reason import Action, Term, Words, reason
from matcher.store.catalogue.catalogue import Catalogue


class Teller:
    """Knows the catalogue, the reserves and what was asked."""

    def __init__(self, catalogue: Catalogue, groups: Sequence[ReserveGroup], scope: Scope) -> None:
        self.catalogue, self.groups, self.scope = catalogue, groups, scope

    def suggestion(self, rank: int, found: Found, stock: Stock) -> Suggestion:
        """The suggestion with all that is said about it; `stock` is where its pools stand."""
        catalogue, variant = self.catalogue, found.variant
        threads = [[(stock.pools[pool], count) for pool, count in thread] for thread in found.threads]
        of_role = dict(zip((need.role for need in variant.filled), threads, strict=True))
        roles = tuple(
            role_yarn(need, of_role.get(need.role, ()), self.groups, brought=need.role not in of_role)
            for need in variant.needs
        )
        pools = [pool for thread in threads for pool, _ in thread]
        contrasts = self._contrasts(found, roles)
        yarns = [[(pool.yarn, count) for pool, count in thread] for thread in threads]
        together = worst_together(yarns, variant.accessory.next_to_skin, catalogue.together)
        warnings = [
            *(one.reason for one in together if one.verdict == "warns"),
            *yarn_warnings(pools),
            *self._warnings(found, roles, contrasts),
        ]
        return Suggestion(
            rank,
            found,
            roles,
            contrasts,
            together,
            care_words(pool.yarn.wash for pool in pools),
            tuple(dict.fromkeys(warnings)),
            cautions_of(variant.accessory, variant.size, pools, catalogue),
            tuple(self._reasons(found, contrasts)) or (reason("there is enough of it"),),
            catalogue.sizes.wearer(variant.size) == "baby",
        )

    def _contrasts(self, found: Found, roles: Sequence[RoleYarn]) -> tuple[Contrast, ...]:
        colours = {role.role: role.colour for role in roles if role.colour}
        accessory, catalogue = found.variant.accessory, self.catalogue
        least = self.scope.contrast[accessory.key]
        return tuple(
            Contrast((a, b), judge(colours[a], colours[b], catalogue.vision, catalogue.contrast, least))
            for a, b in contrast_pairs(accessory, catalogue.motifs)
            if a in colours and b in colours
        )

    def _warnings(self, found: Found, roles: Sequence[RoleYarn], contrasts: Sequence[Contrast]) -> Iterator[Words]:
        floats = longest_float(found.variant.accessory, self.catalogue.motifs)
        if floats > self.catalogue.fabric.long_float:
            yield reason("the longest float passes {number} stitches: catch it inside", number=floats)
        if any(role.brought for role in roles):
            yield reason(
                "the main colour is yours to bring: compare it with these first ({contrast})",
                contrast=Action("contrast"),
            )
        for one in contrasts:
            if one.judged.vanishing >= self.catalogue.ranking.vanishing_said:
                a, b = map(Term, one.roles)
                yield reason("{a} and {b}: {vanishing}", a=a, b=b, vanishing=vanishing_words(one.judged.vanishing))

    def _reasons(self, found: Found, contrasts: Sequence[Contrast]) -> Iterator[Words]:
        parts, rules = found.parts, self.catalogue.ranking
        if contrasts:
            least = min((one.judged for one in contrasts), key=lambda judged: judged.reading)
            if least.verdict == "clear":
                yield reason("its colours read clearly")
            else:
                verdict, lightness = Term(least.verdict), least.lightness
                yield reason("its colours are {verdict} ({lightness})", verdict=verdict, lightness=lightness)
        if parts["use"] >= rules.best_use:
            yield reason("it is one of this yarn's best uses")
        elif parts["use"] >= rules.good_use:
            yield reason("it uses up a good part of these lots")
        if parts["leftover"] >= rules.useful_leftover:
            yield reason("what is left over stays useful")
        elif parts["leftover"] < rules.short_leftover:
            yield reason("it leaves a rest too short for much")
        if parts["together"] < 1:
            yield reason("the yarns differ a little in kind")

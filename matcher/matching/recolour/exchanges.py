"""When a colour is short: what could be done instead, ranked by how well the motif's reading survives.

Another yarn from the bin, a role knitted in the yarn of another, the same accessory made a little otherwise, and
the grams to buy. Every exchange reaches the chance that was asked for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from matcher.knitting.fabric import tex_of_gauge
from matcher.matching.contrast import LEVELS, judge
from matcher.matching.pools import Pool
from matcher.matching.recolour.colouring import Asked, PoolTable, lightness_order, merged, order_kept, sure_of
from matcher.matching.recolour.otherwise import Alternative
from matcher.matching.recolour.purchase import Purchase, to_buy
from matcher.matching.recolour.recolouring import able_places, suited
from matcher.matching.recolour.rules import Rules
from matcher.matching.recolour.search import Aim, Progress, RoleSearch
from matcher.matching.together import worst_together
from matcher.materials.colours.colour import Colour
from matcher.reasons.quantities import Band, Length, Mass
from matcher.reasons.reason import Term, Words, counted, listed, reason

Chosen = Mapping[str, Pool | None]

KINDS = (
    "other yarn",
    "roles merged",
    "rows dropped",
    "smaller size",
    "rib in another role",
    "rib in another yarn",
    "buy",
)
# Reading first; the chance only decides between readings that agree to five places.
_READING_FIRST = Aim(order=0.0, least=0.0, mean=1.0, sure=1e-6, warnings_lower=False, whole_order=True)


@dataclass(frozen=True)
class Exchange:
    """One way out. roles: role -> names of the lots, joined; empty for a role whose yarn is still to be bought.

    sure: chance that everything suffices once it is done. reading: mean reading of what touches, by shared sides
    of the accessory as it was asked (sides that vanish count 0), 0 to 1. order_kept: whether all roles that
    touch stand in the wanted order of lightness. buy_g: grams to buy in all. warnings: of yarns beside each other.
    firsts: the first lot of each role's yarn, where all else stays as it was asked.
    """

    kind: str
    words: Words
    roles: Mapping[str, str]
    sure: float
    reading: float
    order_kept: bool
    buy_g: float = 0.0
    warnings: tuple[Words, ...] = ()
    firsts: Mapping[str, str] = field(default_factory=dict)


def exchanges(
    asked: Asked,
    chosen: Chosen,
    pools: Sequence[Pool],
    alternatives: Sequence[Alternative],
    wanted_order: tuple[str, ...] | None,
    rules: Rules,
    sure_at_least: float,
    progress: Progress | None = None,
) -> tuple[Exchange, ...]:
    """Ways out, best reading first, then the surest, then by name; nothing where nothing is short.

    A role is short when it has no pool, or when its pool alone is less sure than asked. Roles are judged
    together as well: where all suffice alone but not together, the least sure one counts as short.

    Parameters
    ----------
    chosen : the pool of each role of `asked`; None where there is none.
    wanted_order : roles from the darkest to the lightest; None keeps the order of the pools chosen.
    rules : the catalogue. sure_at_least : the chance to reach, 0 to 1.
    """
    given: dict[str, Pool | None] = {role: chosen.get(role) for role in asked.roles}
    short = short_roles(asked, given, sure_at_least)
    if not short:
        return ()
    wanted = wanted_order or lightness_order({role: pool.colour for role, pool in given.items() if pool})
    way = _Ways(asked, given, short, wanted, suited(pools, asked, rules.fabric), rules, sure_at_least)
    found = way.other_yarns(progress) + way.merged() + way.otherwise(alternatives) + way.bought()
    return tuple(sorted(found, key=lambda one: (-round(one.reading, 9), -round(one.sure, 9), one.kind, str(one.words))))


def short_roles(asked: Asked, chosen: Chosen, sure_at_least: float) -> tuple[str, ...]:
    """Roles that lack yarn for the chance asked for, in the order of the needs."""
    alone = {
        need.role: 0.0 if (pool := chosen.get(need.role)) is None else sure_of((need,), (pool,)) for need in asked.needs
    }
    short = tuple(role for role, sure in alone.items() if sure < sure_at_least)
    if short or not alone:
        return short
    have = [pool for role in asked.roles if (pool := chosen.get(role)) is not None]
    return () if sure_of(asked.needs, have) >= sure_at_least else (min(alone, key=lambda role: alone[role]),)


@dataclass(frozen=True)
class _Ways:
    asked: Asked
    chosen: Mapping[str, Pool | None]
    short: tuple[str, ...]
    wanted: tuple[str, ...]
    suits: Sequence[Pool]  # of the whole bin, those whose yarn suits the gauge
    rules: Rules
    least_sure: float

    def other_yarns(self, progress: Progress | None) -> list[Exchange]:
        """Other pools for the roles that are short, all others as they are; the order of lightness kept."""
        found: list[Exchange] = []
        for at in self._filled(self.asked, self.short, int(self.rules.recolour.other_yarns), progress):
            said = listed(
                (reason("{role} in {lots}", role=Term(role), lots=_lots(at[role])) for role in self.short), "and"
            )
            found += self._exchange("other yarn", reason("knit {roles} instead", roles=said), self.asked, at)
        return found

    def _filled(
        self, asked: Asked, open_roles: Sequence[str], each: int, progress: Progress | None = None
    ) -> list[dict[str, Pool]]:
        """The best ways to give pools of the bin to the open roles, the others knitted as chosen."""
        kept = {role: pool for role, pool in self.chosen.items() if pool and role not in open_roles}
        if any(pool.free.mean <= 0 for pool in kept.values()):
            return []
        left_out = {pool.name for pool in kept.values()}
        offered = {pool.name for pool in self.suits} - left_out
        # Roles that stay come first: they alone are then compared with the whole bin.
        asked = replace(asked, needs=tuple(sorted(asked.needs, key=lambda need: need.role in open_roles)))
        suits = [pool for pool in self.suits if pool.name in offered]
        table = PoolTable.of([*suits, *kept.values()], self.rules)
        new = np.array([pool.name in offered for pool in table.stock.pools], dtype=bool)
        able = [
            np.array([table.place(kept[role])]) if role in kept else places[new[places]]
            for role, places in zip(asked.roles, able_places(asked, table), strict=True)
        ]
        aim = replace(_READING_FIRST, least_sure=self.least_sure)
        search = RoleSearch(asked, table, self.wanted, able, aim, each, progress=progress)
        return [
            dict(zip(asked.roles, (table.stock.pools[place] for place in places), strict=True))
            for places in search.best()
        ]

    def merged(self) -> list[Exchange]:
        """Each short role knitted in the yarn of another role: the way that loses least of the reading."""
        kept = [role for role, pool in self.chosen.items() if pool and role not in self.short]
        # All in one yarn would be no motif, and where nearly all roles lack yarn, joining them helps nobody.
        if len(kept) < 2 or len(kept) ** len(self.short) > self.rules.recolour.joined:
            return []
        found: list[Exchange] = []
        pools = {role: pool for role in kept if (pool := self.chosen[role]) is not None}
        for onto in product(kept, repeat=len(self.short)):
            target = dict(zip(self.short, onto, strict=True))
            words = reason("knit {roles}", roles=listed((_in_yarn_of(*one) for one in target.items()), "and"))
            found += self._exchange("roles merged", words, merged(self.asked, target), pools, target)
        return sorted(found, key=lambda one: (-round(one.reading, 9), -one.sure, str(one.words)))[:1]

    def otherwise(self, alternatives: Sequence[Alternative]) -> list[Exchange]:
        """Those alternatives that the pools chosen suffice for, or for which the bin has a yarn besides."""
        found: list[Exchange] = []
        for other in alternatives:
            new = [role for role in other.asked.roles if role not in self.chosen]
            pools = {role: pool for role in other.asked.roles if (pool := self.chosen.get(role)) is not None}
            if len(pools) + len(new) < len(other.asked.roles):
                continue
            for at in self._filled(other.asked, new, 1) if new else [pools]:
                words = other.words
                if new:
                    words = reason("{way} ({lots})", way=words, lots=listed((_lots(at[role]) for role in new), "and"))
                found += self._exchange(other.kind, words, other.asked, at, factor=other.reading_factor)
        return found

    def bought(self) -> list[Exchange]:
        """The grams to buy of the yarns chosen; for a role without one, of a yarn of the usual thickness."""
        usual_tex = tex_of_gauge(self.asked.gauge, self.rules.fabric)
        buying = to_buy(self.asked.needs, self.chosen, usual_tex, self.least_sure)
        if buying is None or buying.sure < self.least_sure:
            return []
        colours = {role: pool.colour for role, pool in self.chosen.items() if pool}
        names = {role: _lots(pool) if pool else "" for role, pool in self.chosen.items()}
        one = Exchange(
            "buy",
            reason("buy {yarns}", yarns=listed(map(self._buying, buying.purchases), "and")),
            names,
            buying.sure,
            self._reading(self.asked, colours),
            self._in_order(self.asked, colours),
            sum(purchase.grams for purchase in buying.purchases),
            self._warnings([pool for pool in self.chosen.values() if pool]),
        )
        return [one]

    def _buying(self, purchase: Purchase) -> Words:
        amount: Words | Mass = Mass(purchase.grams)
        if purchase.balls:
            ball = Band(purchase.grams / purchase.balls)
            amount = counted(purchase.balls, "{n} ball of {ball}", "{n} balls of {ball}", ball=ball)
        role = Term(purchase.role)
        if self.chosen[purchase.role] is None:
            return reason(
                "{amount} of a yarn of about {length} to a {ball} ball for {role}, in a colour that shows",
                amount=amount,
                length=Length(50_000 / purchase.tex),
                ball=Band(50.0),
                role=role,
            )
        said = "{amount} more for {role} (another dye lot may differ: compare in daylight)"
        return reason(said, amount=amount, role=role)

    def _exchange(
        self,
        kind: str,
        words: Words,
        asked: Asked,
        pools: Mapping[str, Pool],
        target: Mapping[str, str] | None = None,
        factor: float = 1.0,
    ) -> list[Exchange]:
        """The exchange with its figures; none where it does not reach the chance."""
        given = [pools[role] for role in asked.roles]
        sure = sure_of(asked.needs, given)
        if sure < self.least_sure:
            return []
        names = {role: _lots(pool) for role, pool in pools.items()}
        names |= {role: names[other] for role, other in (target or {}).items()}
        colours = {role: pool.colour for role, pool in pools.items()}
        one = Exchange(
            kind,
            words,
            {role: names[role] for role in dict.fromkeys((*self.asked.roles, *asked.roles)) if role in names},
            sure,
            self._reading(asked, colours) * factor,
            self._in_order(asked, colours),
            0.0,
            self._warnings(given),
            {role: pools[role].name for role in asked.roles} if asked is self.asked else {},
        )
        return [one]

    def _in_order(self, asked: Asked, colours: Mapping[str, Colour]) -> bool:
        return order_kept(asked, colours, self.wanted) > 1 - 1e-9

    def _reading(self, asked: Asked, colours: Mapping[str, Colour]) -> float:
        """Mean reading by sides. Sides lost by merging read nothing; a colour still to be bought, *readable*."""

        def reads(a: str, b: str) -> float:
            if a not in colours or b not in colours:
                return LEVELS["readable"]
            return judge(colours[a], colours[b], self.rules.vision, self.rules.contrast, "quiet").reading

        whole = asked.sides
        if set(asked.roles) < set(self.asked.roles):
            # A role has gone: the sides that it shared with what it was joined to are gone as well.
            whole = max(whole, self.asked.sides)
        return asked.by_sides(reads) * asked.sides / whole if whole else 1.0

    def _warnings(self, pools: Sequence[Pool]) -> tuple[Words, ...]:
        verdicts = worst_together([[(pool.yarn, 1)] for pool in pools], False, self.rules.together)
        return tuple(one.reason for one in verdicts if one.verdict != "fits")


def _in_yarn_of(role: str, other: str) -> Words:
    return reason("{role} in the yarn of {other}", role=Term(role), other=Term(other))


def _lots(pool: Pool) -> str:
    return ", ".join(lot.name for lot in pool.lots)

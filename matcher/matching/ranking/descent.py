"""The search of one variant, role by role, with bounds.

Roles are filled one after the other. The score of what is filled, plus the most that the rest could add, is
never below the true score of any completion; whatever cannot beat the bar is left out. The contrast part
saturates, so that in most bins the first few tries reach the bound and the search ends.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import chain

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED
from matcher.matching.ranking.ahead import Ahead
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS, Choices, TooMany, joined, marls, marls_of_mates, pick
from matcher.matching.ranking.companions import Companions
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.found import SLACK, Best, Found
from matcher.matching.ranking.jointly import part_of_chance, parts_of_chance
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.searcher import DENSE, TABLED
from matcher.matching.ranking.strands import strands_beside
from matcher.matching.ranking.thin import Thin
from matcher.materials.uncertain import chance_given_tension, margin, tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# How much is tried at a time. These change how long a search takes, never what it finds.
_FIRST_PORTION = 64
_FIRST_STRANDS = 48


@dataclass(frozen=True)
class _Partial:
    """The first roles filled: places taken, their worth, the most the roles after the next could add, and the
    contrast, together and chance (for each node of the tension grid) so far."""

    taken: tuple[int, ...]
    worth: float
    rest: float
    contrast: float
    together: float
    chance: Floats


class Descent:
    """The search of one variant, role by role."""

    def __init__(self, block: Block, size: int, best: Best, with_marls: bool, thin: Thin | None = None) -> None:
        self._thin = thin or Thin(block)
        self.block, self.size, self.best = block, size, best
        self.searcher, self.variant = block.searcher, block.variants[size]
        self.with_marls = with_marls
        self.companions: Companions | None = None
        self.parts: list[Floats] | None = None
        self.ahead: Ahead | Companions
        _, self.grid_weight = tension_grid()

    def run(self) -> None:
        """Search, and offer what beats the best so far."""
        if not self.with_marls:
            self._with_wanted(_few_first(self._plain()), 1.0)
            return
        block = self.block
        thin = self._thin
        self.thin, of_size = thin.pools, thin.of(self.size, self.best.bar)
        if of_size.most <= self.best.bar or of_size.most == -np.inf:
            return
        self.tops_of_all, self.most = of_size.tops, of_size.most
        mates = self.searcher.mates(block.window, True)
        bar = self.best.bar - self.searcher.w_together * self.searcher.rules.marl_factor - SLACK
        self.strands = strands_beside(thin, of_size, self.size, mates, bar)
        if not any(np.isfinite(one.most).any() for one in self.strands):
            return
        plain = self._plain()
        # The worthiest strands first: what they set as the bar leaves fewer of the others to try.
        before, number = 0, _FIRST_STRANDS
        while self._marls(plain, number, before) and self._more_strands(number) and self.searcher.thorough:
            before, number = number, 4 * number

    def _plain(self) -> list[RoleList]:
        """For each role the pools alone."""
        block = self.block
        worth = block.worth_alone(slice(self.size, self.size + 1))[:, 0]
        return [self._role(role, block.base, block.own, one, block.reads) for role, one in enumerate(worth)]

    def _marls(self, plain: list[RoleList], number: int, before: int) -> bool:
        """Search with marls of each role's `number` worthiest strands, of which the `before` worthiest were searched
        already; False when there are too many to hold."""
        try:
            marled = [self._marled(role, number) for role in range(self.block.roles)]
        except TooMany:
            self.best.field.cut_short = True
            self.best.field.missing = max(self.best.field.missing, self.most)
            return False
        every = [self._joined(one, other) for one, other in zip(plain, marled, strict=True)]
        for role, one in enumerate(marled):
            new = one.only(self._with_new(role, one, before))
            if len(new.order):
                lists = _few_first([*every[:role], new, *every[role + 1 :]])
                self._with_wanted(lists, self.searcher.rules.marl_factor)
        return True

    def _with_new(self, role: int, marled: RoleList, before: int) -> npt.NDArray[np.bool_]:
        """Which marls of a role have a strand that is not among its `before` worthiest, nor wanted."""
        rank = np.argsort(np.argsort(-self.strands[role].most, kind="stable"))
        rank[np.isin(self.thin, list(self.searcher.wanted or ()))] = 0
        strands = marled.choices.strands[marled.order]
        return np.asarray((rank[np.searchsorted(self.thin, strands)] >= before).any(axis=1))

    def _least(self, role: int) -> float:
        """What the strands of a marl must add on average to beat the bar."""
        searcher, tops = self.searcher, self.tops_of_all
        rest = float(tops[:role].sum() + tops[role + 1 :].sum())
        return self.best.bar - rest - searcher.w_together * searcher.rules.marl_factor - SLACK

    def _more_strands(self, number: int) -> bool:
        """Whether a marl with a strand past the `number` worthiest of its role could still beat the bar."""
        for role, one in enumerate(self.strands):
            order, least = np.argsort(-one.most, kind="stable"), 3.0 * self._least(role)
            if len(order) > number:
                for worth in (one.of_mates, one.of_strangers):
                    if 2.0 * worth.max() + worth[order[number:]].max() >= least:
                        return True
        return False

    def _with_wanted(self, roles: list[RoleList], together: float) -> None:
        """Search these lists; where pools are wanted, once for each role that could hold one."""
        wanted = self.searcher.wanted
        if wanted is None:
            self._descend(self._in_place(roles), together)
            return
        for place, role in enumerate(roles):
            has = np.asarray(np.isin(role.choices.strands[role.order], list(wanted)).any(axis=1))
            with_one = [*roles[:place], role.only(has), *roles[place + 1 :]]
            # Of equals the earlier stays, so only where any will do may the order change.
            self._descend(self._in_place(_few_first(with_one) if self.best.any_will_do else with_one), together)

    def _role(self, role: int, choices: Choices, own: Floats, worth: Floats, reads: Floats) -> RoleList:
        block = self.block
        able = np.flatnonzero(np.isfinite(worth))
        reads = reads[able] if role in block.touching else np.full(len(able), block.contrast)
        most = worth[able] + self.searcher.w_contrast * reads
        order = np.argsort(-most, kind="stable")
        return RoleList(
            role, choices, own, able[order], worth[able[order]], np.zeros(len(able)), reads[order], most[order]
        )

    def _in_place(self, roles: list[RoleList]) -> list[RoleList]:
        """The roles, to be filled in this order."""
        return [self._placed(one, depth) for depth, one in enumerate(roles)]

    def _placed(self, role: RoleList, depth: int) -> RoleList:
        """A role that is filled after so many others: each pair counts where the second of the two is filled."""
        block, choices = self.block, role.choices
        kindred = block.kindred(choices, depth)[role.order]
        change = kindred - block.shared_kindred(choices, block.roles - 1)[role.order]
        most = role.most + change
        hoped = kindred if block.roles > 1 else np.zeros(len(kindred))
        return replace(role, worth=role.worth + change, kindred=hoped, most=most).only(np.argsort(-most, kind="stable"))

    def _marled(self, role: int, number: int) -> RoleList:
        """Strands of different pools held together that could still beat the best; of the worthiest, and the wanted."""
        block, searcher = self.block, self.searcher
        strands, mates = self.strands[role], searcher.mates(block.window, True)
        able = np.argsort(-strands.most, kind="stable")
        able = able[np.isfinite(strands.most[able])]
        wanted = np.isin(self.thin[able], list(searcher.wanted or ()))
        able = np.concatenate([able[:number], able[number:][wanted[number:]]])
        if not len(able):
            return self._role(role, pick(block.base, able), np.zeros(0), np.zeros(0), np.zeros(0))
        pools, least = self.thin[able], self._least(role)
        asked = least, block.window, searcher.rules
        strange = marls(searcher.stock, pools, strands.of_strangers[able], *asked)
        # What is more kindred than anything that is not listed stands among the mates already.
        unlisted = mates.unlisted[mates.of[strange.strands]].max(axis=1, initial=0.0)
        strange = pick(strange, np.flatnonzero(strange.kindred <= unlisted))
        related = marls_of_mates(searcher.stock, pools, strands.of_mates[able], *asked, mates.among(pools))
        made = joined([related, strange])
        merit = block.marls(role, self.size, made)
        worth, reads = merit.worth[0], block.limit(made)
        most = worth + searcher.w_sure * merit.sure[0]
        most += searcher.w_contrast * (reads if role in block.touching else block.contrast)
        could = np.flatnonzero(most >= least)
        made, worth, reads = pick(made, could), worth[could], reads[could]
        return self._role(role, made, searcher.own_together(made, block.next_to_skin), worth, reads)

    def _joined(self, plain: RoleList, marled: RoleList) -> RoleList:
        """Candidates of both kinds in one list."""
        if not len(marled.order):
            return plain
        choices = joined([pick(plain.choices, plain.order), pick(marled.choices, marled.order)])
        own = np.concatenate([plain.own[plain.order], marled.own[marled.order]])
        worth, reads = np.concatenate([plain.worth, marled.worth]), np.concatenate([plain.reads, marled.reads])
        return self._role(plain.role, choices, own, worth, reads)

    def _descend(self, roles: list[RoleList], together: float) -> None:
        """Fill the roles in this order."""
        block, searcher = self.block, self.searcher
        number = len(block.base) if all(role.choices is block.base for role in roles) else np.inf
        self.companions = None
        if number > DENSE:  # no bound has looked at every pair
            floor = self.best.bar - searcher.w_sure - searcher.w_together * together - SLACK
            self.companions = self.ahead = Companions(block, roles, self.with_marls, floor)
            roles = self.companions.lists
        if not all(len(role.order) for role in roles):
            return
        self.lists = roles
        self.tops = [sum(one.top for one in roles[depth + 1 :]) for depth in range(len(roles))]
        self.touching = [
            [before for before in range(depth) if block.touches(roles[before].role, role.role)]
            for depth, role in enumerate(roles)
        ]
        self.table = searcher.table(block.base, block.next_to_skin) if number <= TABLED else None
        if self.table is not None:
            self.ahead = Ahead(block, roles, self.touching, self.table)
        elif searcher.w_sure and len(roles) > 1 and number < np.inf:
            self._share_chance()
        self._fill(_Partial((), 0.0, self._rest(0, ()), block.contrast, together, np.ones(len(self.grid_weight))))

    def _share_chance(self) -> None:
        """What each candidate shares of the chance of all, and the most that the roles after each could add with it."""
        tenths = parts_of_chance(self.variant.weight)
        self.parts = [
            self.searcher.w_sure * self._part_of_chance(one.role, one.choices, tenths[one.role]) for one in self.lists
        ]
        tops = [float((one.worth + part[one.order]).max()) for one, part in zip(self.lists, self.parts, strict=True)]
        self.shared_tops = [sum(tops[depth + 1 :]) for depth in range(len(tops))]

    def _part_of_chance(self, role: int, choices: Choices, tenths: int) -> Floats:
        """Of threads of one pool: array (m,)."""
        stock, pools = self.searcher.stock, choices.strands[:, 0]
        shared = self.variant.shared_sd[role] ** 2
        variance = stock.log_sd[pools] ** 2 + self.variant.own_sd[role] ** 2 + shared
        spare = margin(stock.free_m[pools], self.variant.length_m[role] * choices.count[:, 0])
        return part_of_chance(spare / np.sqrt(variance), shared / variance, tenths)

    def _by_shares(
        self, role: RoleList, filled: _Partial, possible: Indexes, parts: list[Floats]
    ) -> tuple[Indexes, Floats, float]:
        """Candidates of a role by what all roles share of the chance: those that could beat the bar, what they add at
        most, falling, and what all the others do."""
        searcher, depth = self.searcher, len(filled.taken)
        so_far = filled.worth + sum(float(parts[before][one]) for before, one in enumerate(filled.taken))
        others = so_far + self.shared_tops[depth] + searcher.w_together * filled.together + SLACK
        reads = np.minimum(role.reads[possible], filled.contrast)
        most = role.worth[possible] + parts[depth][role.order[possible]] + searcher.w_contrast * reads
        could = np.flatnonzero(others + most > self.best.bar)
        could = could[np.argsort(-most[could], kind="stable")]
        return possible[could], most[could], others

    def _fill(self, filled: _Partial) -> None:
        """Try the candidates of the next role, most worth first, in growing portions."""
        depth, searcher = len(filled.taken), self.searcher
        role = self.lists[depth]
        certain = searcher.w_sure * float(filled.chance @ self.grid_weight) + filled.worth
        above = certain + filled.rest
        if self.companions is not None and filled.taken:
            gap = self.best.bar - above - searcher.w_together * filled.together - SLACK
            possible = self.companions.possible(role, filled.taken, gap)
            most = role.most[possible]
        else:
            possible, most = np.arange(len(role.order)), role.most
        others = certain + self.tops[depth] + searcher.w_together * filled.together
        if self.parts is not None:
            possible, most, others = self._by_shares(role, filled, possible, self.parts)
        start, portion = 0, _FIRST_PORTION
        while start < len(possible):
            # What they could add falls along the list: past the first that cannot beat the bar, none can.
            stop = min(start + portion, int(np.searchsorted(-most, others - self.best.bar, side="left")))
            if stop <= start:
                return
            some = possible[start:stop]
            at, worth = role.order[some], role.worth[some] - role.kindred[some]
            reads = np.minimum(role.reads[some], filled.contrast)
            start, portion = stop, portion * 4
            beside = np.minimum(role.own[at], filled.together)
            keep = np.ones(len(at), dtype=bool)
            for before, place in enumerate(filled.taken):
                apart, goes, kindred = self._beside(before, place, depth, at)
                keep &= apart & (goes > 0)
                worth = worth + self.block.pair_share * kindred
                beside = np.minimum(beside, goes)
            keep &= above + searcher.w_contrast * reads + searcher.w_together * beside + worth > self.best.bar
            at, worth, beside, reads = at[keep], worth[keep], beside[keep], reads[keep]
            for before in self.touching[depth]:
                reads = np.minimum(reads, self._hopes(before, filled.taken[before], depth, at))
                bound = above + searcher.w_contrast * reads + searcher.w_together * beside + worth
                keep = (reads >= self.block.least) & (bound > self.best.bar)
                at, worth, beside, reads = at[keep], worth[keep], beside[keep], reads[keep]
            if not self.touching[depth]:
                self._go_on(filled, at, worth, beside, reads)
                continue
            # Where lightness alone decides, go on at once; what rests on hue waits for the bar that this sets.
            decided = reads > DECIDED
            self._go_on(filled, at[decided], worth[decided], beside[decided], reads[decided])
            at, worth, beside, reads = at[~decided], worth[~decided], beside[~decided], reads[~decided]
            keep = above + searcher.w_contrast * reads + searcher.w_together * beside + worth > self.best.bar
            at, worth, beside, reads = at[keep], worth[keep], beside[keep], reads[keep]
            if len(at):
                reads = np.full(len(at), filled.contrast)
                for before in self.touching[depth]:
                    one, many = self.lists[before].choices, role.choices
                    kept = self.block.hue_kept(self.lists[before].role, role.role)
                    reads = np.minimum(reads, searcher.reads(one, filled.taken[before], many, at, kept))
                keep = reads >= self.block.least
                self._go_on(filled, at[keep], worth[keep], beside[keep], reads[keep])

    def _rest(self, depth: int, taken: tuple[int, ...]) -> float:
        """The most that the roles after `depth` could add, when no pool serves two roles."""
        pools: set[int] = set()
        for before, place in enumerate(taken):
            pools.update(self.lists[before].choices.strands[place].tolist())
        # Past the first few, the last of them stands for all that follow: it is worth no less.
        return sum(
            next((worth for one, worth in role.firsts if one.isdisjoint(pools)), role.firsts[-1][1])
            for role in self.lists[depth + 1 :]
        )

    def _beside(self, before: int, place: int, depth: int, at: Indexes) -> tuple[npt.NDArray[np.bool_], Floats, Floats]:
        """Of a thread taken and those at `at`: no pool in common, factor together, kindred."""
        table, searcher = self.table, self.searcher
        if table is not None:
            return table.apart[place, at], table.beside[place, at], table.kindred[place, at]
        two = self.lists[before].choices, place, self.lists[depth].choices, at
        return searcher.apart(*two), searcher.beside(*two), searcher.kindred(*two)

    def _hopes(self, before: int, place: int, depth: int, at: Indexes) -> Floats:
        if self.table is not None:
            return np.asarray(self.table.hopes[place, at])
        return self.searcher.hopes(self.lists[before].choices, place, self.lists[depth].choices, at)

    def _go_on(self, filled: _Partial, at: Indexes, worth: Floats, beside: Floats, reads: Floats) -> None:
        """Go deeper with each candidate left, best bound first; at the last role, offer."""
        if not len(at):
            return
        searcher, depth = self.searcher, len(filled.taken)
        worth = filled.worth + worth
        bound = worth + filled.rest + searcher.w_contrast * reads + searcher.w_together * beside
        if searcher.chance is None:
            chances = np.broadcast_to(filled.chance, (len(at), len(filled.chance)))
        else:
            chances = self._chances(depth, at) * filled.chance
            sure = chances @ self.grid_weight
            bound = np.where(sure >= searcher.chance - SLACK, bound + searcher.w_sure * sure, -np.inf)
        able = np.flatnonzero(bound > self.best.bar)
        last, rest = depth + 1 == len(self.lists), np.full(len(at), np.inf)
        if not last and len(able):
            ahead, rest[able] = self.ahead.most(filled.taken, at[able], reads[able])
            bound[able] = np.minimum(bound[able], bound[able] - filled.rest + ahead)
        for place in able[np.argsort(-bound[able], kind="stable")]:
            if bound[place] <= self.best.bar or bound[place] == -np.inf:
                return
            taken = (*filled.taken, int(at[place]))
            if last:
                if not self.best.field.known(self.best, self._pools(taken), float(bound[place])):
                    self.best.offer(self._found(taken))
                continue
            further = min(self._rest(depth + 1, taken), float(rest[place]))
            so_far = float(worth[place]), further, float(reads[place]), float(beside[place])
            self._fill(_Partial(taken, *so_far, chances[place]))

    def _chances(self, depth: int, at: Indexes) -> Floats:
        """Chance that each thread suffices, for every node of the tension grid: (len(at), nodes)."""
        role, stock = self.lists[depth], self.searcher.stock
        count = role.choices.count[at]
        chance: Floats | None = None
        for strand in range(STRANDS):
            if strand and not count[:, strand].any():
                break
            pools, times = role.choices.strands[at, strand], count[:, strand]
            one = chance_given_tension(
                margin(stock.free_m[pools], self.variant.length_m[role.role] * times),
                self.variant.shared_sd[role.role],
                np.hypot(stock.log_sd[pools], self.variant.own_sd[role.role]),
            )
            one[times == 0] = 1.0
            chance = one if chance is None else chance * one
        assert chance is not None
        return chance

    def _pools(self, taken: tuple[int, ...]) -> frozenset[int]:
        strands = (role.choices.strands[place].tolist() for role, place in zip(self.lists, taken, strict=True))
        return frozenset(chain.from_iterable(strands))

    def _found(self, taken: tuple[int, ...]) -> Found:
        """The assignment scored afresh, in the accessory's order of roles, so that no path changes a digit."""
        by_role = sorted(zip(self.lists, taken, strict=True), key=lambda one: one[0].role)
        choices = joined([pick(role.choices, np.array([place])) for role, place in by_role])
        return evaluate(self.block, self.size, choices)


def _few_first(roles: list[RoleList]) -> list[RoleList]:
    """A role that few can fill decides early."""
    return sorted(roles, key=lambda one: (len(one.order), one.role))

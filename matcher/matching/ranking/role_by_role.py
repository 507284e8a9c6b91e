"""The search of some sizes of a block whose lists of candidates are made: role by role, many beginnings at once.

Roles are filled one after the other. The score of what is filled, plus the most that the rest could add, is never below
the true score of any completion; whatever cannot beat the bar is left out. Beginnings go on in bunches, the most
promising few first, since what they lead to may raise the bar; a bunch costs hardly more than a single one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

import numpy as np
import numpy.typing as npt

from matcher.matching.colour_table import DECIDED
from matcher.matching.distinct import distinct
from matcher.matching.ranking.ahead import Ahead
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import STRANDS, joined, pick
from matcher.matching.ranking.companions import Companions
from matcher.matching.ranking.evaluate import evaluate
from matcher.matching.ranking.found import SLACK, Best, Found
from matcher.matching.ranking.jointly import part_of_chance, parts_of_chance
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.searcher import DENSE, TABLED
from matcher.matching.ranking.unread import may_read, unread
from matcher.matching.together import thickness_factor
from matcher.materials.uncertain import margin, tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]

# How many pairs are tried, and how many beginnings go on, at first and then so many times more. These change how long a
# search takes, never what it finds.
_FIRST_PORTION, _FIRST_BUNCH, _MORE, _MOST_AT_ONCE = 256, 4, 4, 64

# Of so many pairs of threads what was told is kept, for the sake of memory.
_REMEMBERED = 1_000_000

# Where strands are held together work is counted in glances at one candidate beside one beginning: a step takes as long
# as so many, and a closer look at one of a colour a strand; of more colours longer, by their pairs.
_A_STEP, _CLOSELY = 100_000, 200


@dataclass(frozen=True)
class _Partials:
    """k beginnings, the first roles of each filled. size : (k,), its place among the sizes. taken : (k, depth), places
    among each role's choices. worth, contrast, together : (k,), so far; rest : (k,), the most that the roles after the
    next could add. chance : for each node of the tension grid, (k, nodes)."""

    size: Indexes
    taken: Indexes
    worth: Floats
    rest: Floats
    contrast: Floats
    together: Floats
    chance: Floats


@dataclass(frozen=True)
class _Tried:
    """Candidates for the next role. who : the beginning that each is for. at : its place among the role's choices.
    worth : what it adds; together, contrast : of all so far. Arrays (m,)."""

    who: Indexes
    at: Indexes
    worth: Floats
    together: Floats
    contrast: Floats

    def only(self, which: Flags) -> _Tried:
        """Some of them."""
        return _Tried(self.who[which], self.at[which], self.worth[which], self.together[which], self.contrast[which])


class RoleByRole:
    """One search: these lists are filled in this order, and what beats the best is offered.

    sizes : (S,), places in the block. roles : with each pair's `kindred` counted where the second of the two is filled.
    together : the most that the part could be.
    """

    def __init__(
        self, block: Block, sizes: Indexes, best: Best, roles: list[RoleList], together: float, with_marls: bool
    ) -> None:
        searcher = block.searcher
        self.block, self.sizes, self.best, self.lists, self.together = block, sizes, best, roles, together
        self.searcher, self.with_marls = searcher, with_marls
        _, self.grid_weight = tension_grid()
        self.closely = int(_CLOSELY * max(1.0, max(one.colours for one in roles) ** 2 / STRANDS**2))
        self.companions: Companions | None = None
        self.parts: list[Floats] | None = None
        self._known: dict[tuple[str, int, int], Floats] = {}
        number = len(block.base) if all(role.choices is block.base for role in roles) else np.inf
        # A single role stands beside nothing.
        several = len(roles) > 1
        self.table = searcher.table(block.base, block.next_to_skin) if several and number <= TABLED else None
        self.pool_table = searcher.pool_table if several and with_marls else None
        # Under a bar few are left, and to look at all pools would take longer.
        self.unread = unread(searcher, block.least) if several and with_marls and best.bar == -np.inf else None
        if several and number > DENSE:  # no bound has looked at every pair
            floor = best.bar - searcher.w_sure - searcher.w_together * together - SLACK
            self.companions = Companions(block, roles, with_marls, floor)
            self.lists = self.companions.lists
        self.possible = all(len(role.order) for role in self.lists)
        if not self.possible:
            return
        self.tops = _of_the_rest([one.tops for one in self.lists])
        self.touching = [
            [before for before in range(depth) if block.touches(self.lists[before].role, role.role)]
            for depth, role in enumerate(self.lists)
        ]
        self.ahead: Ahead | Companions | None = self.companions
        if self.table is not None:
            self.ahead = Ahead(block, self.lists, self.touching, self.table)
        elif several and searcher.w_sure:
            self._share_chance()

    def run(self) -> None:
        """Search, and offer what beats the best so far."""
        if self.possible:
            size = np.arange(len(self.sizes))
            nothing, whole = np.zeros((len(size), 0), dtype=np.intp), np.ones(len(size))
            rest, chance = self._rest(0, size, nothing), np.ones((len(size), len(self.grid_weight)))
            so_far = 0.0 * whole, rest, self.block.contrast * whole, self.together * whole
            self._fill(_Partials(size, nothing, *so_far, chance))

    def _share_chance(self) -> None:
        """What each candidate shares of the chance of all, and the most that the roles after each could add with it."""
        tenths = [parts_of_chance(self.block.variants[size].weight) for size in self.sizes]
        self.parts = [
            self.searcher.w_sure * self._part_of_chance(one, [of_size[one.role] for of_size in tenths])
            for one in self.lists
        ]
        self.shared_tops = _of_the_rest(
            [(one.worth + part[:, one.order]).max(axis=1) for one, part in zip(self.lists, self.parts, strict=True)]
        )

    def _part_of_chance(self, role: RoleList, tenths: Sequence[int]) -> Floats:
        """Of threads that are in a role's list, in each size: array (S, choices), -inf for the others.

        A thread allows no more than each of its strands does.
        """
        stock, block, at, choices = self.searcher.stock, self.block, (role.role, self.sizes), role.choices
        strands, counts = (one[role.order, : choices.pools].T for one in (choices.strands, choices.count))
        length, shared, own = block.length[at], block.shared[at], block.private[at]
        least = np.full((len(self.sizes), len(role.order)), np.inf)
        for pools, count in zip(strands, counts, strict=True):
            variance = stock.log_sd[pools] ** 2 + own**2 + shared**2
            z, share = margin(stock.free_m[pools], length * count) / np.sqrt(variance), shared**2 / variance
            of_strand = np.stack([part_of_chance(*one) for one in zip(z, share, tenths, strict=True)])
            np.minimum(least, of_strand, out=least, where=count > 0)
        parts = np.full((len(self.sizes), len(choices)), -np.inf)
        parts[:, role.order] = least
        return parts

    def _fill(self, filled: _Partials) -> None:
        """Try the candidates of the next role, those of most promise first, in growing portions."""
        depth, searcher = filled.taken.shape[1], self.searcher
        role = self.lists[depth]
        self.best.look(_A_STEP + len(filled.taken) * len(role.order), not self.with_marls)
        certain = searcher.w_sure * (filled.chance @ self.grid_weight) + filled.worth
        who, place, bounds = self._candidates(filled, certain)
        start, portion = 0, _FIRST_PORTION
        while start < len(who):
            # What they promise falls along the list: past the first that cannot beat the bar, none can.
            stop = min(start + portion, self._above_bar(bounds))
            if stop <= start:
                return
            some, of = place[start:stop], who[start:stop]
            start, portion = stop, portion * _MORE
            at, above = role.order[some], (certain + filled.rest)[of]
            self.best.look(self.closely * len(at), not self.with_marls)
            tried = _Tried(
                of,
                at,
                role.worth[filled.size[of], some] - role.kindred[some],
                np.minimum(role.own[at], filled.together[of]),
                np.minimum(role.reads[some], filled.contrast[of]),
            )
            tried, above = self._beside_taken(filled, tried, above)
            # Where lightness alone decides, go on at once; what rests on hue waits for the bar that this sets.
            by_hue = (tried.contrast <= DECIDED) & bool(self.touching[depth])
            self._go_on(filled, tried.only(~by_hue))
            waiting, above = tried.only(by_hue), above[by_hue]
            self._go_on(filled, self._read(filled, waiting.only(self._promise(waiting, above) > self.best.bar)))

    def _candidates(self, filled: _Partials, certain: Floats) -> tuple[Indexes, Indexes, Floats]:
        """Candidates of the next role that could beat the bar: for which of the beginnings, their places in its list,
        and what all could come to, falling: arrays (m,)."""
        depth, searcher, bar = filled.taken.shape[1], self.searcher, self.best.bar
        role, so_far = self.lists[depth], certain + searcher.w_together * filled.together
        if self.companions is not None and depth:
            with np.errstate(invalid="ignore"):  # where nobody is left for the rest, no bar matters
                gaps = bar - so_far - filled.rest - SLACK
            who, place = self.companions.possible(role, filled.size, filled.taken, gaps)
        else:
            each = np.arange(len(role.order))
            who, place = np.repeat(np.arange(len(so_far)), len(each)), np.tile(each, len(so_far))
        bounds = (so_far + self.tops[depth][filled.size])[who] + role.most[filled.size[who], place]
        if self.pool_table is not None and depth:
            company = self.pool_table.company([(one.choices, at) for one, at in self._taken(filled)])
            kindred = company[who[:, None], role.choices.strands[role.order[place], : role.choices.pools]].min(axis=1)
            less = np.minimum(self.block.pair_share * kindred - role.kindred[place], 0.0)
            reads = searcher.w_contrast * np.minimum(role.reads[place], filled.contrast[who])
            beside = (so_far + filled.rest)[who] + role.worth[filled.size[who], place] + reads
            bounds = less + np.minimum(bounds, beside)
        if self.parts is not None:
            bounds = np.minimum(bounds, self._by_shares(role, filled, who, place, self.parts))
        bounds -= searcher.w_together * np.maximum(filled.together[who] - role.own[role.order[place]], 0.0)
        could = np.flatnonzero(bounds > bar)
        could = could[np.argsort(-bounds[could], kind="stable")]
        return who[could], place[could], bounds[could]

    def _taken(self, filled: _Partials) -> Iterator[tuple[RoleList, Indexes]]:
        """The roles that are filled, and what each of the beginnings took there."""
        return zip(self.lists, filled.taken.T, strict=False)

    def _by_shares(
        self, role: RoleList, filled: _Partials, who: Indexes, place: Indexes, parts: list[Floats]
    ) -> Floats:
        """What all could come to with each candidate, by what the roles share of the chance: array (m,)."""
        searcher, depth = self.searcher, filled.taken.shape[1]
        others = filled.worth + searcher.w_together * filled.together + self.shared_tops[depth][filled.size] + SLACK
        for before in range(depth):
            others = others + parts[before][filled.size, filled.taken[:, before]]
        reads, size = np.minimum(role.reads[place], filled.contrast[who]), filled.size[who]
        own = role.worth[size, place] + parts[depth][size, role.order[place]]
        return np.asarray(others[who] + own + searcher.w_contrast * reads)

    def _beside_taken(self, filled: _Partials, tried: _Tried, above: Floats) -> tuple[_Tried, Floats]:
        """Those of the candidates that could stand beside all that are taken and beat the bar, contrast no closer than
        hoped; and `above` of these: what all is worth without them."""
        depth, worth, together = filled.taken.shape[1], tried.worth, tried.together
        keep = np.ones(len(tried.at), dtype=bool)
        for before in range(depth):
            apart, goes, kindred = self._beside(before, filled.taken[tried.who, before], depth, tried.at)
            keep &= apart & (goes > 0)
            worth = worth + self.block.pair_share * kindred
            together = np.minimum(together, goes)
        tried = replace(tried, worth=worth, together=together)
        keep &= self._promise(tried, above) > self.best.bar
        tried, above = tried.only(keep), above[keep]
        for before in self.touching[depth]:
            two = self.lists[before].choices, filled.taken[tried.who, before], self.lists[depth].choices, tried.at
            could = may_read(self.unread, self.searcher, *two)
            tried, above = tried.only(could), above[could]
            hopes = self._hopes(before, filled.taken[tried.who, before], depth, tried.at)
            tried = replace(tried, contrast=np.minimum(tried.contrast, hopes))
            keep = (tried.contrast >= self.block.least) & (self._promise(tried, above) > self.best.bar)
            tried, above = tried.only(keep), above[keep]
        return tried, above

    def _promise(self, tried: _Tried, above: Floats) -> Floats:
        """The most that all could come to: array (m,)."""
        searcher = self.searcher
        return above + searcher.w_contrast * tried.contrast + searcher.w_together * tried.together + tried.worth

    def _read(self, filled: _Partials, tried: _Tried) -> _Tried:
        """Those that read beside all that they touch, with how they do."""
        if not len(tried.at):
            return tried
        depth, reads = filled.taken.shape[1], filled.contrast[tried.who]
        for before in self.touching[depth]:
            kept = self.block.hue_kept(self.lists[before].role, self.lists[depth].role)
            told = partial(self.searcher.reads, hue_kept=kept)
            reads = np.minimum(
                reads, self._once("reads", told, before, filled.taken[tried.who, before], depth, tried.at)
            )
        return replace(tried, contrast=reads).only(reads >= self.block.least)

    def _beside(self, before: int, taken: Indexes, depth: int, at: Indexes) -> tuple[Flags, Floats, Floats]:
        """Of threads taken and those at `at`, one by one: no pool in common, factor together, kindred."""
        table, searcher = self.table, self.searcher
        if table is not None:
            return table.apart[taken, at], table.beside[taken, at], table.kindred[taken, at]
        two = self.lists[before].choices, taken, self.lists[depth].choices, at
        if self.pool_table is not None:
            goes, kindred = self.pool_table.between(*two)
            goes *= thickness_factor(two[2].tex[at], two[0].tex[taken], searcher.rules)
            return goes > 0, goes, kindred
        return searcher.apart(*two), searcher.beside(*two), searcher.kindred(*two)

    def _hopes(self, before: int, taken: Indexes, depth: int, at: Indexes) -> Floats:
        if self.table is not None:
            return np.asarray(self.table.hopes[taken, at])
        return self._once("hopes", self.searcher.hopes, before, taken, depth, at)

    def _once(
        self, what: str, told: Callable[..., Floats], before: int, taken: Indexes, depth: int, at: Indexes
    ) -> Floats:
        """What is told of threads taken and those at `at`, one by one; where pools are held together the same two meet
        in many beginnings, and are asked of once."""
        one, many = self.lists[before].choices, self.lists[depth].choices
        if not self.with_marls or len(one) * len(many) > _REMEMBERED:
            return told(one, taken, many, at)
        if (what, before, depth) not in self._known:
            self._known[what, before, depth] = np.full((len(one), len(many)), np.nan)
        known = self._known[what, before, depth]
        found = known[taken, at]
        if len(new := np.flatnonzero(np.isnan(found))):
            mine, theirs = np.divmod(distinct(taken[new] * len(many) + at[new]), len(many))
            known[mine, theirs] = told(one, mine, many, theirs)
            found[new] = known[taken[new], at[new]]
        return found

    def _go_on(self, filled: _Partials, tried: _Tried) -> None:
        """Go deeper with the candidates left, best bound first; at the last role, offer."""
        if not len(tried.at):
            return
        searcher, depth = self.searcher, filled.taken.shape[1]
        worth, rest, chances = filled.worth[tried.who] + tried.worth, filled.rest[tried.who], filled.chance[tried.who]
        bound = self._promise(tried, filled.worth[tried.who] + rest)
        if searcher.chance is not None:
            chances = self._chances(depth, filled.size[tried.who], tried.at) * chances
            sure = chances @ self.grid_weight
            bound = np.where(sure >= searcher.chance - SLACK, bound + searcher.w_sure * sure, -np.inf)
        last, further = depth + 1 == len(self.lists), np.full(len(bound), np.inf)
        if not last and self.ahead and len(able := np.flatnonzero(bound > self.best.bar)):
            who, at = tried.who[able], tried.at[able]
            ahead, further[able] = self.ahead.most(filled.size, filled.taken, who, at, tried.contrast[able])
            bound[able] = np.minimum(bound[able], bound[able] - rest[able] + ahead)
        order = np.argsort(-bound, kind="stable")
        bound, taken = bound[order], np.column_stack([filled.taken[tried.who], tried.at])[order]
        size = filled.size[tried.who][order]
        if last:
            self._offer(size, taken, bound)
            return
        start, bunch = 0, _FIRST_BUNCH
        while (stop := min(start + bunch, self._above_bar(bound))) > start:
            of, some, which = size[start:stop], taken[start:stop], order[start:stop]
            start, bunch = stop, min(bunch * _MORE, _MOST_AT_ONCE)
            ahead = np.minimum(self._rest(depth + 1, of, some), further[which])
            so_far = worth[which], ahead, tried.contrast[which], tried.together[which]
            self._fill(_Partials(of, some, *so_far, chances[which]))

    def _above_bar(self, falling: Floats) -> int:
        """How many of some bounds, falling, are above the bar."""
        return int(np.searchsorted(-falling, -self.best.bar, side="left"))

    def _offer(self, size: Indexes, taken: Indexes, bound: Floats) -> None:
        """Whole assignments (m, roles), best bound first."""
        for of, places, score in zip(size.tolist(), taken.tolist(), bound.tolist(), strict=True):
            if score <= self.best.bar:
                return
            if not self.best.field.known(self.best, self._pools(places), score):
                self.best.offer(self._found(of, places))

    def _rest(self, depth: int, size: Indexes, taken: Indexes) -> Floats:
        """The most that the roles after `depth` could add, when no pool serves two roles: array (k,)."""
        pools = [self.lists[before].choices.strands[taken[:, before]] for before in range(taken.shape[1])]
        used = np.concatenate([np.zeros((len(taken), 0), dtype=np.intp), *pools], axis=1)[:, None, :, None]
        rest = np.zeros(len(taken))
        for role in self.lists[depth + 1 :]:
            strands, worth = (one[size] for one in role.firsts)
            free = ~(used == strands[:, :, None, :]).any(axis=(2, 3))
            # Past the first few, the last of them stands for all that follow: it is worth no less.
            first = np.where(free.any(axis=1), free.argmax(axis=1), worth.shape[1] - 1)
            rest += worth[np.arange(len(worth)), first]
        return rest

    def _chances(self, depth: int, size: Indexes, at: Indexes) -> Floats:
        """Chance that each thread suffices in a size, for every node of the tension grid: (len(at), nodes)."""
        role, stock = self.lists[depth], self.searcher.stock
        both, of = np.unique(size * len(role.choices) + at, return_inverse=True)
        size, own = np.divmod(both, len(role.choices))
        block, chance = self.block, None
        for strand in range(role.choices.pools):
            pools, times = role.choices.strands[own, strand], role.choices.count[own, strand]
            # The same strand is in many threads.
            marks = (pools * (STRANDS + 1) + times.astype(np.intp)) * len(self.sizes) + size
            _, first, which = np.unique(marks, return_index=True, return_inverse=True)
            pools, times, needs = pools[first], times[first], (role.role, self.sizes[size[first]], 0)
            one = stock.chances(pools, block.length[needs] * times, block.shared[needs], block.private[needs])
            one[times == 0] = 1.0
            chance = one[which] if chance is None else chance * one[which]
        assert chance is not None
        return chance[of]

    def _pools(self, taken: list[int]) -> frozenset[int]:
        strands = (role.choices.strands[place].tolist() for role, place in zip(self.lists, taken, strict=True))
        return frozenset(chain.from_iterable(strands))

    def _found(self, size: int, taken: list[int]) -> Found:
        """The assignment scored afresh, in the accessory's order of roles, so that no path changes a digit."""
        by_role = sorted(zip(self.lists, taken, strict=True), key=lambda one: one[0].role)
        choices = joined([pick(role.choices, np.array([place])) for role, place in by_role])
        return evaluate(self.block, int(self.sizes[size]), choices)


def _of_the_rest(tops: Sequence[Floats]) -> list[Floats]:
    """Of the most of each role (S,) that of all which are filled after it, added up."""
    return [np.sum(tops[depth + 1 :], axis=0) + np.zeros(len(tops[0])) for depth in range(len(tops))]

"""The search of a block: who could fill each role, with one yarn alone or with marls, tried role by role."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import numpy.typing as npt

from matcher.matching.distinct import both, distinct
from matcher.matching.ranking.alike import few_of_alike
from matcher.matching.ranking.beside_pools import FEW, read_beside_pools
from matcher.matching.ranking.blocks import Block
from matcher.matching.ranking.choices import Choices, TooMany, joined, marls, marls_of_mates, pick
from matcher.matching.ranking.closer import could_beat
from matcher.matching.ranking.found import SLACK, Best
from matcher.matching.ranking.held import held_in
from matcher.matching.ranking.main_strands import could_stand
from matcher.matching.ranking.role_by_role import RoleByRole
from matcher.matching.ranking.role_list import RoleList
from matcher.matching.ranking.standing import standing
from matcher.matching.ranking.strands import strands_beside
from matcher.matching.ranking.sure_strands import sure_enough
from matcher.matching.ranking.thin import Thin, could_be_strands

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# So many strands are tried at first. It changes how long a search takes, never what it finds.
_FIRST_STRANDS = 48
# Lists of so many candidates, those of all roles together, are long. It changes how long a search takes, never what it
# finds.
_LONG = 1_000
# To make a thread of several strands takes as long as so many glances, see `role_by_role`.
_MADE = 200


class Descent:
    """The search of some sizes of a block, role by role: with pools alone, or of one size with marls.

    sizes : (S,), their places in the block. thin : what marls are made of; None for pools alone.
    """

    def __init__(self, block: Block, sizes: Indexes, best: Best, thin: Thin | None) -> None:
        self.block, self.sizes, self.best, self.searcher, self.thin = block, sizes, best, block.searcher, thin

    def run(self) -> None:
        """Search, and offer what beats the best so far."""
        if self.thin is None:
            try:
                self._with_wanted(_few_first(self._plain()), 1.0)
            except TooMany:
                self.most = float(self.block.rough_bounds()[self.sizes].max())
                self._cut_short()
            return
        # Where any will do nothing is scored, and the threads are made once for all of these.
        for role in [None] if self.best.any_will_do else held_in(self.block):
            self._run_marls(self.thin, role)

    def _run_marls(self, thin: Thin, role: int | None) -> None:
        """The search with marls, where such a role is the first that holds a wanted pool."""
        block, size = self.block, int(self.sizes.item())
        self.strand_pools, of_size = thin.pools, thin.of(size, self.best.bar, role)
        if of_size.most <= self.best.bar or of_size.most == -np.inf:
            return
        self.held, self.tops_of_all, self.most = of_size.held, of_size.tops, of_size.most
        if self.best.tired:
            self._cut_short()
            return
        mates = self.searcher.mates(block.window, True)
        bar = self.best.bar - self.searcher.w_together * self.searcher.rules.marl_factor - SLACK
        self.strands = strands_beside(thin, of_size, size, mates, bar)
        if self.best.bar == -np.inf:  # a bar leaves few of them
            self.strands = sure_enough(thin, size, self.strands)
        if not any(np.isfinite(one.most).any() for one in self.strands):
            return
        plain = [self.held.only(one) for one in self._plain()]
        # Where no bar leaves any out, it takes longest to tell that there is none.
        if self.best.bar == -np.inf and not (could_stand(block, self._pools_of(plain)) and self._few_read(plain)):
            return
        # The worthiest strands first: what they set as the bar leaves fewer of the others to try.
        before, number = 0, _FIRST_STRANDS
        while self._marls(plain, number, before) and self._more_strands(number):
            before, number = number, 4 * number

    def _pools_of(self, plain: Sequence[RoleList]) -> list[Indexes]:
        """For each role the pools that could be in it, alone or as a strand: rising."""
        thin = (self.strand_pools[np.isfinite(one.most)] for one in self.strands)
        return [both(one.choices.strands[one.order, 0], of) for one, of in zip(plain, thin, strict=True)]

    def _few_read(self, plain: list[RoleList]) -> bool:
        """Of the role that fewest pools could fill leave only threads which could read; whether any is left."""
        pools = self._pools_of(plain)
        role = min(self.block.touching, key=lambda role: len(pools[role]), default=None)
        if role is None or len(pools[role]) > FEW:
            return True
        try:
            marled = self._marled(role, len(self.strand_pools))
        except TooMany:
            return True  # as the search itself will find
        few = read_beside_pools(self.block, self._joined(plain[role], marled), pools)
        held = distinct(few.choices.strands[few.order].ravel())
        self.strands[role] = self.strands[role].only(np.isin(self.strand_pools, held))
        return len(few.order) > 0

    def _plain(self) -> list[RoleList]:
        """For each role the pools alone."""
        block = self.block
        worth = block.worth_alone(self.sizes)
        if self.thin is None:
            worth = could_beat(block, worth, self.best.bar)
            if block.roles > 1 and not block.edges:
                worth = few_of_alike(block, worth, self.best.each)
        return [self._role(role, block.base, block.own, one, block.reads) for role, one in enumerate(worth)]

    def _marls(self, plain: list[RoleList], number: int, before: int) -> bool:
        """Search with marls of each role's `number` worthiest strands, of which the `before` worthiest were searched
        already; False when there are too many to hold, or to look at."""
        try:
            stood = None
            # Where any will do, one is found among the first marls, or each search leaves them out by itself.
            if self.best.bar == -np.inf and not self.best.any_will_do:
                stood = self._standing(plain, number)
            if stood is not None:
                plain = [one for one, _ in stood]
                if not all(len(one.order) + len(marled.order) for one, marled in stood):
                    return True
            lists = list(plain)
            if before:
                lists = [self._joined(one, self._marled(role, before)) for role, one in enumerate(plain)]
            # First the role that fewest pools could fill. Nothing is met twice: of the roles that hold a new marl, each
            # search is for the last in this order.
            for role in sorted(range(len(plain)), key=lambda role: len(plain[role].order)):
                # What was found by now leaves fewer.
                marled = stood[role][1] if stood and self.best.bar == -np.inf else self._marled(role, number)
                new = marled.only(self._with_new(role, marled, before))
                every = [*lists[:role], new, *lists[role + 1 :]]
                if all(len(one.order) for one in every):
                    self._with_wanted(_few_pools_first(every), self.searcher.rules.marl_factor)
                lists[role] = self._joined(plain[role], marled)
        except TooMany:
            self._cut_short()
            return False
        return True

    def _standing(self, plain: list[RoleList], number: int) -> list[tuple[RoleList, RoleList]]:
        """Of each role's pools alone, and of its marls of the `number` worthiest strands, those that could stand beside
        somebody in every other role: where no bar leaves any out, most that can't be made is told so."""
        marled = [self._marled(role, number) for role in range(len(plain))]
        whole = [self._joined(*both) for both in zip(plain, marled, strict=True)]
        found = []
        for one, marls_of, every, left in zip(plain, marled, whole, standing(self.block, whole, True), strict=True):
            keep = np.isin(every.order, left.order)
            found.append((one.only(keep[: len(one.order)]), marls_of.only(keep[len(one.order) :])))
        return found

    def _cut_short(self) -> None:
        """Say that not all was tried, and what could be missing at most."""
        self.best.cut_short = self.best.field.cut_short = True
        self.best.field.missing = max(self.best.field.missing, self.most)

    def _with_new(self, role: int, marled: RoleList, before: int) -> npt.NDArray[np.bool_]:
        """Which marls of a role have a strand that is not among its `before` worthiest, nor wanted."""
        rank = np.argsort(np.argsort(-self.strands[role].most, kind="stable"))
        rank[np.isin(self.strand_pools, list(self.searcher.wanted or ()))] = 0
        strands = marled.choices.strands[marled.order]
        return np.asarray((rank[np.searchsorted(self.strand_pools, strands)] >= before).any(axis=1))

    def _least(self, role: int) -> float:
        """What the strands of a marl must add on average to beat the bar."""
        searcher, tops = self.searcher, self.tops_of_all
        rest = float(tops[:role].sum() + tops[role + 1 :].sum())
        return self.best.bar - rest - searcher.w_together * searcher.rules.marl_factor - SLACK

    def _more_strands(self, number: int) -> bool:
        """Whether a marl with a strand past the `number` worthiest of its role could still beat the bar."""
        for role, one in enumerate(self.strands):
            order, least = np.argsort(-one.most, kind="stable"), self._least(role)
            needed = self.held.wanted(self.strand_pools) if self.held.role == role else None
            plainly = one.plainly if one.plainly.any() else None
            dimly = np.where(one.plainly, -np.inf, one.dimly)
            ways = [(one.of_mates, needed), (one.of_strangers, needed if plainly is None else plainly), (dimly, needed)]
            could = [np.isin(order[number:], could_be_strands(*way[:1], least, *way[1:])) for way in ways]
            if np.any(could):
                return True
        return False

    def _with_wanted(self, roles: list[RoleList], together: float) -> None:
        """Search these lists; where pools are wanted, once for each role that could hold one."""
        wanted = self.searcher.wanted
        if wanted is None or (self.thin is not None and self.held.role is not None):
            self._fill(roles, together)
            return
        has = [np.asarray(np.isin(one.choices.strands[one.order], list(wanted)).any(axis=1)) for one in roles]
        without = [one.only(~of) for one, of in zip(roles, has, strict=True)]
        # Each search is for the first role that holds one.
        after = roles if self.searcher.wanted_meet else without
        for place, role in enumerate(roles):
            with_one = [*without[:place], role.only(has[place]), *after[place + 1 :]]
            self._fill(with_one, together)

    def _fill(self, roles: list[RoleList], together: float) -> None:
        """Fill the roles in this order; each pair counts where the second of the two is filled."""
        if self.best.any_will_do or (self.thin is None and self.best.bar == -np.inf):
            roles = _few_first(standing(self.block, roles, self.thin is not None))
        for several in self._by_kin(roles, together):
            if all(len(one.order) for one in several):
                placed = [self._placed(one, depth) for one, depth in zip(several, _kin_before(several), strict=True)]
                RoleByRole(self.block, self.sizes, self.best, placed, together, self.thin is not None).run()

    def _by_kin(self, roles: list[RoleList], together: float) -> Iterator[list[RoleList]]:
        """These lists, or where they are long parts of them that could beat the bar, which together hold the same.

        A thread of strands that have nothing in common belongs to no other: in each part some roles hold only such, the
        others none of them, and only pairs of the latter could be kindred.
        """
        block, searcher = self.block, self.searcher
        short = len(roles) == 1 or sum(len(one.order) for one in roles) < _LONG
        if self.thin is None or self.best.any_will_do or short:
            yield roles
            return
        strange = [one.choices.kindred[one.order] <= 0 for one in roles]
        # What each adds without `kindred`, of the kindred and of the others.
        alone = [one.worth - block.shared_kindred(one.choices, block.roles - 1)[one.order] for one in roles]
        tops = [
            [float(worth[:, which].max(initial=-np.inf)) for which in (~of, of)]
            for worth, of in zip(alone, strange, strict=True)
        ]
        most = searcher.w_sure + searcher.w_contrast * block.contrast + searcher.w_together * together + SLACK
        for part in sorted(product((False, True), repeat=len(roles)), key=sum):
            kin = len(roles) - sum(part)
            could = most + sum(top[which] for top, which in zip(tops, part, strict=True))
            if could + block.pair_share * kin * (kin - 1) / 2 > self.best.bar:
                lists = (one.only(of if which else ~of) for one, of, which in zip(roles, strange, part, strict=True))
                yield _few_pools_first(list(lists))

    def _role(self, role: int, choices: Choices, own: Floats, worth: Floats, reads: Floats) -> RoleList:
        block = self.block
        able = np.flatnonzero(np.isfinite(worth).any(axis=0))
        reads = reads[able] if role in block.touching else np.full(len(able), block.contrast)
        most = worth[:, able] + self.searcher.w_contrast * reads
        return RoleList(role, choices, own, able, worth[:, able], np.zeros(len(able)), reads, most)

    def _placed(self, role: RoleList, depth: int) -> RoleList:
        """A role that is filled after so many others: each pair counts where the second of the two is filled."""
        block, choices = self.block, role.choices
        kindred = block.kindred(choices, depth)[role.order]
        change = kindred - block.shared_kindred(choices, block.roles - 1)[role.order]
        most = role.most + change
        hoped = kindred if block.roles > 1 else np.zeros(len(kindred))
        return replace(role, worth=role.worth + change, kindred=hoped, most=most)

    def _marled(self, role: int, number: int) -> RoleList:
        """Strands of different pools held together that could still beat the best; of the worthiest, and the wanted."""
        block, searcher = self.block, self.searcher
        strands, mates = self.strands[role], searcher.mates(block.window, True)
        able = np.argsort(-strands.most, kind="stable")
        able = able[np.isfinite(strands.most[able])]
        wanted = np.isin(self.strand_pools[able], list(searcher.wanted or ()))
        able = np.concatenate([able[:number], able[number:][wanted[number:]]])
        if not len(able):
            return self._role(role, pick(block.base, able), np.zeros(0), np.zeros((1, 0)), np.zeros(0))
        pools, least = self.strand_pools[able], self._least(role)
        asked = least, block.window, searcher.rules
        needed = self.held.wanted(pools) if self.held.role == role else None
        plainly = strands.plainly[able]
        if plainly.any():
            strange = joined(
                [
                    marls(searcher.stock, pools, strands.of_strangers[able], *asked, plainly),
                    marls(searcher.stock, pools[~plainly], strands.dimly[able][~plainly], *asked),
                ]
            )
        else:
            strange = marls(searcher.stock, pools, strands.dimly[able], *asked, needed)
        # What is more kindred than anything that is not listed stands among the mates already.
        unlisted = mates.unlisted[mates.of[strange.strands]].max(axis=1, initial=0.0)
        strange = pick(strange, np.flatnonzero(strange.kindred <= unlisted))
        worth = strands.of_mates[able]
        could = np.isfinite(worth)
        if needed is not None:  # all its strands belong to one that is wanted
            could &= searcher.stock.kindred.near(pools, pools[needed])
        pools, worth = pools[could], worth[could]
        related = marls_of_mates(searcher.stock, pools, worth, *asked, mates.among(pools))
        if needed is not None:
            related = pick(related, np.flatnonzero(self.held.wanted(related.strands).any(axis=1)))
        made = joined([related, strange])
        self.best.look(_MADE * len(made))
        merit = block.marls(role, int(self.sizes.item()), made)
        worth, reads = merit.worth[0], block.limit(made)
        most = worth + searcher.w_sure * merit.sure[0]
        most += searcher.w_contrast * (reads if role in block.touching else block.contrast)
        could = np.flatnonzero(most + self.held.change(role, made) >= least)
        made, worth, reads = pick(made, could), worth[could], reads[could]
        return self._role(role, made, searcher.own_together(made, block.next_to_skin), worth[None], reads)

    def _joined(self, plain: RoleList, marled: RoleList) -> RoleList:
        """Candidates of both kinds in one list."""
        if not len(marled.order):
            return plain
        choices = joined([pick(plain.choices, plain.order), pick(marled.choices, marled.order)])
        own = np.concatenate([plain.own[plain.order], marled.own[marled.order]])
        worth = np.concatenate([plain.worth, marled.worth], axis=1)
        reads = np.concatenate([plain.reads, marled.reads])
        return self._role(plain.role, choices, own, worth, reads)


def _few_first(roles: list[RoleList]) -> list[RoleList]:
    """A role that few can fill decides early."""
    return sorted(roles, key=lambda one: (len(one.order), one.role))


def _few_pools_first(roles: list[RoleList]) -> list[RoleList]:
    """The same where pools are held together: few pools make many threads, and all of these lack the same."""
    return sorted(roles, key=lambda one: (one.pools, len(one.order), one.role))


def _kin_before(roles: Sequence[RoleList]) -> Iterator[int]:
    """How many of the roles before each hold any that could belong together with another."""
    before = 0
    for one in roles:
        yield before
        before += bool((one.choices.kindred[one.order] > 0).any())

"""The best lots for an accessory: an exact search with bounds, on arrays.

Roles are filled one after the other. The score of what is filled, plus the most that the rest could add, is
never below the true score of any completion; whatever cannot beat what is already found is left out. The
contrast part saturates, so that in most bins the first few tries reach the bound and the search ends.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from dataclasses import field as dataclass_field
from functools import cached_property
from heapq import heappop, heappush

import numpy as np
import numpy.typing as npt

from matcher.matching.blocks import Block, most_of_all
from matcher.matching.choices import STRANDS, Choices, joined, marls, pick
from matcher.matching.contrast import DECIDED
from matcher.matching.score import leftover_value, total, use_value
from matcher.matching.searcher import DENSE, Searcher
from matcher.matching.variants import Variant
from matcher.materials.uncertain import chance_given_tension, tension_grid

Floats = npt.NDArray[np.float64]
Indexes = npt.NDArray[np.intp]

# Sums taken in another order differ in the last places; a bound that is within this of the best is no gain.
SLACK = 1e-12
# Scores that agree to nine places count as equal; the name decides between them.
TIE = 2e-9
# The steps of a job: a quick bound, a closer one, then the search itself.
QUICK, CLOSER, SEARCH = 0, 1, 2
_FIRST_PORTION = 64
_FIRSTS = 12

Thread = tuple[tuple[int, int], ...]  # (pool, strands of it), pools in rising order


@dataclass(frozen=True)
class Found:
    """One complete assignment: a thread for each role to fill, and the parts of its score."""

    score: float
    parts: dict[str, float]
    sure: float
    variant: Variant
    threads: tuple[Thread, ...]


@dataclass
class Best:
    """The best few assignments of one accessory so far; with `any_will_do` the first one ends the search."""

    each: int
    field: Field
    any_will_do: bool = False
    found: list[Found] = dataclass_field(default_factory=list)

    @property
    def bar(self) -> float:
        """What a new one must beat to count: the last of its own accessory's, and the last of the whole list."""
        if len(self.found) < self.each:
            return self.field.bar
        return np.inf if self.any_will_do else max(self.found[-1].score + SLACK, self.field.bar)

    def offer(self, new: Found) -> None:
        """Take it in if it is among the best and not there yet; of equals the earlier stays."""
        mark = (new.variant.size, new.variant.gauge, new.threads)
        if new.score > self.bar and all(mark != (o.variant.size, o.variant.gauge, o.threads) for o in self.found):
            self.found = sorted([*self.found, new], key=lambda one: -one.score)[: self.each]
            self.field.settle()


@dataclass
class Field:
    """All accessories that are searched at once; `top` of their assignments are wanted (None: all)."""

    top: int | None = None
    each: dict[str, Best] = dataclass_field(default_factory=dict)
    bar: float = -np.inf

    def settle(self) -> None:
        """Raise the bar to the last of the list, less what may be settled by name between equals."""
        if self.top is not None:
            scores = sorted((one.score for best in self.each.values() for one in best.found), reverse=True)
            if len(scores) >= self.top:
                self.bar = scores[self.top - 1] - TIE


def search(
    searcher: Searcher, variants: Sequence[Variant], least: float, each: int = 1, any_will_do: bool = False
) -> list[Found]:
    """The true best `each` assignments over all variants of one accessory, best first.

    Parameters
    ----------
    least : the reading that roles which touch must reach, see `contrast`.
    any_will_do : stop at the first assignment found; it only tells that there is one.
    """
    found, _ = search_all(searcher, {"": variants}, {"": least}, each, None, any_will_do)
    return found


def search_all(
    searcher: Searcher,
    variants: Mapping[str, Sequence[Variant]],
    least: Mapping[str, float],
    each: int = 1,
    top: int | None = None,
    any_will_do: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[list[Found], frozenset[str]]:
    """The true best `each` assignments of every accessory, of all these the first `top`; ties by name.

    Returns
    -------
    found : best first.
    open : keys of accessories that could not reach the list and were not looked into further.
    """
    field = Field(top)
    jobs: list[tuple[float, int, _Job]] = []
    for key, several in variants.items():
        field.each[key] = Best(each, field, any_will_do)
        by_gauge: dict[float, list[Variant]] = {}
        for variant in several:
            by_gauge.setdefault(variant.gauge.stitches_10cm, []).append(variant)
        for of_gauge in by_gauge.values():
            lazy = _LazyBlock(searcher, of_gauge, least[key])
            for with_marls in (False, True) if searcher.most_strands > 1 else (False,):
                heappush(jobs, (-most_of_all(searcher, of_gauge[0]), len(jobs), _Job(key, lazy, with_marls)))
    open_: set[str] = set()
    number = len(jobs)
    while jobs:
        if progress:
            progress(number - len(jobs), number)
        bound, turn, job = heappop(jobs)
        best = field.each[job.key]
        if -bound <= best.bar:
            open_.add(job.key)
            continue
        if job.step == SEARCH and field.bar > -np.inf:
            open_.add(job.key)  # what fails under a bar may still be possible
        job.work(best)
        if job.most > -np.inf:
            heappush(jobs, (-job.most, turn, job))
    found = [one for best in field.each.values() for one in best.found]
    found.sort(key=lambda one: (-round(one.score, 9), one.variant.accessory.name))
    return found[:top], frozenset(open_ - {key for key, best in field.each.items() if best.found})


class _LazyBlock:
    """A block that is made when it is first needed."""

    def __init__(self, searcher: Searcher, variants: Sequence[Variant], least: float) -> None:
        self._what = (searcher, variants, least)

    @cached_property
    def block(self) -> Block:
        return Block(*self._what)


class _Job:
    """The variants of one block, single or with marls: bounded ever more closely, then searched one by one."""

    def __init__(self, key: str, lazy: _LazyBlock, with_marls: bool) -> None:
        self.key, self.lazy, self.with_marls = key, lazy, with_marls
        self.step = 0
        self.bounds: Floats = np.zeros(0)
        self.most = np.inf

    def work(self, best: Best) -> None:
        """Do the next step: a closer bound, or the search of the variant that promises most."""
        block = self.lazy.block
        if self.step == QUICK:
            self.bounds = block.quick_bounds_with_marls() if self.with_marls else block.quick_bounds()
        elif self.step == CLOSER:
            closer = block.bounds_with_marls() if self.with_marls else block.bounds(best.bar, self.bounds)
            self.bounds = np.minimum(self.bounds, closer)
        else:
            size = int(self.bounds.argmax())
            Descent(block, size, best, self.with_marls).run()
            self.bounds[size] = -np.inf
        self.step = min(self.step + 1, SEARCH)
        self.most = float(self.bounds.max())


@dataclass(frozen=True)
class _Role:
    """Who could fill one role: places in `choices`, those first that could add most to the score.

    Along with `order` go the worth of each, the most its role could read, and `most`: what both could add.
    """

    role: int
    choices: Choices
    own: Floats
    order: Indexes
    worth: Floats
    reads: Floats
    most: Floats

    def only(self, which: npt.NDArray[np.bool_]) -> _Role:
        """The same with some of the candidates."""
        order, worth, reads, most = (one[which] for one in (self.order, self.worth, self.reads, self.most))
        return _Role(self.role, self.choices, self.own, order, worth, reads, most)

    @cached_property
    def top(self) -> float:
        """The worth of the worthiest."""
        return float(self.worth.max(initial=-np.inf))

    @cached_property
    def firsts(self) -> list[tuple[frozenset[int], float]]:
        """Pools and worth of the few candidates that are worth most."""
        best = np.argsort(-self.worth, kind="stable")[:_FIRSTS]
        strands = self.choices.strands[self.order[best]]
        return [(frozenset(pools.tolist()), float(self.worth[at])) for pools, at in zip(strands, best, strict=True)]


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

    def __init__(self, block: Block, size: int, best: Best, with_marls: bool) -> None:
        self.block, self.size, self.best = block, size, best
        self.searcher, self.variant = block.searcher, block.variants[size]
        self.with_marls = with_marls
        _, self.grid_weight = tension_grid()

    def run(self) -> None:
        """Search, and offer what beats the best so far."""
        block = self.block
        plain = [
            self._role(role, block.base, block.own, merit.worth[self.size], block.reads)
            for role, merit in enumerate(block.merits)
        ]
        if not self.with_marls:
            # A role that few can fill decides early.
            plain.sort(key=lambda one: (len(one.order), one.role))
            if len(block.base) > DENSE:
                plain = [self._with_partners(one, plain[place + 1 :]) for place, one in enumerate(plain)]
            self._with_wanted(plain, 1.0)
            return
        marled = [self._marled(role) for role in range(block.roles)]
        every = [self._joined(one, other) for one, other in zip(plain, marled, strict=True)]
        for role, one in enumerate(marled):
            others = sorted((*every[:role], *every[role + 1 :]), key=lambda one: (len(one.order), one.role))
            self._with_wanted([one, *others], self.searcher.rules.marl_factor)

    def _with_wanted(self, roles: list[_Role], together: float) -> None:
        """Search these lists; where pools are wanted, once for each role that could hold one."""
        wanted = self.searcher.wanted
        if wanted is None:
            self._descend(roles, together)
            return
        for place, role in enumerate(roles):
            has = np.isin(role.choices.strands[role.order], list(wanted)).any(axis=1)
            self._descend([*roles[:place], role.only(has), *roles[place + 1 :]], together)

    def _role(self, role: int, choices: Choices, own: Floats, worth: Floats, reads: Floats) -> _Role:
        block = self.block
        able = np.flatnonzero(np.isfinite(worth))
        reads = reads[able] if role in block.touching else np.full(len(able), block.contrast)
        most = worth[able] + self.searcher.w_contrast * reads
        order = np.argsort(-most, kind="stable")
        return _Role(role, choices, own, able[order], worth[able[order]], reads[order], most[order])

    def _with_partners(self, role: _Role, later: Sequence[_Role]) -> _Role:
        """A role's candidates in the order of what they, and partners in the roles filled later, could add."""
        block = self.block
        most = role.most
        for other in later:
            if (role.role, other.role) in block.edges or (other.role, role.role) in block.edges:
                partner = block.with_partner(other.role, np.array([self.size]))[0, role.order]
                most = np.minimum(most, role.worth + partner - other.top)
        order = np.argsort(-most, kind="stable")
        order = order[np.isfinite(most[order])]
        return replace(
            role, order=role.order[order], worth=role.worth[order], reads=role.reads[order], most=most[order]
        )

    def _marled(self, role: int) -> _Role:
        """The strands of different pools held together that could still beat the best."""
        block, searcher = self.block, self.searcher
        worth = block.as_strand[role][self.size]
        able = np.flatnonzero(np.isfinite(worth))
        rest = sum(float(top[self.size]) for other, top in enumerate(block.tops) if other != role)
        rest += searcher.w_sure + searcher.w_together * searcher.rules.marl_factor
        least = self.best.bar - rest - SLACK
        made = marls(searcher.stock, block.thin[able], worth[able], least, block.window, searcher.rules)
        own = searcher.own_together(made, block.next_to_skin)
        return self._role(role, made, own, block.threads(role, made).worth[self.size], block.limit(made))

    def _joined(self, plain: _Role, marled: _Role) -> _Role:
        """Candidates of both kinds in one list."""
        if not len(marled.order):
            return plain
        choices = joined([pick(plain.choices, plain.order), pick(marled.choices, marled.order)])
        own = np.concatenate([plain.own[plain.order], marled.own[marled.order]])
        worth, reads = np.concatenate([plain.worth, marled.worth]), np.concatenate([plain.reads, marled.reads])
        return self._role(plain.role, choices, own, worth, reads)

    def _descend(self, roles: list[_Role], together: float) -> None:
        """Fill the roles in this order."""
        if not all(len(role.order) for role in roles):
            return
        self.lists = roles
        self.tops = [sum(one.top for one in roles[depth + 1 :]) for depth in range(len(roles))]
        edges = {frozenset(edge) for edge in self.block.edges}
        self.touching = [
            [before for before in range(depth) if frozenset((roles[before].role, role.role)) in edges]
            for depth, role in enumerate(roles)
        ]
        same = all(role.choices is self.block.base for role in roles)
        dense = same and len(self.block.base) <= DENSE
        self.table = self.searcher.table(self.block.base, self.block.next_to_skin) if dense else None
        self.ordered = [self.table.columns(role.order) for role in roles] if self.table is not None else None
        self._fill(_Partial((), 0.0, self._rest(0, ()), self.block.contrast, together, np.ones(len(self.grid_weight))))

    def _fill(self, filled: _Partial) -> None:
        """Try the candidates of the next role, most worth first, in growing portions."""
        depth, searcher = len(filled.taken), self.searcher
        role = self.lists[depth]
        certain = searcher.w_sure * float(filled.chance @ self.grid_weight) + filled.worth
        above = certain + filled.rest
        start, portion = 0, _FIRST_PORTION
        while start < len(role.order):
            # What they could add falls along the list: past the first that cannot beat the bar, none can.
            gap = certain + self.tops[depth] + searcher.w_together * filled.together - self.best.bar
            stop = min(start + portion, int(np.searchsorted(-role.most, gap, side="left")))
            if stop <= start:
                return
            at, worth = role.order[start:stop], role.worth[start:stop]
            reads = np.minimum(role.reads[start:stop], filled.contrast)
            start, portion = stop, portion * 4
            beside = np.minimum(role.own[at], filled.together)
            keep = np.ones(len(at), dtype=bool)
            for before, place in enumerate(filled.taken):
                apart, goes = self._beside(before, place, depth, at)
                keep &= apart & (goes > 0)
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
                    reads = np.minimum(reads, searcher.reads(one, filled.taken[before], many, at))
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

    def _ahead(self, depth: int, taken: tuple[int, ...], contrast: float) -> float:
        """The most that the roles after `depth` could add, given who is taken; what contrast they cost is taken off."""
        if self.ordered is None:
            return self._rest(depth, taken)
        added, cost, w_contrast = 0.0, 0.0, self.searcher.w_contrast
        places = list(taken)
        for later in range(depth + 1, len(self.lists)):
            role, table = self.lists[later], self.ordered[later]
            able = table.apart[places].all(axis=0) & (table.beside[places] > 0).all(axis=0)
            touching = [taken[before] for before in self.touching[later] if before <= depth]
            reads = np.minimum(table.hopes[touching].min(axis=0), contrast) if touching else None
            if reads is not None:
                able &= reads >= self.block.least
            if not able.any():
                return -np.inf
            worth = role.worth[able]
            top = float(worth.max())
            added += top
            if reads is not None:
                most = float((worth + w_contrast * reads[able]).max())
                cost = max(cost, top + w_contrast * contrast - most)
        return added - cost

    def _beside(self, before: int, place: int, depth: int, at: Indexes) -> tuple[npt.NDArray[np.bool_], Floats]:
        if self.table is not None:
            return self.table.apart[place, at], self.table.beside[place, at]
        one, many = self.lists[before].choices, self.lists[depth].choices
        return self.searcher.apart(one, place, many, at), self.searcher.beside(one, place, many, at)

    def _hopes(self, before: int, place: int, depth: int, at: Indexes) -> Floats:
        if self.table is not None:
            return self.table.hopes[place, at]
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
        for place in np.argsort(-bound, kind="stable"):
            if bound[place] <= self.best.bar or bound[place] == -np.inf:
                return
            taken = (*filled.taken, int(at[place]))
            if depth + 1 == len(self.lists):
                self.best.offer(self._found(taken))
            elif bound[place] - filled.rest + self._ahead(depth, taken, float(reads[place])) > self.best.bar:
                rest = self._rest(depth + 1, taken)
                self._fill(
                    _Partial(
                        taken, float(worth[place]), rest, float(reads[place]), float(beside[place]), chances[place]
                    )
                )

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
                stock.free_m[pools] - self.variant.length_m[role.role] * times,
                self.variant.shared_sd_m[role.role] * times,
                np.hypot(stock.sd_m[pools], self.variant.own_sd_m[role.role] * times),
            )
            one[times == 0] = 1.0
            chance = one if chance is None else chance * one
        assert chance is not None
        return chance

    def _found(self, taken: tuple[int, ...]) -> Found:
        """The assignment scored afresh, in the accessory's order of roles, so that no path changes a digit."""
        by_role = sorted(zip(self.lists, taken, strict=True), key=lambda one: one[0].role)
        choices = joined([pick(role.choices, np.array([place])) for role, place in by_role])
        return evaluate(self.block, self.size, choices)


def evaluate(block: Block, size: int, choices: Choices) -> Found:
    """Score one assignment: `choices` holds one thread for each role to fill, in order."""
    searcher, variant, stock = block.searcher, block.variants[size], block.searcher.stock
    every = np.arange(len(choices))
    reads = [float(searcher.reads(choices, a, choices, every[b : b + 1])[0]) for a, b in block.edges]
    beside = [float(one) for one in searcher.own_together(choices, block.next_to_skin)]
    beside += [
        float(searcher.beside(choices, a, choices, every[b : b + 1])[0]) for b in range(len(every)) for a in range(b)
    ]
    threads, use, leftover = [], 0.0, 0.0
    spare, shared, private = [], [], []
    for role in range(len(choices)):
        strands = sorted(
            (int(pool), int(n)) for pool, n in zip(choices.strands[role], choices.count[role], strict=True) if n > 0
        )
        threads.append(tuple(strands))
        number = sum(n for _, n in strands)
        for pool, n in strands:
            taken = n * variant.length_m[role]
            left = stock.free_m[pool] - taken
            spare.append(left)
            shared.append(n * variant.shared_sd_m[role])
            private.append(float(np.hypot(stock.sd_m[pool], n * variant.own_sd_m[role])))
            part = float(variant.weight[role]) * n / number
            use += part * float(use_value(taken, stock.free_m[pool], searcher.scarcity[pool]))
            leftover += part * float(leftover_value(np.maximum(left, 0.0), searcher.usable_m[pool]))
    chance = np.prod(chance_given_tension(np.array(spare), np.array(shared), np.array(private)), axis=0)
    sure = float(chance @ tension_grid()[1])
    parts = {
        "sure": sure,
        "contrast": min(reads) if reads else searcher.ranking.one_colour_contrast,
        "together": min(beside),
        "use": use,
        "leftover": leftover,
    }
    score = total(parts, searcher.ranking)
    if searcher.near:
        one_each = [pick(choices, np.array([role])) for role in range(len(choices))]
        worth = sum(float(block.threads(role, one).worth[size, 0]) for role, one in enumerate(one_each))
        score = searcher.w_contrast * parts["contrast"] + searcher.w_together * parts["together"] + worth
    return Found(score, parts, sure, variant, tuple(threads))

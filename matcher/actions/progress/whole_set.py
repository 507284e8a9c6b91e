"""How sure it is that the yarn lasts for all that is still to be knitted of a set, however far each of its works is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from matcher.actions.desk import Shelf
from matcher.actions.learning.history import history_in
from matcher.actions.pattern.fitting import needs_of_recipe
from matcher.actions.progress.lasting import strands_last, without
from matcher.actions.progress.piece import needles_of
from matcher.errors import BadInput
from matcher.knitting.calibration import calibrated
from matcher.matching.pools import pool_of
from matcher.matching.sets.chance import Lengths, chance_of_set
from matcher.matching.sets.column import Takes
from matcher.materials.estimate import Estimate
from matcher.materials.reading.names import fold
from matcher.materials.uncertain import log_sd
from matcher.reasons.quantities import Chance
from matcher.reasons.reason import Words, counted, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.rows import Rows
from matcher.store.recipes import NoRecipe, Strand, parse_recipe

_LEAST_M = 1e-9  # a length of nothing has no logarithm


@dataclass(frozen=True)
class SetLasts:
    """works: how many things of the set are on the needles, of: how many were begun; sure: the chance that the yarn
    lasts for all that are."""

    works: int
    of: int
    sure: float

    @property
    def words(self) -> Words:
        """Such as "All 4 things of its set: 93 in 100 sure that the yarn lasts."."""
        if not self.works:
            return reason("Nothing of its set is on the needles any more.")
        if self.works == self.of:
            things: Words = counted(self.of, "The {n} thing of its set", "All {n} things of its set")
        else:
            one = "The {n} thing of its set that is still on the needles"
            things = counted(self.works, one, "The {n} things of its set that are still on the needles")
        return reason("{things}: {sure} sure that the yarn lasts.", things=things, sure=Chance(self.sure))

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON."""
        return {"works": self.works, "of": self.of, "sure": round(self.sure, 4)}


@dataclass(frozen=True)
class _Draws:
    """What one strand still draws [m], all its threads together, and its errors on the logarithm."""

    strand: Strand
    metres: float
    shared_sd: float
    own_sd: float


def set_lasts(store: Rows, of_set: int, catalogue: Catalogue) -> SetLasts | None:
    """How the set of that number stands; None for 0, and where a pattern is no longer known.

    What is still to be knitted of each work draws on what is on hand now, less what is kept to mend and what works
    besides have claimed: all lots that count as one with those that were planned, as when it was planned. Her tension
    is shared by all.
    """
    if not of_set:
        return None
    every = store.select("SELECT * FROM works WHERE of_set = ? ORDER BY id", of_set)
    begun = [row for row in every if row["state"] == "begun"]
    claims = [one for row in begun for one in store.select("SELECT * FROM claims WHERE work = ?", row["id"])]
    bin_ = bin_of_rows(store, catalogue)
    try:
        draws = [list(_draws(store, row, catalogue)) for row in begun]
    except (BadInput, NoRecipe, KeyError):
        return None
    sure = _chance(draws, without(bin_, claims, catalogue), catalogue)
    return SetLasts(len(begun), len(every), sure)


def _draws(store: Rows, row: Mapping[str, Any], catalogue: Catalogue) -> Iterator[_Draws]:
    """What each strand of a work draws from now on."""
    if row["stage"]:
        piece = needles_of(store, row, catalogue)
        own = store.select("SELECT * FROM claims WHERE work = ?", row["id"])
        shelf = without(bin_of_rows(store, catalogue), own, catalogue)
        errors = {need.role: (need.shared_sd, need.own_sd) for need in piece.needs}
        for one in strands_last(store, piece, piece.stage, shelf, catalogue).strands:
            shared, alone = errors[one.role]
            left, count = one.lasting, one.strand.count
            yield _Draws(one.strand, count * left.ahead_m, left.narrowed * shared, left.narrowed * alone)
        return
    # Nothing of it is knitted: no pattern is needed, which takes longer.
    recipe = parse_recipe(row["recipe"])
    entry = catalogue.accessories[recipe.accessory]
    plain = needs_of_recipe(recipe, entry, catalogue)
    learnt = history_in(store, catalogue).learnt
    for need in calibrated(plain, entry, learnt, from_swatch=recipe.gauge.from_swatch_rows):
        for strand in recipe.roles.get(need.role, ()):
            yield _Draws(strand, strand.count * need.length_m, need.shared_sd, need.own_sd)


def _chance(works: Sequence[Sequence[_Draws]], shelf: Shelf, catalogue: Catalogue) -> float:
    """The chance that what is free suffices for all of them, 0 to 1."""
    pots, place = _pots([one.strand for work in works for one in work], shelf, catalogue)
    takes = []
    for work in works:
        drawn = [one for one in work if one.metres > 0]
        if drawn:
            takes.append(
                Takes(
                    np.array([place[fold(one.strand.lots[0])] for one in drawn], dtype=np.intp),
                    np.array([one.metres for one in drawn]),
                    np.array([one.shared_sd for one in drawn]),
                    np.array([one.own_sd for one in drawn]),
                )
            )
    if not takes:
        return 1.0
    mean = np.array([max(pot.mean, _LEAST_M) for pot in pots])
    return chance_of_set(Lengths(mean, log_sd(mean, np.array([pot.sd for pot in pots]))), takes)


def _pots(strands: Sequence[Strand], shelf: Shelf, catalogue: Catalogue) -> tuple[list[Estimate], dict[str, int]]:
    """Metres that strands draw on, and the place among them of each lot, by folded name.

    A strand draws on the pools of all its lots; what has one in common is one. A lot that is gone holds nothing.
    """
    pool_of_lot = {fold(lot.name): number for number, pool in enumerate(shelf.pools) for lot in pool.lots}
    groups: list[tuple[set[str], set[int]]] = []
    for strand in strands:
        names = {fold(name) for name in strand.lots}
        pools = {pool_of_lot[name] for name in names if name in pool_of_lot}
        apart = []
        for other_names, other_pools in groups:
            if names & other_names or pools & other_pools:
                names, pools = names | other_names, pools | other_pools
            else:
                apart.append((other_names, other_pools))
        groups = [*apart, (names, pools)]
    pots = []
    for _, numbers in groups:
        pools_here = [shelf.pools[number] for number in sorted(numbers)]
        lots = [lot for pool in pools_here for lot in pool.lots]
        if len(pools_here) == 1:
            pots.append(pools_here[0].free)
        else:
            pots.append(pool_of(lots, shelf.free, catalogue.fabric.tail_m).free if lots else Estimate(0.0, 0.0))
    return pots, {name: place for place, (names, _) in enumerate(groups) for name in names}

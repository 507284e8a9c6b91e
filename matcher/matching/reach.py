"""How far a length of yarn goes in the catalogue: the least that anything takes of it, and the most it could do."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from matcher.knitting.fabric import FabricConstants, Gauge, tex_range
from matcher.matching.variants import Variant
from matcher.materials.uncertain import log_sd
from matcher.reasons.reason import Term, Words, listed, reason

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Task:
    """One role of one variant: what a length of yarn could do. whole: nothing else is needed for it."""

    accessory: str
    size: str
    role: str
    length_m: float
    whole: bool

    @property
    def words(self) -> Words:
        """Such as "a ribbed hat, adult medium" or "contrast 1 of a striped hat, child"."""
        thing = listed((self.accessory, Term(self.size))) if self.size else self.accessory
        return thing if self.whole else reason("{role} of {thing}", role=Term(self.role), thing=thing)


@dataclass(frozen=True)
class Reach:
    """What each length could do, in the order given.

    least: the smallest role at any gauge that suits the yarn as a whole thread or as one strand; enough: whether the
    length suffices for it; most: the largest thing of one colour that the yarn by itself suffices for, else the
    largest role. None where there is none.
    """

    least: tuple[Task | None, ...]
    enough: tuple[bool, ...]
    most: tuple[Task | None, ...]


def reach_of(
    free_m: Iterable[float],
    sd_m: Iterable[float],
    tex: Iterable[float],
    variants: Mapping[str, Sequence[Variant]],
    constants: FabricConstants,
    least_z: float,
    not_named: Container[str] = (),
) -> Reach:
    """How far each length goes.

    Parameters
    ----------
    free_m, sd_m, tex : of n lengths of yarn: metres, their standard deviation, and grams in 1000 m.
    variants : of every accessory, by its key.
    least_z : how many standard deviations must be to spare.
    not_named : sizes that are no example of what could be done.
    """
    free, sd, thick = (np.asarray(list(one), dtype=float) for one in (free_m, sd_m, tex))
    number = len(free)
    gauges: dict[Gauge, list[Variant]] = {}
    for several in variants.values():
        for variant in several:
            gauges.setdefault(variant.gauge, []).append(variant)
    tasks: list[Task] = []
    # For each length the best so far: its metres, and its place among the tasks.
    least_m, least = np.full(number, np.inf), np.full(number, -1)
    enough = np.zeros(number, dtype=bool)
    whole_m, whole = np.full(number, -np.inf), np.full(number, -1)
    part_m, part = np.full(number, -np.inf), np.full(number, -1)
    for gauge in sorted(gauges, key=lambda one: (one.stitches_10cm, one.firmness)):
        here = gauges[gauge]
        low, high = tex_range(gauge, constants)
        spread = max(float(np.max(np.hypot(variant.shared_sd, variant.own_sd))) for variant in here)
        reached = _suffices_for(free, sd, spread, least_z)
        smallest = min((task for variant in here for task in _tasks(variant)), key=_order)
        # A thin yarn can be one strand of a thicker thread, and then takes as many metres.
        suits = thick <= high
        enough |= suits & (reached >= smallest.length_m)
        smaller = suits & (smallest.length_m < least_m)
        least_m[smaller], least[smaller] = smallest.length_m, len(tasks)
        tasks.append(smallest)
        alone = (thick >= low) & suits
        named = [variant for variant in here if variant.size not in not_named]
        for wanted, best_m, best in ((True, whole_m, whole), (False, part_m, part)):
            ladder = sorted((task for variant in named for task in _tasks(variant) if task.whole == wanted), key=_order)
            if not ladder:
                continue
            lengths = np.array([task.length_m for task in ladder])
            start = len(tasks)
            tasks += ladder
            step = np.searchsorted(lengths, reached, side="right") - 1
            better = alone & (step >= 0) & (lengths[step] > best_m)
            best_m[better], best[better] = lengths[step][better], start + step[better]
    best = np.where(whole >= 0, whole, part)
    return Reach(
        tuple(tasks[place] if place >= 0 else None for place in least.tolist()),
        tuple(enough.tolist()),
        tuple(tasks[place] if place >= 0 else None for place in best.tolist()),
    )


def _tasks(variant: Variant) -> list[Task]:
    whole = len(variant.needs) == 1
    return [
        Task(variant.accessory.name, variant.size, need.role, float(need.length_m), whole) for need in variant.filled
    ]


def _order(task: Task) -> tuple[float, bool, str, str, str]:
    return task.length_m, task.whole, task.role, task.accessory, task.size


def _suffices_for(free: Floats, sd: Floats, spread: float, least_z: float) -> Floats:
    """The longest need that each length meets with the chance asked.

    spread: of the need, on the logarithm; log(free / need) = z * sqrt(log_sd^2 + spread^2), solved for the need.
    """
    return np.asarray(free * np.exp(-least_z * np.hypot(log_sd(free, sd), spread)))

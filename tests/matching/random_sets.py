"""Random sets of needs from random pools, just as sure as is asked: what every rule of the programme must let pass."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from scipy.special import ndtr

from matcher.matching.sets.chance import Lengths, chance_of_set
from matcher.matching.sets.column import Takes
from matcher.materials.uncertain import tension_grid


def pools(rng: np.random.Generator) -> Lengths:
    """Well-known lengths, guesses, and the last metres of a lot, of which hardly anything is known."""
    number = int(rng.integers(1, 9))
    log_sd = np.where(rng.random(number) < 0.6, rng.uniform(0.0, 0.1, number), rng.uniform(0.1, 0.4, number))
    log_sd = np.where(rng.random(number) < 0.1, rng.uniform(0.4, 2.8, number), log_sd)
    return Lengths(rng.uniform(8.0, 300.0, number), log_sd)


def thing(rng: np.random.Generator, lengths: Lengths, shared: tuple[float, float], own: float) -> Takes:
    """Something of up to four pools, each of which has enough for it in the middle."""
    roles = int(rng.integers(1, min(4, len(lengths.free_m)) + 1))
    pool = rng.permutation(len(lengths.free_m))[:roles]
    metres = lengths.free_m[pool] * rng.uniform(0.02, 0.6, roles)
    return Takes(pool, metres, rng.uniform(*shared, roles), own * rng.uniform(0.3, 1.0, roles))


def sets(rng: np.random.Generator, number: int, sure: float) -> tuple[Lengths, list[list[Takes]]]:
    """Pools, and so many sets of one to seven things of them, as sure together as is asked, or hardly surer."""
    lengths = pools(rng)
    shared = (0.18, 0.25) if rng.random() < 0.7 else (0.05, 0.5)
    own = 0.03 if rng.random() < 0.7 else float(rng.uniform(0.001, 0.2))
    made = []
    for _ in range(number):
        things = [thing(rng, lengths, shared, own) for _ in range(int(rng.integers(1, 8)))]
        scaled = times(things, largest(lengths, things, sure))
        if chance_of_set(lengths, scaled) >= sure:
            made.append(scaled)
    return lengths, made


def times(things: list[Takes], logarithm: float) -> list[Takes]:
    """Things that take so many times as much, by its logarithm."""
    return [replace(one, metres=one.metres * math.exp(logarithm)) for one in things]


def largest(lengths: Lengths, things: list[Takes], sure: float) -> float:
    """The logarithm of how many times as much all of them may take, found by halving."""
    z, weight = tension_grid()
    mean, variance = np.zeros((2, len(lengths.free_m), len(z)))
    for one in things:
        needed = one.metres[:, None] * np.exp(one.shared_sd[:, None] * z + one.own_sd[:, None] ** 2 / 2)
        np.add.at(mean, one.pool, needed)
        np.add.at(variance, one.pool, needed**2 * np.expm1(one.own_sd[:, None] ** 2))
    used = mean[:, 0] > 0
    spread = np.log1p(variance[used] / mean[used] ** 2)
    spare = np.log(lengths.free_m[used, None] / mean[used]) + spread / 2
    doubt = np.maximum(np.sqrt(spread + lengths.log_sd[used, None] ** 2), 0.02)
    low, high = -12.0, 3.0
    for _ in range(24):
        middle = 0.5 * (low + high)
        enough = np.prod(ndtr((spare - middle) / doubt), axis=0) @ weight >= sure
        low, high = (middle, high) if enough else (low, middle)
    return low - 1e-5

"""The definitions that a score rests on, written once more and plainly, for the enumeration of all assignments.

How two colours read, which yarns go together, which lots count as one, what each role needs and how sure it is that all
suffices: nothing here uses the code that the search uses for the same. What is shared is what the catalogue says, how a
colour is seen (`as_seen`), what a reserve holds, and what a history makes likely; these have tests of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
from scipy.special import ndtr
from skimage.color import deltaE_ciede2000

from matcher.knitting.accessory import Accessory, Dimension, Zone
from matcher.knitting.calibration import Calibration
from matcher.knitting.fabric import Gauge, Window
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.vision import as_seen
from matcher.materials.lots import Lot
from matcher.materials.rules import ContrastRules, TogetherRules
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import Catalogue

LEAST_READING = {"quiet": 0.25, "readable": 0.5, "clear": 1.0}
# At a limit, what rounding leaves of a difference is forgiven.
_ROUNDING = 1e-5


# How two colours read -------------------------------------------------------------------------------------


def reading(a: Colour, b: Colour, catalogue: Catalogue) -> float:
    """The worst of the sights that decide of each stitch beside each; of these what all reach but the share that may vanish."""
    eyes = catalogue.contrast.eyes
    seen_a, seen_b = (as_seen(np.array([lab for lab, _ in one.stitches()]), catalogue.vision, eyes) for one in (a, b))
    delta_e = deltaE_ciede2000(seen_a[:, :, None], seen_b[:, None])
    delta_l = abs(seen_a[:, :, None, 0] - seen_b[:, None, :, 0])
    each: list[tuple[float, float]] = []
    for i, (_, share_a) in enumerate(a.stitches()):
        for j, (_, share_b) in enumerate(b.stitches()):
            sights = zip(delta_e[:, i, j], delta_l[:, i, j], strict=True)
            each.append((min(_in_one_sight(*apart, catalogue.contrast) for apart in sights), share_a * share_b))
    vanish = catalogue.contrast.vanish_share + 1e-9
    return max(value for value, _ in each if sum(share for other, share in each if other < value) <= vanish)


def _in_one_sight(delta_e: float, delta_l: float, rules: ContrastRules) -> float:
    delta_l = float(delta_l)
    light = delta_l + _ROUNDING
    if light >= rules.clear_delta_l:
        return 1.0
    if light >= rules.readable_delta_l:
        return 0.5 + 0.5 * (light - rules.readable_delta_l) / (rules.clear_delta_l - rules.readable_delta_l)
    if delta_e + _ROUNDING >= rules.readable_delta_e and light >= rules.readable_delta_e_min_delta_l:
        return 0.5
    if delta_e + _ROUNDING >= rules.readable_hue_delta_e:
        return 0.5
    if delta_e + _ROUNDING >= rules.quiet_delta_e:
        return 0.25 + 0.25 * min(1.0, delta_l / rules.readable_delta_l)
    return 0.25 * float(delta_e) / rules.quiet_delta_e


# Which yarns go together ----------------------------------------------------------------------------------


def beside(a: Yarn, b: Yarn, rules: TogetherRules) -> float:
    """The factor of shrinking, stretch and halo: each that warns costs."""
    # None may felt, and costs beside what surely does not. What may go into the machine does not, whatever it is.
    felting = [
        False if one.wash == "machine" else one.blend.felting_share >= rules.felting_share if one.blend.known else None
        for one in (a, b)
    ]
    warnings = int(False in felting and felting[0] is not felting[1])
    if a.blend.known and b.blend.known:
        for name in ("inelastic_share", "halo_share"):
            limit = getattr(rules, name)
            warnings += (getattr(a.blend, name) >= limit) != (getattr(b.blend, name) >= limit)
    return rules.warn_factor**warnings


def on_skin(yarn: Yarn, rules: TogetherRules) -> float:
    """The factor of a yarn that lies on the skin: an unknown fibre warns."""
    return 1.0 if yarn.blend.known else rules.warn_factor


def thickness(tex: float, other: float, rules: TogetherRules) -> float:
    """The factor of two threads in one fabric; 0 where they are too unlike."""
    ratio = max(tex, other) / min(tex, other)
    if ratio > rules.tex_ratio_blocks:
        return 0.0
    return 1.0 if ratio <= rules.tex_ratio_fits else rules.warn_factor


# Which lots count as one ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class Together:
    """Lots that count as one, under the first of their names, with the metres of all that no reserve holds."""

    name: str
    lots: tuple[Lot, ...]
    free: Estimate

    @property
    def yarn(self) -> Yarn:
        return self.lots[0].yarn

    @property
    def colour(self) -> Colour:
        return self.lots[0].colour


def together(lots: Iterable[Lot], free: Mapping[str, Estimate], tail_m: float) -> list[Together]:
    """Every lot put to the first that it is one with."""
    groups: list[list[Lot]] = []
    for lot in sorted(lots, key=lambda lot: lot.name):
        group = next((group for group in groups if _one(group[0], lot)), None)
        if group is None:
            groups.append([lot])
        else:
            group.append(lot)
    return [
        Together(group[0].name, tuple(group), _joined([free[lot.name] for lot in group], tail_m)) for group in groups
    ]


def _one(a: Lot, b: Lot) -> bool:
    """One yarn, colour and dye lot; where the yarn has no name or no dye lot is known, of one garment too."""
    names = [lot.yarn.name.casefold().strip() for lot in (a, b)]
    baths = [lot.dye_lot.casefold().strip() for lot in (a, b)]
    alike = names[0] == names[1] and baths[0] == baths[1] and a.colour == b.colour
    alike &= abs(a.yarn.tex.mean - b.yarn.tex.mean) < 0.001 and (a.yarn.blend, a.yarn.wash) == (
        b.yarn.blend,
        b.yarn.wash,
    )
    return alike and (bool(names[0] and baths[0]) or a.garment == b.garment != "")


def _joined(free: Sequence[Estimate], tail_m: float) -> Estimate:
    """The longest, and each other without the two tails of its join, as far as it is then still there.

    They share one label, so errors add up, each by the part of the lot that is used; but a lot more makes nothing less
    sure, since nobody has to join it on: its error is at most its metres by 3.1, the deviate of 0.999.
    """
    longest, *others = sorted(free, key=lambda one: -one.mean)
    mean, sd = max(0.0, longest.mean), longest.sd if longest.mean > 0 else 0.0
    for one in others:
        left = max(0.0, one.mean - 2 * tail_m)
        mean += left
        sd += min(one.sd * left / one.mean, left / 3.1) if left else 0.0
    return Estimate(mean, sd)


# What each role needs -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Need:
    """Metres of one role, and two errors: one that all roles share, one of its own."""

    role: str
    length_m: float
    shared_sd_m: float
    own_sd_m: float


def suits(tex: float, gauge: Gauge, catalogue: Catalogue) -> bool:
    """Whether a thread of this tex is usual at a gauge: in the window of the class whose stitches in 4 in are nearest."""
    asked = gauge.stitches_10cm / gauge.firmness * 1.016

    def off(window: Window) -> tuple[float, float]:
        low, high = window.weight.gauge_min_4in, window.weight.gauge_max_4in
        return round(max(low - asked, asked - high, 0.0), 9), abs((low + high) / 2 - asked)

    nearest = min(catalogue.fabric.windows, key=off)
    return nearest.loosest <= math.sqrt(tex) / (gauge.firmness * gauge.loop_cm) <= nearest.tightest


def needs(
    accessory: Accessory, size: str, gauge: Gauge, catalogue: Catalogue, history: Calibration | None = None
) -> list[Need]:
    """Stitches by the yarn in each, floats behind them, cast-on and bind-off, two tails for each part of a role."""
    fabric = catalogue.fabric
    metres = {role.name: dict[str, float]() for role in accessory.roles}  # of each structure
    extra = dict.fromkeys(metres, 0.0)
    for zone in accessory.zones:
        loop = gauge.loop_cm * fabric.structures[zone.structure].loop / 100.0
        first, last, stitches = _stitches(zone, size, gauge, catalogue)
        shares = _shares(zone, catalogue)
        for role, (own, passed) in shares.items():
            taken = stitches * own * loop + stitches * passed * gauge.loop_cm / fabric.Kw / 100.0
            metres[role][zone.structure] = metres[role].get(zone.structure, 0.0) + taken
            extra[role] += 2.0 * zone.count * fabric.tail_m
        begins = next(iter(shares))
        if zone is accessory.zones[0]:
            extra[begins] += fabric.edge_rounds * first * zone.count * loop
        if zone is accessory.zones[-1]:
            extra[begins] += fabric.edge_rounds * last * zone.count * loop
    found = []
    for role in accessory.roles:
        length = sum(metres[role.name].values()) + extra[role.name]
        mainly = min(metres[role.name], key=lambda name: (-metres[role.name][name], name), default="stocking")
        bias = fabric.bias_sd_stranded if mainly == "stranded" else fabric.bias_sd
        spread = math.hypot(fabric.gauge_sd_no_swatch, bias)
        if history is not None and history.seen:
            told, prior = history.effect(mainly, accessory.key), history.prior
            length *= math.exp(told.mean)
            unlearnt = spread**2 - prior.knitter_sd**2 - prior.structure_sd**2 - bias**2 - prior.entry_sd**2
            spread = math.sqrt(max(0.0, unlearnt) + told.sd**2)
        if not role.bring:
            found.append(Need(role.name, length, spread * length, fabric.share_sd * length))
    return found


def _stitches(zone: Zone, size: str, gauge: Gauge, catalogue: Catalogue) -> tuple[int, int, int]:
    """Stitches of the first round, of the last, and of all rounds and pieces, which shrink or grow evenly."""
    fabric, structure = catalogue.fabric, catalogue.fabric.structures[zone.structure]

    def whole(length: Dimension | None, in_10cm: float) -> int:
        assert length is not None
        body = 0.0 if length.of is None else catalogue.sizes.table[size][length.of]
        eased = body * length.times * (1.0 + length.ease_percent / 100.0) + length.ease_cm
        return max(1, round((eased if length.cm is None else length.cm) * in_10cm / 10.0))

    across = gauge.stitches_10cm * structure.wales
    upwards = gauge.rows_10cm if structure.rows_per_stitch is None else across * structure.rows_per_stitch
    first = zone.stitches if zone.stitches is not None else whole(zone.around, across)
    rows = zone.rows if zone.rows is not None else whole(zone.height, upwards)
    last = first
    if zone.shape == "crown":
        last = min(first, round(fabric.crown_end_stitches))
    elif zone.shape == "frustum":
        last = whole(zone.around_end, across)
    elif zone.shape == "triangle":
        first, last = min(first, round(fabric.triangle_end_stitches)), first
    return first, last, round(zone.count * rows * (first + last) / 2)


def _shares(zone: Zone, catalogue: Catalogue) -> dict[str, tuple[float, float]]:
    """For each role of a zone, the stitches that it knits and those that it passes behind, for one of the zone's."""
    if zone.motif is None:
        assert zone.role is not None
        return {zone.role: (1.0, 0.0)}
    motif = catalogue.motifs[zone.motif]
    rows = [[motif.roles[mark] for mark in row] for row in motif.grid]
    every = len(rows) * len(rows[0])
    return {
        role: (
            sum(row.count(role) for row in rows) / every,
            sum(len(row) - row.count(role) for row in rows if role in row) / every,
        )
        for role in motif.roles.values()
    }


def touching(accessory: Accessory, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Roles that lie beside or above each other in a motif of the accessory; a motif is repeated all around and up."""
    pairs: set[frozenset[str]] = set()
    for motif in (catalogue.motifs[zone.motif] for zone in accessory.zones if zone.motif):
        for row, above in zip(motif.grid, (*motif.grid[1:], motif.grid[0]), strict=True):
            for mark, right, up in zip(row, row[1:] + row[0], above, strict=True):
                pairs |= {frozenset((motif.roles[mark], motif.roles[other])) for other in (right, up)}
    return [pair for pair in combinations([role.name for role in accessory.roles], 2) if frozenset(pair) in pairs]


# How sure it is that all suffices -------------------------------------------------------------------------


@lru_cache(maxsize=1)
def _tension() -> tuple[np.ndarray, np.ndarray]:
    z = np.linspace(-8.0, 8.0, 401)
    weight = np.exp(-0.5 * z * z)
    return z, weight / weight.sum()


def on_logarithm(free: Estimate) -> float:
    """The spread of a log-normal length whose lower edge, 1.645 standard deviations down, is that of a normal one.

    Where that edge would lie below 1 % of the mean, it lies there.
    """
    edge = max(1.0 - 1.645 * free.sd / free.mean, 0.01)
    return -math.log(edge) / 1.645


def sure(spare: Sequence[float], shared_sd: Sequence[float], own_sd: Sequence[float]) -> float:
    """The chance that every length spares something: given her tension each by itself, over all that it may be.

    All on the logarithm: spare is log(on hand / need).
    """
    z, weight = _tension()
    each = [ndtr((left - shared * z) / own) for left, shared, own in zip(spare, shared_sd, own_sd, strict=True)]
    return float(weight @ np.prod(each, axis=0))

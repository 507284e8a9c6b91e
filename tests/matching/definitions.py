"""The definitions that a score rests on, written once more and plainly, for the enumeration of all assignments.

How two colours read, which yarns go together, which lots count as one, what each role needs and how sure it is that all
suffices: nothing here uses the code that the search uses for the same. What is shared is what the catalogue says, how a
colour is seen (`as_seen`), what a reserve holds, what of a motif goes into so many rounds, in which rows a triangle
grows, and what a history makes likely; these have tests of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from statistics import NormalDist
from typing import Any

import numpy as np
from scipy.special import ndtr
from skimage.color import deltaE_ciede2000

from matcher.knitting.accessory import Accessory, Dimension, Zone
from matcher.knitting.calibration import Calibration
from matcher.knitting.construction import construction_of
from matcher.knitting.fabric import Gauge, Window
from matcher.knitting.motifs.parts import ground_of, shown
from matcher.knitting.shaping import by_round
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.distance import roles_of, view
from matcher.materials.colours.vision import as_seen
from matcher.materials.lots import Lot
from matcher.materials.rules import ContrastRules, TogetherRules
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import Catalogue

LEAST_READING = {"quiet": 0.25, "readable": 0.5, "clear": 1.0}
# At a limit, what rounding leaves of a difference is forgiven.
_ROUNDING = 1e-5


class _Same:
    """Stands for a table of the catalogue where what follows from it is kept: the same one, whatever else is cut away."""

    def __init__(self, table: Any) -> None:
        self.table = table

    def __hash__(self) -> int:
        return id(self.table)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.table is other.table


# How two colours read -------------------------------------------------------------------------------------


def kept_across_a_table(accessory: Accessory, gauge: Gauge, a: str, b: str, catalogue: Catalogue) -> float:
    """What two roles keep of a difference of hue: the channel and the motif in which they keep least."""
    kept = [1.0]
    for motif in (catalogue.motifs[zone.motif] for zone in accessory.zones if zone.motif):
        if frozenset((a, b)) in motif.edges:
            marks = list(motif.roles)
            grid = roles_of(motif.grid, marks)
            names = [motif.roles[mark] for mark in marks]
            seen = view(grid, (10 / gauge.stitches_10cm, 10 / gauge.rows_10cm), 1.0, catalogue.spatial)
            on = [seen.mixed[:, names.index(a)][:, grid == names.index(role)].mean(axis=1) for role in (a, b)]
            off = [seen.mixed[:, names.index(b)][:, grid == names.index(role)].mean(axis=1) for role in (a, b)]
            kept += [float(np.clip((on[0] - off[0] + off[1] - on[1]) / 2, 0, 1)[channel]) for channel in (1, 2)]
    return min(kept)


def reading(a: Colour, b: Colour, catalogue: Catalogue, kept: float) -> float:
    """The worst of the sights that decide of each stitch beside each; of these what all reach but the share that may vanish."""
    rules = replace(
        catalogue.contrast,
        readable_hue_delta_e=max(
            catalogue.contrast.readable_delta_e,
            catalogue.contrast.readable_hue_delta_e * catalogue.contrast.single_stitches_keep / kept,
        ),
    )
    vision, eyes = _Same(catalogue.vision), tuple(catalogue.contrast.eyes)
    seen_a, seen_b = _seen(a, vision, eyes), _seen(b, vision, eyes)
    each: list[tuple[float, float]] = []
    for stitch_a, (_, share_a) in zip(seen_a, a.stitches(), strict=True):
        for stitch_b, (_, share_b) in zip(seen_b, b.stitches(), strict=True):
            sights = zip(stitch_a, stitch_b, strict=True)
            each.append((min(_of_two(one, other, rules) for one, other in sights), share_a * share_b))
    vanish = catalogue.contrast.vanish_share + 1e-9
    return max(value for value, _ in each if sum(share for other, share in each if other < value) <= vanish)


Stitch = tuple[np.ndarray, np.ndarray]  # in one sight: CIELAB, and how far off each axis may be


@lru_cache(maxsize=1000)
def _seen(colour: Colour, vision: _Same, eyes: tuple[str, ...]) -> list[list[Stitch]]:
    """Each stitch in each sight that decides."""
    found = []
    for (lab, _), sd in zip(colour.stitches(), colour.stitch_sds(), strict=True):
        moved = [np.array(lab)]
        for axis in range(3):
            for side in (1.0, -1.0):
                moved.append(np.array(lab))
                moved[-1][axis] += side * sd[axis]
        seen = as_seen(np.array(moved), vision.table, eyes)
        squares = sum(((seen[:, 1 + 2 * axis] - seen[:, 2 + 2 * axis]) / 2) ** 2 for axis in range(3))
        found.append([(lab_seen, np.sqrt(square)) for lab_seen, square in zip(seen[:, 0], squares, strict=True)])
    return found


@lru_cache(maxsize=100_000)
def _delta_e(lab: tuple[float, ...], other: tuple[float, ...]) -> float:
    return float(deltaE_ciede2000(np.array(lab), np.array(other)))


def _of_two(one: Stitch, other: Stitch, rules: ContrastRules) -> float:
    (lab, sd), (other_lab, other_sd) = one, other
    delta_l = abs(lab[0] - other_lab[0])
    at_means = _in_one_sight(_delta_e(tuple(lab.tolist()), tuple(other_lab.tolist())), delta_l, rules)
    if not sd.any() and not other_sd.any():
        return at_means
    # Of eight in ten such pairs, one has at least this lightness apart.
    doubt = math.hypot(sd[0], other_sd[0])
    sure = max(0.0, delta_l - NormalDist().inv_cdf(rules.guess_chance) * doubt)
    by_lightness = _in_one_sight(0.0, sure, rules)
    if by_lightness >= 0.5:
        return min(by_lightness, rules.guess_most)
    differs, reads = _chances(one, other, rules)
    if reads >= rules.guess_chance:
        guess = 0.5
    elif differs >= rules.guess_chance:
        guess = 0.25 + 0.25 * min(1.0, sure / rules.readable_delta_l)
    elif at_means < 0.25:
        guess = at_means
    else:
        guess = 0.25 * differs / rules.guess_chance
    return min(guess, at_means, rules.guess_most)


def _chances(one: Stitch, other: Stitch, rules: ContrastRules) -> tuple[float, float]:
    """That two colours differ in the hand, and that they can be read: the mean over eight ways their hues turn out.

    In each the root of what a CIEDE2000 leaves beside the hues' own is a lightness apart, by the weight of lightness
    halfway between the two; the chance of reaching it, either way round, is the normal distribution's.
    """
    (lab, sd), (other_lab, other_sd) = one, other
    middle = (lab[0] + other_lab[0]) / 2 - 50
    weight = 1 + 0.015 * middle**2 / math.sqrt(20 + middle**2)
    apart, doubt = lab[0] - other_lab[0], max(math.hypot(sd[0], other_sd[0]), 1e-6)
    moved, other_moved = np.tile(lab, (8, 1)), np.tile(other_lab, (8, 1))
    for axis in (1, 2):
        square = sd[axis] ** 2 + other_sd[axis] ** 2
        step = _ways()[:, axis - 1] * math.sqrt(square)
        mine = sd[axis] ** 2 / square if square else 0.0
        moved[:, axis] -= mine * step
        other_moved[:, axis] += (1 - mine) * step
    moved[:, 0] = other_moved[:, 0] = 50.0
    differs, reads = [], []
    for hues in deltaE_ciede2000(moved, other_moved).tolist():
        quiet, with_some, without = (
            weight * math.sqrt(max(0.0, needed**2 - hues**2))
            for needed in (rules.quiet_delta_e, rules.readable_delta_e, rules.readable_hue_delta_e)
        )
        reads_at = min(rules.readable_delta_l, max(with_some, rules.readable_delta_e_min_delta_l), without)
        for chances, limit in ((reads, reads_at), (differs, min(quiet, reads_at))):
            chances.append(ndtr((apart - limit) / doubt) + ndtr((-apart - limit) / doubt))
    return min(1.0, float(np.mean(differs))), min(1.0, float(np.mean(reads)))


@lru_cache(maxsize=1)
def _ways() -> np.ndarray:
    """Four points of two standard normal quantities on a spiral of even chances, and their opposites; variance 1."""
    points = []
    for place in range(4):
        radius, turn = math.sqrt(-2 * math.log(1 - (place + 0.5) / 4)), place * math.pi * (math.sqrt(5) - 1) / 2
        points += [(side * radius * math.cos(turn), side * radius * math.sin(turn)) for side in (1.0, -1.0)]
    return np.linalg.solve(np.linalg.cholesky(np.cov(np.array(points).T, bias=True)), np.array(points).T).T


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
    nearest = _nearest(gauge.stitches_10cm / gauge.firmness * 1.016, _Same(catalogue.fabric.windows))
    return nearest.loosest <= math.sqrt(tex) / (gauge.firmness * gauge.loop_cm) <= nearest.tightest


@lru_cache(maxsize=1000)
def _nearest(asked: float, windows: _Same) -> Window:
    def off(window: Window) -> tuple[float, float]:
        low, high = window.weight.gauge_min_4in, window.weight.gauge_max_4in
        return round(max(low - asked, asked - high, 0.0), 9), abs((low + high) / 2 - asked)

    return min(windows.table, key=off)


def needs(
    accessory: Accessory, size: str, gauge: Gauge, catalogue: Catalogue, history: Calibration | None = None
) -> list[Need]:
    """Stitches by the yarn in each, floats behind them, cast-on and bind-off, two tails for each part of a role."""
    fabric = catalogue.fabric
    metres = {role.name: dict[str, float]() for role in accessory.roles}  # of each structure
    extra = dict.fromkeys(metres, 0.0)
    for zone in accessory.zones:
        loop = gauge.loop_cm * fabric.structures[zone.structure].loop / 100.0
        first, last, rows, stitches = _stitches(zone, size, gauge, catalogue)
        shares = _shares(zone, rows, catalogue, construction_of(accessory) == "yoke")
        for role, (own, passed) in shares.items():
            taken = stitches * own * loop + stitches * passed * gauge.loop_cm / fabric.Kw / 100.0
            metres[role][zone.structure] = metres[role].get(zone.structure, 0.0) + taken
            extra[role] += 2.0 * zone.count * fabric.tail_m
        begins = next(iter(shares))
        below, above = _edges(zone, accessory)
        extra[begins] += fabric.edge_rounds * below * first * zone.count * loop
        if zone.shape != "crown":  # which is drawn together
            extra[begins] += fabric.edge_rounds * above * last * zone.count * loop
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


def _edges(zone: Zone, accessory: Accessory) -> tuple[bool, bool]:
    """Whether a zone is cast on and bound off: the first and the last, but a yoke begins on body and sleeves, a pouch's
    base goes on into its bag and its cord is a piece by itself, and so is every zone of what is made of parts."""
    construction = construction_of(accessory)
    if construction == "parts" or (construction == "pouch" and zone.name == "cord"):
        return True, True
    tubes = [one for one in accessory.zones if one.shape == "tube" and one.name != "cord"]
    column = tubes if construction == "pouch" else accessory.zones
    return zone is column[0] and construction != "yoke", zone is column[-1]


def _stitches(zone: Zone, size: str, gauge: Gauge, catalogue: Catalogue) -> tuple[int, int, int, int]:
    """Stitches that the first round begins on and of the last round, the rounds, and stitches of all with all pieces."""
    fabric, structure = catalogue.fabric, catalogue.fabric.structures[zone.structure]

    def whole(length: Dimension | None, in_10cm: float) -> int:
        assert length is not None
        body = 0.0 if length.of is None else catalogue.sizes.table[size][length.of]
        eased = body * length.times * (1.0 + length.ease_percent / 100.0) + length.ease_cm
        return max(1, round((eased if length.cm is None else length.cm) * in_10cm / 10.0))

    across = gauge.stitches_10cm * structure.wales
    upwards = gauge.rows_10cm if structure.rows_per_stitch is None else across * structure.rows_per_stitch
    first = zone.stitches if zone.stitches is not None else whole(zone.around, across)
    ridge = 2 if zone.structure == "garter" else 1
    rows = zone.rows if zone.rows is not None else ridge * whole(zone.height, upwards / ridge)
    each = [first] * rows
    if zone.shape == "crown":
        each = _crown(first, rows, 4 if structure.purled == "columns" else 1)
    elif zone.shape == "frustum":
        each = _sides(first, whole(zone.around_end, across), rows)
    elif zone.shape == "triangle":
        begins = min(first, round(fabric.triangle_end_stitches))
        each = list(by_round("triangle", begins, begins + 2 * math.ceil((first - begins) / 2), rows))
        first = begins
    return first, each[-1], rows, zone.count * sum(each)


def _crown(first: int, rows: int, columns: int) -> list[int]:
    """Round by round: 6 to 9 sections, of those that suit one that divides the stitches (best of all into whole ribs of
    so many columns), then the nearest to 8."""
    if first <= 8:
        return [first] * rows
    ways = []
    for sections in range(6, 10):
        on_needle, narrower = first, []
        while on_needle > sections:
            on_needle = sections * math.ceil(on_needle / sections - 1)
            narrower.append(on_needle)
        cut = first % (sections * columns) > 0, first % sections > 0
        ways.append((rows > 2 * len(narrower) + 1, cut, abs(sections - 8), sections, narrower))
    ways = [way for way in ways if len(way[-1]) <= rows]
    if not ways:
        return _halved(first, 8, rows)
    *_, narrower = min(ways) if not min(ways)[0] else min(ways, key=lambda way: (way[3],))
    return _with_plain_rounds(first, narrower, rows, all_first=True)


def _sides(first: int, wanted: int, rows: int) -> list[int]:
    """Two stitches fewer at either side, down to the number next to the wanted one."""
    down = [first - 4 * times for times in range(first) if first - 4 * times >= 4]
    last = min(down, key=lambda number: (abs(number - wanted), -number), default=first)
    narrower = list(range(first - 4, last - 1, -4))
    if len(narrower) > rows:
        return _halved(first, last, rows)
    return _with_plain_rounds(first, narrower, rows, all_first=False)


def _with_plain_rounds(first: int, narrower: list[int], rows: int, all_first: bool) -> list[int]:
    """Decrease rounds, with the plain ones among them: one after each of the first decreases, others as told."""
    if not narrower:
        return [first] * rows
    plain, before = rows - len(narrower), [0] * len(narrower)
    for number in range(plain):
        if plain < len(narrower):
            before[number + 1] += 1
        elif all_first:
            before[number if 0 < number < len(before) else 0] += 1
        else:
            before[number % len(before)] += 1
    each = []
    for here, now in zip(before, narrower, strict=True):
        each += [each[-1] if each else first] * here + [now]
    return each


def _halved(first: int, last: int, rows: int) -> list[int]:
    """As evenly down as may be, where no round can take more than half of the stitches."""
    each = [first]
    for left in range(rows, 0, -1):
        evenly = each[-1] - math.ceil((each[-1] - last) / left)
        each.append(max(last, math.ceil(each[-1] / 2), min(evenly, last * 2 ** (left - 1))))
    return each[1:]


def _shares(zone: Zone, rows: int, catalogue: Catalogue, banded: bool) -> dict[str, tuple[float, float]]:
    """For each role of a zone, the stitches that it knits and those that it passes behind, for one of the zone's."""
    if zone.motif is None:
        assert zone.role is not None
        return {zone.role: (1.0, 0.0)}
    motif = catalogue.motifs[zone.motif]
    repeat = [[motif.roles[mark] for mark in row] for row in motif.grid]
    grid = repeat
    if zone.shape in ("tube", "flat", "piece"):
        ground = ground_of(motif)
        part = shown(motif.grid, ground, rows, banded).rows
        grid = [[motif.roles[mark] for mark in row] for row in (*part, *[ground * motif.width] * (rows - len(part)))]
        if not banded and {role for row in grid for role in row} < set(motif.roles.values()):
            grid = repeat
    every = len(grid) * len(grid[0])
    return {
        role: (
            sum(row.count(role) for row in grid) / every,
            sum(len(row) - row.count(role) for row in grid if role in row) / every,
        )
        for role in motif.roles.values()
    }


@lru_cache
def _touching(grid: tuple[str, ...]) -> set[tuple[str, str]]:
    """Marks beside or above each other."""
    pairs = set()
    for row, above in zip(grid, (*grid[1:], grid[0]), strict=True):
        for mark, right, up in zip(row, row[1:] + row[0], above, strict=True):
            pairs |= {(mark, right), (mark, up)}
    return pairs


def touching(accessory: Accessory, catalogue: Catalogue) -> list[tuple[str, str]]:
    """Roles that lie beside or above each other in a motif of the accessory; a motif is repeated all around and up."""
    pairs: set[frozenset[str]] = set()
    for motif in (catalogue.motifs[zone.motif] for zone in accessory.zones if zone.motif):
        pairs |= {frozenset(motif.roles[mark] for mark in marks) for marks in _touching(tuple(motif.grid))}
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
    _, weight = _tension()
    each = [_spares(left, shared, own) for left, shared, own in zip(spare, shared_sd, own_sd, strict=True)]
    return float(weight @ np.prod(each, axis=0))


@lru_cache(maxsize=4000)
def _spares(left: float, shared: float, own: float) -> np.ndarray:
    """The chance of one length at each tension."""
    z, _ = _tension()
    return ndtr((left - shared * z) / own)

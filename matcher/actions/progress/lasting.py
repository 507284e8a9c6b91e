"""What each colour of a piece on the needles still has to give, the chance that it suffices, and ways out from here."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from matcher.actions.desk import Shelf, shelf_of
from matcher.actions.partner.words import way_words
from matcher.actions.progress.piece import OnNeedles
from matcher.knitting.motifs.grid import both, touching
from matcher.knitting.needs import main_structure
from matcher.knitting.pattern.place import metres_between
from matcher.knitting.progress import Lasting, Midway, Outlook, Spread, outlook
from matcher.matching.pools import Pool, pools_of
from matcher.matching.recolour.colouring import Asked
from matcher.matching.recolour.exchanges import Exchange, exchanges
from matcher.materials.estimate import Estimate
from matcher.materials.lots import Bin, Lot
from matcher.materials.reading.names import fold
from matcher.reasons.quantities import Chance, Length
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.database.bin import bin_of_rows
from matcher.store.database.claims import claims_of
from matcher.store.database.rows import Rows
from matcher.store.recipes import Strand


@dataclass(frozen=True)
class StrandLasts:
    """One strand of a role and how long it lasts, by metres of one of its threads; weighed: all its lots, since the
    cast-on."""

    role: str
    strand: Strand
    lasting: Lasting
    weighed: bool

    def words(self) -> Words:
        """What it still has to give, and what is left."""
        one = self.lasting
        said = "{role} ({lots}): {needs} needed to the end, {left} left, {sure} sure."
        if one.needs_m <= 0:
            said = "{role} ({lots}): no more needed, {left} left."
        elif not self.weighed:
            said = "{role} ({lots}): {needs} needed to the end, {left} left by reckoning, {sure} sure."
        figures = {"needs": Length(one.needs_m), "left": Length(one.left_m), "sure": Chance(one.sure)}
        return reason(said, role=Term(self.role), lots=self._lots, **figures)

    def doubt(self) -> Words:
        """That its weight can hardly be right."""
        far = (
            "What {role} ({lots}) has used is far from what was reckoned, so nothing is learnt from it: was "
            "the knitting on the scale too? Check the weight, and which round is done."
        )
        return reason(far, role=Term(self.role), lots=self._lots)

    @property
    def _lots(self) -> Words:
        return listed(self.strand.lots, "and", " and ")

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON."""
        return {
            "role": self.role,
            "lots": list(self.strand.lots),
            "needs_m": round(self.lasting.needs_m, 2),
            "left_m": round(self.lasting.left_m, 2),
            "sure": round(self.lasting.sure, 4),
            "weighed": self.weighed,
        }


@dataclass(frozen=True)
class Lasts:
    """How it stands: each strand of each role, and ways out where the chance is below what is asked."""

    strands: tuple[StrandLasts, ...]
    sure: float
    ways: tuple[Exchange, ...] = ()

    def words(self, asked: float) -> Iterator[Words]:
        """A sentence a colour, one for all of them, and the ways out. asked: the chance below which it is said."""
        yield from (one.words() for one in self.strands)
        yield from (one.doubt() for one in self.strands if one.lasting.far)
        if len(self.strands) > 1:
            yield reason("The chance that every colour lasts is {sure}.", sure=Chance(self.sure))
        if self.ways:
            yield reason("Ways out, from the next round on:")
            yield from map(way_words, self.ways)
        elif self.sure < asked:
            yield reason("Nothing in the bin helps from here: weigh again soon, or look for more of the same yarn.")

    def as_dict(self) -> dict[str, Any]:
        """The keys of the JSON."""
        return {
            "roles": [one.as_dict() for one in self.strands],
            "sure": round(self.sure, 4),
            "ways": [way_words(one) for one in self.ways],
        }


def lasts(store: Rows, piece: OnNeedles, stage: int, catalogue: Catalogue, bin: Bin | None = None) -> Lasts:
    """How the piece stands once `stage` of its steps are done. bin: that of the store, where it was read already."""
    claims = store.select("SELECT * FROM claims WHERE work = ?", piece.row["id"])
    shelf = without(bin_of_rows(store, catalogue) if bin is None else bin, claims, catalogue)
    told = strands_last(store, piece, stage, shelf, catalogue)
    asked = catalogue.ranking.sure_at_least
    strands = [(one.role, one.strand) for one in told.strands]
    if told.sure >= asked or stage == 0:
        return told
    found = Outlook(tuple(one.lasting for one in told.strands), told.sure)
    return replace(told, ways=_ways(piece, stage, strands, found, shelf, catalogue, asked))


def strands_last(store: Rows, piece: OnNeedles, stage: int, shelf: Shelf, catalogue: Catalogue) -> Lasts:
    """The same without ways out. shelf: as if the piece had claimed nothing."""
    claims = store.select("SELECT * FROM claims WHERE work = ?", piece.row["id"])
    strands = [(role, strand) for role, several in piece.recipe.roles.items() for strand in several]
    midway, weighed = [], []
    for role, strand in strands:
        held = _held(strand, shelf)
        own = [one for one in claims if one["role"] == role and one["lot"] in {lot.name for lot in held}]
        seen = _seen(own)
        learns = all(len(claims_of(store, one["lot"])) == 1 for one in own)
        midway.append(_midway(piece, role, strand.count, held, own, seen, learns, stage, shelf, catalogue))
        weighed.append(seen is not None)
    found = outlook(midway, _spread(piece, catalogue))
    each = zip(strands, found.roles, weighed, strict=True)
    return Lasts(tuple(StrandLasts(role, strand, one, was) for (role, strand), one, was in each), found.sure)


def without(bin: Bin, claims: Sequence[Mapping[str, Any]], catalogue: Catalogue) -> Shelf:
    """The bin laid out as if a piece had not claimed what it did: what is free then is what it may use."""
    own: defaultdict[str, float] = defaultdict(float)
    for one in claims:
        own[fold(one["lot"])] += one["metres"]
    lots = tuple(
        replace(lot, claimed_m=max(0.0, lot.claimed_m - own[fold(lot.name)])) if fold(lot.name) in own else lot
        for lot in bin.lots
    )
    return shelf_of(replace(bin, lots=lots), catalogue)


def _held(strand: Strand, shelf: Shelf) -> list[Lot]:
    """The lots of a strand that are still in the bin."""
    lots = {fold(lot.name): lot for lot in shelf.bin.lots}
    return [lots[fold(name)] for name in strand.lots if fold(name) in lots]


def _seen(claims: Sequence[Mapping[str, Any]]) -> int | None:
    """The step at which all lots of a strand were last weighed; None where one was not."""
    if not claims or any(one["seen_g"] <= 0 for one in claims):
        return None
    return min(int(one["seen_stage"]) for one in claims)


def _midway(
    piece: OnNeedles,
    role: str,
    count: int,
    lots: Sequence[Lot],
    claims: Sequence[Mapping[str, Any]],
    seen: int | None,
    learns: bool,
    stage: int,
    shelf: Shelf,
    catalogue: Catalogue,
) -> Midway:
    """A strand as the outlook takes it: all metres are those of one of its threads, by the label's tex.

    learns: whether a weighing says what this piece used; where another uses the same lot, it says only what is left.
    """
    need = next(one for one in piece.needs if one.role == role)
    before = next(one for one in piece.plain if one.role == role)
    factor = need.length_m / before.length_m if before.length_m else 1.0
    begun = min(stage, max((int(one["from_stage"]) for one in claims), default=0))
    at = max(begun, min(stage, seen)) if seen is not None else begun

    def metres(first: int, last: int) -> dict[str, float]:
        found: defaultdict[str, float] = defaultdict(float)
        for (of, structure), length in metres_between(piece.stages, first, last).items():
            if of == role:
                found[structure] += length * factor
        return dict(found)

    # The label's error falls out where grams are compared with grams; the scale's and her guess of a weight stay.
    free = [shelf.free[lot.name].mean for lot in lots]
    scale_m = [length * _scale_sd(lot) for length, lot in zip(free, lots, strict=True)]
    left = Estimate(sum(free) / count, sum(scale_m) / count)
    own_sd = math.hypot(need.own_sd, max((_relative(lot.yarn.tex) for lot in lots), default=0.0))
    rest = metres(stage, len(piece.stages))
    if seen is None or not learns:
        return Midway(role, {}, rest, own_sd, left, None, metres(at, stage))
    used = sum(1000.0 * (one["from_g"] - one["seen_g"]) / one["tex"] for one in claims) / count
    have = Estimate(left.mean + max(0.0, used), left.sd)
    return Midway(role, metres(begun, at), rest, own_sd, have, left, metres(at, stage))


def _relative(one: Estimate) -> float:
    return one.sd / one.mean if one.mean else 0.0


def _scale_sd(lot: Lot) -> float:
    """What the weighing alone errs by, relative: a length errs by it and by the yarn's tex."""
    return math.sqrt(max(0.0, _relative(lot.length) ** 2 - _relative(lot.yarn.tex) ** 2))


def _spread(piece: OnNeedles, catalogue: Catalogue) -> Spread:
    """The terms of the needs before anything was knitted, both narrowed as far as her history narrows their sum."""
    fabric, gauge = catalogue.fabric, piece.recipe.gauge
    need = max(piece.needs, key=lambda one: one.length_m)
    before = fabric.need_sd(gauge, main_structure(need.working))
    narrowed = min(1.0, need.shared_sd / before) if before else 1.0
    bias = {name: fabric.bias(name) * narrowed for name in fabric.structures}
    rules = catalogue.calibration
    return Spread(fabric.scatter_sd(gauge) * narrowed, bias, rules.rest_sd, rules.far_sds)


def _ways(
    piece: OnNeedles,
    stage: int,
    strands: Sequence[tuple[str, Strand]],
    found: Outlook,
    shelf: Shelf,
    catalogue: Catalogue,
    asked: float,
) -> tuple[Exchange, ...]:
    """Which exchanges still help from here on: they are asked of what is left to knit alone."""
    if len({role for role, _ in strands}) < len(strands) or any(strand.count > 1 for _, strand in strands):
        return ()  # held together, each strand is a yarn of its own: another one would change the fabric
    needs = []
    for need, one in ((n, o) for n in piece.needs for o in found.roles if o.role == n.role and o.needs_m > 0):
        rest = replace(need, length_m=one.needs_m, shared_sd_m=one.log_sd * one.needs_m, own_sd_m=0.0)
        needs.append(rest)
    left = {one.role: one.left_m for one in found.roles}
    chosen: dict[str, Pool | None] = {}
    for role, strand in strands:
        held = _held(strand, shelf)
        room = {lot.name: shelf.free[lot.name] for lot in held}
        pools = pools_of(held, room, catalogue.measuring.tail_m)
        chosen[role] = replace(pools[0], free=Estimate(left[role], pools[0].free.sd)) if pools else None
    taken = {fold(name) for _, strand in strands for name in strand.lots}
    others = [pool for pool in shelf.pools if not any(fold(lot.name) in taken for lot in pool.lots)]
    return exchanges(
        Asked(tuple(needs), _edges(piece, stage), piece.recipe.gauge), chosen, others, (), None, catalogue, asked
    )


def _edges(piece: OnNeedles, stage: int) -> dict[frozenset[str], int]:
    """Sides that two roles share in what is left to knit."""
    rows = [
        tuple(stitch.role for stitch in one.course.stitches if stitch.role)
        for one in piece.stages[stage:]
        if one.course is not None
    ]
    return both(touching([row for row in rows if row], stacked=False))

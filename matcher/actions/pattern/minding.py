"""What is to be minded of yarns that somebody named herself: together, at the gauge, and on the skin of whom it is for.

A list and a partner judge the yarns that they found; here are those that something is begun with or knitted from,
whoever chose them, in the same words.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from matcher.actions.asked import either_eyes
from matcher.actions.pattern.fitting import fitted_of_recipe
from matcher.actions.pattern.order import Order
from matcher.actions.role_lots import RoleLots
from matcher.actions.roles import Contrast, cautions_of, guesses, yarn_warnings
from matcher.actions.thickness import thickness_warnings
from matcher.actions.whom.skins import no_promise, skin_warnings, unsuited
from matcher.knitting.accessory import contrast_pairs
from matcher.knitting.fit.fitted import in_role_order
from matcher.knitting.pattern.minded import Minded
from matcher.matching.contrast import LEVELS, judge, vanishing_words
from matcher.matching.kept import KeptHues, least_kept
from matcher.matching.pools import Pool
from matcher.matching.together import Thread, worst_together
from matcher.materials.colours.vision import WHOSE
from matcher.materials.lots import Lot
from matcher.materials.reading.names import fold
from matcher.reasons.reason import Term, Words, listed, reason
from matcher.store.recipes import Recipe


def minded_of(recipe: Recipe, order: Order, chosen: Sequence[RoleLots], least: str | None = None) -> Minded:
    """All of it. chosen: the lots of the roles, as far as they are there. least: the contrast that she wishes, in place
    of what the accessory asks."""
    entry, catalogue = order.entry, order.catalogue
    lots = [lot for one in chosen for lot in one.lots]
    pools = [pool for one in chosen for strand, _ in one.strands for pool in _alike(strand)]
    on_skin = order.people if entry.next_to_skin else ()
    together = worst_together(
        [thread for one in chosen for thread in _threads(one)], entry.next_to_skin, catalogue.together
    )
    level = least or entry.least_contrast or "quiet"
    contrasts = _contrasts(recipe, order, chosen, level)
    warnings = (
        *(reason("{why}: choose another lot", why=why) for who in on_skin for why in unsuited(who, lots)),
        *(one.reason for one in together if one.verdict != "fits"),
        *thickness_warnings(_thicknesses(chosen), recipe.gauge, catalogue.fabric),
        *skin_warnings(order.people, entry, pools),
        *yarn_warnings(pools),
        *_reads(contrasts, level, catalogue.ranking.vanishing_said),
        *guesses(contrasts, pools),
    )
    cautions = [*cautions_of(entry, recipe.size, pools, catalogue), *no_promise(on_skin)]
    return Minded(tuple(dict.fromkeys(warnings)), tuple(dict.fromkeys(cautions)))


def lots_of_roles(recipe: Recipe, lots: Iterable[Lot]) -> tuple[RoleLots, ...]:
    """The roles of a recipe whose lots are all there. lots: those that are there."""
    there = {fold(lot.name): lot for lot in lots}
    return tuple(
        RoleLots(role, tuple((tuple(there[fold(name)] for name in one.lots), one.count) for one in strands))
        for role, strands in recipe.roles.items()
        if strands and all(fold(name) in there for one in strands for name in one.lots)
    )


def _alike(lots: Sequence[Lot]) -> Iterator[Pool]:
    """Lots that follow each other in one strand: those of one yarn and colour as one."""
    for _, several in groupby(lots, key=lambda lot: (fold(lot.yarn.name), lot.yarn.tex.mean, lot.colour)):
        held = tuple(several)
        yield Pool(held, held[0].length, held[0].length, 0.0)


def _threads(one: RoleLots) -> Iterator[Thread]:
    """What a role is knitted with, first and last: where one lot follows another it is one thread after another."""
    for place in range(max((len(lots) for lots, _ in one.strands), default=0)):
        yield [(lots[min(place, len(lots) - 1)].yarn, count) for lots, count in one.strands]


def _thicknesses(chosen: Sequence[RoleLots]) -> Iterator[tuple[Words, float]]:
    for one in chosen:
        if one.strands:
            yield listed([lots[0].name for lots, _ in one.strands], "and"), one.tex


def _contrasts(recipe: Recipe, order: Order, chosen: Sequence[RoleLots], least: str) -> list[Contrast]:
    """Each two roles that touch, and how their lots read for the eyes of those whom it is for."""
    colours = {one.role: one.colour for one in chosen if one.strands}
    catalogue = order.catalogue
    rules = catalogue.contrast
    rules = replace(rules, eyes=either_eyes(rules.eyes, *(WHOSE[one.person.eyes] for one in order.people)))
    return [
        Contrast((a, b), judge(colours[a], colours[b], catalogue.vision, rules.in_motif(kept), least))
        for (a, b), kept in _touching(recipe, order)
        if a in colours and b in colours
    ]


def _touching(recipe: Recipe, order: Order) -> Iterator[tuple[tuple[str, str], float]]:
    """Roles that touch, and what their motif keeps of a difference of hue: of the motif that was fitted to it, else of
    those that the accessory is listed with."""
    gauge, spatial = recipe.gauge, order.catalogue.spatial
    if recipe.cast_on is not None:
        kept = least_kept(recipe.motifs[0], (gauge.stitches_10cm, gauge.rows_10cm), spatial)
        edges = fitted_of_recipe(recipe, order.entry, order.catalogue).edges()
        pairs = [tuple(sorted(edge, key=in_role_order)) for edge in edges]
        for a, b in sorted(pairs, key=lambda pair: [*map(in_role_order, pair)]):
            yield (a, b), kept
        return
    motifs = {**order.catalogue.motifs, **{motif.key: motif for motif in recipe.motifs}}
    by_pair = KeptHues(motifs, spatial).of(order.entry, gauge)
    for pair in contrast_pairs(order.entry, motifs):
        yield pair, by_pair[frozenset(pair)]


def _reads(contrasts: Sequence[Contrast], least: str, vanishing_said: float) -> Iterator[Words]:
    """Roles that read less than is asked of them, and those of which stitches vanish."""
    for one in contrasts:
        a, b = map(Term, one.roles)
        if LEVELS[one.judged.verdict] < LEVELS[least]:
            said = "{a} and {b}: {verdict} ({looks})"
            yield reason(said, a=a, b=b, verdict=Term(one.judged.verdict), looks=one.judged.plainly)
        elif one.judged.vanishing >= vanishing_said:
            yield reason("{a} and {b}: {vanishing}", a=a, b=b, vanishing=vanishing_words(one.judged.vanishing))

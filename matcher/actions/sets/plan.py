"""What to knit with all of it: a set of things in which no metre is promised twice."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from matcher.actions.asked import check_sure, check_time, eyes_asked, several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.names import find
from matcher.actions.reading import grouped
from matcher.actions.sets.last_set import keep_last_set
from matcher.actions.sets.matched import Matching, matching_of
from matcher.actions.sets.matched_columns import Matched
from matcher.actions.sets.not_there import NotThere
from matcher.actions.sets.orders import Asking, orders_of
from matcher.actions.sets.page import out_asked, write_set
from matcher.actions.sets.planned import Planned
from matcher.actions.sets.result import Sets
from matcher.actions.sets.wanted import Wanted, wanted_of
from matcher.errors import BadInput
from matcher.matching.pools import Stock, pools_of, stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope, Wishes, scope_of
from matcher.matching.sets.aims import AIMS, BEST, aim_of
from matcher.matching.sets.planner import Plan, Planner
from matcher.matching.sets.wants import Asked, Want
from matcher.materials.rules import RankingRules
from matcher.reasons.reason import Field, Term, Words, counted, listed, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue

Progress = Callable[[float, float], None]
_MOST_OTHERS = 20


def plan_set(
    bin: DeskLike = None,
    *,
    want: str | Sequence[str] = (),
    people: bool = False,
    match: str | None = None,
    aim: str = BEST,
    each_different: bool = False,
    keep: str | Sequence[str] = (),
    must: str | Sequence[str] = (),
    sure: float | None = None,
    time_limit: float = 20.0,
    alternatives: int = 0,
    whom: str | Sequence[str] = (),
    eyes: str | None = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
    out: Path | str | None = None,
    replace_files: bool = False,
    style: Style = PLAIN,
    remember: bool = True,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
) -> Sets:
    """The best set of things from the free yarn of a bin; as sure as asked that the yarn suffices for all of them.

    Parameters
    ----------
    bin : a folder, a spreadsheet, a `Bin`, or None for the demo.
    want : what it must hold, "2 hats for adults, mitts for my father". people : something for each person of the bin,
        or of `whom`. Where neither is asked, anything for `whom`, else for all her people, else for adults.
    match : a hat, a cowl and mitts in the motif and the colours of this garment, from what it left; for `whom`, else
        for its wearer.
    aim : one of `AIMS`, what is counted. each_different : no accessory twice.
    keep : lots that stay as they are. must : lots of each of which the set must take something.
    sure : the least chance, 0.5 to 0.999, that the yarn for all of it suffices.
    time_limit : seconds; then the best so far is given. alternatives : so many further sets that really differ.
    eyes : whose decide besides ordinary ones. mending : which repairs to keep yarn for where a garment leaves it open.
    out : a folder for pictures, pages and JSON. replace_files : write over files of other content there.
    remember : keep it as the last set of this bin, which `begin` takes without a file.
    progress : is told the objective and its bound whenever one changes. stop : asked again and again; once it says so,
        the best so far is given.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    desk = desk_of(bin, catalog, mending)
    check_sure(sure)
    _check(aim, time_limit, alternatives)
    folder = out_asked(out, replace_files) if out is not None else None
    told: list[Words] = []
    catalogue = desk.seen_by(eyes)
    kept, musts = (_lots(names, desk) for names in (keep, must))
    for name in musts:
        if name in kept:
            what = reason("{lot} can't be kept and used", lot=name)
            raise BadInput(what, Field("must"), reason("leave it out of one of the two"))
    wanted = wanted_of(several(want), desk.bin, catalogue, told)
    stock = _stock(desk, kept)
    asking = Asking(wanted, people, several(whom), eyes, aim)
    matching = None if match is None else _matching(match, asking, desk, catalogue, stock)
    orders = orders_of(desk, catalogue, asking, () if matching is None else matching.orders)
    if matching is not None:
        catalogue, orders = matching.known_to(catalogue), matching.told_in(orders)
    parties = [one.party for one in orders.orders]
    scope = scope_of(desk.every_variant, Wishes(sure=sure), parties)
    searcher = searcher_of(stock, scope, catalogue)
    pools = [(name, _holding(name, stock)) for name in musts]
    asked = Asked(
        [one.number for one in orders.orders],
        1 if each_different else max(_of_one(stock, catalogue.ranking), _named(wanted)),
        [places for _, places in pools],
        searcher.usable_m,
        searcher.chance or 0.0,
    )
    wants = [_want(party.name, scope) for party in parties]
    counts = aim_of(aim, stock, catalogue.ranking)
    matched = None if matching is None else Matched(matching, searcher, wants, catalogue.recolour, asked.sure)
    given = None if matched is None else matched.columns(counts)
    planner = Planner(searcher, wants, asked, counts, time_limit, progress, given, stop)
    plan = planner.plan()
    others = planner.others(plan, alternatives)
    planned = Planned(desk, orders, scope, stock, matched is not None)
    found = Sets(
        aim,
        asked.sure,
        planned.of(plan),
        tuple(planned.of(one) for one in others),
        tuple(NotThere(plan, planner, orders.orders, pools, matched)),
        desk.bin.source,
        (
            *told,
            *grouped(desk.bin.notes),
            *desk.shelf.notes,
            *orders.notes,
            *_notes(plan, alternatives, len(others)),
        ),
        catalogue=orders.catalogue,
    )
    if remember:
        found = replace(found, notes=(*found.notes, *keep_last_set(found.best.recipes, desk)))
    if folder is None:
        return found
    return replace(found, files=write_set(found, folder, style, replace_files))


def _matching(garment: str, asking: Asking, desk: Desk, catalogue: Catalogue, stock: Stock) -> Matching:
    """What would match a garment: for the one whom she names, where these aren't all those who get something."""
    whom = () if asking.people else asking.whom
    if len(whom) > 1:
        what = reason("what matches {garment} is for one person", garment=garment)
        raise BadInput(what, Field("for"), reason("name one of them"))
    seen = None if asking.eyes is None else eyes_asked(asking.eyes)
    return matching_of(desk, catalogue, stock, garment, next(iter(whom), None), seen)


def _check(aim: str, time_limit: float, alternatives: int) -> None:
    if aim not in AIMS:
        what = reason('a set can\'t be chosen by "{aim}"', aim=aim)
        raise BadInput(what, Field("aim"), reason("give {aims}", aims=listed(map(Term, AIMS), "or")))
    check_time(time_limit)
    if not 0 <= alternatives <= _MOST_OTHERS:
        what = reason("{number} other sets can't be asked for", number=alternatives)
        raise BadInput(what, Field("alternatives"), reason("give a number up to {most}", most=_MOST_OTHERS))


def _lots(names: str | Sequence[str], desk: Desk) -> tuple[str, ...]:
    known = [one.name for one in desk.bin.lots]
    return tuple(dict.fromkeys(find(one, known, "lot") for one in several(names)))


def _stock(desk: Desk, kept: Sequence[str]) -> Stock:
    """What is free, without lots that stay: those are no part of a thread made of others like them either."""
    decided = {lot.name for pool in desk.shelf.pools if pool.kept for lot in pool.lots}
    offered = [lot for lot in desk.bin.lots if lot.name not in decided and lot.name not in kept]
    pools = pools_of(offered, desk.shelf.free, desk.catalogue.measuring.tail_m)
    return stock_of(pools, desk.catalogue.together)


def _of_one(stock: Stock, rules: RankingRules) -> int:
    """So many of one accessory at most: more in a large bin."""
    return max(int(rules.of_one_accessory), int(rules.of_one_accessory_share * len(stock.pools)))


def _named(wanted: Sequence[Wanted]) -> int:
    """So many she wants of one accessory by its name."""
    numbers = Counter[str]()
    for one in wanted:
        if len(one.entries) == 1:
            numbers[one.entries[0].key] += one.number
    return max(numbers.values(), default=0)


def _holding(name: str, stock: Stock) -> frozenset[int]:
    return frozenset(place for place, pool in enumerate(stock.pools) if any(lot.name == name for lot in pool.lots))


def _want(party: str, scope: Scope) -> Want:
    """The variants of a party of one want's own."""
    variants = {key: tuple(one for one in several if one.party == party) for key, several in scope.variants.items()}
    return Want({key: several for key, several in variants.items() if several}, scope.least)


def _notes(plan: Plan, alternatives: int, others: int) -> Iterator[Words]:
    if plan.cut_short:
        known = "a better set may be missing, by no more than is said"
        if not math.isfinite(plan.bound):
            known = "a better set may be missing, and how much better isn't known"
        said = "There are so many ways to hold strands together that not all were tried: {known}."
        yield reason(said, known=reason(known))
    if not plan.columns:
        yield reason("Nothing that was asked for can be made from what is free.")
    if others < alternatives:
        yield counted(
            others,
            "Of sets that really differ only {n} was found.",
            "Of sets that really differ {n} were found.",
        )

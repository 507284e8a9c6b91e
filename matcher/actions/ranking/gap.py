"""What is missing? The single purchases that make most possible, and what does without one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace as with_
from functools import partial
from itertools import chain, count
from pathlib import Path

import numpy as np

from matcher.actions.asked import check_sure, several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.meant import accessory_meant, kinds_meant, sizes_meant
from matcher.actions.ranking.gap_files import check_folder, write_gaps
from matcher.actions.ranking.gaps import Gaps, Opened, ToBuy, Without
from matcher.actions.ranking.question import Laid, Question
from matcher.actions.ranking.teller import Teller
from matcher.actions.reading import grouped
from matcher.actions.whom.parties import Whom, parties_with, whom_with
from matcher.errors import BadInput
from matcher.knitting.mending.reserve import ReserveGroup
from matcher.matching.gap.bench import Ground
from matcher.matching.gap.find import Purchase, purchases
from matcher.matching.gap.ranges import ColourRange
from matcher.matching.gap.without import ways_without
from matcher.matching.pools import stock_of
from matcher.matching.ranking.found import Field as Ranked
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import search, search_all
from matcher.matching.rounds.search import search_stock
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.ranges import range_called
from matcher.materials.colours.words import nearest_word
from matcher.reasons.quantities import Number
from matcher.reasons.reason import Field, Term, Words, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue

Progress = Callable[[int, int], None]
NEW = "new yarn"
"""What a yarn to buy is called among her lots."""


def gap(
    bin: DeskLike = None,
    *,
    whom: str | Sequence[str] = (),
    kind: str | Sequence[str] = (),
    size: str | Sequence[str] = (),
    accessory: str | None = None,
    sure: float | None = None,
    most_grams: float | None = None,
    held_together: bool = True,
    eyes: str | None = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
    out: Path | str | None = None,
    replace: bool = False,
    style: Style = PLAIN,
    progress: Progress | None = None,
    stage: Callable[[Words], None] | None = None,
) -> Gaps:
    """Which single purchase makes most possible of what can't be made from a bin, and what does without one.

    Parameters
    ----------
    bin, whom, kind, size, sure, held_together, eyes, mending, catalog : as in `suggest`.
    accessory : the one thing that is wanted, also where all of it would be knitted from the new yarn; left out,
        whatever can't be made and is of several colours.
    most_grams : the most to buy [g]. out : a folder for a picture of the colours and a page to print. replace : write
        over files of other content there. style : how these say things.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    begin = stage or (lambda _: None)
    begin(reason("reading"))
    desk = desk_of(bin, catalog, mending)
    told: list[Words] = []
    catalogue = desk.catalogue
    wanted = accessory_meant(accessory, catalogue, told).key if accessory is not None else ""
    kinds = several(kind)
    if wanted and not kinds:  # what she asks for is wanted this time, whatever she wished
        kinds = (catalogue.accessories[wanted].kind,)
    wishes = Wishes(
        kinds=kinds_meant(kinds, catalogue, told),
        sizes=sizes_meant(several(size), catalogue.sizes, told),
        sure=sure,
        least_contrast=desk.wishes.least_contrast or None,
        held_together=held_together,
        varied=True,
    )
    check_sure(sure)
    if out is not None:
        check_folder(Path(out))
    most_g = most_to_buy(most_grams, catalogue)
    laid = Question(desk, wishes, several(whom), eyes).laid()
    if wanted and wanted not in laid.scope.variants:
        what = reason("{accessory} isn't made as you asked for it", accessory=Term(catalogue.accessories[wanted].name))
        raise BadInput(what, Field("accessory"), reason("ask for another size, kind or person"))
    begin(reason("matching"))
    teller, number = Teller(laid.who, desk.shelf.groups, laid.scope), count(1)
    possible = search(laid.searcher, laid.scope.variants[wanted], laid.scope.least[wanted]) if wanted else []
    whole = desk.every_variant if wishes.kinds else desk.variants
    ground = Ground(
        desk.shelf.pools,
        whole,
        _missing(laid, wanted, bool(possible)),
        wishes,
        partial(parties_with, laid.who),
        laid.catalogue,
        lambda together: with_(laid.catalogue, together=together),
        name_of_new(desk),
    )
    begin(reason("what could be bought"))
    found = purchases(ground, most_g, progress)
    names = {key: entry.name for key, entry in catalogue.accessories.items()}
    result = Gaps(
        sure_at_least=laid.searcher.chance or 0.0,
        most_grams=most_g,
        to_buy=tuple(to_buy(one, ground, laid.who, desk.shelf.groups, number) for one in found.found),
        without=tuple(
            Without(way.how, teller.suggestion(next(number), way.found, laid.stock))
            for key in ground.wanted
            for way in ways_without(key, laid.searcher, laid.scope)
        ),
        possible=tuple(teller.suggestion(next(number), one, laid.stock) for one in possible),
        never=tuple(names[key] for key in found.never),
        more=tuple(names[key] for key in found.more),
        tried=found.tried,
        held_together=found.held_together,
        notes=(*told, *grouped(desk.bin.notes), *desk.shelf.notes, *laid.who.notes),
    )
    if out is None:
        return result
    return with_(result, files=write_gaps(result, Path(out), style, replace))


def most_to_buy(most_grams: float | None, catalogue: Catalogue) -> float:
    """The most to buy. Raises BadInput for less than one ball, and for more than anybody buys at once."""
    least, usual = catalogue.purchase.balls_g[0], catalogue.purchase.most_g
    if most_grams is None:
        return usual
    if not least <= most_grams <= 5 * usual:
        raise BadInput(
            reason("{grams} can't be the most to buy", grams=Number(float(most_grams), 2)),
            Field("most grams"),
            reason("give a number from {least} to {most}", least=Number(least), most=Number(5 * usual)),
        )
    return float(most_grams)


def _missing(laid: Laid, wanted: str, possible: bool) -> tuple[str, ...]:
    """Keys of what can't be made: the wanted thing, else all of several colours; what is of one colour would be knitted
    from the new yarn alone, and is no gap in a bin."""
    if wanted:
        return () if possible else (wanted,)
    made = can_be_made(laid.searcher, laid.scope, search_stock(laid.searcher, laid.scope))
    several = (key for key, variants in laid.scope.variants.items() if len(variants[0].filled) > 1)
    return tuple(key for key in several if key not in made)


def to_buy(
    purchase: Purchase, ground: Ground, who: Whom, groups: Sequence[ReserveGroup], number: Iterator[int]
) -> ToBuy:
    """A purchase with its colours by their words, and of all that it opens the best, as `suggest` would tell it; held
    together with other lots only where that was tried: of many lots it would take minutes."""
    bench = ground.bench([purchase.offer])
    stock = stock_of(bench.pools, ground.rules.together)
    scope = with_(bench.scope, whole=ground.whole)
    several = {key: scope.variants[key] for key in purchase.opens}
    searcher = searcher_of(stock, scope, ground.rules)
    outcome = search_all(searcher, several, scope.least, Ranked(), marls=ground.marls)
    best = {one.variant.accessory.key: one for one in outcome.chosen}
    for key in several:  # what was not come to is told by any way to make it
        if key not in best and (any_way := bench.any_opens(key, marls=ground.marls)) is not None:
            best[key] = any_way
    # What her people bear and like of the new yarn decides for whom it is, as it decided in the search.
    teller = Teller(whom_with(who, bench.lots), groups, scope)
    return ToBuy(
        purchase,
        examples_of(purchase.colours, who.catalogue),
        range_called(purchase.colours.low, purchase.colours.high, who.catalogue.colour_words, who.catalogue.families),
        tuple(
            Opened(teller.suggestion(next(number), one, stock), purchase.opens[key])
            for key, one in sorted(best.items(), key=lambda one: one[1].place)
        ),
        cut_short=outcome.cut_short,
    )


def examples_of(colours: ColourRange, catalogue: Catalogue) -> tuple[tuple[str, Lab], ...]:
    """Words for colours of a range, as many as the catalogue says: the one nearest to its middle, then each as far
    as can be from those before; where no word's colour lies within, the nearest word."""
    words = catalogue.colour_words
    within = [word for word in words if colours.holds(words[word].lab)]
    middle = np.array(colours.middle)
    if not within:
        within = [nearest_word(middle, words)]
    labs = np.array([words[word].lab for word in within])
    chosen = [int(np.linalg.norm(labs - middle, axis=1).argmin())]
    while len(chosen) < min(len(within), int(catalogue.purchase.examples)):
        apart = np.linalg.norm(labs[:, None] - labs[chosen], axis=2).min(axis=1)
        if apart.max() <= 0:
            break
        chosen.append(int(apart.argmax()))
    return tuple((within[place], words[within[place]].lab) for place in chosen)


def name_of_new(desk: Desk) -> str:
    """What new yarn is called: a name that no lot has."""
    names = {lot.name for lot in desk.bin.lots}
    return next(one for one in chain((NEW,), (f"{NEW} {number}" for number in count(2))) if one not in names)

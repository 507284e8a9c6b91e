"""Which single purchase finishes a wanted set: found beside what the set leaves, then the whole set planned with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import count
from pathlib import Path

from matcher.actions.asked import several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.ranking.gap import Progress, most_to_buy, name_of_new, to_buy
from matcher.actions.ranking.gap_files import check_folder, write_gaps
from matcher.actions.ranking.gaps import Finishes, Gaps, OfSet, ToBuy, Without
from matcher.actions.sets.gap_without import Leftovers
from matcher.actions.sets.orders import Asking, Order, orders_of
from matcher.actions.sets.plan import plan_set
from matcher.actions.sets.result import Sets
from matcher.actions.sets.wanted import wanted_of
from matcher.actions.whom.parties import ForOne, Whom, parties_with
from matcher.matching.gap.bench import Ground
from matcher.matching.gap.find import Purchases, purchases
from matcher.matching.gap.offers import Offer
from matcher.matching.ranking.scope import Wishes
from matcher.matching.sets.aims import BEST
from matcher.reasons.reason import Words, reason
from matcher.reasons.style import PLAIN, Style
from matcher.store.catalogue.catalogue import Catalogue


def gap_of_set(
    bin: DeskLike = None,
    *,
    want: str | Sequence[str],
    whom: str | Sequence[str] = (),
    sure: float | None = None,
    most_grams: float | None = None,
    time_limit: float = 10.0,
    eyes: str | None = None,
    mending: str | None = None,
    catalog: Path | str | None = None,
    out: Path | str | None = None,
    replace_files: bool = False,
    style: Style = PLAIN,
    progress: Progress | None = None,
    stage: Callable[[Words], None] | None = None,
) -> Gaps:
    """Which single purchase makes a wanted set whole; where none does, those that come nearest.

    want, whom, sure, eyes, mending, catalog : as in `plan_set`. most_grams, out, style : as in `gap`.
    replace_files : write over files of other content there. time_limit : seconds for each planning of the set.

    Raises BadSheets, CatalogueError, NotFound, BadInput.
    """
    begin = stage or (lambda _: None)
    begin(reason("reading"))
    if out is not None:
        check_folder(Path(out))
    desk = desk_of(bin, catalog, mending)
    most_g = most_to_buy(most_grams, desk.catalogue)
    wants = several(want)
    names = several(whom)
    plan = partial(plan_set, want=wants, whom=names, sure=sure, eyes=eyes, time_limit=time_limit, remember=False)
    begin(reason("looking for what goes together"))
    planned = plan(desk)
    catalogue = desk.seen_by(eyes)
    orders = orders_of(desk, catalogue, Asking(wanted_of(wants, desk.bin, catalogue, []), False, names, eyes, BEST))
    tries = _Tries(desk, planned, plan, most_g, name_of_new(desk))
    rest, number = _without(planned, desk), count(1)
    found: list[ToBuy] = []
    left, without = Leftovers(planned, desk, rest, orders.catalogue), dict[tuple[str, str], Without]()
    tried: Purchases | None = None
    begin(reason("what could be bought"))
    for one in planned.not_possible:
        assert one.place is not None  # no lot must be used
        order = orders.orders[one.place]
        who = Whom(orders.catalogue, (order.party,), tuple(ForOne(of.one, order.party) for of in order.people[:1]))
        ground = _ground(order, who, rest, catalogue, sure, tries.name)
        tried = purchases(ground, most_g, progress)
        without.update({(str(way.how), way.suggestion.accessory): way for way in left.without(order, who)})
        for bought in tried.found:
            found.extend(tries.of(to_buy(bought, ground, who, rest.shelf.groups, number)))
    least = min((len(one.finishes.missing) for one in found if one.finishes), default=0)
    nearest = [one for one in found if one.finishes and len(one.finishes.missing) == least]
    nearest.sort(key=lambda one: one.purchase.offer.grams)
    result = Gaps(
        sure_at_least=planned.sure_at_least,
        most_grams=most_g,
        to_buy=tuple(nearest[: int(catalogue.purchase.shown)]),
        without=tuple(without.values()),
        possible=(),
        never=(),
        more=(),
        tried=tried.tried if tried else (0, 0, 0, 0, 0),
        held_together=tried is None or tried.held_together,
        notes=planned.notes,
        of_set=OfSet(wants, tuple(one.want for one in planned.not_possible)),
    )
    return result if out is None else replace(result, files=write_gaps(result, Path(out), style, replace_files))


def _without(planned: Sets, desk: Desk) -> Desk:
    """The desk once the things that can be made have taken theirs."""
    used = {one.lot.name: one.used_m for one in planned.best.lots}
    lots = tuple(replace(lot, claimed_m=lot.claimed_m + used.get(lot.name, 0.0)) for lot in desk.bin.lots)
    return desk.with_(bin=replace(desk.bin, lots=lots))


def _ground(order: Order, who: Whom, rest: Desk, catalogue: Catalogue, sure: float | None, name: str) -> Ground:
    """What is left, for one want: of several things that would do only those of several colours, since what is of one
    colour would be knitted from the new yarn alone."""
    party, whole = order.party, rest.every_variant
    keys = [key for key, several in whole.items() if (mine := list(party.variants(key, several))) and mine[0].filled]
    several = [key for key in keys if len(whole[key][0].filled) > 1] if len(keys) > 1 else keys
    return Ground(
        rest.shelf.pools,
        whole,
        tuple(several),
        Wishes(sure=sure, varied=True),
        partial(parties_with, who),
        catalogue,
        lambda together: replace(catalogue, together=together),
        name,
    )


@dataclass(frozen=True)
class _Tries:
    """Purchases as they do for the whole set: each is laid into the bin, and the set planned again."""

    desk: Desk
    planned: Sets
    plan: Callable[[Desk], Sets]
    most_g: float
    name: str

    def of(self, one: ToBuy) -> Iterator[ToBuy]:
        """The purchase in the least balls that do most, from those that do for its thing alone; none where it adds
        nothing."""
        offer, thickest = one.purchase.offer, one.purchase.tex[1]
        most = max(offer.balls, int(self.most_g // offer.ball_g))
        found = self._with(offer, offer.balls, thickest)
        balls = offer.balls
        if found.not_possible and most > balls:
            best = self._with(offer, most, thickest)
            while len(found.not_possible) > len(best.not_possible):
                balls += 1
                found = best if balls == most else self._with(offer, balls, thickest)
        else:
            while balls > 1 and not (fewer := self._with(offer, balls - 1, thickest)).not_possible:
                balls, found = balls - 1, fewer
        missing = tuple(left.want for left in found.not_possible)
        wants = tuple(was.want for was in self.planned.not_possible if was.want not in missing)
        if wants:
            bought = replace(one.purchase, offer=offer.in_balls(balls, offer.ball_g), balls=((balls, offer.ball_g),))
            opens = tuple(replace(opened, balls=balls) for opened in one.opens)
            yield replace(one, purchase=bought, opens=opens, finishes=Finishes(wants, missing, found.best.sure))

    def _with(self, offer: Offer, balls: int, thickest: float) -> Sets:
        """The set with so many balls: of the yarn as it was tried and as thick as may be, whichever does less."""
        bought = offer.in_balls(balls, offer.ball_g)
        found = []
        for tex in dict.fromkeys((offer.tex, thickest)):
            lot = replace(bought, tex=tex).lot(self.name, self.desk.catalogue.measuring)
            found.append(self.plan(self.desk.with_(bin=replace(self.desk.bin, lots=(*self.desk.bin.lots, lot)))))
        return max(found, key=lambda one: (len(one.not_possible), -one.best.sure))

"""A question to the search: a bin, what she wishes, and whom it is for, brought to the search by one road."""

from __future__ import annotations

from dataclasses import dataclass, replace

from matcher.actions.asked import eyes_asked
from matcher.actions.desk import Desk
from matcher.actions.uncollected import uncollected
from matcher.actions.whom.parties import Asked, Whom, whom_for
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Scope, Wishes, scope_of
from matcher.matching.ranking.search import search
from matcher.matching.ranking.searcher import Searcher
from matcher.store.catalogue.catalogue import Catalogue


@dataclass(frozen=True)
class Laid:
    """A question as the search takes it. catalogue : as those see it whose eyes she asked for."""

    catalogue: Catalogue
    who: Whom
    stock: Stock
    scope: Scope
    searcher: Searcher


@dataclass(frozen=True)
class Question:
    """whom : names of people, none for all of hers. eyes : whose decide, None for those of the people.

    known : how it was laid out before; of use as long as no more than lots, a chance or a contrast is otherwise.
    """

    desk: Desk
    wishes: Wishes
    whom: tuple[str, ...] = ()
    eyes: str | None = None
    known: Laid | None = None

    def laid(self, only: str = "") -> Laid:
        """Ready to be searched. only : the key of the one accessory to look at, where its score is of no interest.

        Raises NotFound for a person whom nobody knows, BadInput for eyes that are none.
        """
        desk, wishes, known = self.desk, self.wishes, self.known
        if known is not None:
            stock = stock_of(desk.shelf.pools, known.catalogue.together)
            scope = replace(known.scope, wishes=wishes)
            return replace(known, stock=stock, scope=scope, searcher=searcher_of(stock, scope, known.catalogue))
        catalogue = desk.seen_by(self.eyes)
        asked = Asked(
            self.whom,
            wishes.sizes,
            None if self.eyes is None else eyes_asked(self.eyes),
            bool(wishes.kinds),
            bool(wishes.lots or wishes.garment),
        )
        who = whom_for(desk, catalogue, asked, catalogue.contrast.eyes)
        with uncollected():
            stock = stock_of(desk.shelf.pools, catalogue.together)
        # A kind that she asks for is wanted this time, whatever she wished.
        whole = desk.every_variant if wishes.kinds else desk.variants
        if only:
            whole = {key: several for key, several in whole.items() if key == only}
        scope = scope_of(whole, wishes, who.parties)
        return Laid(catalogue, who, stock, scope, searcher_of(stock, scope, catalogue))

    def possible(self, key: str) -> bool:
        """Whether the search finds any way to make an accessory, with one of the lots that she asks for in it."""
        laid = self.laid(key)
        several = laid.scope.variants.get(key, ())
        return bool(several and search(laid.searcher, several, laid.scope.least[key], any_will_do=True))

    def knowing(self, laid: Laid) -> Question:
        """The same, to be tried many times with other lots. laid : of the one accessory that is looked at."""
        # What is liked is wanted only while any of it is free.
        liked = any(party.wanted for party in laid.scope.parties.values())
        return self if liked else replace(self, known=laid)

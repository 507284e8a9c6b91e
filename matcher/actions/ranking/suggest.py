"""What could these leftovers become? The ranked list, the near misses, and the lots that fit nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace as with_
from itertools import count
from pathlib import Path

from matcher.actions.asked import check_contrast, check_sure, several
from matcher.actions.desk import Desk, DeskLike, desk_of
from matcher.actions.meant import kinds_meant, sizes_meant
from matcher.actions.names import find
from matcher.actions.ranking.last_list import keep_last
from matcher.actions.ranking.question import Question
from matcher.actions.ranking.suggestion import Lacking, Suggestions
from matcher.actions.ranking.teller import Teller
from matcher.actions.ranking.untried import untried
from matcher.actions.reading import grouped
from matcher.errors import BadInput
from matcher.matching.ranking.made import can_be_made
from matcher.matching.ranking.near_miss import near_misses
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import Outcome
from matcher.matching.ranking.unused import why_unused
from matcher.matching.rounds.search import search_stock
from matcher.reasons.reason import Action, Field, Words, reason
from matcher.reasons.style import PLAIN, Style

Progress = Callable[[int, int], None]


def suggest(
    bin: DeskLike = None,
    *,
    whom: str | Sequence[str] = (),
    kind: str | Sequence[str] = (),
    size: str | Sequence[str] = (),
    garment: str | None = None,
    lot: str | Sequence[str] = (),
    sure: float | None = None,
    top: int = 10,
    each: int = 1,
    least_contrast: str | None = None,
    eyes: str | None = None,
    held_together: bool = True,
    colourwork: bool = False,
    varied: bool = True,
    mending: str | None = None,
    catalog: Path | str | None = None,
    remember: bool = False,
    pictures: Path | str | None = None,
    replace: bool = False,
    style: Style = PLAIN,
    progress: Progress | None = None,
    stage: Callable[[Words], None] | None = None,
) -> Suggestions:
    """Rank what the free yarn of a bin could become.

    Parameters
    ----------
    bin : a folder, a spreadsheet, a `Bin`, or None for the demo.
    whom : names of people it is for; left out, all her people, else adults. Their size or measures, what suits their
        skin, their eyes and what they like narrow the list, each where nothing is asked for in its place.
    kind, size, garment, lot : narrow the list; `garment` and `lot` ask that such a lot is used.
    sure : the least chance, 0.5 to 0.999, that every role's yarn suffices.
    top, each : how many suggestions in all, and of one accessory.
    least_contrast : "clear", "readable" or "quiet", in place of what each accessory asks.
    eyes : whose decide besides ordinary ones: "ordinary" (none), "red", "green", "red-green", "blue" (blind) or "any"
        of these; left out, those of whom it is for.
    colourwork : only what is knitted in several colours.
    varied : nothing from the same lots twice, at most three of a kind in ten, small things in a list of their own;
        False gives the best of every accessory, whatever else is in the list.
    mending : which repairs to keep yarn for where a garment's own row leaves it open, one of `MENDING`.
    remember : keep the list, so that its numbers can be given to `begin` and `pattern`.
    pictures : a folder for a sheet with a small picture of every suggestion. replace : write over files of other
        content there. style : how the sheet says things.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    begin = stage or (lambda _: None)
    begin(reason("reading"))
    desk = desk_of(bin, catalog, mending)
    catalogue, read = desk.catalogue, desk.bin
    told: list[Words] = []
    wishes = Wishes(
        kinds=kinds_meant(several(kind), catalogue, told),
        sizes=sizes_meant(several(size), catalogue.sizes, told),
        garment=find(garment, read.garments, "garment") if garment else None,
        lots=_found(lot, (one.name for one in read.lots), "lot"),
        sure=sure,
        top=top,
        each=each,
        least_contrast=least_contrast or desk.wishes.least_contrast or None,
        held_together=held_together,
        colourwork=colourwork,
        varied=varied,
    )
    check_wishes(wishes)
    question = Question(desk, wishes, several(whom), eyes)
    laid = question.laid()
    who, stock, scope, searcher = laid.who, laid.stock, laid.scope, laid.searcher
    begin(reason("matching"))
    outcome = search_stock(searcher, scope, progress)
    begin(reason("what nearly can be made"))
    near = near_misses(searcher, scope, laid.catalogue, can_be_made(searcher, scope, outcome))
    begin(reason("what is used for nothing"))
    unused = tuple(why_unused(desk.shelf.pools, searcher, scope, outcome.met))
    teller = Teller(who, desk.shelf.groups, scope)
    number = count(1)
    found = Suggestions(
        sure_at_least=searcher.chance or 0.0,
        suggestions=tuple(teller.suggestion(next(number), one, stock) for one in outcome.chosen),
        small=tuple(teller.suggestion(next(number), one, stock) for one in outcome.small),
        near_misses=tuple(Lacking(teller.suggestion(next(number), one.found, one.stock), one.lacks) for one in near),
        unused=unused,
        kept=frozenset(desk.shelf.wholly_kept),
        source=read.source,
        notes=(*told, *grouped(read.notes), *desk.shelf.notes, *who.notes, *_notes(desk, outcome)),
        catalogue=who.catalogue,
        cut_short=outcome.cut_short,
    )
    if pictures is not None:
        from matcher.actions.ranking.pictures import write_pictures  # all that draws is seldom asked for

        found = with_(found, files=write_pictures(found, Path(pictures), who.catalogue, style, replace))
    if not remember:
        return found
    return with_(found, notes=(*found.notes, *keep_last(found.numbered, desk, who.catalogue.sizes)))


def _found(asked: str | Iterable[str], names: Iterable[str], what: str) -> tuple[str, ...]:
    known = list(dict.fromkeys(names))
    return tuple(find(one, known, what) for one in several(asked))


def check_wishes(wishes: Wishes) -> None:
    """Raises BadInput for a list that nobody can ask for."""
    check_sure(wishes.sure)
    check_contrast(wishes.least_contrast)
    if wishes.top < 1:
        raise BadInput(
            reason("a list of {number} would be empty", number=wishes.top), Field("top"), reason("give 1 or more")
        )
    if wishes.each < 1:
        raise BadInput(
            reason("{number} of each accessory shows nothing", number=wishes.each),
            Field("each"),
            reason("give 1 or more"),
        )


def _notes(desk: Desk, outcome: Outcome) -> Iterator[Words]:
    """What the knitter should know of how the list was made."""
    if desk.history.learnt is not None:
        yield reason(
            "Needs follow your own knitting: {history} ({calibration} shows it).",
            history=desk.history.words,
            calibration=Action("calibration"),
        )
    if outcome.cut_short:
        yield untried(outcome.missing)

"""Why an accessory is first, or in the list, or not in it, or not possible at all; and what would let it in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from matcher.actions.asked import check_contrast, check_sure, several
from matcher.actions.desk import DeskLike, desk_of
from matcher.actions.meant import accessory_meant, size_meant
from matcher.actions.names import find
from matcher.actions.ranking.against import against, against_lot
from matcher.actions.ranking.answer import BELOW, IMPOSSIBLE, LISTED, Answer
from matcher.actions.ranking.barred import out_of_reach
from matcher.actions.ranking.below import Numbered, below, compared
from matcher.actions.ranking.question import Laid, Question
from matcher.actions.ranking.suggestion import Suggestion
from matcher.actions.ranking.teller import Teller
from matcher.actions.ranking.ways_in import ways_in
from matcher.actions.ranking.ways_up import FURTHER, best_of, list_of, listed_of, places, too_many, ways_up
from matcher.actions.reading import grouped
from matcher.errors import BadInput
from matcher.matching.ranking.found import Found
from matcher.matching.ranking.scope import Wishes
from matcher.matching.ranking.search import Outcome
from matcher.matching.why.nearest import nearest
from matcher.reasons.reason import Field, Words, reason


def why(
    bin: DeskLike = None,
    *,
    accessory: str,
    lot: str | None = None,
    size: str | None = None,
    whom: str | Sequence[str] = (),
    sure: float | None = None,
    top: int = 10,
    least_contrast: str | None = None,
    eyes: str | None = None,
    held_together: bool = True,
    varied: bool = True,
    mending: str | None = None,
    catalog: Path | str | None = None,
    stage: Callable[[Words], None] | None = None,
) -> Answer:
    """Why an accessory is where it is in the list of what a bin could become, or why it is not there.

    Parameters
    ----------
    bin : a folder, a spreadsheet, a `Bin`, or None for the demo.
    accessory : its name, its key, or words of it. lot : it is to have this lot in it, in whatever role.
    size, whom, sure, top, least_contrast, eyes, held_together, varied, mending : as `suggest` takes them; the list is
        the one that it gives with these.

    Raises
    ------
    BadSheets, CatalogueError, NotFound, BadInput
    """
    begin = stage or (lambda _: None)
    begin(reason("reading"))
    desk = desk_of(bin, catalog, mending)
    told: list[Words] = []
    sizes = desk.catalogue.sizes
    entry = accessory_meant(accessory, desk.catalogue, told)
    in_size = size_meant(size, sizes, sizes.names, "size", told) if size else ""
    with_lot = find(lot, (one.name for one in desk.bin.lots), "lot") if lot else ""
    check_sure(sure)
    check_contrast(least_contrast)
    if top < 1:
        raise BadInput(reason("a list of {number} would be empty", number=top), Field("top"), reason("give 1 or more"))
    wishes = Wishes(
        sizes=(in_size,) if in_size else (),
        sure=sure,
        top=top,
        least_contrast=least_contrast or desk.wishes.least_contrast or None,
        held_together=held_together,
        varied=varied,
    )
    asked = Question(desk, wishes, several(whom), eyes)
    with_it = replace(asked, wishes=replace(wishes, lots=(with_lot,))) if with_lot else asked
    laid = with_it.laid(entry.key)
    notes = (*told, *grouped(desk.bin.notes), *desk.shelf.notes, *laid.who.notes)
    answer = Answer(entry, with_lot, in_size, laid.searcher.chance or 0.0, IMPOSSIBLE, (), notes=notes)
    if with_it.possible(entry.key):
        begin(reason("matching"))
        return _listed(answer, asked, with_it)
    begin(reason("what would let it in"))
    return _not_possible(answer, with_it, laid)


# It can be made -------------------------------------------------------------------------------------------


def _listed(answer: Answer, asked: Question, with_it: Question) -> Answer:
    """Where it stands, beside what, and what would bring it into the list."""
    entry, top = answer.accessory, asked.wishes.top
    apart = entry.small and asked.wishes.varied
    laid, outcome = list_of(asked, entry, 0 if apart or answer.lot else FURTHER)
    shown = replace(outcome, chosen=outcome.chosen[:top])
    lots = places(laid, answer.lot)
    teller = Teller(laid.who, asked.desk.shelf.groups, laid.scope)
    length = len(shown.chosen) + len(shown.small)

    def told(place: int, one: Found) -> Suggestion:
        return teller.suggestion(place, one, laid.stock)

    here = listed_of(shown, entry.key, lots)
    if here is not None:
        beside = _beside(here, shown, apart)
        because = compared(here, beside, laid.catalogue.ranking) if beside else ()
        told_beside = told(*beside) if beside else None
        answer = replace(answer, verdict=LISTED, place=here[0], length=length, beside=told_beside)
        return replace(answer, suggestion=told(*here), because=tuple(because))
    laid_with = with_it.laid()
    best = best_of(laid_with, entry.key)
    assert best is not None  # the search found a way before
    longer = listed_of(outcome, entry.key, lots)
    same = listed_of(shown, entry.key, None)
    last = _last(shown, apart)
    rival = same or last
    ways = ways_up(asked, entry, answer.lot, best, longer[0] if longer else None, same[1] if same else None)
    if too_many(laid_with, entry.key):
        told_so = reason("With so many lots, what it would be made of is one way of many: there may be a better one.")
        answer = replace(answer, notes=(*answer.notes, told_so))
    teller_with = Teller(laid_with.who, asked.desk.shelf.groups, laid_with.scope)
    return replace(
        answer,
        verdict=BELOW,
        length=length,
        suggestion=teller_with.suggestion(0, best, laid_with.stock),
        beside=told(*rival) if rival else None,
        because=tuple(below(entry, shown, best, same, last, laid, asked.wishes.varied)),
        least_change=tuple(ways),
    )


def _beside(here: tuple[int, Found], shown: Outcome, apart: bool) -> Numbered:
    """What it is compared with: the first of the list, or of the small things; the next where it is that itself."""
    first, several = (len(shown.chosen) + 1, shown.small) if apart else (1, shown.chosen)
    other = first if here[0] != first else first + 1
    return (other, several[other - first]) if other - first < len(several) else None


def _last(shown: Outcome, apart: bool) -> Numbered:
    """The number and the last of the list, or of the small things."""
    every = (*shown.chosen, *shown.small)
    number = len(every) if apart else len(shown.chosen)
    return (number, every[number - 1]) if number else None


# It can't be made -----------------------------------------------------------------------------------------


def _not_possible(answer: Answer, question: Question, laid: Laid) -> Answer:
    """What stands against it, and what would let it in."""
    entry, near = answer.accessory, None
    because = list(out_of_reach(question, entry, laid))
    if not because and answer.lot:
        because = list(against_lot(answer.lot, entry, question, laid))
    if not because:
        near = nearest(laid.stock, laid.scope, entry.key, laid.catalogue)
        because = list(against(entry, question, laid, near))
    ways = tuple(ways_in(question.knowing(laid), entry, laid, near))
    return replace(answer, because=tuple(because), least_change=ways)

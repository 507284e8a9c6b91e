"""What could many bins become together? A guild, a charity's depots, a swap group ask it of a folder of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

from matcher.actions.asked import several
from matcher.actions.collection.asking import Answered, Asking
from matcher.actions.collection.cost import cost_of
from matcher.actions.collection.gathered import Gathered, gathered
from matcher.actions.collection.givers import nearly
from matcher.actions.collection.planned import planned
from matcher.actions.collection.result import Group, Pooled
from matcher.actions.desk import Desk
from matcher.actions.meant import kinds_meant, sizes_meant
from matcher.actions.ranking.suggest import check_wishes
from matcher.matching.ranking.scope import Wishes
from matcher.materials.collection import Once
from matcher.materials.lots import Bin
from matcher.reasons.reason import Field, Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.places import expanded

Progress = Callable[[int, int], None]
_EACH, _NEAR = 3, 2  # things, and near misses, that are shown for each member or place; choices


def pool(
    folder: Path | str,
    *,
    kind: str | Sequence[str] = (),
    size: str | Sequence[str] = (),
    sure: float | None = None,
    top: int = 10,
    each: int = 1,
    least_contrast: str | None = None,
    eyes: str | None = None,
    held_together: bool = True,
    colourwork: bool = False,
    varied: bool = True,
    each_member: bool = False,
    each_place: bool = False,
    use_most: bool = False,
    gap: bool = False,
    good_files: bool = False,
    time_limit: float = 20.0,
    catalog: Catalogue | Path | str | None = None,
    progress: Progress | None = None,
    stage: Callable[[Words], None] | None = None,
) -> Pooled:
    """Rank what the free yarn of many bins could become together.

    Parameters
    ----------
    folder : holds stores, workbooks, folders of sheets and Parquet files of `export`, each a member's bin; a folder in
        it is a place. Of each bin only what is free in it enters; lots of two members never count as one. Results name
        members by codes, and nobody else.
    kind, size, sure, top, each, least_contrast, eyes, held_together, colourwork, varied : as in `suggest`.
    each_member, each_place : also the best few of each one's own yarn. use_most : also a set that uses most of the yarn
        among what the first search leaves. gap : also what is nearly possible, and who could give what it lacks.
    good_files : leave out files that can't be read; they stand in the result. time_limit : seconds for a set.

    Raises
    ------
    BadFiles (with every fault of every file), BadSheets, CatalogueError, NotFound, BadInput
    """
    begin = stage or (lambda _: None)
    nobody = Desk(Bin(()), catalog)
    told: list[Words] = []
    wishes = Wishes(
        kinds=kinds_meant(several(kind), nobody.catalogue, told),
        sizes=sizes_meant(several(size), nobody.catalogue.sizes, told),
        sure=sure,
        top=top,
        each=each,
        least_contrast=least_contrast,
        held_together=held_together,
        colourwork=colourwork,
        varied=varied,
    )
    check_wishes(wishes)
    asking = Asking.of(nobody, wishes, eyes)
    begin(reason("reading"))
    read = gathered(expanded(folder), nobody.catalogue, good_files=good_files, progress=progress)
    begin(reason("matching"))
    answered = asking.answered(read.collection, progress=progress)
    things = asking.told(answered.outcome.chosen, answered.stock)
    small = asking.told(answered.outcome.small, answered.stock, 1 + len(things))
    near = None
    if gap:
        begin(reason("what nearly can be made"))
        near = nearly(asking, answered, answered.stock, 1 + len(things) + len(small))
    groups: dict[str, tuple[Group, ...] | None] = {"member": None, "place": None}
    for what, asked in (("member", each_member), ("place", each_place)):
        if asked:
            begin(reason("each member") if what == "member" else reason("each place"))
            groups[what] = tuple(_groups(asking, answered, read, what, gap, progress))
    most = None
    if use_most:
        begin(reason("a set that uses most"))
        most = planned(asking, answered, time_limit)
    collection = read.collection
    return Pooled(
        sure_at_least=answered.searcher.chance or 0.0,
        files=read.files,
        members=read.members,
        lots=len(collection),
        free_m=float(collection.free_m.sum()),
        places={name: len(rows) for name, rows in _by(collection.place)},
        things=things,
        small=small,
        cost=cost_of(1),
        nearly=near,
        by_member=groups["member"],
        by_place=groups["place"],
        planned=most,
        left_out=read.left_out,
        notes=(*told, *read.notes, *_notes(answered)),
        catalogue=asking.who.catalogue,
    )


def _groups(
    asking: Asking, everybody: Answered, read: Gathered, what: str, gap: bool, progress: Progress | None
) -> Iterator[Group]:
    """The best few of each member's or each place's own rows, in their order."""
    collection = read.collection
    every = list(_by(collection.member if what == "member" else collection.place))
    for number, (name, rows) in enumerate(every, 1):
        mine = collection.take(rows)
        answered = asking.answered(mine, top=_EACH)
        things = asking.told(answered.outcome.chosen or answered.outcome.small[:_EACH], answered.stock)
        but = name if what == "member" else ""
        near = nearly(asking, answered, everybody.stock, 1 + len(things), _NEAR, but) if gap else ()
        yield Group(name, len(rows), float(mine.free_m.sum()), things, near)
        if progress is not None:
            progress(number, len(every))


def _by(column: Once[str]) -> Iterator[tuple[str, npt.NDArray[np.intp]]]:
    """Each value with the rows that have it."""
    order = np.argsort(column.at, kind="stable")
    ends = np.searchsorted(column.at[order], np.arange(len(column.values) + 1))
    for place, name in enumerate(column.values):
        rows = order[ends[place] : ends[place + 1]]
        if len(rows):
            yield name, rows


def _notes(answered: Answered) -> Iterator[Words]:
    """What to know of how the list was made."""
    if answered.outcome.cut_short:
        yield reason(
            "There are so many lots that not every way to hold strands together was tried: a better one may be "
            "missing. With {single}, or narrowed with {kind} or {size}, the list is exact.",
            single=Field("single"),
            kind=Field("kind"),
            size=Field("size"),
        )

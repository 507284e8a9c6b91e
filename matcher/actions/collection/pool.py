"""What could many bins become together? A guild, a charity's depots, a swap group ask it of a folder of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

from matcher.actions.asked import check_time, several
from matcher.actions.collection.asking import Answered, Asking
from matcher.actions.collection.cluster import cluster_at
from matcher.actions.collection.cost import cost_of, too_large
from matcher.actions.collection.gathered import Gathered, gathered
from matcher.actions.collection.givers import Wanted, wanted_by, with_givers
from matcher.actions.collection.givers import misses as misses_of
from matcher.actions.collection.givers import told as told_of
from matcher.actions.collection.planned import planned
from matcher.actions.collection.result import Group, Nearly, Pooled
from matcher.actions.collection.source import EACH, Own, Source
from matcher.actions.collection.turns import scattered
from matcher.actions.collection.twice import seem_one, told_twice
from matcher.actions.desk import Desk
from matcher.actions.meant import kinds_meant, sizes_meant
from matcher.actions.ranking.suggest import check_wishes
from matcher.actions.ranking.untried import untried
from matcher.matching.ranking.scope import Wishes
from matcher.matching.rounds.parts import InTurn
from matcher.materials.lots import Bin
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.collection.lying import lying_in, passed_over_in
from matcher.store.places import expanded

Progress = Callable[[int, int], None]
# Lots that are read at once where a folder is too large, and by a worker; choices.
_AT_ONCE, _BY_A_WORKER = 100_000, 20_000
_MOST_TOLD = 4  # members whose files were read with guesses; a choice
_NEAR = 2  # near misses that are shown for each member or place; a choice


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
    cluster: str = "",
    lots_at_once: int | None = None,
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
        of the lots in the list and the heaviest. gap : also what is nearly possible, and who could give what it lacks.
    good_files : leave out files that can't be read; they stand in the result. time_limit : seconds for a set.
    cluster : the address of a Dask scheduler whose workers read the files, from the same paths as here.
    lots_at_once : read so many lots at a time, whole files, and keep of them only what could stand in the answer; left
        out, all of them where this machine's memory holds that.

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
    check_time(time_limit)
    asking = Asking.of(nobody, wishes, eyes)
    begin(reason("reading"))
    where = expanded(folder)
    lying = lying_in(where)
    cut = lots_at_once is None and not cluster and too_large(lying)
    if lots_at_once is None:
        lots_at_once = _AT_ONCE if cut else _BY_A_WORKER if cluster else None
    with cluster_at(cluster) if cluster else nullcontext(InTurn()) as mapper:
        read = gathered(
            where, lying, nobody.catalogue, mapper, keep=lots_at_once is None, good_files=good_files, progress=progress
        )
        begin(reason("matching"))
        source = Source(asking, read.held, mapper, lots_at_once, gap)
        answered = source.whole(progress)
        things = asking.told(answered.outcome.chosen, answered.stock)
        small = asking.told(answered.outcome.small, answered.stock, 1 + len(things))
        near = None
        if gap:
            begin(reason("what nearly can be made"))
            misses = misses_of(asking, answered)
            near = told_of(asking, misses, 1 + len(things) + len(small))
            near = with_givers(near, source.givers(wanted_by(misses)))
        by_member = by_place = None
        if each_member:
            begin(reason("each member"))
            by_member = tuple(_groups(source, source.members(), "member", gap, read.members, progress))
        if each_place:
            begin(reason("each place"))
            by_place = tuple(_groups(source, source.places(read.places), "place", gap, list(read.places), progress))
        most = None
        if use_most:
            begin(reason("a set that uses most"))
            most = planned(asking, source.heaviest(), time_limit)
        return Pooled(
            sure_at_least=answered.searcher.chance or 0.0,
            files=read.files,
            members=read.members,
            lots=sum(one.lots for one in read.held),
            free_m=sum(one.free_m for one in read.held),
            places={place: lots for place, (lots, _) in read.places.items()},
            things=things,
            small=small,
            cost=cost_of(max(1, len(source.bunches))),
            cut_short=answered.outcome.cut_short,
            nearly=near,
            by_member=by_member,
            by_place=by_place,
            planned=most,
            left_out=read.left_out,
            notes=(
                *told,
                *_guesses(read),
                *told_twice(seem_one({one.members[0]: one.signs for one in read.held if one.signs})),
                *_notes(answered, cut),
                *(_scattered(read) if each_member and source.bunches else ()),
            ),
            who=read.who,
            passed_over=passed_over_in(where),
            copies=tuple((one.called, *one.copies) for one in lying if one.copies),
            catalogue=asking.who.catalogue,
        )


def _groups(
    source: Source, several: Iterable[Own], what: str, gap: bool, names: Sequence[str], progress: Progress | None
) -> Iterator[Group]:
    """The best few of each member's or each place's own rows. names : all of them, also those with nothing free."""
    asking = source.asking
    found: list[Group] = []
    wanted: list[Wanted] = []
    for done, own in enumerate(several, 1):
        answered = own.answered
        things = asking.told(answered.outcome.chosen or answered.outcome.small[:EACH], answered.stock)
        near: tuple[Nearly, ...] = ()
        if gap:
            misses = misses_of(asking, answered, _NEAR, own.name if what == "member" else "")
            near = told_of(asking, misses, 1 + len(things))
            wanted += wanted_by(misses)
        found.append(Group(own.name, own.lots, own.free_m, things, near, answered.outcome.cut_short))
        if progress is not None:
            progress(min(done, len(names)), len(names))
    givers = source.givers(wanted)
    found = [replace(one, nearly=with_givers(one.nearly, givers)) for one in found]
    order = {name: at for at, name in enumerate(names)}
    found += [Group(name, 0, 0.0, ()) for name in order.keys() - {one.name for one in found}]
    yield from sorted(found, key=lambda one: order[one.name])


def _guesses(read: Gathered) -> Iterator[Words]:
    """Whose files were read with guesses, or columns left out, the gravest first: of many the others aren't named."""
    doubted = sorted((one for one in read.held if one.read_with), key=lambda one: one.doubts, reverse=True)
    told = [reason("{member} with {guesses}", member=one.members[0], guesses=one.read_with) for one in doubted]
    if told:
        said: Words = listed(told[:_MOST_TOLD], between="; ")
        if len(told) > _MOST_TOLD:
            more = len(told) - _MOST_TOLD
            said = counted(more, "{said}; and {n} more member", "{said}; and {n} more members", said=said)
        check, who = Action("check", (Field("bin"),)), Field("who")
        yield reason(
            "Read: {said}. {check} shows what it was; {who} says which file is whose.", said=said, check=check, who=who
        )


def _notes(answered: Answered, cut: bool) -> Iterator[Words]:
    """What to know of how the list was made."""
    if cut:
        yield reason(
            "The folder is too large for this machine's memory at once: its files were read one after the other, and "
            "of each only what could stand in the list was kept. The list is the same."
        )
    if answered.outcome.cut_short:
        yield untried(answered.outcome.missing)


def _scattered(read: Gathered) -> Iterator[Words]:
    """Which files took more memory than they need have."""
    if number := scattered(read.held):
        one = "In one large file members' lots don't lie together; it was read at once, which takes more memory."
        many = "In {n} large files members' lots don't lie together; each was read at once, which takes more memory."
        yield counted(number, one, many)

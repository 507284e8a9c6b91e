"""All bins of a folder, each file opened by itself; what can't be read is kept with its faults."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

from matcher.actions.collection.codes import Part, with_codes
from matcher.actions.collection.twice import signs_of
from matcher.actions.collection.withheld import faults_without_words
from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.actions.reading import doubts, read_with
from matcher.errors import BadFiles, BadInput, BadSheets, MatcherError
from matcher.matching.rounds.parts import Mapper
from matcher.materials.collection import Collection, Once, first_met
from matcher.reasons.reason import Action, Field, Words, counted, listed, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.collection.lying import SHEET_ENDINGS, Lying
from matcher.store.collection.parquet import read_parquet, row_groups


@dataclass(frozen=True)
class LeftOut:
    """A file that can't be read. member : its code. rows : whether it is a list of which only rows are at fault."""

    part: Part
    member: str
    why: tuple[Words, ...]
    rows: bool = False

    @property
    def file(self) -> str:
        """Its path in the folder, for whoever mends it and for no result."""
        return self.part.lying.called

    @property
    def place(self) -> str:
        """Where it lies, "" for nowhere in particular."""
        return self.part.lying.place

    def with_code(self, part: Part) -> LeftOut:
        """The same by the code of a part, where nobody gave it one."""
        return replace(self, part=part, member=self.member or part.code)

    def as_dict(self) -> dict[str, object]:
        """The keys of the JSON; words are values still."""
        return {"member": self.member, "place": self.place or None, "why": list(self.why)}


Bunch = tuple[Part, ...]
"""Files that are read at once."""


@dataclass(frozen=True)
class Held:
    """What a part holds. members : their codes. places : rows and metres by place. read_with : how many guesses, "" for
    none; doubts : how grave, to compare with others'. rows : itself, where it is kept; groups : how many rows each
    group of it has, where it is not, and spans : the first and the last of these groups that each member has rows in.
    wrote : the codes that stand in it. signs : of its lots, where they are one member's, by which it is known again."""

    part: Part
    members: tuple[str, ...]
    places: dict[str, tuple[int, float]]
    lots: int
    free_m: float
    read_with: Words = ""
    rows: Collection | None = None
    groups: tuple[int, ...] = ()
    spans: tuple[tuple[int, int], ...] = ()
    wrote: tuple[str, ...] = ()
    doubts: tuple[int, int] = (0, 0)
    signs: tuple[int, ...] = ()

    def with_code(self, part: Part) -> Held:
        """The same with the code of a part for those who have none."""
        members = tuple(one or part.code for one in self.members)
        rows = self.rows
        if rows is not None:
            rows = replace(rows, member=_named(rows.member, part.code))
        return replace(self, part=part, members=members, rows=rows)


@dataclass(frozen=True)
class Gathered:
    """All parts that can be read, and those left out. files : how many files there were."""

    held: tuple[Held, ...]
    files: int
    left_out: tuple[LeftOut, ...] = ()

    @property
    def members(self) -> tuple[str, ...]:
        """All codes, also of those of whom nothing is free, in order."""
        return tuple(dict.fromkeys(code for one in self.held for code in one.members))

    @property
    def who(self) -> tuple[tuple[str, str], ...]:
        """Each code with the path of its file in the folder, also of files left out; in the order of the files."""
        whose = [(one.part, one.members) for one in self.held] + [(one.part, (one.member,)) for one in self.left_out]
        whose.sort(key=lambda one: one[0].number)
        return tuple((code, part.lying.called) for part, codes in whose for code in codes)

    @property
    def places(self) -> dict[str, tuple[int, float]]:
        """Rows and metres by place, "" for nowhere in particular; in order of their names."""
        return dict(sorted(added(one.places for one in self.held).items()))


def added(several: Iterable[dict[str, tuple[int, float]]]) -> dict[str, tuple[int, float]]:
    """Rows and metres by place, of several together."""
    found: dict[str, tuple[int, float]] = {}
    for one in several:
        for place, (rows, metres) in one.items():
            before = found.get(place, (0, 0.0))
            found[place] = before[0] + rows, before[1] + metres
    return found


def gathered(
    folder: Path,
    lying: Sequence[Lying],
    catalogue: Catalogue,
    mapper: Mapper,
    *,
    keep: bool = True,
    good_files: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Gathered:
    """Every file looked at. keep : keep what was read.

    good_files : leave out what can't be read; otherwise it is an error, with all faults of all files: BadFiles.
    """
    parts = [Part(one, number) for number, one in enumerate(lying)]
    held: list[Held] = []
    left_out: list[LeftOut] = []
    for number, read in enumerate(mapper.map(partial(held_by, catalogue, keep), parts), 1):
        if isinstance(read, LeftOut):
            left_out.append(read)
        else:
            held.append(read)
        if progress is not None:
            progress(number, len(parts))
    if left_out and not (good_files and held):
        raise _cannot_be_read(left_out, folder, bool(held))
    coded = with_codes(parts, [(one.part, one.members) for one in held], [one.member for one in left_out])
    named = tuple(one.with_code(coded[one.part.number]) for one in held)
    return Gathered(named, len(parts), tuple(one.with_code(coded[one.part.number]) for one in left_out))


def held_by(catalogue: Catalogue, keep: bool, part: Part) -> Held | LeftOut:
    """What a part holds, or why it can't be read."""
    lying = part.lying
    try:
        # What is not kept is looked through a group of rows after the other.
        groups = row_groups(lying.path) if lying.of_many and not keep else ()
        pieces = [_held(replace(part, groups=(at,)), catalogue) for at in range(len(groups))] if len(groups) > 1 else []
        if not pieces:
            return _held(part, catalogue, keep)
        if lying.code and len({code for one in pieces for code in one.wrote}) > 1:
            raise _of_several(part)
    except MatcherError as error:
        why = tuple(faults_without_words(error, lying.path.name))
        return LeftOut(part, lying.code, why, rows=not lying.of_many and _of_rows(error))
    spans: dict[str, tuple[int, int]] = {}
    for at, one in enumerate(pieces):
        spans |= {code: (spans.get(code, (at, at))[0], at) for code in one.members}
    places, lots = added(one.places for one in pieces), sum(one.lots for one in pieces)
    free_m = sum(one.free_m for one in pieces)
    return Held(part, tuple(spans), places, lots, free_m, groups=groups, spans=tuple(spans.values()))


def _held(part: Part, catalogue: Catalogue, keep: bool = False) -> Held:
    """Raises as reading the part does."""
    rows, (guesses, grave), wrote = _read(part, catalogue)
    number, metres = (np.bincount(rows.place.at, weights) for weights in (None, rows.free_m))
    found = zip(rows.place.values, number.tolist(), metres.tolist(), strict=False)
    places = {place: (many, free_m) for place, many, free_m in found if many}
    places = places or {(*rows.place.values[:1], part.lying.place)[0]: (0, 0.0)}
    told = (part, _members(rows), places, len(rows), float(rows.free_m.sum()), guesses, rows if keep else None)
    return Held(*told, wrote=wrote, doubts=grave, signs=signs_of(rows) if len(told[1]) == 1 else ())


def rows_of(part: Part, catalogue: Catalogue) -> Collection:
    """A file's rows, with codes and places. Raises as reading it does."""
    return _read(part, catalogue)[0]


def _read(part: Part, catalogue: Catalogue) -> tuple[Collection, tuple[Words, tuple[int, int]], tuple[str, ...]]:
    """The same, how many guesses it was read with, in words and to compare, and which codes stand in it."""
    guesses: tuple[Words, tuple[int, int]] = ("", (0, 0))
    lying = part.lying
    if lying.link:
        what = reason("it is a link, and only what lies in the folder itself is read")
        raise BadInput(what, lying.called, reason("put the file itself there"))
    if lying.shut:
        raise BadInput(reason("the folder can't be opened"), lying.called, reason("allow yourself to read it"))
    if lying.path.suffix.casefold() in SHEET_ENDINGS and lying.path.is_file() and not lying.size:
        raise BadInput(reason("the file is empty"), lying.called, reason("leave it out, or copy it again"))
    if lying.of_many:
        read = read_parquet(lying.path, catalogue.fibres, lying.called, part.groups)
        if lying.place:
            read = replace(read, place=Once(np.zeros(len(read), dtype=np.intp), (lying.place,)))
    else:
        desk = Desk(lying.path, catalogue)
        read = given(desk, place=lying.place)
        if desk.read_with:
            guesses = read_with(desk.reading.understood), doubts(desk.reading.understood)
    member = _named(read.member, part.code)
    if lying.code:
        if len(_members(read)) > 1:
            raise _of_several(part)
        member = Once(np.zeros(len(read), dtype=np.intp), (lying.code,))
    return replace(read, file=read.file + part.number, member=member), guesses, _members(read)


def _of_several(part: Part) -> BadInput:
    said = "it holds lots of several members, and codes.csv gives it one code: take its row out of codes.csv"
    return BadInput(reason(said), part.lying.called)


def bunches(held: Sequence[Held], lots: int) -> list[Bunch]:
    """All parts in their order, so many lots at once or a few more; a small bunch costs a round as much as a large.

    A file in groups of rows is cut between these.
    """
    found: list[Bunch] = []
    bunch: list[Part] = []
    number = 0
    for part, rows in _pieces(held):
        bunch.append(part)
        number += rows
        if number >= lots:
            found.append(tuple(bunch))
            bunch, number = [], 0
    return [*found, tuple(bunch)] if bunch else found


def _pieces(held: Sequence[Held]) -> Iterator[tuple[Part, int]]:
    for one in held:
        if one.groups:
            yield from ((replace(one.part, groups=(at,)), rows) for at, rows in enumerate(one.groups))
        else:
            yield one.part, one.lots


def _members(rows: Collection) -> tuple[str, ...]:
    """The codes of a file, "" for none; one where nothing is free of it."""
    if not len(rows):
        return rows.member.values[:1] or ("",)
    return tuple(rows.member.values[at] for at in rows.member.at[first_met(rows.member.at)[0]].tolist())


def _named(member: Once[str], code: str) -> Once[str]:
    return Once.joined([Once(member.at, tuple(one or code for one in member.values))])


def _of_rows(error: MatcherError) -> bool:
    """Whether only rows below the heading are at fault, so that the others can be taken in without them."""
    return isinstance(error, BadSheets) and all((one.row or 0) > 1 for one in error.faults)


def good_rows_of(left_out: Sequence[LeftOut]) -> Iterator[Words]:
    """How the good rows of lists with faults come to count: one cell would cost a member her whole list."""
    if any(one.rows for one in left_out):
        yield reason(
            "To count the good rows of a list with faults, take the list out of the folder and put a store of them "
            "there: {intake} FILE {yes} {store} DIR/NAME.db",
            intake=Action("intake"),
            yes=Field("yes"),
            store=Field("store"),
        )


def _cannot_be_read(left_out: Sequence[LeftOut], folder: Path, others: bool) -> BadFiles:
    one, number = "mend it and ask again; nothing was worked out", len(left_out)
    todo: Words = counted(number, one, "mend them and ask again; nothing was worked out")
    if others:
        field = Field("good files")
        one = "mend it and ask again, or leave it out with {field}; nothing was worked out"
        many = "mend them and ask again, or leave them out with {field}; nothing was worked out"
        todo = counted(number, one, many, field=field)
    todo = listed((todo, *good_rows_of(left_out)), between=". ")
    return BadFiles([(one.file, why) for one in left_out for why in one.why], str(folder), todo)

"""All bins of a folder read into one collection; each file is opened by itself, and its faults are kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from matcher.actions.collection.withheld import faults_without_words
from matcher.actions.desk import Desk
from matcher.actions.given import given
from matcher.errors import BadFiles, BadInput, MatcherError
from matcher.materials.collection import Collection, Once, joined
from matcher.reasons.reason import Field, Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.collection.lying import Lying, lying_in
from matcher.store.collection.parquet import read_parquet


@dataclass(frozen=True)
class LeftOut:
    """A file that can't be read. file : its path in the folder, for whoever mends it and for no result."""

    file: str
    member: str
    place: str
    why: tuple[Words, ...]

    def as_dict(self) -> dict[str, object]:
        """The keys of the JSON; words are values still."""
        return {"member": self.member, "place": self.place or None, "why": list(self.why)}


@dataclass(frozen=True)
class Gathered:
    """What was read. files : how many; members : their codes, also of those of whom nothing is free, in order."""

    collection: Collection
    files: int
    members: tuple[str, ...]
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[Words, ...] = ()


Read = Callable[[Lying, int, Catalogue], "Collection | LeftOut"]


def gathered(
    folder: Path,
    catalogue: Catalogue,
    *,
    good_files: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Gathered:
    """The bins of a folder as one collection.

    good_files : leave out what can't be read; otherwise it is an error, with all faults of all files. Raises BadFiles,
    NotFound, BadInput and BadSheets for the folder itself.
    """
    lying = lying_in(folder)
    parts: list[Collection] = []
    left_out: list[LeftOut] = []
    for number, one in enumerate(lying):
        read = read_part(one, number, catalogue)
        (left_out if isinstance(read, LeftOut) else parts).append(read)  # type: ignore[arg-type]
        if progress is not None:
            progress(number + 1, len(lying))
    if left_out and (not good_files or not parts):
        raise _cannot_be_read(left_out, folder, bool(parts))
    members = tuple(dict.fromkeys(code for part in parts for code in part.member.values))
    return Gathered(joined(parts), len(lying), members, tuple(left_out), tuple(_notes(parts)))


def read_part(lying: Lying, number: int, catalogue: Catalogue) -> Collection | LeftOut:
    """One file's rows, with codes and places; or why it can't be read. number : of the file, from 0."""
    code = lying.code or f"member {number + 1}"
    try:
        if lying.link:
            what = reason("it is a link, and only what lies in the folder itself is read")
            raise BadInput(what, lying.called, reason("put the file itself there"))
        if lying.of_many:
            read = read_parquet(lying.path, catalogue.fibres, lying.called)
        else:
            read = given(Desk(lying.path, catalogue))
    except MatcherError as error:
        return LeftOut(lying.called, code, lying.place, tuple(faults_without_words(error)))
    place = _all(lying.place, read) if lying.place else read.place
    return replace(read, file=read.file + number, member=_named(read.member, code), place=place)


def _all(word: str, read: Collection) -> Once[str]:
    return Once(np.zeros(len(read), dtype=np.intp), (word,))


def _named(member: Once[str], code: str) -> Once[str]:
    """With a code for those who gave none."""
    return Once.joined([Once(member.at, tuple(one or code for one in member.values))])


def _cannot_be_read(left_out: Sequence[LeftOut], folder: Path, others: bool) -> BadFiles:
    todo = reason("mend them and ask again; nothing was worked out")
    if others:
        field = Field("good files")
        todo = reason("mend them and ask again, or leave them out with {field}; nothing was worked out", field=field)
    return BadFiles([(one.file, why) for one in left_out for why in one.why], str(folder), todo)


def _notes(parts: Sequence[Collection]) -> Iterator[Words]:
    """Codes that several files have, of which one member is made."""
    files: dict[str, int] = {}
    for part in parts:
        for code in part.member.values:
            files[code] = files.get(code, 0) + 1
    for code, number in files.items():
        if number > 1:
            said = "{code} is the code of {n} files: what is in them counts as one member's"
            yield reason(said, code=code, n=number)

"""Look at sheets before they are taken in: how they are read, and what is to be asked; her answers are kept at once."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from matcher.actions.desk import desk_of
from matcher.actions.keeping.answers import answer_to
from matcher.actions.keeping.questions import CellQuestions, Question, heading_questions
from matcher.actions.place import store_file
from matcher.actions.reading import follows, reading_dict
from matcher.errors import BadInput, BadSheets, Fault
from matcher.reasons.reason import Action, Words, reason
from matcher.store.catalogue.catalogue import Catalogue
from matcher.store.cells import NOTHING as EMPTY
from matcher.store.cells import AllCells, all_cells
from matcher.store.database.store import is_store, open_store
from matcher.store.intake import compare
from matcher.store.places import to_read
from matcher.store.readings import Book, book_of, keep, said_of
from matcher.store.sheets.grid import AS_THEY_LIE, Called
from matcher.store.sheets.read import reading_of
from matcher.store.sheets.said import NOTHING_SAID, Said
from matcher.store.sheets.understood import Understood


@dataclass(frozen=True)
class Look:
    """Sheets as they would be taken in. name: what she calls the file; questions: those that come next, headings before
    cells, since what a heading holds decides which cells there are; follows: what follows from what the sheets do not
    say."""

    file: Path
    name: str
    store: Path
    book: Book
    catalogue: Catalogue
    understood: Understood
    faults: tuple[Fault, ...]
    follows: tuple[Words, ...]
    questions: tuple[Question, ...]

    def as_dict(self) -> dict[str, Any]:
        """Plain values; sentences are reasons still."""
        return {
            "faults": [vars(fault) for fault in self.faults],
            "reading": reading_dict(self.understood),
            "follows": list(self.follows),
            "questions": [one.as_dict() for one in self.questions],
        }


def answers_about(name: str) -> Words:
    """What her answers about a file are called in the list of what was done."""
    return reason("answers about {file}", file=name)


def to_take_in(file: Path | str, bin: Path | str | None, called: Called = AS_THEY_LIE) -> tuple[Path, Path]:
    """The sheets and the store that they go into. Raises BadInput for sheets that are a store themselves."""
    source, place = to_read(file), store_file(bin)
    if is_store(source):
        todo = reason("write it out with {export}, and take that in", export=Action("export"))
        raise BadInput(reason("that file is a store already"), called.get(source.name, str(source)), todo)
    return source, place


def look(
    file: Path | str,
    *,
    bin: Path | str | None = None,
    passed: Container[Question] = (),
    catalog: Path | str | Catalogue | None = None,
    called: Called = AS_THEY_LIE,
) -> Look:
    """Read sheets as `intake` would, and say what is to be asked. Nothing is changed.

    bin : the store's file; without it the usual one. passed : questions that she leaves open.
    called : what she calls the file, where it lies under another name. Raises NotFound and
    BadInput as `intake` does; faults of the sheets are values here.
    """
    source, place = to_take_in(file, bin, called)
    catalogue = desk_of(None, catalog).catalogue
    seen, said = _stored(place, source, called)
    try:
        found = compare(source, seen, catalogue, said, called=called)
    except BadSheets as error:  # of a sheet as a whole
        read = reading_of(source, catalogue, said, called)
        faults, tables, understood = error.faults, read.tables, read.understood
        cells: tuple[Question, ...] = ()
    else:
        faults, tables, understood = found.faults, found.tables, found.understood
        known = [row["garment"] for row in seen["garments"]]
        cells = CellQuestions(tables, understood, known).all(faults)
    headings = [one for one in heading_questions(tables, understood) if one not in passed]
    asked = headings or [one for each in cells for one in (each.each if each in passed else (each,))]
    book = book_of(source, understood.headings, called)
    return Look(
        source,
        called.get(source.name, source.name),
        place,
        book,
        catalogue,
        understood,
        faults,
        follows(tables),
        tuple(one for one in asked if one not in passed),
    )


def _stored(place: Path, source: Path, called: Called) -> tuple[AllCells, Said]:
    if not place.exists():
        return EMPTY, NOTHING_SAID
    with open_store(place) as store:
        return all_cells(store), said_of(store, source, called)


def answer(seen: Look, question: Question, text: str) -> bool:
    """Keep her answer to a question; False where it leaves the question open. The store is begun when there is none.

    Answers about the same sheets are one action for undo, and one with the intake that follows. Raises BadInput and
    NotFound for an answer that makes no sense there; nothing is kept then.
    """
    given = answer_to(question, text, seen.catalogue)
    if not given:
        return False
    words = answers_about(seen.name)
    with open_store(seen.store, create=True) as store, store.action(words, goes_on=words) as act:
        for one in given:
            keep(act, seen.book, one)
    return True

"""Her answers to what is asked about her sheets, held to the rules of the sheets."""

from __future__ import annotations

from dataclasses import replace

from matcher.actions.keeping.questions import Question
from matcher.actions.names import find, near_names
from matcher.errors import BadInput
from matcher.materials.reading.names import fold
from matcher.materials.reading.numerals import Unclear, Unreadable
from matcher.reasons.reason import Term, listed, reason
from matcher.store.catalogue.standards import Standards
from matcher.store.readings import Answer
from matcher.store.sheets.columns import SHEETS
from matcher.store.sheets.headings import UNITS, fold_heading

NOTHING = "-"
"""The answer that leaves a cell empty, or a heading out."""
_YES, _NO = ("yes", "y"), ("no", "n", "none", NOTHING)


def answer_to(question: Question, text: str, standards: Standards) -> tuple[Answer, ...]:
    """What an answer says; nothing where it leaves the question open, so that what stands in `otherwise` holds, or
    where each row is to be asked about by itself.

    Raises BadInput for an answer that makes no sense there, and NotFound for a name that is not known.
    """
    said = text.strip()
    if not said and not question.confirms:
        return ()
    if question.about == "column":
        return _of_column(question, said)
    if question.about == "heading":
        return (_of_heading(question, said),)
    if question.confirms and (not said or said.casefold() in _YES):
        return tuple(replace(one.place, taken=one.cell) for one in question.each or (question,))
    if question.each:
        if said.casefold() not in _NO:
            raise BadInput(reason("say yes, or no to be asked about each"))
        return ()
    return (_of_cell(question, said, standards),)


def _of_column(question: Question, said: str) -> tuple[Answer, ...]:
    if said.casefold() in _NO:
        return ()
    heading = next((one for one in question.among if fold(one) == fold(said)), "")
    if not heading:
        todo = reason("say one of {headings}, or none", headings=listed(question.among, "or"))
        raise BadInput(reason('"{text}" isn\'t one of them', text=said), "", todo)
    return (replace(question.place, heading=fold_heading(heading)),)


def _of_heading(question: Question, said: str) -> Answer:
    columns, folded = SHEETS[question.sheet], fold(said)
    if not said or folded in _YES:
        return replace(question.place, taken=question.unit)
    if folded in _NO:
        return replace(question.place, column="")
    units = {word: unit for unit, called in UNITS.items() for word in (unit, called)}
    if question.unit and folded in units:
        return replace(question.place, taken=units[folded])
    known = {fold(word): one.name for one in columns.rules.values() for word in (one.name, one.said, *one.spellings)}
    if folded not in known:
        what = reason('"{text}" isn\'t one of the columns here', text=said)
        near = listed(near_names(said, known) or columns.typed, "or")
        raise BadInput(what, "", reason("say yes, no, or what it holds: {columns}", columns=near))
    return replace(question.place, column=known[folded])


def _of_cell(question: Question, said: str, standards: Standards) -> Answer:
    from matcher.store.sheets.cells import CellReader  # brings numpy

    rule = SHEETS[question.sheet][question.column]
    wanted = reason("it should be {holds}", holds=reason(rule.holds))
    if question.confirms and said.casefold() in ("no", "n"):
        raise BadInput(reason("then say what it is"), "", wanted)
    if said == NOTHING:
        if rule.needed or not question.cell:
            raise BadInput(reason("this cell is needed"), "", wanted)
        return question.place
    if question.among:
        said = find(said, question.among, Term("garment"))
    try:
        CellReader(standards).heard_in(rule.kind, said, question.cells)
    except Unreadable as fault:
        what = reason('"{found}" isn\'t {expected}', found=fault.found, expected=fault.expected)
        raise BadInput(what, "", fault.mend) from None
    except Unclear as fault:
        raise BadInput(fault.said) from None
    return replace(question.place, taken=said)

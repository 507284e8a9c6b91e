"""Every kind of error says what, where and what to do, and leaves with 2."""

from __future__ import annotations

import pytest

from matcher.errors import (
    BadCells,
    BadFiles,
    BadInput,
    BadRows,
    BadSheets,
    CatalogueError,
    Fault,
    MatcherError,
    NotFound,
)

FAULT = Fault("lots.csv", 12, "grams", "4O", "a weight such as 41 or 1.5 oz", "did you mean 40?")
ONE_OF_EACH = {
    MatcherError: MatcherError("it broke", "here", "mend it"),
    BadCells: BadCells([FAULT]),
    BadFiles: BadFiles([("north/a.xlsx", "row 3, grams: expected a weight")], "bins", "mend it"),
    BadRows: BadRows({2: BadInput("tex of 0", "tex", "give a number above zero")}),
    BadSheets: BadSheets([FAULT]),
    CatalogueError: CatalogueError("hat.toml", "zones", "no zone has a height"),
    BadInput: BadInput("tex of 0", "--tex", "give a number above zero"),
    NotFound: NotFound("no lot called moos", "lots.csv", ["moss"]),
}


def kinds(kind: type[MatcherError]) -> set[type[MatcherError]]:
    return {kind}.union(*(kinds(below) for below in kind.__subclasses__()))


@pytest.mark.parametrize("kind", sorted(kinds(MatcherError), key=lambda kind: kind.__name__))
def test_no_kind_is_forgotten_and_no_hint_is_empty(kind: type[MatcherError]):
    error = ONE_OF_EACH[kind]
    assert error.exit_code == 2
    assert error.what
    if isinstance(error, BadRows):
        assert all(str(one) in str(error) for one in error.rows.values())
    else:
        assert error.where or all(fault.column in str(error) for fault in error.faults)
    assert error.todo
    assert str(error.what) in str(error)
    assert str(error.todo) in str(error)


def test_a_fault_is_one_line():
    assert str(FAULT) == ('lots.csv:12 grams: found "4O", expected a weight such as 41 or 1.5 oz; did you mean 40?')
    assert str(Fault("lots.csv", None, None, "", "a header row")) == "lots.csv: found nothing, expected a header row"


def test_near_names_are_offered():
    assert "did you mean moss?" in str(ONE_OF_EACH[NotFound])
    assert "check the name" in str(NotFound("no lot called zzz"))

"""Names as people write them: when two are the same, and which known one is nearest."""

import pytest

from matcher.actions.names import find
from matcher.errors import NotFound
from matcher.materials.reading.names import did_you_mean, fold, nearest


@pytest.mark.parametrize("other", ["moss green", " Moss  Green ", "MOSS\tgreen", "moss\u00a0green"])
def test_case_and_spaces_make_no_other_name(other: str):
    assert fold(other) == fold("Moss green")
    assert find(other, ["navy", "Moss green"], "lot") == "Moss green"


def test_other_letters_do():
    assert fold("moss green") != fold("mossgreen")
    with pytest.raises(NotFound, match="did you mean Moss green"):
        find("mos green", ["navy", "Moss green"], "lot")


@pytest.mark.parametrize(("name", "near"), [("nvay", "Navy"), ("NAVYY", "Navy"), ("rust", ""), ("", ""), ("na", "")])
def test_the_nearest_name(name: str, near: str):
    assert nearest(name, ["Navy", "Cream"]) == near
    assert str(did_you_mean(name, ["Navy", "Cream"])) == (f"did you mean {near}?" if near else "")


def test_how_alike_is_asked():
    assert nearest("fibr", ["fibre"], 0.8) == "fibre"
    assert nearest("fib", ["fibre"], 0.8) == ""

"""Which dye lots say something."""

import pytest

from matcher.materials.reading.dye_lots import known_dye_lot


@pytest.mark.parametrize(
    "text",
    ["", " ", "-", "?", "??", "n/a", "N.A.", "na", "none", "No dye lot", "unknown", "UNKNOWN?", "not known", "not sure",
     "don't know", "(unknown)", "lost", "not written down"],
)  # fmt: skip
def test_these_say_that_it_is_not_known(text: str):
    assert known_dye_lot(text) == ""


@pytest.mark.parametrize("text", ["8", "007", "A-12", "n7", "lot 4", "7718", "no 5", "#3", "x"])
def test_others_are_dye_lots(text: str):
    assert known_dye_lot(f" {text} ") == text

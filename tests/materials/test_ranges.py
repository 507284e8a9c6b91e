"""What a range of colours is called: by words that a knitter can shop with, and none of which leads her out of it."""

from __future__ import annotations

from random import Random

import pytest

from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.families import family_of
from matcher.materials.colours.ranges import range_called, range_figures
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
WORDS, RULES = CATALOGUE.colour_words, CATALOGUE.families


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        ((0, -90, -120), (100, 100, 100), "from very dark to very pale, of any hue"),
        ((62, -56, -56), (100, 56, 56), "mid light to very pale, of any hue but the most vivid"),
        ((10, -56, -56), (30, 56, 56), "very dark or dark, of any hue"),
        ((36, -56, -56), (46, 56, 56), "mid dark, of any hue but the most vivid"),
        ((70, -8, -8), (100, 8, 8), "pale or very pale, in white or grey"),
        ((12, -8, -8), (13, 8, 8), "very dark"),
    ],
)
def test_a_range_is_told_by_how_light_it_is_and_by_its_hues(low: Lab, high: Lab, said: str):
    assert str(range_called(low, high, WORDS, RULES)) == said


def test_families_are_named_whole_only_where_most_of_their_words_lie_within():
    draw = Random(5)
    for _ in range(40):
        low = (draw.uniform(0, 60), draw.uniform(-60, 0), draw.uniform(-60, 0))
        high = (low[0] + draw.uniform(10, 40), draw.uniform(0, 39), draw.uniform(0, 60))
        said = str(range_called(low, high, WORDS, RULES))
        whole, _, part = said.partition("partly in")
        for family in {rule.family for rule in RULES}:
            labs = [lab for lab in WORDS.means.tolist() if low[0] <= lab[0] <= high[0]]
            labs = [lab for lab in labs if family_of((lab[0], lab[1], lab[2]), RULES) == family]
            inside = sum(all(a <= x <= b for a, x, b in zip(low, lab, high, strict=True)) for lab in labs)
            assert (family in whole) == bool(labs and inside >= 0.8 * len(labs)), (family, said)
            assert (family in part) == bool(labs and 0.25 <= inside / len(labs) < 0.8), (family, said)


def test_the_figures_behind_it_say_what_they_mean():
    said = str(range_figures((62.2, -56.0, -8.4), (100.0, 56.0, 56.0)))
    assert "lightness (L*) 62 to 100, from black 0 to white 100" in said
    assert "green to red (a*) -56 to 56; blue to yellow (b*) -8 to 56" in said

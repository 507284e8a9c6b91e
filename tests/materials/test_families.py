"""What colours are called: the words of the catalogue are the check, since people named those colours."""

from __future__ import annotations

import pytest

from matcher.materials.colours.cielab import lab_from_code
from matcher.materials.colours.colour import Colour
from matcher.materials.colours.families import called, colours_called, family_of
from matcher.store.catalogue.catalogue import load_catalogue

RULES = load_catalogue().families


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("1f2a4a", "dark blue"),
        ("8fb3cf", "pale blue"),
        ("4682b4", "blue"),
        ("1f5563", "dark teal"),
        ("efe6d0", "cream"),
        ("f4f2ec", "white"),
        ("7f8285", "grey"),
        ("141414", "black"),
        ("4a3728", "dark brown"),
        ("c8992b", "yellow"),
        ("9c4a24", "orange"),
        ("b3262e", "red"),
        ("6b7f4a", "green"),
        ("e9b7c0", "pale pink"),
        ("5b2c4f", "dark purple"),
    ],
)
def test_yarns_are_called_as_a_knitter_would(code: str, name: str):
    assert called(lab_from_code(code), RULES) == name


# Words of the web's colour list (CSS) that name a family, with their codes.
NAMED = {
    "red": "ff0000 8b0000 b22222 cd5c5c",
    "pink": "ffc0cb ff69b4 ffb6c1 db7093",
    "orange": "ffa500 ff8c00 ff4500",
    "yellow": "ffff00 ffd700 daa520 f0e68c",
    "green": "008000 006400 8fbc8f 228b22 90ee90 98fb98 2e8b57 00ff7f 556b2f 808000",
    "blue": "0000ff 00008b add8e6 0000cd 191970 4169e1 87ceeb 4682b4 6495ed 000080",
    "purple": "800080 9370db 8a2be2 ee82ee 4b0082 9932cc dda0dd",
    "grey": "808080 a9a9a9 d3d3d3 696969 c0c0c0",
    "white": "ffffff fffafa f8f8ff f5f5f5",
}


@pytest.mark.parametrize("family", NAMED)
def test_most_colours_of_the_web_are_of_the_family_that_they_name(family: str):
    """Not all, since those are colours of a screen. Two in three is asked."""
    codes = NAMED[family].split()
    ours = [code for code in codes if family_of(lab_from_code(code), RULES) == family]
    assert 3 * len(ours) >= 2 * len(codes), sorted(set(codes) - set(ours))


def test_every_colour_has_a_family_and_a_heather_is_its_mean():
    for lightness in range(0, 101, 5):
        for a in range(-120, 121, 12):
            for b in range(-120, 121, 12):
                assert family_of((float(lightness), float(a), float(b)), RULES)
    navy, cream = (20.0, 4.0, -24.0), (91.0, 0.0, 12.0)
    assert colours_called(Colour("variegated", ((navy, 0.7), (cream, 0.3))), RULES) == ("dark blue", "cream")
    assert colours_called(Colour("variegated", ((navy, 0.9), (cream, 0.1))), RULES) == ("dark blue",)
    assert len(colours_called(Colour("heather", ((navy, 0.5), (cream, 0.5))), RULES)) == 1

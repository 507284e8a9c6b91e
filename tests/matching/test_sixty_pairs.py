"""Sixty pairs of yarn colours: what the rule said when all eyes decided and hue needed lightness, and what it says now.

`pytest -s` prints the table for reading: verdicts of old and now, of each deficiency, and CIEDE2000 and lightness that
single stitches have left across a room.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import combinations

from matcher.actions.colours.contrast import contrast
from matcher.matching.contrast import EYES, LEVELS, judge
from matcher.materials.colours.colour import parse_colour
from matcher.materials.colours.vision import DEFICIENCIES
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
BEFORE = replace(CATALOGUE.contrast, eyes=DEFICIENCIES, readable_hue_delta_e=1e9)
PALETTES = {
    "undyed": {"cream": "f2e8d2", "fawn": "c4a981", "taupe": "8d8073", "brown": "46322a", "charcoal": "3d4044"},
    "yoke": {"natural": "e9dfca", "navy": "1f2a4a", "rust": "9c4a24", "mustard": "c8992b", "petrol": "1f5563"},
    "woods": {"oatmeal": "d8cbb3", "bottle": "16402f", "moss": "6b7340", "sage": "9caa8c", "brick": "9a4436"},
    "berries": {"raspberry": "a8304f", "wine": "6a2238", "rose": "c4677b", "lilac": "b9a3c6", "aubergine": "422a3f"},
    "children": {"red": "b3262e", "green": "4f9a4a", "pink": "e24f92", "yellow": "e3b92f", "sky": "8fb3cf"},
    "sea": {"turquoise": "2f9aa0", "duck egg": "bcd3cd", "denim": "4b6587", "grey": "7d8083", "coral": "e07a5f"},
}


def test_old_and_new_verdicts_of_sixty_pairs():
    moved: Counter[tuple[str, str]] = Counter()
    print(f"\n{'pair':32} {'old':9} {'now':9}", *(f"{EYES[one]:28}" for one in DEFICIENCIES), "left across a room")
    for palette, colours in PALETTES.items():
        for (a, one), (b, other) in combinations(colours.items(), 2):
            pair = [parse_colour(f"#{code}", {}) for code in (one, other)]
            before = judge(*pair, CATALOGUE.vision, BEFORE, "readable")
            found = contrast(f"#{one}", f"#{other}").pairs[0]
            now, room = found.judged, found.afar[2]
            moved[before.verdict, now.verdict] += 1
            others = (f"{now.verdicts[sight]:28}" for sight in DEFICIENCIES)
            left = f"{room.delta_e:.0f}/{room.delta_l:.0f}"
            print(f"{f'{palette}: {a}, {b}':32} {before.verdict:9} {now.verdict:9}", *others, left)
            assert LEVELS[now.verdict] >= LEVELS[before.verdict]
            assert now.verdict == now.verdicts["daylight"]
            if now.verdict == "clear":
                assert now.delta_l >= CATALOGUE.contrast.clear_delta_l - 0.01
    print(dict(moved))
    assert sum(moved.values()) == 60
    now = Counter[str]()
    old = Counter[str]()
    for (before, after), number in moved.items():
        old[before] += number
        now[after] += number
    assert old == {"clear": 19, "readable": 22, "quiet": 18, "merges": 1}
    assert now == {"clear": 22, "readable": 31, "quiet": 7}

"""A picture for every entry of the catalogue: what is drawn is what its pattern knits, in these colours."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest

from matcher.drawing.flat_picture import flat_scene, small_scene
from matcher.drawing.scene import png, svg
from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.as_listed import as_listed
from matcher.knitting.pattern.made import pattern_of
from matcher.knitting.pattern.making import Making
from matcher.knitting.pattern.pattern import Course
from matcher.knitting.pattern.stitches import OPERATIONS
from matcher.materials.colours.colour import parse_colour
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
ENTRIES = CATALOGUE.accessories
CODES = ("#1f2a4a", "#efe6d0", "#c8992b", "#8a2f3c", "#5c7a58")
STITCHES = {0: 32, 1: 28, 2: 24, 3: 22, 4: 19, 5: 14, 6: 10, 7: 6}  # in 10 cm, usual ones of each class
# Nothing of these is hidden or seen from another side: half of every round, and all of what is knitted flat.
OPEN = ("bookmark", "coaster", "key-fob", "hair-tie", "kerchief", "neck-warmer")
FOLDED = {
    "hat-plain", "hat-ribbed", "hat-stranded-band", "hat-striped", "hat-three-colour-band", "hat-triangle-band",
    "boot-cuffs", "boot-cuffs-stranded",
}  # fmt: skip
TUBES = [
    key
    for key, entry in ENTRIES.items()
    if key not in FOLDED
    and all(zone.shape in ("tube", "crown") for zone in entry.zones)
    and entry.kind not in ("yoke", "mitts")
    and len({zone.count for zone in entry.zones}) == 1
]
HANDS = [key for key, entry in ENTRIES.items() if any("thumb" in zone.name for zone in entry.zones)]


def _fitted(key: str):
    entry = ENTRIES[key]
    gauge = Gauge.from_stitches(STITCHES[entry.classes[len(entry.classes) // 2]], CATALOGUE.fabric)
    listed = (CATALOGUE.sizes, CATALOGUE.motifs, CATALOGUE.fabric, CATALOGUE.fitting)
    return entry, as_listed(entry, entry.sizes[-1], gauge, *listed)


def _colours(entry):
    return {role.name: parse_colour(code, {}) for role, code in zip(entry.roles, CODES, strict=False)}


def _drawn(key: str):
    entry, fitted = _fitted(key)
    return flat_scene(fitted, _colours(entry), CATALOGUE.fabric, accessory=entry)


def _courses(key: str) -> list[Course]:
    entry, fitted = _fitted(key)
    piece, *others = pattern_of(Making(entry, fitted, CATALOGUE.fabric)).pieces
    assert not others
    return list(piece.courses())


def _left_on_needle(course: Course) -> list[str]:
    """The roles of the stitches that a course leaves, from left to right as its front shows them."""
    found = [one.role for one in course.stitches for _ in range(OPERATIONS[one.op].leaves)]
    return found if course.wrong_side else found[::-1]


def _front(row: list[str]) -> list[str]:
    return row[: (len(row) + 1) // 2]


@pytest.mark.parametrize("key", ENTRIES)
def test_every_entry_has_a_picture_and_a_small_one(key: str, seen_in):
    entry, fitted = _fitted(key)
    whole = flat_scene(fitted, _colours(entry), CATALOGUE.fabric, accessory=entry)
    small = small_scene(fitted, _colours(entry), CATALOGUE.fabric, accessory=entry)
    assert small.width == pytest.approx(whole.width) or whole.labels
    used = {CODES[place] for place, role in enumerate(entry.roles) if role.name in fitted.roles}
    assert {one.fill for one in whole.shapes if one.kind == "stitch"} == used
    assert used <= {one.fill for one in small.shapes if one.kind == "run"}
    assert len(small.shapes) < 0.6 * len(whole.shapes)
    assert svg(small) == svg(small_scene(fitted, _colours(entry), CATALOGUE.fabric, accessory=entry))
    png(small, 200 / max(small.width, small.height))
    xs, ys = zip(*(corner for one in whole.shapes for corner in one.points), strict=True)
    assert 0 <= min(xs) < max(xs) <= whole.width
    assert 0 <= min(ys) < max(ys) <= whole.height


@pytest.mark.parametrize("key", TUBES)
def test_a_tube_shows_the_front_half_of_its_pattern(key: str):
    """Round by round and colour by colour; a change of stitches may stand in the round before or after."""
    drawn = Counter(one.fill for one in _drawn(key).shapes if one.kind == "stitch")
    entry, _ = _fitted(key)
    code_of = {role.name: code for role, code in zip(entry.roles, CODES, strict=False)}
    rows = [_left_on_needle(course) for course in _courses(key)]
    front = Counter(code_of[role] for row in rows for role in _front(row))
    changes = sum(abs(len(row) - len(below)) for below, row in pairwise(rows))
    assert set(drawn) == set(front)
    for code in drawn:
        assert abs(drawn[code] - front[code]) <= max(2, changes / 2)


@pytest.mark.parametrize("key", ["cowl-stranded", "cup-cosy-stranded", "glasses-pouch", "headband-stranded"])
def test_colour_by_colour_exactly_where_no_stitch_changes(key: str):
    entry, _ = _fitted(key)
    code_of = {role.name: code for role, code in zip(entry.roles, CODES, strict=False)}
    drawn = Counter(one.fill for one in _drawn(key).shapes if one.kind == "stitch")
    stranded = [_left_on_needle(course) for course in _courses(key) if course.charted]
    front = Counter(code_of[role] for row in stranded for role in _front(row))
    contrast = code_of["contrast 1"]
    assert front[contrast] > 0
    assert drawn[contrast] == front[contrast]


@pytest.mark.parametrize("key", OPEN)
def test_of_what_is_knitted_flat_every_stitch_is_seen(key: str):
    rows = [_left_on_needle(course) for course in _courses(key)]
    drawn = sum(one.kind == "stitch" for one in _drawn(key).shapes)
    assert drawn == pytest.approx(sum(map(len, rows)), rel=0.02)


def _kinds(key: str) -> Counter[str]:
    return Counter(one.kind for one in _drawn(key).shapes)


@pytest.mark.parametrize("key", HANDS)
def test_both_thumbs_are_there_as_mirror_images(key: str):
    scene = _drawn(key)
    for kind in ("thumb", "gusset"):
        left, right = (one.points for one in scene.shapes if one.kind == kind)
        middle = (min(x for x, _ in left) + max(x for x, _ in right)) / 2
        mirrored = {(round(2 * middle - x, 2), round(y, 2)) for x, y in left}
        assert {(round(x, 2), round(y, 2)) for x, y in right} == mirrored
        assert max(x for x, _ in left) < middle < min(x for x, _ in right)


@pytest.mark.parametrize("key", HANDS)
def test_the_stitches_of_a_pair_are_mirror_images(key: str, seen_in):
    """Motifs, rib and the checks of the gussets: the left half of the picture turned over is the right half."""
    scene = _drawn(key)
    from_middle = [(one.middle[1], one.middle[0] - scene.width / 2, one) for one in seen_in(scene)]
    left, right = (
        sorted((round(y, 2), side * x, one.fill, len(one.outline.points)) for y, x, one in from_middle if side * x > 0)
        for side in (-1, 1)
    )
    assert [(fill, corners) for *_, fill, corners in left] == [(fill, corners) for *_, fill, corners in right]
    assert [x for _, x, *_ in left] == pytest.approx([x for _, x, *_ in right], abs=0.03)


def test_each_hand_shows_its_back_as_its_own_charts_have_it(seen_in):
    """The left hand begins its rounds with the back, the right one with the palm."""
    entry, fitted = _fitted("mittens-stranded")
    code_of = {role.name: code for role, code in zip(entry.roles, CODES, strict=False)}
    right, left = (
        [_left_on_needle(course) for course in hand.courses() if course.charted]
        for hand in pattern_of(Making(entry, fitted, CATALOGUE.fabric)).pieces
    )
    half, below_gusset = fitted.stitches // 2, 3
    backs = [[*of_left[-half:], *of_right[:half]] for of_left, of_right in zip(left, right, strict=True)][:below_gusset]
    assert any(back[:half] != back[half:] for back in backs)
    rows: dict[float, list] = {}
    for one in seen_in(_drawn("mittens-stranded")):
        rows.setdefault(round(one.middle[1], 1), []).append(one)
    codes = [[one.fill for one in sorted(rows[y], key=lambda one: one.middle[0])] for y in sorted(rows, reverse=True)]
    lowest = next(number for number, row in enumerate(codes) if len(set(row)) > 1)
    assert codes[lowest : lowest + below_gusset] == [[code_of[role] for role in back] for back in backs]


@pytest.mark.parametrize("key", sorted(FOLDED))
def test_what_is_turned_over_lies_on_top_and_hides_what_is_under_it(key: str):
    scene = _drawn(key)
    kinds = [one.kind for one in scene.shapes]
    assert kinds.count("fold") == 1
    rows = [_left_on_needle(course) for course in _courses(key)]
    seen = kinds[kinds.index("fold") :].count("stitch")
    assert 0 < seen < kinds.count("stitch") < sum(len(_front(row)) for row in rows)


@pytest.mark.parametrize("key", ["socks-ankle", "socks-bed"])
def test_a_sock_has_a_heel_and_a_foot(key: str):
    kinds = _kinds(key)
    assert (kinds["heel"], kinds["foot"]) == (2, 1)


def test_an_earflap_hat_has_its_flaps_and_bunting_its_flags():
    assert _kinds("hat-earflap")["flap"] == 2
    assert _kinds("bunting")["flag"] == 6


def test_a_yoke_is_bent_round_the_neck():
    """Its outer edge is as long as the front of the round that it begins with, its inner one as the last."""
    entry, fitted = _fitted("yoke-two-colours")
    scene = _drawn("yoke-two-colours")
    ys = [y for one in scene.shapes if one.kind == "stitch" for _, y in one.points]
    xs = [x for one in scene.shapes if one.kind == "stitch" for x, _ in one.points]
    wide = 100 / fitted.gauge.stitches_10cm
    assert max(xs) - min(xs) < fitted.parts[0].first / 2 * wide
    high = sum(part.rounds for part in fitted.parts) * 100 / fitted.gauge.rows_10cm
    assert max(ys) - min(ys) > high
    assert entry.kind == "yoke"


def test_a_variegated_yarn_and_a_heather_look_as_such():
    entry, fitted = _fitted("hat-plain")
    painted = {"main": parse_colour("#a8304f 40%, #e9b7c0 35%, #5b2a4a 25%", {})}
    heather = {"main": parse_colour("heather #6b7f4a 60%, #d9d2b8 40%", {})}
    fills = []
    for colours in (painted, heather):
        scene = flat_scene(fitted, colours, CATALOGUE.fabric, accessory=entry)
        fills.append({one.fill for one in scene.shapes if one.kind == "stitch"})
    assert fills[0] == {"#a8304f", "#e9b7c0", "#5b2a4a"}
    assert len(fills[1]) == 1
    assert fills[1].isdisjoint({"#6b7f4a", "#d9d2b8"})

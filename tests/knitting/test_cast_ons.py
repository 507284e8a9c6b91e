"""Fits against plain enumeration: every number of stitches tried one by one."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from matcher.knitting.fabric import Gauge
from matcher.knitting.fit.cast_ons import Girth, Wearing, around_cm, cast_ons, fits, girth_of, nearest, remedies
from matcher.knitting.fit.fitted import CastOn
from matcher.knitting.fit.outline import NoTube
from matcher.knitting.fit.rules import FittingRule
from matcher.knitting.motifs.motif import Motif
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric
GAUGES = st.floats(8, 40, allow_nan=False).map(lambda one: round(one, 1))
# Entries with a tube that a motif could run round, each with its sizes.
ENTRIES = [
    (entry, size)
    for entry in CATALOGUE.accessories.values()
    if entry.kind in CATALOGUE.fitting and any(zone.shape == "tube" for zone in entry.zones)
    for size in entry.sizes
]


def motif(width: int, height: int = 4) -> Motif:
    rows = tuple("x" + "." * (width - 1) if row % 2 else "." * width for row in range(height))
    return Motif("m", "m", rows, {".": "main", "x": "contrast 1"})


def wearing(key: str, size: str, stitches: float = 22.0, rows: float = 29.0) -> Wearing:
    entry = CATALOGUE.accessories[key]
    gauge = Gauge.from_swatch(stitches, rows, FABRIC)
    return Wearing(entry, size, CATALOGUE.sizes, gauge, FABRIC, CATALOGUE.fitting[entry.kind])


def enumerated(
    width: int, rib: int, most_plain: int, body: float, best: float, low: float, high: float, in_10cm: float
) -> list[tuple[int, int, int]]:
    """Every number of stitches, one by one, written without a look at how the program does it."""
    found = []
    for stitches in range(1, 1000):
        cm = stitches / in_10cm * 10
        if not low - 1e-9 <= cm <= high + 1e-9:
            continue
        for plain in range(most_plain + 1):
            if stitches % (width + plain) == 0 and stitches % rib == 0:
                found.append((round(abs(cm - best), 9), plain, stitches))
    return [(stitches, stitches // (width + plain), plain) for _, plain, stitches in sorted(found)]


@settings(deadline=None, max_examples=300)
@given(
    gauge=GAUGES,
    width=st.integers(1, 40),
    rib=st.sampled_from([1, 2, 4, 6]),
    plain=st.integers(0, 3),
    body=st.floats(8, 120),
    best=st.floats(-0.2, 0.2),
    below=st.floats(0, 0.15),
    above=st.floats(0, 0.15),
)
def test_every_cast_on_is_found_in_the_right_order(
    gauge: float, width: int, rib: int, plain: int, body: float, best: float, below: float, above: float
):
    target = body * (1 + best)
    girth = Girth(body, target, target - body * below, target + body * above)
    at = Gauge.from_stitches(gauge, FABRIC)
    found = cast_ons(width, rib, plain, girth, at)
    expected = enumerated(width, rib, plain, body, target, girth.least, girth.most, gauge)
    assert [tuple(one) for one in found] == expected
    if not expected:
        one = nearest(width, rib, plain, girth, at)
        assert_nearest(one, width, rib, plain, girth, gauge)


def assert_nearest(one: CastOn, width: int, rib: int, plain: int, girth: Girth, in_10cm: float) -> None:
    """Nothing that can be cast on is less far outside."""
    assert one.stitches % rib == 0
    assert one.stitches == one.repeats * (width + one.plain_columns)
    off = girth.off(one.stitches / in_10cm * 10)
    assert off > 0
    for stitches in range(rib, 1000, rib):
        for columns in range(plain + 1):
            if stitches % (width + columns) == 0:
                assert girth.off(stitches / in_10cm * 10) >= off - 1e-9


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(ENTRIES), GAUGES, st.integers(1, 30))
def test_fits_of_the_catalogue_s_entries(one: tuple, gauge: float, width: int):
    """The ease round the entry's own, straight from its file's numbers; all that is found is whole and in order."""
    entry, size = one
    rule = CATALOGUE.fitting[entry.kind]
    held = Wearing(entry, size, CATALOGUE.sizes, Gauge.from_stitches(gauge, FABRIC), FABRIC, rule)
    found = fits(held, motif(width))
    main = held.outline.main
    assert main.around is not None
    body = CATALOGUE.sizes.dimension(size, main.around.of) * main.around.times if main.around.of else main.around.cm
    assert body is not None
    target = body * (1 + main.around.ease_percent / 100) + main.around.ease_cm
    low = target - body * rule.ease_below_percent / 100
    high = target + body * rule.ease_above_percent / 100
    same = [zone for zone in entry.zones if zone.structure == "rib" and zone.around == main.around]
    rib = rule.rib_stitches if same or main.structure == "rib" else 1
    if rib % 2 and any(zone.shape == "frustum" for zone in entry.zones):
        rib *= 2  # palm and back of a tip, sole and top of a toe, have as many
    expected = enumerated(width, rib, rule.plain_columns, body, target, low, high, gauge)
    within = [fit for fit in found if fit.off_by_cm == 0]
    assert [(fit.stitches, fit.repeats, fit.plain_columns) for fit in within] == expected
    assert len(found) == max(1, len(expected))
    for fit in found:
        assert fit.around_cm == pytest.approx(fit.stitches / gauge * 10)
        assert fit.ease_cm == pytest.approx(fit.around_cm - body)
        assert fit.repeat * fit.repeats == fit.stitches


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(ENTRIES), GAUGES, st.integers(1, 30), st.integers(1, 40))
def test_parts_are_whole_rounds_of_the_entry_s_heights(one: tuple, gauge: float, width: int, height: int):
    """However the motif is placed, the rounds of the column stay what the entry's zones add up to."""
    from matcher.knitting.shapes import zone_shape

    entry, size = one
    at = Gauge.from_stitches(gauge, FABRIC)
    held = Wearing(entry, size, CATALOGUE.sizes, at, FABRIC, CATALOGUE.fitting[entry.kind])
    fit = fits(held, motif(width, height))[0]
    zones = sum(zone_shape(zone, size, at, CATALOGUE.sizes, FABRIC).rows for zone in held.outline.column)
    assert sum(part.rounds for part in fit.parts) == zones
    for part in fit.parts:
        assert part.rounds > 0
        assert (part.role is None) == bool(part.rows)
        if part.rows:
            assert len(part.rows) == part.rounds
            if part.shape == "frustum" and part.decreases:
                # Each row shows all its stitches, since those beside the sides go; or one where it is plain.
                assert [len(row) for row in part.rows] in (list(part.counts), [1] * part.rounds)
            else:
                assert {len(row) for row in part.rows} == {fit.repeat}
        if part.structure == "rib" and part.first == part.last != fit.stitches:
            assert part.first % held.rule.rib_stitches == 0
    assert fit.rounds()[0][1]


def test_a_hat_from_the_demo_s_yoke():
    """22 stitches and 29 rows, head 56.7 cm: 120 stitches are 54.5 cm, 2.2 less; 112 with two plain stitches."""
    held = wearing("hat-stranded-band", "adult medium")
    best, second = fits(held, CATALOGUE.motifs["yoke-three"])
    assert (best.stitches, best.repeats, best.plain_columns) == (120, 10, 0)
    assert best.around_cm == pytest.approx(120 / 2.2)
    assert best.ease_cm == pytest.approx(120 / 2.2 - 56.7)
    assert (second.stitches, second.repeats, second.plain_columns) == (112, 8, 2)
    assert [(str(part.part), part.rounds) for part in best.parts] == [
        ("brim", 21),
        ("plain below band", 1),
        ("band", 25),
        ("crown", 21),
    ]
    assert best.crown_from == 48
    assert set(best.longest_floats.values()) == {5}


def test_edges_stand_below_and_above():
    fit = fits(wearing("headband-stranded", "adult medium"), CATALOGUE.motifs["lattice"])[0]
    assert fit.parts[0].part == fit.parts[-1].part == "edges"
    pair = fits(wearing("wrist-warmers-stranded", "adult medium"), CATALOGUE.motifs["waves"])[0]
    assert pair.pieces == 2
    assert [part.part for part in pair.parts if part.structure == "rib"] == ["edges", "edges"]


def test_a_plain_entry_takes_the_motif_in_its_largest_plain_tube():
    fit = fits(wearing("hat-plain", "adult medium"), CATALOGUE.motifs["yoke-three"])[0]
    (band,) = [part for part in fit.parts if part.rows]
    assert band.part == "body"
    ribbed = fits(wearing("headband", "adult medium"), CATALOGUE.motifs["seeds"])[0]
    assert [part.structure for part in ribbed.parts] == ["rib", "stranded", "rib"]


def test_thumbs_are_knitted_besides():
    fit = fits(wearing("mitts-fingerless-stranded", "adult medium"), CATALOGUE.motifs["yoke-three"])[0]
    assert [(part.part, pieces) for part, pieces in fit.extra] == [("thumb gussets", 2), ("thumbs", 2)]
    assert fit.cast_on % 4 == 0
    assert fit.stitches % fit.repeat == 0


def test_a_small_motif_goes_on_into_the_tip_and_a_large_one_does_not():
    small = fits(wearing("mittens-stranded", "adult medium"), CATALOGUE.motifs["steps"])[0]
    assert small.parts[-1].rows
    large = fits(wearing("mittens-stranded", "adult medium"), CATALOGUE.motifs["yoke-three"])[0]
    assert large.parts[-1].role == "main"


def test_an_entry_without_a_tube_is_refused():
    for key in ("coaster", "kerchief", "pincushion"):
        with pytest.raises(NoTube):
            fits(wearing(key, CATALOGUE.accessories[key].sizes[0]), CATALOGUE.motifs["lattice"])


def test_no_fit_says_how_far_off_and_what_would_help():
    """A repeat of 40 on a head of 56.7 cm at 10 stitches: 40 stitches are 40 cm, 80 are 80 cm."""
    held = wearing("hat-stranded-band", "adult medium", 10, 14)
    (only,) = fits(held, motif(40))
    low, high = 56.7 * (0.94 - 0.05), 56.7 * (0.94 + 0.05)
    assert (only.stitches, only.plain_columns) == (40, 0)
    assert only.off_by_cm == pytest.approx(low - 40)
    helped = {one.kind: one for one in remedies(held, motif(40))}
    assert set(helped) == {"repeat", "plain columns"}
    assert low <= around_cm(helped["repeat"].stitches, held.gauge) <= high
    assert helped["repeat"].stitches % helped["repeat"].value == 0
    assert helped["plain columns"].stitches % (40 + helped["plain columns"].value) == 0


@settings(deadline=None, max_examples=60)
@given(GAUGES, st.integers(5, 40))
def test_what_would_help_does(gauge: float, width: int):
    entry = CATALOGUE.accessories["hat-stranded-band"]
    rule = FittingRule("hat", 1.0, 1.0, 4, 0, 15.0)
    held = Wearing(entry, "adult medium", CATALOGUE.sizes, Gauge.from_stitches(gauge, FABRIC), FABRIC, rule)
    assume(fits(held, motif(width))[0].off_by_cm > 0)
    girth = girth_of(held.outline, rule)
    for one in remedies(held, motif(width)):
        at = Gauge.from_stitches(one.value, FABRIC) if one.kind == "gauge" else held.gauge
        assert girth.off(around_cm(one.stitches, at)) == 0
        step = {"gauge": width, "repeat": one.value, "plain columns": width + one.value}[one.kind]
        assert one.stitches % step == 0
        assert one.stitches % 4 == 0


def test_ease_asked_for_takes_the_place_of_the_catalogue_s():
    held = wearing("hat-stranded-band", "adult medium")
    girth = girth_of(held.outline, held.rule, (-20.0, -10.0))
    assert (girth.least, girth.most) == (pytest.approx(56.7 * 0.8), pytest.approx(56.7 * 0.9))
    assert girth.best == girth.most

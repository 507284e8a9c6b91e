"""How two colours read: properties that hold for any colours, and the short cuts of the search against the long way.

The long way is written out here: every pair of stitches in every sight, with no cache, no floor and no bound.
CIEDE2000 and the simulated deficiencies themselves stand against outside sources in `tests/published/`.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from matcher.matching.colour_table import DECIDED, ColourTable
from matcher.matching.contrast import (
    EYES,
    LEVELS,
    all_but_vanishing,
    judge,
    reading,
    verdict_of,
)
from matcher.materials.colours.cielab import linear_from_lab
from matcher.materials.colours.colour import KNOWN, Colour, parse_colour
from matcher.materials.colours.difference import ciede2000
from matcher.materials.colours.distance import remains, roles_of, view
from matcher.materials.colours.vision import DEFICIENCIES, WHOSE, as_seen
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
MATRICES, WORDS = CATALOGUE.vision, CATALOGUE.colour_words
# Every law is held for all eyes at once, where most has to agree; what ordinary eyes see stands by itself.
ORDINARY, RULES = CATALOGUE.contrast, CATALOGUE.seen_by(DEFICIENCIES).contrast
Lab = tuple[float, float, float]

WITHOUT_HUE = st.floats(0, 100).map(lambda light: (light, 0.0, 0.0))
NEARLY_GREY = st.tuples(st.floats(5, 95), st.floats(-3, 3), st.floats(-3, 3))
ON_SCREEN = st.integers(0, 0xFFFFFF).map(lambda code: parse_colour(f"#{code:06x}", {}).parts[0][0])
LABS = st.one_of(ON_SCREEN, NEARLY_GREY)


# Given by a code, or by a word that may be off by so much.
SDS = st.one_of(st.just(KNOWN), st.tuples(*(st.sampled_from([0.0, 2.5, 7.0, 13.0]),) * 3))
Shade = tuple[Lab, Lab]


def solid(lab: Lab, sd: Lab = KNOWN) -> Colour:
    return Colour("solid", ((lab, 1.0),), (sd,) if sd != KNOWN else ())


def colour(words: str) -> Colour:
    """As if the words were measured; what a guess is stands in test_guessed.py."""
    return replace(parse_colour(words, WORDS), sds=(), said="")


def judged(a: str, b: str):
    return judge(colour(a), colour(b), MATRICES, RULES, "readable")


@st.composite
def any_colour(draw: st.DrawFn) -> Colour:
    labs = draw(st.lists(LABS, min_size=1, max_size=4, unique=True))
    sds = draw(st.one_of(st.just(()), st.tuples(*(SDS for _ in labs))))
    if len(labs) == 1:
        return solid(labs[0], *sds)
    weights = draw(st.lists(st.integers(1, 20), min_size=len(labs), max_size=len(labs)))
    kind = draw(st.sampled_from(["variegated", "heather"]))
    parts = tuple((lab, weight / sum(weights)) for lab, weight in zip(labs, weights, strict=True))
    return Colour(kind, parts, sds if any(sd != KNOWN for sd in sds) else ())


# The reading ----------------------------------------------------------------------------------------------


def one_reading(delta_e: float, delta_l: float) -> float:
    return float(reading(np.array([delta_e]), np.array([delta_l]), RULES)[0])


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_more_lightness_apart_never_reads_less(delta_e: float, delta_l: float, more: float):
    assert one_reading(delta_e, delta_l + more) >= one_reading(delta_e, delta_l)


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_more_colour_apart_never_reads_less(delta_e: float, delta_l: float, more: float):
    assert one_reading(delta_e + more, delta_l) >= one_reading(delta_e, delta_l)


@pytest.mark.parametrize(
    ("delta_e", "delta_l", "verdict"),
    [
        (30.0, 30.0, "clear"),
        (90.0, 29.9999, "readable"),
        (4.0, 30.0, "clear"),
        (15.0, 15.0, "readable"),
        (15.0, 14.9999, "quiet"),
        (19.9999, 14.9, "quiet"),
        (20.0, 8.0, "readable"),
        (19.9999, 8.0, "quiet"),
        (20.0, 7.9999, "quiet"),
        (35.9999, 7.9999, "quiet"),
        (36.0, 0.0, "readable"),
        (100.0, 0.0, "readable"),
        (5.0, 0.0, "quiet"),
        (4.9999, 4.9, "merges"),
        (0.0, 0.0, "merges"),
    ],
)
def test_verdicts_at_their_limits(delta_e: float, delta_l: float, verdict: str):
    """The limits as the design states them: 30; 15, or 20 with 8, or 36 by hue alone; 5. Each is reached by being met."""
    assert verdict_of(one_reading(delta_e, delta_l)) == verdict


def test_contrast_saturates():
    assert one_reading(100, 100) == one_reading(30, 30) == LEVELS["clear"] == 1.0


# Two colours ----------------------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(any_colour(), any_colour())
def test_the_order_of_two_colours_does_not_matter(a: Colour, b: Colour):
    there, back = judge(a, b, MATRICES, RULES, "readable"), judge(b, a, MATRICES, RULES, "readable")
    assert there.reading == pytest.approx(back.reading, abs=1e-9)
    if min(abs(there.reading - level) for level in LEVELS.values()) > 1e-9:
        assert there.verdict == back.verdict
        assert there.vanishing == pytest.approx(back.vanishing, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(any_colour(), any_colour())
def test_what_is_said_of_two_colours_fits_together(a: Colour, b: Colour):
    """The verdict is that of the reading, the reading that of the figures shown, and the least sight decides."""
    found = judge(a, b, MATRICES, RULES, "readable")
    assert found.verdict == verdict_of(found.reading)
    each = {sight: one_reading(*figures) for sight, figures in found.sights.items()}
    if not found.guessed:
        assert min(each.values()) == pytest.approx(found.reading, abs=1e-12)
        assert each[found.least_seen] == pytest.approx(found.reading, abs=0.02)
    else:
        assert found.reading <= max(each.values()) + 1e-12
        assert found.chances["quiet"] >= found.chances["readable"] - 1e-9
        reached = found.chances.get(found.verdict, 1.0)
        assert reached >= RULES.guess_chance or found.verdict == "merges"
    assert (found.delta_e, found.delta_l) == found.sights["daylight"]
    assert 0.0 <= found.vanishing <= 1.0 + 1e-9
    assert (found.vanishing <= RULES.vanish_share + 1e-9) == (found.verdict in ("readable", "clear"))
    assert found.reason


@given(any_colour())
@settings(max_examples=30, deadline=None)
def test_a_yarn_beside_itself_merges_or_is_speckled(a: Colour):
    """A solid or heather merges with itself; of a variegated yarn some stitch always meets its own colour."""
    found = judge(a, a, MATRICES, RULES, "readable")
    if len(a.stitches()) == 1:
        assert (found.verdict, found.reading) == ("merges", 0.0)
    assert found.reading == 0.0 or sum(share**2 for _, share in a.stitches()) <= RULES.vanish_share + 1e-9


@given(st.floats(0, 85), st.floats(0, 14.99))
@settings(max_examples=60, deadline=None)
def test_greys_without_hue_never_read_when_less_than_15_apart(light: float, apart: float):
    found = judge(solid((light, 0.0, 0.0)), solid((light + apart, 0.0, 0.0)), MATRICES, RULES, "readable")
    assert found.verdict in ("quiet", "merges")


@given(st.floats(0, 70), st.floats(15.01, 100))
@settings(max_examples=60, deadline=None)
def test_greys_without_hue_read_from_15_and_are_clear_from_30(light: float, apart: float):
    apart = min(apart, 100.0 - light)
    found = judge(solid((light, 0.0, 0.0)), solid((light + apart, 0.0, 0.0)), MATRICES, RULES, "readable")
    assert found.verdict == ("clear" if apart > 30.01 else "readable" if apart < 29.99 else found.verdict)


@pytest.mark.parametrize(("a", "b"), [((40.0, 0.0, 0.0), (55.0, 0.0, 0.0)), ((20.0, 0.0, 0.0), (50.0, 0.0, 0.0))])
def test_greys_exactly_at_a_limit_are_let_through(a: Lab, b: Lab):
    """A grey looks the same in every sight, but for the sixth decimal of the published matrices; "15 or more" holds."""
    assert judge(solid(a), solid(b), MATRICES, RULES, "readable").verdict == (
        "readable" if b[0] - a[0] == 15 else "clear"
    )


@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [
        ("black", "white", "clear"),
        ("navy", "cream", "clear"),
        ("#7f8285", "#8d9092", "merges"),  # two greys of a like lightness
        ("#7f8285", "#7f8285", "merges"),
        ("navy", "navy 50%, white 50%", "merges"),  # half of the stitches beside navy are navy
        ("navy", "navy 15%, white 85%", "merges"),
        ("navy", "navy 5%, white 95%", "clear"),  # a fleck does not spoil a motif
        ("navy", "navy 10%, white 90%", "clear"),  # exactly the share that may vanish
        ("navy", "heather navy 50%, white 50%", "clear"),  # blended in the fibre, every stitch is their mean
        ("#5b2a4a", "#a8304f 40%, #e9b7c0 35%, #5b2a4a 25%", "merges"),  # a hand-painted yarn swallows its darkest
    ],
)
def test_colours_that_a_knitter_would_lay_side_by_side(a: str, b: str, verdict: str):
    assert judged(a, b).verdict == verdict
    assert judged(b, a).verdict == verdict


def test_red_and_green_of_one_lightness_fail_for_those_who_cannot_tell_them_apart():
    """In daylight the hues differ by far more than the limit; with protan or deutan sight hardly anything is left."""
    found = judged("#b3262e", "#3f6b2a")
    assert found.delta_e > 2.5 * RULES.readable_delta_e
    assert found.least_seen in ("protan", "deutan")
    assert found.verdict in ("quiet", "merges")
    assert EYES[found.least_seen] in str(found.reason)


@pytest.mark.parametrize("whose", WHOSE)
def test_those_eyes_decide_that_are_asked_for_and_the_others_are_told(whose: str):
    """Red and green of near lightness: ordinary eyes read them; who could not is named, and decides when asked."""
    rules = CATALOGUE.seen_by(WHOSE[whose]).contrast
    found = judge(colour("#b3262e"), colour("#4f9a4a"), MATRICES, rules, "readable")
    deciding = {sight: found.verdicts[sight] for sight in ("daylight", *WHOSE[whose])}
    assert found.verdict == min(deciding.values(), key=lambda verdict: LEVELS[verdict])
    assert found.least_seen in deciding
    for sight, verdict in found.verdicts.items():
        if LEVELS[verdict] < LEVELS[found.verdict]:
            for words in (str(found.reason), str(found.plainly)):
                assert EYES[sight] in words or (sight != "tritan" and "to red-green blind eyes" in words)
    if whose == "ordinary":
        assert found.verdict == "readable"
        assert str(found.plainly).endswith("; quiet to green-blind eyes")
    if whose in ("green", "any"):
        assert found.verdict == "quiet"


@settings(max_examples=60, deadline=None)
@given(any_colour(), any_colour())
def test_more_eyes_never_read_more(a: Colour, b: Colour):
    ordinary, all_eyes = (judge(a, b, MATRICES, rules, "readable") for rules in (ORDINARY, RULES))
    assert all_eyes.reading <= ordinary.reading + 1e-12
    assert ordinary.least_seen == "daylight"
    assert ordinary.verdicts == all_eyes.verdicts
    assert ordinary.verdict == ordinary.verdicts["daylight"]


def test_the_reason_tells_how_much_of_a_variegated_yarn_is_lost():
    half = judged("navy", "navy 50%, white 50%")
    assert half.verdict == "merges"
    fleck = judged("navy", "navy 5%, white 95%")
    assert fleck.vanishing == pytest.approx(0.05)


@given(
    st.lists(st.tuples(st.floats(0, 1), st.integers(1, 30)), min_size=1, max_size=9),
    st.floats(0.01, 0.6),
)
def test_all_but_the_share_that_may_vanish(pairs: list[tuple[float, int]], vanish: float):
    """The definition, written out: the greatest of the readings below which no more than that share lies."""
    readings = np.array([[value for value, _ in pairs]])
    weights = np.array([[weight for _, weight in pairs]]) / sum(weight for _, weight in pairs)
    allowed = [
        value
        for value, _ in pairs
        if sum(weight for other, weight in zip(readings[0], weights[0], strict=True) if other < value) <= vanish + 1e-9
    ]
    assert all_but_vanishing(readings, weights, vanish)[0] == max(allowed)


@settings(max_examples=60, deadline=None)
@given(any_colour(), any_colour())
def test_yarns_of_several_colours_are_judged_on_every_pair_of_stitches(a: Colour, b: Colour):
    """Written out: judge each stitch colour against each; the reading is what all but the vanishing share reach."""
    pairs = [
        (judge(solid(one, sd), solid(other, other_sd), MATRICES, RULES, "readable").reading, share * weight)
        for (one, share), sd in zip(a.stitches(), a.stitch_sds(), strict=True)
        for (other, weight), other_sd in zip(b.stitches(), b.stitch_sds(), strict=True)
    ]
    reached = [
        value
        for value, _ in pairs
        if sum(weight for other, weight in pairs if other < value - 1e-9) <= RULES.vanish_share + 1e-9
    ]
    assert judge(a, b, MATRICES, RULES, "readable").reading == pytest.approx(max(reached), abs=1e-8)


def test_a_heather_is_judged_on_its_mean_and_a_variegated_yarn_on_its_stitches():
    heather, variegated = judged("navy", "heather navy 40%, white 60%"), judged("navy", "navy 40%, white 60%")
    assert (heather.verdict, variegated.verdict) == ("clear", "merges")


# Many colours at once -------------------------------------------------------------------------------------


def true_readings(shades: list[Shade]) -> np.ndarray:
    """Every pair by itself, through `judge`."""
    true = np.zeros((len(shades), len(shades)))
    for a, b in combinations(range(len(shades)), 2):
        true[a, b] = true[b, a] = judge(solid(*shades[a]), solid(*shades[b]), MATRICES, RULES, "readable").reading
    return true


def palette(shades: list[Shade], floor: float) -> ColourTable:
    return ColourTable(np.array([lab for lab, _ in shades]), np.array([sd for _, sd in shades]), MATRICES, RULES, floor)


def known(labs: list[Lab]) -> list[Shade]:
    return [(lab, KNOWN) for lab in labs]


@st.composite
def several(draw: st.DrawFn) -> list[Shade]:
    """Colours of one sort: all given by codes, all by words, or some of each."""
    labs = draw(st.lists(draw(st.sampled_from([LABS, NEARLY_GREY, WITHOUT_HUE])), min_size=2, max_size=9, unique=True))
    sds = draw(st.sampled_from([st.just(KNOWN), SDS, st.just((7.0, 7.0, 7.0)), SDS.filter(lambda sd: sd != KNOWN)]))
    return [(lab, draw(sds)) for lab in labs]


SEVERAL = several()
FLOORS = st.sampled_from([0.25, 0.5, 1.0])


# Near the limits, where a bound that is rounded down would cut off what is true.
GREYS_ALMOST_15_APART = known([(40.0, 0.0, 0.0), (54.9999, 0.0, 0.0)])
GREYS_15_APART = known([(40.0, 0.0, 0.0), (55.0, 0.0, 0.0), (70.0, 0.0, 0.0)])
NEAR_GREYS = known([(30.0, 0.5, 0.0), (44.9995, 0.0, 0.5), (59.9991, 0.0, 0.0)])


@settings(max_examples=50, deadline=None)
@given(SEVERAL, FLOORS)
def test_readings_of_the_palette_are_what_judging_each_pair_gives(shades: list[Shade], floor: float):
    """Below the floor they are 0; whoever asks has no use for them."""
    many, true, others = palette(shades, floor), true_readings(shades), np.arange(len(shades))[::-1]
    for part in range(len(shades)):
        expected = np.where(true[part] >= floor, true[part], 0.0)[others]
        at_floor = (np.abs(true[part] - floor) < 1e-9)[others]
        assert np.abs(many.readings(part, others) - expected)[~at_floor].max(initial=0.0) < 1e-9


@settings(max_examples=60, deadline=None)
@given(SEVERAL, FLOORS)
@example(GREYS_ALMOST_15_APART, 0.25)
@example(GREYS_15_APART, 0.5)
@example(NEAR_GREYS, 0.25)
def test_the_quick_reading_is_never_too_little_and_true_where_lightness_decides(shades: list[Shade], floor: float):
    many, true, others = palette(shades, floor), true_readings(shades), np.arange(len(shades))
    worth = np.where(true >= floor, true, 0.0)
    for part in others:
        hope = many.hope(int(part), others)
        assert (hope >= worth[part] - 1e-12).all()
        decided = hope > DECIDED
        assert np.abs(hope - true[part])[decided].max(initial=0.0) < 1e-9
    whole = many.hope(others[:, None], others[None, :])
    assert whole == pytest.approx(np.stack([many.hope(int(part), others) for part in others]), abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(SEVERAL)
@example(GREYS_ALMOST_15_APART)
@example(GREYS_15_APART)
@example(NEAR_GREYS)
def test_what_a_colour_could_read_at_most_is_never_too_little(shades: list[Shade]):
    assert (palette(shades, 0.25).potential() >= true_readings(shades).max(axis=1) - 1e-12).all()


@settings(max_examples=80, deadline=None)
@given(SEVERAL)
@example(GREYS_ALMOST_15_APART)
@example(GREYS_15_APART)
@example(NEAR_GREYS)
def test_the_most_that_a_palette_promises_is_never_too_little(shades: list[Shade]):
    """The bound that ends the search: never below the least reading of the best pair, or of the best three."""
    many, true = palette(shades, 0.25), true_readings(shades)
    assert many.most(2) >= true.max() - 1e-12
    threes = [min(true[a, b], true[b, c], true[a, c]) for a, b, c in combinations(range(len(shades)), 3)]
    assert many.most(3) >= max(threes, default=0.0) - 1e-12


def test_what_hue_alone_needs_is_what_a_table_leaves_of_single_stitches():
    """The choice of 36: of so much hue with hardly any lightness single stitches keep about 20 across a table."""
    rng = np.random.default_rng(5)
    hue, chroma, light = rng.uniform(0, 2 * np.pi, 600), rng.uniform(0, 55, 600), rng.uniform(12, 95, 600)
    labs = np.column_stack([light, chroma * np.cos(hue), chroma * np.sin(hue)])
    linear = linear_from_lab(labs)
    labs = labs[((linear >= 0) & (linear <= 1)).all(axis=1)]
    spatial, motif = CATALOGUE.spatial, CATALOGUE.motifs["seeds"]
    grid = roles_of(motif.grid, list(motif.roles))
    near = [view(grid, (10 / 22, 10 / 29), metres, spatial).shares(1, 0) for metres in spatial.distances_m[:2]]
    opponent = spatial.opponent(labs)
    left, _ = remains(opponent[:, None], opponent[None], np.stack(near), spatial)
    side_by_side = ciede2000(labs[:, None], labs)
    there = np.abs(side_by_side - ORDINARY.readable_hue_delta_e) < 1.0
    there &= np.abs(labs[:, None, 0] - labs[:, 0]) < ORDINARY.readable_delta_e_min_delta_l
    assert np.minimum(left[1], left[1].T)[there].mean() == pytest.approx(ORDINARY.readable_delta_e, abs=2.0)


def test_a_strong_pink_on_a_green_of_one_lightness_reads_and_not_for_everybody():
    found = judge(colour("#e24f92"), colour("#4f9a4a"), MATRICES, ORDINARY, "readable")
    assert found.delta_l < 2
    assert found.verdict == "readable"
    assert found.verdicts["deutan"] == "quiet"


def test_bounds_of_a_large_palette_of_like_lightness():
    """90 colours of nearly one lightness, where hue decides: the long way over every pair at once."""
    rng = np.random.default_rng(30)
    labs = np.column_stack([rng.normal(50, 3.2, 90), rng.uniform(-40, 40, (90, 2))])
    seen = as_seen(labs, MATRICES)
    each = [reading(ciede2000(one[:, None], one), np.abs(one[:, None, 0] - one[None, :, 0]), RULES) for one in seen]
    true = np.min(each, axis=0)
    assert (true >= 0.5).any(axis=1).sum() > 10, "some read against another"
    many, every = ColourTable(labs, np.zeros_like(labs), MATRICES, RULES, 0.25), np.arange(90)
    for part in every:
        assert many.readings(int(part), every) == pytest.approx(np.where(true[part] >= 0.25, true[part], 0.0), abs=1e-9)
    assert (many.hope(every[:, None], every[None, :]) >= true - 1e-12).all()
    assert (many.potential() >= true.max(axis=1) - 1e-12).all()
    assert many.most(2) >= true.max()


def test_an_empty_palette_promises_nothing():
    empty = ColourTable(np.zeros((0, 3)), np.zeros((0, 3)), MATRICES, RULES, 0.25)
    assert empty.most(2) == 0.0
    assert empty.potential().shape == (0,)

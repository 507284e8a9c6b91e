"""Yarn of several colours is judged on all its stitches: how many vanish beside the other colour, and in what words."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.matching.contrast import EYES, judge, reading, vanishing_words, verdict_of
from matcher.materials.colours.colour import Colour, parse_colour
from matcher.materials.colours.vision import DEFICIENCIES
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()


def judged(a: Colour, b: Colour, least: str = "readable"):
    return judge(a, b, CATALOGUE.vision, CATALOGUE.contrast, least)


def grey(*parts: tuple[float, float], kind: str = "variegated") -> Colour:
    return Colour("solid" if len(parts) == 1 else kind, tuple(((light, 0.0, 0.0), share) for light, share in parts))


def test_three_of_ten_stitches_vanish():
    found = judged(grey((20, 0.7), (82, 0.3)), grey((85, 1.0)))
    assert found.vanishing == pytest.approx(0.3)
    assert found.verdict == "merges"
    assert str(found.reason).endswith("; 3 of 10 stitches vanish")


def test_the_least_contrast_says_what_vanishes():
    """Greys 20 apart are readable (15) and not clear (30): figures of catalog/standards/contrast.csv."""
    mixed, plain = grey((30, 0.6), (60, 0.4)), grey((80, 1.0))
    assert [judged(mixed, plain, least).vanishing for least in ("quiet", "readable", "clear")] == [
        0,
        0,
        pytest.approx(0.4),
    ]


def test_both_may_be_of_several_colours_and_a_heather_shows_its_mean():
    assert judged(grey((20, 0.5), (80, 0.5)), grey((20, 0.4), (80, 0.6))).vanishing == pytest.approx(0.5)
    heather = judged(grey((20, 0.5), (80, 0.5), kind="heather"), grey((95, 1.0)))
    assert heather.vanishing == 0
    assert "vanish" not in str(heather.reason)
    assert "vanish" not in str(judged(grey((20, 1.0)), grey((21, 1.0))).reason)


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "no stitches vanish"),
        (0.04, "fewer than 1 of 10 stitches vanish"),
        (0.1, "1 of 10 stitches vanish"),
        (0.3, "3 of 10 stitches vanish"),
        (0.97, "9 of 10 stitches vanish"),
        (1.0, "all stitches vanish"),
    ],
)
def test_in_words(share: float, words: str):
    assert str(vanishing_words(share)) == words


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.floats(5, 95), st.floats(0.1, 1.0)), min_size=1, max_size=4), st.floats(5, 95))
def test_more_asked_never_lets_less_vanish(parts, other: float):
    total = sum(share for _, share in parts)
    mixed = grey(*((light, share / total) for light, share in parts))
    shares = [judged(mixed, grey((other, 1.0)), least).vanishing for least in ("quiet", "readable", "clear")]
    assert shares == sorted(shares)
    assert 0 <= shares[0] <= shares[-1] <= 1 + 1e-9


@pytest.mark.parametrize("light", [29.98, 29.6, 29.9])
def test_a_figure_just_below_a_limit_is_not_shown_as_the_limit(light: float):
    """A lightness of 29.98 apart would be rounded to 30, under "clear needs lightness 30"."""
    found = judged(grey((20, 1.0)), grey((20 + light, 1.0)))
    assert found.verdict == "readable"
    assert str(found.reason).startswith(f"lightness {int(light * 10) / 10:g} apart")


def test_the_figure_that_decides_says_for_whose_eyes():
    """In daylight 32 apart, which is clear; where all eyes count, the sight that sees least is named."""
    bottle, coral = parse_colour("#10402a", {}), parse_colour("#e05a40", {})
    assert judged(bottle, coral).verdict == "clear"
    found = judge(bottle, coral, CATALOGUE.vision, CATALOGUE.seen_by(DEFICIENCIES).contrast, "readable")
    lightness = {sight: figures[1] for sight, figures in found.sights.items()}
    assert lightness["daylight"] > CATALOGUE.contrast.clear_delta_l
    assert found.verdict == "readable"
    assert found.least_seen != "daylight"
    delta_e = found.sights[found.least_seen][0]
    figures = f"lightness {lightness[found.least_seen]:.0f} apart, CIEDE2000 {delta_e:.0f} {EYES[found.least_seen]}"
    assert str(found.reason).startswith(f"{figures}: ")
    assert str(found.plainly).endswith(f" {EYES[found.least_seen]}")


def test_daylight_is_not_named_where_another_sight_decides_the_verdict():
    """Readings that hardly differ may still lie on both sides of a limit."""
    rules = CATALOGUE.seen_by(DEFICIENCIES).contrast
    for red in range(0, 256, 3):
        one, other = parse_colour("#202020", {}), parse_colour(f"#{red:02x}6060", {})
        found = judge(one, other, CATALOGUE.vision, rules, "readable")
        if found.least_seen == "daylight":
            figures = (np.array(one) for one in found.sights["daylight"])
            assert verdict_of(float(reading(*figures, rules))) == found.verdict

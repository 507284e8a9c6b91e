"""Which yarns can live in one fabric: each rule's verdict, and its reason in words."""

from __future__ import annotations

import pytest

from matcher.matching.dyes import may_run
from matcher.matching.together import (
    Handling,
    RuleVerdict,
    beside,
    factor,
    handling_of,
    on_skin,
    thickness,
)
from matcher.materials.care import care_words
from matcher.materials.colours.cielab import Lab
from matcher.materials.colours.colour import Colour
from matcher.materials.fibre import parse_blend
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import Yarn
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
RULES = CATALOGUE.together


def yarn(fibre: str, wash: str = "hand", tex: float = 400.0) -> Yarn:
    return Yarn("a yarn", Estimate(tex, 20.0), "ball band", 3, parse_blend(fibre, CATALOGUE.fibres), wash)


def verdicts(a: str, b: str, washes: tuple[str, str] = ("hand", "hand")) -> dict[str, RuleVerdict]:
    one, other = (handling_of(yarn(fibre, wash), RULES) for fibre, wash in zip((a, b), washes, strict=True))
    both, back = beside(one, other), beside(other, one)
    assert [one.verdict for one in both] == [one.verdict for one in back], "the order of two yarns does not matter"
    return {one.rule: one for one in both}


@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [
        (400, 400, "fits"),
        (400, 500, "fits"),  # 1.25 to 1, the limit itself
        (400, 500.1, "warns"),
        (400, 600, "warns"),  # 1.5 to 1, the limit itself
        (400, 600.1, "blocks"),
        (100, 833, "blocks"),
    ],
)
def test_thickness(a: float, b: float, verdict: str):
    for one, other in ((a, b), (b, a)):
        found = thickness(one, other, RULES)
        assert (found.rule, found.verdict) == ("thickness", verdict)
        assert f"{max(a, b) / min(a, b):.2f} to 1" in str(found.reason)
        assert f"{one:.0f} and {other:.0f} tex" in str(found.reason)


@pytest.mark.parametrize(
    ("a", "b", "verdict", "says"),
    [
        ("wool", "wool", "fits", "both felt alike"),
        ("cotton", "acrylic", "fits", "neither felts"),
        ("wool", "cotton", "warns", "wash by hand, cool"),
        ("wool", "superwash wool", "warns", "one yarn felts and the other doesn't"),
        ("75% wool 25% nylon", "wool", "fits", "both felt alike"),
        ("50% wool 50% acrylic", "acrylic", "warns", "puckers"),
        ("40% wool 60% acrylic", "acrylic", "fits", "neither felts"),
        ("unknown", "cotton", "warns", "unknown and may felt"),
        ("unknown", "wool", "fits", "unknown"),
        ("unknown", "unknown", "fits", "unknown"),
    ],
)
def test_shrinking(a: str, b: str, verdict: str, says: str):
    found = verdicts(a, b)["shrinking"]
    assert found.verdict == verdict
    assert says in str(found.reason)


@pytest.mark.parametrize(
    ("a", "b", "washes", "verdict"),
    [
        ("wool", "wool", ("machine", "hand"), "warns"),
        ("wool", "wool", ("machine", "unknown"), "warns"),
        ("wool", "wool", ("machine", "machine"), "fits"),
        ("wool", "superwash wool", ("machine", "machine"), "fits"),
        ("75% wool 25% nylon", "cotton", ("machine", "hand"), "fits"),
        ("wool", "superwash wool", ("hand", "hand"), "warns"),
        ("unknown", "superwash wool", ("machine", "hand"), "fits"),
        ("unknown", "wool", ("machine", "hand"), "warns"),
    ],
)
def test_what_may_go_into_the_machine_does_not_felt(a: str, b: str, washes: tuple[str, str], verdict: str):
    assert verdicts(a, b, washes)["shrinking"].verdict == verdict


def test_the_limit_of_thickness_can_bind():
    """Yarns of one gauge differ at most as its window of tightness does, squared; only there can a limit refuse any."""
    most = {window.weight.number: (window.tightest / window.loosest) ** 2 for window in CATALOGUE.fabric.windows}
    assert [number for number, ratio in most.items() if ratio > RULES.tex_ratio_blocks] == [1, 2, 4, 5]
    assert min(most.values()) > RULES.tex_ratio_fits


NAVY, RED, WINE, PINK = (20.0, 10.0, -30.0), (45.0, 60.0, 35.0), (28.0, 35.0, 8.0), (75.0, 30.0, 5.0)
CREAM, GREEN, RUST, GREY = (88.0, 0.0, 10.0), (45.0, -40.0, 30.0), (45.0, 30.0, 45.0), (55.0, 0.0, 0.0)


@pytest.mark.parametrize("runs", [NAVY, RED, WINE])
@pytest.mark.parametrize("keeps", [PINK, GREEN, RUST, GREY, CREAM])
def test_dark_and_red_dyes_may_run_into_pale_yarn(runs: Lab, keeps: Lab):
    def solid(lab: Lab) -> Colour:
        return Colour("solid", ((lab, 1.0),))

    for order in (1, -1):
        assert may_run([solid(one) for one in (runs, CREAM, keeps)[::order]], RULES)
        assert not may_run([solid(one) for one in (keeps, CREAM)[::order]], RULES)
        assert may_run([solid(one) for one in (runs, keeps)[::order]], RULES) == (keeps[0] >= 70)
    both = Colour("variegated", ((runs, 0.5), (CREAM, 0.5)))
    assert not may_run([both, solid(GREY)], RULES), "a yarn has been wet beside its own colours"
    assert may_run([both, solid(CREAM)], RULES)


@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [
        ("cotton", "linen", "fits"),
        ("wool", "alpaca 30% wool 70%", "fits"),
        ("wool", "cotton", "warns"),
        ("wool 60% cotton 40%", "wool", "warns"),  # the limit itself
        ("wool 61% cotton 39%", "wool", "fits"),
        ("unknown", "cotton", "fits"),
    ],
)
def test_stretch(a: str, b: str, verdict: str):
    found = verdicts(a, b)["stretch"]
    assert found.verdict == verdict
    assert ("ripple" in str(found.reason)) == (verdict == "warns")


@pytest.mark.parametrize(
    ("a", "b", "verdict"),
    [
        ("70% mohair 30% silk", "wool", "warns"),
        ("mohair", "mohair", "fits"),
        ("20% mohair 80% wool", "wool", "warns"),  # the limit itself
        ("19% mohair 81% wool", "wool", "fits"),
        ("unknown", "mohair", "fits"),
    ],
)
def test_halo(a: str, b: str, verdict: str):
    found = verdicts(a, b)["halo"]
    assert found.verdict == verdict
    assert ("halo softens" in str(found.reason)) == (verdict == "warns")


def test_next_to_the_skin_only_an_unknown_fibre_is_doubted():
    unknown, wool = handling_of(yarn("unknown"), RULES), handling_of(yarn("wool"), RULES)
    assert on_skin(unknown, True).verdict == "warns"
    assert "skin" in str(on_skin(unknown, True).reason)
    assert on_skin(unknown, False).verdict == "fits"
    assert on_skin(wool, True).verdict == "fits"


def test_what_a_label_does_not_say_is_not_guessed():
    assert handling_of(yarn("unknown"), RULES) == Handling(None, False, None, None)
    assert handling_of(yarn("unknown", "machine"), RULES) == Handling(False, False, None, None)
    assert handling_of(yarn("cotton", "machine"), RULES) == Handling(False, True, True, False)
    assert handling_of(yarn("mohair", "hand"), RULES).halo is True


def test_each_warning_costs_and_one_block_ends_it():
    fits, warns, blocks = (RuleVerdict("a rule", one, "why") for one in ("fits", "warns", "blocks"))
    assert factor((), RULES) == factor((fits, fits), RULES) == 1.0
    assert factor((fits, warns), RULES) == pytest.approx(0.8)
    assert factor((warns, warns, fits), RULES) == pytest.approx(0.64)
    assert factor((warns, blocks, fits), RULES) == 0.0


@pytest.mark.parametrize("a", ["wool", "cotton", "70% mohair 30% silk", "unknown", "superwash wool"])
@pytest.mark.parametrize("b", ["wool", "cotton", "70% mohair 30% silk", "unknown", "superwash wool"])
def test_every_verdict_has_its_reason_in_words(a: str, b: str):
    for one in verdicts(a, b).values():
        assert one.verdict in ("blocks", "warns", "fits")
        assert len(str(one.reason).split()) >= 2


@pytest.mark.parametrize(
    ("washes", "says"),
    [
        (("machine", "machine"), "machine wash"),
        (("machine", "hand"), "wash by hand, cool: follow the gentlest label"),
        (("hand", "unknown"), "wash by hand, cool: follow the gentlest label"),
        (("machine", "unknown"), "wash by hand, cool: a label is missing"),
        (("unknown",), "wash by hand, cool: a label is missing"),
    ],
)
def test_the_gentlest_care_rules_the_whole(washes: tuple[str, ...], says: str):
    for order in (washes, washes[::-1]):
        assert str(care_words(order)).startswith(says)

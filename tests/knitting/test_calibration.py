"""How a knitter's history moves her needs: against updates worked out another way, and against what must hold.

The closed forms: Bishop (2006), Pattern Recognition and Machine Learning, equations 3.50 and 3.51 (linear model with
a normal prior) and 2.141, 2.142 (the mean of a normal with known variance, which is Gelman et al. (2013), Bayesian
Data Analysis, 2.11 and 2.12): the precisions add up. From memory.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from matcher.knitting.calibration import (
    Calibration,
    CalibrationRules,
    Observation,
    Prior,
    calibrate,
    calibrated,
    prior_of,
)
from matcher.knitting.fabric import Gauge, gauge_of_tex
from matcher.knitting.needs import RoleNeed, ZoneWorking, main_structure, needs_of
from matcher.store.catalogue.catalogue import load_catalogue

PRIOR = Prior(knitter_sd=0.10, structure_sd=0.06, entry_sd=0.05, piece_sd=0.08, role_sd=0.03)
OWN = 0.07


def need(structure: str = "rib", length_m: float = 100.0, shared: float = 0.15, own: float = 0.03) -> RoleNeed:
    line = ZoneWorking("tube", "tube", structure, 1, 80, 80, 60, 1.0, 4800.0, 0.0, 2.0, 0.0, 0.96 * length_m)
    return RoleNeed(
        "main", length_m, shared * length_m, own * length_m, 4800, 0.0, 0.03 * length_m, 0.01 * length_m, False, (line,)
    )


# The prior ------------------------------------------------------------------------------------------------


def test_the_prior_adds_up_to_the_spread_that_needs_have():
    """Without a swatch knitter, structure, entry and piece make 15 %; with one, structure and entry make 8 %.

    The model's bias is added to the structure's, more of it in stranded knitting, and no swatch takes it away.
    """
    catalogue = load_catalogue()
    constants = catalogue.fabric
    prior = prior_of(catalogue.calibration, constants)
    by_hand = {"rib": constants.bias_sd, "stranded": constants.bias_sd_stranded}
    for structure, bias in by_hand.items():
        assert prior.shared_sd(structure) == pytest.approx(math.hypot(constants.gauge_sd_no_swatch, bias))
        assert prior.of_structure(structure) == pytest.approx(math.hypot(prior.structure_sd, bias))
        swatched = Gauge.from_swatch(22.0, 30.0, constants)
        assert constants.need_sd(swatched, structure) == pytest.approx(math.hypot(constants.gauge_sd_swatch, bias))
    assert constants.bias_sd_stranded > constants.bias_sd
    assert math.hypot(prior.structure_sd, prior.entry_sd) == pytest.approx(constants.gauge_sd_swatch)
    assert prior.role_sd == constants.share_sd


def test_with_a_prior_of_one_kind_alone_the_rest_is_nothing():
    rules = CalibrationRules(knitter_share=1.0, structure_share=1.0, far_sds=4.0, rest_sd=0.03)
    prior = prior_of(rules, load_catalogue().fabric)
    assert (prior.entry_sd, prior.piece_sd) == (0.0, 0.0)
    found = calibrate([Observation("1", "rib", "hat", 0.1, OWN)], prior)
    assert found.effect("rib", "hat").sd < prior.shared_sd()


# Without a history ----------------------------------------------------------------------------------------


def test_without_a_history_the_needs_are_the_very_same():
    catalogue = load_catalogue()
    gauge = gauge_of_tex(380.0, catalogue.fabric)
    empty = calibrate([], prior_of(catalogue.calibration, catalogue.fabric))
    for key in ("hat-stranded-band", "hat-ribbed"):
        entry = catalogue.accessories[key]
        plain = needs_of(entry, entry.sizes[0], gauge, catalogue.sizes, catalogue.motifs, catalogue.fabric)
        assert calibrated(plain, entry, None) is plain
        assert calibrated(plain, entry, empty) is plain


def test_what_was_never_seen_has_its_prior():
    known = Calibration(PRIOR)
    assert known.effect("rib", "hat").mean == 0.0
    assert known.effect("rib", "hat").sd == pytest.approx(math.sqrt(0.10**2 + 0.06**2 + 0.05**2))
    assert known.shared("rib", "hat").sd == pytest.approx(PRIOR.shared_sd())


# The closed form ------------------------------------------------------------------------------------------


def test_ten_consistent_pieces_shrink_the_spread_as_the_closed_form_says():
    """One kind of piece, one role: the mean of a normal with known variance.

    Prior variance v of knitter, structure and entry together; each piece tells it with variance w, its own piece
    and role: 1 / posterior = 1 / v + n / w, and the mean is the weighted one.
    """
    n, ratio = 10, math.log(1.08)
    found = calibrate([Observation(f"{i}", "rib", "hat", ratio, OWN) for i in range(n)], PRIOR)
    v = 0.10**2 + 0.06**2 + 0.05**2
    w = 0.08**2 + OWN**2
    posterior = 1.0 / (1.0 / v + n / w)
    effect = found.effect("rib", "hat")
    assert effect.sd**2 == pytest.approx(posterior, rel=1e-9)
    assert effect.mean == pytest.approx(posterior * n / w * ratio, rel=1e-9)
    # The need of the next one: its mean by exp(m), its shared spread by the posterior and the next piece's own.
    before = need(shared=PRIOR.shared_sd())
    (now,) = calibrated((before,), "hat", found)
    assert now.length_m == pytest.approx(100.0 * math.exp(effect.mean))
    assert now.shared_sd_m / now.length_m == pytest.approx(math.sqrt(posterior + 0.08**2))
    assert now.own_sd_m / now.length_m == pytest.approx(0.03)
    assert now.shared_sd_m / now.length_m < 0.62 * before.shared_sd_m / before.length_m


def test_two_structures_of_many_pieces_worked_by_hand():
    """Two observations, in two structures and two entries: the knitter is what they have in common.

    Marginally each is normal with variance t = a + b + c + p + o and their covariance is a, so that by the
    conditional normal distribution (Bishop 2.81, 2.82) the knitter's mean is a (y1 + y2) / (t + a), and her variance
    a - 2 a**2 / (t + a).
    """
    y = (0.12, 0.04)
    told = [Observation("1", "rib", "hat", y[0], OWN), Observation("2", "garter", "cowl", y[1], OWN)]
    found = calibrate(told, PRIOR)
    a = 0.10**2
    t = a + 0.06**2 + 0.05**2 + 0.08**2 + OWN**2
    assert found.knitter.mean == pytest.approx(a * sum(y) / (t + a))
    assert found.knitter.sd**2 == pytest.approx(a - 2 * a**2 / (t + a))


def test_roles_of_one_piece_are_no_independent_witnesses():
    """Four roles of one hat say less of the knitter than four hats; with the piece's own error, by the closed form."""
    same = calibrate([Observation("1", "rib", "hat", 0.1, OWN)] * 4, PRIOR)
    apart = calibrate([Observation(f"{i}", "rib", "hat", 0.1, OWN) for i in range(4)], PRIOR)
    v = 0.10**2 + 0.06**2 + 0.05**2
    assert same.effect("rib", "hat").sd ** 2 == pytest.approx(1 / (1 / v + 1 / (0.08**2 + OWN**2 / 4)))
    assert apart.effect("rib", "hat").sd ** 2 == pytest.approx(1 / (1 / v + 4 / (0.08**2 + OWN**2)))
    assert apart.knitter.sd < same.knitter.sd
    assert apart.knitter.mean > same.knitter.mean


def drawn(seed: int, pieces: int) -> list[Observation]:
    rng = np.random.default_rng(seed)
    told = []
    for piece in range(pieces):
        entry = ("hat", "cowl", "mitts", "")[piece % 4]
        for _ in range(1 if not entry else 1 + piece % 3):
            structure = ("rib", "stocking", "stranded")[rng.integers(3)]
            told.append(Observation(f"{piece}", structure, entry, float(rng.normal(0.05, 0.12)), OWN))
    return told


def with_every_piece_a_column(told: list[Observation], prior: Prior) -> tuple[list[str], np.ndarray, np.ndarray]:
    """The same model written out: a column for each term, pieces too, each in units of its prior's deviation."""
    names: list[tuple[str, float]] = [("knitter", prior.knitter_sd)]
    names += [(f"s {one}", prior.structure_sd) for one in sorted({one.structure for one in told})]
    names += [(f"e {one}", prior.entry_sd) for one in sorted({one.entry for one in told if one.entry})]
    names += [(f"p {one}", prior.piece_sd) for one in sorted({one.piece for one in told})]
    order = {name: place for place, (name, _) in enumerate(names)}
    design = np.zeros((len(told), len(names)))
    for row, one in enumerate(told):
        for name in ("knitter", f"s {one.structure}", f"e {one.entry}", f"p {one.piece}"):
            if name in order:
                design[row, order[name]] = names[order[name]][1]
    return [name for name, _ in names], design, np.array([sd for _, sd in names])


@pytest.mark.parametrize("pieces", [1, 3, 12, 40])
def test_against_bayesian_ridge_with_fixed_precisions(pieces: int):
    """scikit-learn's BayesianRidge, its precisions held by gamma priors of all but no width: an error of OWN, and
    weights of standard deviation 1 (the columns carry the prior's deviations)."""
    from sklearn.linear_model import BayesianRidge

    told = drawn(pieces, pieces)
    names, design, sds = with_every_piece_a_column(told, PRIOR)
    sure = 1e14
    ridge = BayesianRidge(
        fit_intercept=False,
        alpha_init=1 / OWN**2, alpha_1=sure, alpha_2=sure * OWN**2,
        lambda_init=1.0, lambda_1=sure, lambda_2=sure,
    )  # fmt: skip
    ridge.fit(design, np.array([one.log_ratio for one in told]))
    mean, covariance = ridge.coef_ * sds, sds[:, None] * ridge.sigma_ * sds
    found = calibrate(told, PRIOR)
    learnt = 1 + len(found.structures) + len(found.entries)
    assert [*(f"s {one}" for one in found.structures), *(f"e {one}" for one in found.entries)] == names[1:learnt]
    assert found.mean == pytest.approx(mean[:learnt], abs=1e-7)
    assert np.array(found.covariance) == pytest.approx(covariance[:learnt, :learnt], abs=1e-8)


# What must hold -------------------------------------------------------------------------------------------

TOLD = st.lists(
    st.builds(
        Observation,
        st.sampled_from(["1", "2", "3", "4"]),
        st.sampled_from(["rib", "garter", "stocking", "stranded"]),
        st.sampled_from(["", "hat", "cowl"]),
        st.floats(-0.5, 0.5),
        st.floats(0.02, 0.3),
    ),
    max_size=12,
)


@settings(deadline=None, max_examples=60)
@given(TOLD, st.randoms())
def test_the_order_of_what_was_noted_does_not_matter(told: list[Observation], random):
    mixed = list(told)
    random.shuffle(mixed)
    one, other = calibrate(told, PRIOR), calibrate(mixed, PRIOR)
    assert other.mean == pytest.approx(one.mean, abs=1e-10)
    assert other.effect("rib", "hat").sd == pytest.approx(one.effect("rib", "hat").sd, abs=1e-10)


@settings(deadline=None, max_examples=60)
@given(TOLD)
def test_one_more_piece_never_widens_what_is_known(told: list[Observation]):
    more = [*told, Observation("new", "rib", "cowl", 0.02, 0.08)]
    before, after = calibrate(told, PRIOR), calibrate(more, PRIOR)
    for structure in ("rib", "garter"):
        for entry in ("hat", "cowl", "never"):
            assert after.effect(structure, entry).sd <= before.effect(structure, entry).sd + 1e-12
            assert after.effect(structure, entry).sd > 0


@settings(deadline=None, max_examples=60)
@given(TOLD, st.booleans())
def test_the_working_adds_up_to_the_need_whatever_the_history(told: list[Observation], from_swatch: bool):
    (now,) = calibrated((need(),), "hat", calibrate(told, PRIOR), from_swatch=from_swatch)
    line = now.working[0]
    assert line.length_m + now.edge_m + now.tail_m == pytest.approx(now.length_m)
    assert line.stitches * line.loop_cm / 100 == pytest.approx(line.length_m)
    assert now.shared_sd_m > 0


def test_a_gauge_from_a_swatch_leaves_her_tension_out():
    """The swatch has told it: a history that moves only the knitter moves little there."""
    told = [Observation(f"{i}", s, e, 0.1, OWN) for i, (s, e) in enumerate(zip("abcdefgh", "ABCDEFGH", strict=True))]
    found = calibrate(told, PRIOR)
    tight = math.hypot(0.06, 0.05)
    (by_swatch,) = calibrated((need("new", shared=tight),), "new", found, from_swatch=True)
    assert by_swatch.length_m == pytest.approx(100.0)
    assert by_swatch.shared_sd_m == pytest.approx(100.0 * tight)
    (without,) = calibrated((need("new", shared=PRIOR.shared_sd()),), "new", found)
    assert without.length_m > 106.0


def test_a_slip_of_the_scale_is_left_out():
    prior = replace(PRIOR, far_sds=4.0)
    good = [Observation(f"{i}", "rib", "hat", 0.05, OWN) for i in range(5)]
    slip = Observation("slip", "rib", "hat", math.log(10), OWN)
    assert calibrate([*good, slip], prior) == calibrate(good, prior)
    assert not calibrate([slip], prior).seen


def test_the_main_structure_is_the_one_that_takes_most_yarn():
    line = need().working[0]
    lines = (line._replace(length_m=40.0), line._replace(structure="stocking", length_m=30.0))
    assert main_structure(lines) == "rib"
    more = (*lines, line._replace(structure="stocking", length_m=15.0))
    assert main_structure(more) == "stocking"

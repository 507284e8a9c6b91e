"""Deficiencies of colour vision, and the one published contrast figure.

Sources: Machado, Oliveira and Fernandes 2009, IEEE TVCG 15(6):1291-1298, as transcribed in `cvd_machado2009.csv`
and as packaged by colour-science 0.4 (a test dependency); `colour_thresholds.csv` (each row names its own).

Tolerance: the tables give six decimals, so cells are equal as written and rows sum to 1 within 3 half units of the
last decimal. Simulated colours differ from colour-science's only by the white, see `test_colour_conversions.py`.
"""

from __future__ import annotations

import csv
import warnings
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from matcher.materials.colours.cielab import lab_from_srgb
from matcher.materials.colours.vision import DEFICIENCIES, SIGHTS, as_seen
from matcher.store.catalogue.catalogue import load_catalogue

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message=".*[Mm]atplotlib.*")
    import colour
    from colour.blindness import CVD_MATRICES_MACHADO2010


def read(name: str) -> list[dict[str, str]]:
    with open(Path(__file__).with_name(name), encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


ROWS = read("cvd_machado2009.csv")
THRESHOLDS = read("colour_thresholds.csv")
THEIRS = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}
CATALOGUE = load_catalogue()


def matrix(row: dict[str, str]) -> np.ndarray:
    return np.array([[float(row[f"m{i}{j}"]) for j in (1, 2, 3)] for i in (1, 2, 3)])


def test_each_deficiency_has_all_eleven_severities():
    tenths = [round(0.1 * step, 1) for step in range(11)]
    for kind in DEFICIENCIES:
        assert [float(row["severity"]) for row in ROWS if row["type"] == kind] == tenths
        assert [severity for severity, _ in CATALOGUE.vision_table[kind]] == tenths


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['type']} {row['severity']}")
def test_the_catalogue_holds_the_published_matrices(row: dict[str, str]):
    severity = float(row["severity"])
    published = CVD_MATRICES_MACHADO2010[THEIRS[row["type"]]][severity]
    ours = np.array(dict(CATALOGUE.vision_table[row["type"]])[severity]).reshape(3, 3)
    assert matrix(row) == pytest.approx(published, abs=1e-12)
    assert ours == pytest.approx(published, abs=1e-12)
    assert ours.sum(axis=1) == pytest.approx(np.ones(3), abs=1.5e-6 + 1e-12)


def in_use(kind: str, severity: float) -> np.ndarray:
    return replace(CATALOGUE, contrast=replace(CATALOGUE.contrast, deficiency_severity=severity)).vision[kind]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['type']} {row['severity']}")
def test_the_matrix_in_use_is_the_one_of_the_severity_asked_for(row: dict[str, str]):
    assert in_use(row["type"], float(row["severity"])) == pytest.approx(matrix(row), abs=1e-9)


@pytest.mark.parametrize("kind", DEFICIENCIES)
def test_between_two_published_severities_the_matrix_lies_half_way(kind: str):
    """The paper publishes steps of 0.1; between them a straight line is this project's choice."""
    lower, upper = (matrix(row) for row in ROWS if row["type"] == kind and row["severity"] in ("0.5", "0.6"))
    assert in_use(kind, 0.55) == pytest.approx((lower + upper) / 2, abs=1e-9)


def test_colours_as_seen_against_colour_science():
    """2,000 random colours, through linear RGB; gamma-coded RGB would be off by several units."""
    srgb = np.random.default_rng(2009).uniform(0, 1, (2000, 3))
    seen = as_seen(lab_from_srgb(srgb), CATALOGUE.vision)
    assert seen.shape == (len(SIGHTS), 2000, 3)
    assert (seen[0] == lab_from_srgb(srgb)).all()
    for place, kind in enumerate(DEFICIENCIES, start=1):
        full = CVD_MATRICES_MACHADO2010[THEIRS[kind]][1.0]
        linear = np.clip(colour.algebra.vecmul(full, colour.models.eotf_sRGB(srgb)), 0, 1)
        expected = colour.XYZ_to_Lab(colour.RGB_to_XYZ(linear, "sRGB"))
        assert np.abs(seen[place] - expected).max() < 0.01
        coded = np.clip(colour.algebra.vecmul(full, srgb), 0, 1)
        wrong = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(coded))
        assert np.median(np.abs(wrong - expected).max(axis=1)) > 1


def test_greys_look_the_same_to_everyone():
    greys = np.column_stack([np.linspace(0, 100, 21), np.zeros((21, 2))])
    seen = as_seen(greys, CATALOGUE.vision)
    assert np.abs(seen - greys).max() < 1e-3


def test_red_and_green_come_nearer_without_red_cones_or_green_cones():
    red, green = (lab_from_srgb(np.array(rgb)) for rgb in ([0.7, 0.2, 0.2], [0.35, 0.45, 0.15]))
    seen = as_seen(np.array([red, green]), CATALOGUE.vision)
    hue_apart = np.abs(seen[:, 0, 1] - seen[:, 1, 1])
    assert hue_apart[SIGHTS.index("deutan")] < hue_apart[0] / 3
    assert hue_apart[SIGHTS.index("protan")] < hue_apart[0] / 3
    assert hue_apart[SIGHTS.index("tritan")] > hue_apart[0] / 2


def value(quantity: str) -> float:
    return float(next(row["value"] for row in THRESHOLDS if row["quantity"] == quantity))


def test_clear_is_the_published_figure_for_text():
    """Zuffi, Brambilla, Beretta and Scala 2009, HPL-2009-182: readable text differs by 30 in L*."""
    assert CATALOGUE.contrast.clear_delta_l == value("readable text: lightness difference to be set")


def test_quiet_lies_above_every_published_threshold_of_noticing():
    """Two colours that are *quiet* are at least seen as two: every published CIEDE2000 threshold lies below."""
    published = [
        float(row["value"])
        for row in THRESHOLDS
        if "CIEDE2000" in row["unit"] and "threshold" in row["quantity"] and row["value"].replace(".", "").isdigit()
    ]
    assert len(published) >= 4
    assert CATALOGUE.contrast.quiet_delta_e > max(published)


def test_only_published_figures_call_themselves_published():
    """All but the figure for text and what follows from published ones is a choice, and the catalogue says so."""
    rows = [one for one in CATALOGUE.figures if one.file.endswith("contrast.csv")]
    how = {one.key.split(", ")[-1]: (one.source, one.how_obtained) for one in rows}
    theirs = {key: told for key, told in how.items() if told[0] != "project"}
    assert theirs == {
        "clear_delta_l": ("zuffi_2009", "abstract"),
        "single_stitches_keep": ("zhang_wandell_1997", "derived"),
    }
    assert {how_obtained for source, how_obtained in how.values() if source == "project"} == {"choice"}

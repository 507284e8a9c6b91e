"""The 24-patch colour target photographed by a renderer: how near the colours come, and whether the stated error is honest.

Sources. Reflectance spectra and chromaticities (D50) of the target's 24 patches, spectra of the illuminants, and the matrices of
chromatic adaptation: as colour-science 0.4 carries them (a test dependency). The truth is the spectra's CIELAB under D65, computed
in the renderer; it is held here to the published chromaticities. Light is rendered by wavelength, so the errors hold what no
scaling of three channels can mend (a yarn under a lamp is not what it is in daylight).

Limits: median below 2 and 95th percentile below 5 CIEDE2000 are what is asked of the program. They hold for these settings: the
corners lose 0 to 30 % of the light, the camera takes half of a cast away itself, and a strip of white paper runs across most of
the picture, from which the falling off is read. Measured: median 1.3, 95th percentile 4.6 with any vignetting from none to 30 %. Most
of that is what no scaling of three channels mends: under the lamp (A) and the tube (FL11) alone the 95th percentile is 5 to 6,
in daylight 2. Without reading the falling off, 30 % in the corners would make it 5.2. The coverage was measured as well
(0.69 within the stated standard error, 0.95 within twice of it) and is asserted with room for another machine's rounding.
"""

from __future__ import annotations

import io
import warnings

import numpy as np
import photo_renderer as renderer
import pytest

from matcher.materials.colours.cielab import lab_from_linear
from matcher.materials.colours.difference import ciede2000
from matcher.photographs import white as white_module
from matcher.photographs.photo import read_colours
from matcher.photographs.pixels import Box, Photograph
from matcher.store.catalogue.catalogue import load_catalogue

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message=".*[Mm]atplotlib.*")
    import colour


OBSERVER = "CIE 1931 2 Degree Standard Observer"
SETTINGS = [
    (light, stops, quality, noise, vignette)
    for place, light in enumerate(renderer.ILLUMINANTS)
    for stops, quality, noise, vignette in [
        (-1.0, (60, 80, 95)[place % 3], 0.02, 0.1),
        (-0.5, 95, 0.005, 0.3),
        (0.0, (80, 95, 60)[place % 3], 0.01, 0.0),
        (0.5, 60, 0.01, 0.2),
        (1.0, (95, 60, 80)[place % 3], 0.02, 0.1),
    ]
]


def apart(one: np.ndarray, other: np.ndarray) -> float:
    return float(ciede2000(np.asarray(one), np.asarray(other)))


@pytest.fixture(scope="module")
def measured() -> list[tuple[str, float, float, float]]:
    """For every patch of every photograph: illuminant, stops, error and stated standard error [CIEDE2000]."""
    from PIL import Image

    rules = load_catalogue().photo
    truth = renderer.target()[2]
    found = []
    for seed, (light, stops, quality, noise, vignette) in enumerate(SETTINGS):
        camera = renderer.Camera(stops=stops, noise=noise, vignette=vignette, quality=quality)
        data, boxes, paper = renderer.target_photograph(light, camera, seed)
        photo = Photograph(np.array(Image.open(io.BytesIO(data))))
        read = read_colours(photo, rules, [Box(*box) for box in boxes], Box(*paper))
        for lab, region in zip(truth, read.regions, strict=True):
            assert region.kind == "solid"
            found.append((light, stops, apart(region.colours[0].lab, lab), region.se))
    return found


def test_the_truth_is_the_published_one():
    """The two publications of the target, spectra and chromaticities, agree within what they round."""
    published = colour.CCS_COLOURCHECKERS[renderer.TARGET]
    whites = colour.CCS_ILLUMINANTS[OBSERVER]
    matrix = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        colour.xy_to_XYZ(published.illuminant), colour.xy_to_XYZ(whites["D65"]), "CAT02"
    )
    xyz = colour.xyY_to_XYZ(np.array(list(published.data.values()))) @ matrix.T
    labs = colour.XYZ_to_Lab(xyz, whites["D65"])
    errors = [apart(one, other) for one, other in zip(labs, renderer.target()[2], strict=True)]
    assert np.median(errors) < 0.8
    assert max(errors) < 2


def test_the_colours_come_near(measured):
    errors = np.array([error for _, _, error, _ in measured])
    print(f"\n{len(errors)} patches: median {np.median(errors):.2f}, 95th percentile {np.quantile(errors, 0.95):.2f}")
    for light in renderer.ILLUMINANTS:
        part = np.array([error for name, _, error, _ in measured if name == light])
        print(f"  {light:8} median {np.median(part):.2f}, 95th percentile {np.quantile(part, 0.95):.2f}")
    assert len(errors) == 24 * 25
    assert np.median(errors) < 2
    assert np.quantile(errors, 0.95) < 5


def test_exposure_is_taken_out(measured):
    """One stop more or less of light changes the median error by less than half a unit."""
    medians = [np.median([error for _, at, error, _ in measured if at == stops]) for stops in (-1.0, 0.0, 1.0)]
    assert max(medians) - min(medians) < 0.5


def test_the_stated_error_covers_the_truth_as_it_claims(measured):
    """About two of three within the standard error, nearly all within twice of it; and larger where the errors are larger."""
    errors = np.array([error for _, _, error, _ in measured])
    stated = np.array([se for _, _, _, se in measured])
    print("\nstated  root mean square  within 1  within 2")
    parts = np.array_split(np.argsort(stated, kind="stable"), 4)
    for part in parts:
        rms = np.sqrt((errors[part] ** 2).mean())
        within = [(errors[part] <= times * stated[part]).mean() for times in (1, 2)]
        print(f"  {stated[part].mean():.2f}  {rms:16.2f}  {within[0]:8.2f}  {within[1]:8.2f}")
    assert 0.60 <= (errors <= stated).mean() <= 0.78
    assert 0.91 <= (errors <= 2 * stated).mean() <= 0.985
    rms = float(np.sqrt((errors**2).mean()))
    assert 0.8 < rms / float(np.sqrt((stated**2).mean())) < 1.25
    low, high = parts[0], parts[-1]
    assert np.sqrt((errors[high] ** 2).mean()) > np.sqrt((errors[low] ** 2).mean())


def test_the_adaptation_is_the_published_one():
    theirs = colour.CHROMATIC_ADAPTATION_TRANSFORMS["Bradford"]
    assert pytest.approx(theirs, abs=1e-4) == white_module._BRADFORD
    photographed = np.array([0.5, 0.4, 0.2])
    white = white_module.White(Box(0, 0, 9, 9), (0.5, 0.4, 0.2), (100.0, 0.0, 0.0), True)
    correct = white_module.correction_from(white)
    assert lab_from_linear(correct(photographed[None]))[0] == pytest.approx([100, 0, 0], abs=1e-6)
    srgb = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ
    matrix = colour.adaptation.matrix_chromatic_adaptation_VonKries(srgb @ photographed, srgb @ np.ones(3), "Bradford")
    colours = np.random.default_rng(7).uniform(0.05, 0.5, (50, 3))
    expected = colours @ srgb.T @ matrix.T @ np.linalg.inv(srgb).T
    assert correct(colours) == pytest.approx(expected, abs=2e-3)


@pytest.mark.parametrize("kelvin", [1900.0, 2856.0, 5000.0, 10_000.0])
def test_the_curve_of_lamps(kelvin: float):
    """Krystek 1985 as colour-science carries it (u, v of CIE 1960: v' is 1.5 v)."""
    u, v = colour.temperature.CCT_to_uv_Krystek1985(kelvin)
    assert white_module.planckian(np.array([kelvin]))[0] == pytest.approx([u, 1.5 * v], abs=1e-6)

"""Colours as seen in daylight and with the three deficiencies of colour vision.

Source: Machado, Oliveira and Fernandes 2009, IEEE TVCG 15(6):1291-1298; the matrices act on linear RGB.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.cielab import lab_from_linear, linear_from_lab

Floats = npt.NDArray[np.float64]

DEFICIENCIES = ("protan", "deutan", "tritan")
SIGHTS = ("daylight", *DEFICIENCIES)
# Whose eyes decide besides ordinary ones, as she may ask: the deficiencies that count as well.
WHOSE: Mapping[str, tuple[str, ...]] = {
    "ordinary": (),
    "red": ("protan",),
    "green": ("deutan",),
    "red-green": ("protan", "deutan"),
    "blue": ("tritan",),
    "any": DEFICIENCIES,
}


def as_seen(lab: Floats, matrices: Mapping[str, Floats], who: Sequence[str] = DEFICIENCIES) -> Floats:
    """CIELAB of colours in each sight.

    Parameters
    ----------
    lab : array (n, 3), CIELAB D65.
    matrices : a matrix (3, 3) for each of `DEFICIENCIES`. who : the deficiencies that are asked about.

    Returns
    -------
    array (1 + len(who), n, 3): in daylight, then with each deficiency. Simulated colours are clipped to what light
    can be (0 to 1).
    """
    linear = linear_from_lab(lab) if who else lab
    seen = [np.asarray(lab, dtype=float)]
    seen += [lab_from_linear(np.clip(linear @ matrices[name].T, 0.0, 1.0)) for name in who]
    return np.stack(seen)

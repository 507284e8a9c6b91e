"""CIEDE2000. The one file that knows colormath.

Only colormath's matrix function is used, on plain arrays: its object functions call a numpy name that
no longer exists. Where two hues lie more than 180 degrees apart its mean hue is taken 360 degrees higher
than the standard's in half the cases; the difference that results
is at most 0.0002 among the colours of a screen (0.00021 over all of CIELAB).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def ciede2000_row(lab: Floats, others: Floats) -> Floats:
    """CIEDE2000 between one colour and many.

    Parameters
    ----------
    lab : array (3,), CIELAB D65.
    others : array (n, 3), CIELAB D65.

    Returns
    -------
    array (n,)

    Source: Sharma, Wu and Dalal 2005, Color Res. Appl. 30(1):21-30, as computed by colormath 3.0.
    """
    from colormath.color_diff_matrix import delta_e_cie2000

    if len(others) == 0:
        return np.zeros(0)
    with np.errstate(invalid="ignore"):  # two equal colours can leave -1e-17 under the root
        return np.asarray(np.nan_to_num(delta_e_cie2000(lab, others)))


def ciede2000(labs: Floats, others: Floats) -> Floats:
    """CIEDE2000 of every colour of `labs` (n, 3) against every one of `others` (m, 3): array (n, m)."""
    if len(labs) == 0:
        return np.zeros((0, len(others)))
    return np.stack([ciede2000_row(lab, others) for lab in labs])

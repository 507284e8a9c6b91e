"""How the eye blurs what is small: the spatial extension of CIELAB, on a pattern of cells that repeats both ways.

A colour is taken apart into three opponent channels (light and dark, red and green, blue and yellow), and each is
blurred by its own sum of Gaussians: lightness hardly, the two hues much more. All of it is linear in light.

Source: Zhang and Wandell 1997, J. SID 5(1), whose filters fit the measurements of Poirson and Wandell 1993. The
figures stand in `catalog/standards/spatial_vision.csv`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from matcher.materials.colours.cielab import XYZ_FROM_RGB, lab_from_linear, linear_from_lab

Floats = npt.NDArray[np.float64]

CHANNELS = ("lightness", "red and green", "blue and yellow")
DISTANCES = ("in the hand", "across a table", "across a room")


@dataclass(frozen=True)
class SpatialRules:
    """The published filters and figures, and this project's choice of three distances.

    `*_deg` of a kernel: full width at half of its height, in degrees of visual angle. Weights of a channel sum to 1.
    `o1_x` and its like: the matrix from XYZ to the opponent channels. Kernels are cut to a square of `cut_deg`.
    `low_contrast_from_deg`: from this size upwards what is read bears a low contrast.
    """

    light_1_deg: float
    light_1_weight: float
    light_2_deg: float
    light_2_weight: float
    light_3_deg: float
    light_3_weight: float
    red_green_1_deg: float
    red_green_1_weight: float
    red_green_2_deg: float
    red_green_2_weight: float
    blue_yellow_1_deg: float
    blue_yellow_1_weight: float
    blue_yellow_2_deg: float
    blue_yellow_2_weight: float
    cut_deg: float
    o1_x: float
    o1_y: float
    o1_z: float
    o2_x: float
    o2_y: float
    o2_z: float
    o3_x: float
    o3_y: float
    o3_z: float
    in_the_hand_m: float
    across_a_table_m: float
    across_a_room_m: float
    low_contrast_from_deg: float

    @cached_property
    def kernels(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """For each of `CHANNELS` its Gaussians: (full width at half height in degrees, weight)."""
        light = [(self.light_1_deg, self.light_1_weight), (self.light_2_deg, self.light_2_weight)]
        light.append((self.light_3_deg, self.light_3_weight))
        red = [(self.red_green_1_deg, self.red_green_1_weight), (self.red_green_2_deg, self.red_green_2_weight)]
        blue = [(self.blue_yellow_1_deg, self.blue_yellow_1_weight)]
        blue.append((self.blue_yellow_2_deg, self.blue_yellow_2_weight))
        return tuple(light), tuple(red), tuple(blue)

    @cached_property
    def from_linear(self) -> Floats:
        """Linear sRGB to the opponent channels, array (3, 3).

        The published hue channels of D65 white are near 0 (-0.06 and 0.04 of its lightness); here they are taken from
        there, so that they are 0 for every grey and a pattern in greys stays grey at every distance (a choice).
        """
        rows = [(self.o1_x, self.o1_y, self.o1_z), (self.o2_x, self.o2_y, self.o2_z), (self.o3_x, self.o3_y, self.o3_z)]
        matrix = np.array(rows) @ XYZ_FROM_RGB
        white = matrix.sum(axis=1)
        matrix[1:] -= np.outer(white[1:] / white[0], matrix[0])
        return np.asarray(matrix)

    @cached_property
    def to_linear(self) -> Floats:
        """The way back, array (3, 3)."""
        return np.asarray(np.linalg.inv(self.from_linear), dtype=float)

    @property
    def distances_m(self) -> tuple[float, float, float]:
        """Metres, in the order of `DISTANCES`."""
        return self.in_the_hand_m, self.across_a_table_m, self.across_a_room_m

    def opponent(self, lab: Floats) -> Floats:
        """Opponent channels of CIELAB (D65); array (..., 3) in and out."""
        return np.asarray(linear_from_lab(lab) @ self.from_linear.T)

    def lab(self, opponent: Floats) -> Floats:
        """CIELAB (D65) of opponent channels; array (..., 3) in and out."""
        return lab_from_linear(opponent @ self.to_linear.T)


def angle_deg(length_cm: float, distance_m: float) -> float:
    """Visual angle of a length that is looked at from straight before it, in degrees."""
    return math.degrees(2 * math.atan(length_cm / (200 * distance_m)))


def blurred(masks: Floats, cell_deg: tuple[float, float], rules: SpatialRules, samples: int = 1) -> Floats:
    """What the eye makes of a repeating pattern of cells, each of one even colour.

    Exact for cells that are rectangles: the part of a kernel that falls on a cell is a difference of error functions,
    so that no pixels are needed. (Pixels and an FFT would come near to the same for more work.)

    Parameters
    ----------
    masks : array (k, rows, columns): k values of each cell, such as 1 where it has a colour and 0 elsewhere.
    cell_deg : width and height of a cell in degrees.
    samples : points looked at along each side of a cell; one is its centre.

    Returns
    -------
    array (3, k, rows * samples, columns * samples), for each of `CHANNELS`.
    """
    sides = list(zip(masks.shape[:0:-1], cell_deg, strict=True))
    seen = []
    for kernels in rules.kernels:
        channel = np.zeros((1,))
        for width_deg, weight in kernels:
            across, up = (_on_cells(width_deg, rules.cut_deg, size, cells, samples) for cells, size in sides)
            channel = channel + weight * (up @ masks @ across.T)
        seen.append(channel)
    return np.stack(seen)


def _on_cells(width_deg: float, cut_deg: float, cell_deg: float, cells: int, samples: int) -> Floats:
    """How much of a Gaussian centred on each point lies on each cell of a repeat: array (cells * samples, cells).

    The Gaussian is cut to `cut_deg` and made whole again, so that every row sums to 1.
    """
    scale, half = 2 * math.sqrt(math.log(2)) / width_deg, cut_deg / 2
    reach = math.ceil(half / cell_deg) + 1
    shift = (np.arange(cells)[None, :] - np.arange(cells)[:, None]) % cells
    rows = np.empty((cells, samples, cells))
    for sample in range(samples):
        edges = (np.arange(-reach, reach + 2) - (sample + 0.5) / samples) * cell_deg
        up_to = [math.erf(scale * edge) for edge in np.clip(edges, -half, half)]
        on = np.zeros(cells)
        np.add.at(on, np.arange(-reach, reach + 1) % cells, np.diff(up_to) / (2 * math.erf(scale * half)))
        rows[:, sample] = on[shift]
    return rows.reshape(cells * samples, cells)

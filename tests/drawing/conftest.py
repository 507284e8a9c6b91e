"""Reads pictures back, by a plain reader of SVG paths that knows nothing of the drawing."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from io import BytesIO
from xml.etree import ElementTree

import numpy as np
import pytest

from matcher.drawing.scene import Scene, png, svg
from matcher.store.catalogue.catalogue import load_catalogue

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Outline:
    """Corners, of one stitch or of all that are drawn alike."""

    points: tuple[tuple[float, float], ...]

    @cached_property
    def sides(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """From where to where it reaches, across and down."""
        xs, ys = zip(*self.points, strict=True)
        return (min(xs), max(xs)), (min(ys), max(ys))


@dataclass(frozen=True)
class Seen:
    """One outline where it stands: its colour and its corners."""

    fill: str
    outline: Outline
    across: float = 0.0
    down: float = 0.0

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        return tuple((x + self.across, y + self.down) for x, y in self.outline.points)

    @property
    def middle(self) -> tuple[float, float]:
        (left, right), (top, bottom) = self.outline.sides
        x, y = self.across, self.down
        return ((left + x) + (right + x)) / 2, ((top + y) + (bottom + y)) / 2


def _path(d: str) -> Outline:
    assert re.fullmatch(r"m[-\d., ]+l[-\d., ]+z", d), d
    places: list[tuple[float, float]] = []
    for right, down in re.findall(r"(-?[\d.]+),(-?[\d.]+)", d):
        x, y = places[-1] if places else (0.0, 0.0)
        places.append((x + float(right), y + float(down)))
    return Outline(tuple(places))


def _seen(scene: Scene, kind: str = "stitch") -> list[Seen]:
    root = ElementTree.fromstring(svg(scene))
    kept = {one.get("id"): _path(one.get("d", "")) for one in root.findall(f"{SVG}defs/{SVG}path")}
    found = []
    for one in root.iter():
        if one.get("class") == kind:
            if one.tag == f"{SVG}use":
                across, down = float(one.get("x", "")), float(one.get("y", ""))
                found.append(Seen(one.get("fill", ""), kept[one.get("href", "")[1:]], across, down))
            else:
                assert one.tag == f"{SVG}path"
                found.append(Seen(one.get("fill", ""), _path(one.get("d", ""))))
    return found


def _pixels_agree(scene: Scene, pixels_per_unit: float) -> int:
    """How many stitches were looked at: in the PNG, each one's middle has the SVG's code."""
    from PIL import Image

    image = Image.open(BytesIO(png(scene, pixels_per_unit))).convert("RGB")
    stitches = _seen(scene)
    for one in stitches:
        x, y = one.middle
        pixel = image.getpixel((int(x * pixels_per_unit), int(y * pixels_per_unit)))
        assert "#{:02x}{:02x}{:02x}".format(*pixel) == one.fill, one
    return len(stitches)


@pytest.fixture(scope="session")
def seen_in() -> Callable[..., list[Seen]]:
    """Outlines of one kind in a scene's SVG."""
    return _seen


@pytest.fixture(scope="session")
def pixels_agree() -> Callable[[Scene, float], int]:
    return _pixels_agree


@pytest.fixture(scope="session")
def words_in() -> Callable[[Scene], list[str]]:
    return lambda scene: [one.text or "" for one in ElementTree.fromstring(svg(scene)).iter(f"{SVG}text")]


@pytest.fixture(scope="session")
def matrices() -> Mapping[str, np.ndarray]:
    return load_catalogue().vision

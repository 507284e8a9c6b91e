"""Reads pictures back, by a plain reader of SVG paths that knows nothing of the drawing."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from io import BytesIO
from xml.etree import ElementTree

import numpy as np
import pytest

from matcher.drawing.scene import Scene, png, svg
from matcher.store.catalogue.catalogue import load_catalogue

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Seen:
    """One outline: its colour and its corners."""

    fill: str
    points: tuple[tuple[float, float], ...]

    @property
    def middle(self) -> tuple[float, float]:
        xs, ys = zip(*self.points, strict=True)
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _path(d: str) -> list[tuple[float, float]]:
    assert re.fullmatch(r"m[-\d., ]+l[-\d., ]+z", d), d
    places: list[tuple[float, float]] = []
    for right, down in re.findall(r"(-?[\d.]+),(-?[\d.]+)", d):
        x, y = places[-1] if places else (0.0, 0.0)
        places.append((x + float(right), y + float(down)))
    return places


def _seen(scene: Scene, kind: str = "stitch") -> list[Seen]:
    root = ElementTree.fromstring(svg(scene))
    kept = {one.get("id"): _path(one.get("d", "")) for one in root.findall(f"{SVG}defs/{SVG}path")}
    found = []
    for one in root.iter():
        if one.get("class") == kind:
            if one.tag == f"{SVG}use":
                across, down = float(one.get("x", "")), float(one.get("y", ""))
                points = [(x + across, y + down) for x, y in kept[one.get("href", "")[1:]]]
            else:
                assert one.tag == f"{SVG}path"
                points = _path(one.get("d", ""))
            found.append(Seen(one.get("fill", ""), tuple(points)))
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

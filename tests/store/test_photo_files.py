"""Photographs of each kind come in upright and in sRGB, with nothing else that their files hold.

Display P3 (its primaries, and what an sRGB colour is in them): as colour-science 0.4 carries it. The profile is
written here, byte by byte, after ICC.1:2001 (version 2 matrix profile).
"""

from __future__ import annotations

import struct
import warnings
from pathlib import Path

import numpy as np
import pytest

from matcher.errors import MatcherError
from matcher.materials.colours.cielab import lab_from_srgb
from matcher.materials.colours.difference import ciede2000
from matcher.store.photograph_files import open_photo

with warnings.catch_warnings():
    warnings.filterwarnings("ignore", message=".*[Mm]atplotlib.*")
    import colour

from PIL import Image

WIDE, HIGH = 96, 64
LEFT, RIGHT = (180, 60, 50), (60, 90, 160)


def halves(left: tuple[int, int, int] = LEFT, right: tuple[int, int, int] = RIGHT) -> Image.Image:
    image = Image.new("RGB", (WIDE, HIGH), left)
    image.paste(right, (WIDE // 2, 0, WIDE, HIGH))
    return image


def profile_p3() -> bytes:
    """A Display P3 profile: primaries adapted to D50 (Bradford), the sRGB curve as a table."""
    space = colour.RGB_COLOURSPACES["Display P3"]
    d50 = np.array([0.9642, 1.0, 0.8249])
    white = space.matrix_RGB_to_XYZ @ np.ones(3)
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(white, d50, "Bradford")
    columns = (adapt @ space.matrix_RGB_to_XYZ).T

    def xyz(values: np.ndarray) -> bytes:
        return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(float(one) * 65536) for one in values))

    steps = np.round(65535 * colour.models.eotf_sRGB(np.linspace(0, 1, 1024))).astype(int)
    curve = b"curv\0\0\0\0" + struct.pack(f">I{len(steps)}H", len(steps), *steps)
    name = b"wide screen\0"
    described = b"desc\0\0\0\0" + struct.pack(">I", len(name)) + name + bytes(78)
    tags = {b"desc": described, b"wtpt": xyz(d50), b"rXYZ": xyz(columns[0]), b"gXYZ": xyz(columns[1])}
    tags |= {b"bXYZ": xyz(columns[2]), b"rTRC": curve, b"gTRC": curve, b"bTRC": curve, b"cprt": b"text\0\0\0\0none\0"}
    table, body, at = b"", b"", 128 + 4 + 12 * len(tags)
    for key, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += key + struct.pack(">II", at + len(body), len(data))
        body += padded
    size = at + len(body)
    head = struct.pack(">I4sI4s4s4s", size, bytes(4), 0x02400000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2024, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + struct.pack(">3i", 63190, 65536, 54061)
    return head + bytes(128 - len(head)) + struct.pack(">I", len(tags)) + table + body


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "heic"])
def test_each_kind_is_read(ending: str, tmp_path: Path):
    import pillow_heif

    pillow_heif.register_heif_opener()
    path = tmp_path / f"yarn.{ending}"
    halves().save(path, quality=95)
    photo = open_photo(path, 64)
    assert (photo.width, photo.height) == (WIDE, HIGH)
    assert np.abs(photo.pixels[20, 20].astype(int) - LEFT).max() <= 4
    assert np.abs(photo.pixels[20, 80].astype(int) - RIGHT).max() <= 4
    assert photo.notes == ()


def test_the_ending_does_not_matter(tmp_path: Path):
    halves().save(tmp_path / "a.png")
    (tmp_path / "a.png").rename(tmp_path / "a.jpg")
    assert open_photo(tmp_path / "a.jpg", 64).width == WIDE


@pytest.mark.parametrize("turned", range(1, 9))
def test_it_stands_upright_however_the_camera_was_held(turned: int, tmp_path: Path):
    upright = halves()
    undo = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    stored = upright.transpose(undo[turned]) if turned in undo else upright
    exif = Image.Exif()
    exif[0x0112] = turned
    stored.save(tmp_path / "a.jpg", quality=95, exif=exif)
    photo = open_photo(tmp_path / "a.jpg", 64)
    assert (photo.width, photo.height) == (WIDE, HIGH)
    assert photo.pixels[30, 10, 0] > 150 > photo.pixels[30, 90, 0]


def test_a_display_p3_picture_is_read_in_srgb(tmp_path: Path):
    srgb = [np.array(one) / 255 for one in (LEFT, RIGHT)]
    in_p3 = [
        np.round(
            255
            * np.clip(
                colour.RGB_to_RGB(one, "sRGB", "Display P3", apply_cctf_decoding=True, apply_cctf_encoding=True), 0, 1
            )
        )
        for one in srgb
    ]
    left, right = (tuple(int(value) for value in one) for one in in_p3)
    halves(left, right).save(tmp_path / "wide.png", icc_profile=profile_p3())
    photo = open_photo(tmp_path / "wide.png", 64)
    for at, truth, stored in ((20, srgb[0], left), (80, srgb[1], right)):
        lab = lab_from_srgb(truth)
        read, ignored = (lab_from_srgb(np.array(one) / 255) for one in (photo.pixels[20, at], stored))
        assert ciede2000(lab, read) < 1
        assert ciede2000(lab, ignored) > 1.5


def test_a_damaged_profile_is_said_and_sRGB_taken(tmp_path: Path):
    halves().save(tmp_path / "a.png", icc_profile=b"nothing like a profile")
    photo = open_photo(tmp_path / "a.png", 64)
    assert any("profile" in str(one) for one in photo.notes)
    assert tuple(photo.pixels[20, 20]) == LEFT


def test_alpha_that_hides_nothing_is_dropped(tmp_path: Path):
    halves().convert("RGBA").save(tmp_path / "a.png")
    assert tuple(open_photo(tmp_path / "a.png", 64).pixels[20, 20]) == LEFT


def test_pillow_is_left_as_it_was(tmp_path: Path):
    before = Image.MAX_IMAGE_PIXELS
    halves().save(tmp_path / "a.png")
    open_photo(tmp_path / "a.png", 64)
    with pytest.raises(MatcherError):
        open_photo(tmp_path / "a.png", 0.001)
    assert before == Image.MAX_IMAGE_PIXELS

"""Motif files that are none: each is told in its own words, with row and stitch, by the library and by the command."""

from __future__ import annotations

import contextlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image
from typer.testing import CliRunner

from matcher.errors import BadInput, NotFound
from matcher.knitting.motifs.motif import Motif
from matcher.store.motifs.files import motif_pixels, read_motif

TEXT = "name: mine\nroles: . main, x contrast 1\n\n...x\n..xx\n"


def block(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png_header(width: int, height: int, depth: int = 8, kind: int = 2) -> bytes:
    """A PNG that promises a size and has not one pixel."""
    head = struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + block(b"IHDR", head) + block(b"IDAT", zlib.compress(b"")) + block(b"IEND", b"")


def gif_header(width: int, height: int) -> bytes:
    return b"GIF89a" + struct.pack("<HHBBB", width, height, 0x80, 0, 0) + b"\0\0\0\xff\xff\xff;"


def picture(image: Image.Image, kind: str = "PNG", **how: object) -> bytes:
    written = io.BytesIO()
    image.save(written, kind, **how)
    return written.getvalue()


def dotted(mode: str = "RGB", background: object = "white", dot: object = (0, 0, 0)) -> Image.Image:
    image = Image.new(mode, (6, 4), background)
    image.putpixel((4, 1), dot)
    return image


def moving(kind: str) -> bytes:
    return picture(dotted(), kind, save_all=True, append_images=[dotted(dot=(255, 0, 0)), dotted(dot=(0, 0, 255))])


def many_colours() -> bytes:
    image = Image.new("RGB", (17, 1))
    for x in range(17):
        image.putpixel((x, 0), (x, 0, 0))
    return picture(image)


def see_through_gif() -> bytes:
    image = Image.new("P", (6, 4), 0)
    image.putpalette([255, 255, 255, 0, 0, 0])
    image.putpixel((4, 1), 1)
    return picture(image, "GIF", transparency=1)


def half_a_frame() -> bytes:
    """A GIF of 10 by 10 whose one frame covers 6 by 4."""
    data = bytearray(picture(dotted().convert("P"), "GIF"))
    data[6:10] = struct.pack("<HH", 10, 10)
    return bytes(data)


BLURS = "would blur"
# name of the file, content, and words that its message must have
BROKEN: dict[str, tuple[str, bytes, list[str]]] = {
    "ragged": ("m.txt", TEXT.replace("..xx", "..x").encode(), ["m.txt, line 5", "3 stitches and the bottom row 4"]),
    "unknown mark": ("m.txt", TEXT.replace("..xx", "..?x").encode(), ["m.txt, line 5, stitch 3", "'?' isn't one"]),
    "no grid": ("m.txt", TEXT.split("\n\n")[0].encode(), ["m.txt, grid", "no grid"]),
    "no roles": ("m.txt", b"name: mine\n\n..\n", ["m.txt, roles", "needs a line"]),
    "role without stitch": ("m.txt", TEXT.replace("x con", "x c, o con").encode(), ["m.txt, roles", "has no stitch"]),
    "head line twice": ("m.txt", b"name: a\nname: b\nroles: . main\n\n..\n", ["m.txt, line 2", "stands twice"]),
    "no order": ("m.txt", b"rows: left to right\n" + TEXT.encode(), ["m.txt, rows", "bottom to top"]),
    "too wide a text": ("m.txt", (TEXT.split("...x")[0] + "." * 401 + "\n").encode(), ["at most 400 by 400"]),
    "seventeen roles": (
        "m.txt",
        ("name: a\nroles: " + ", ".join(f"{c} r{c}" for c in "abcdefghijklmnopq") + "\n\nabcdefghijklmnopq\n").encode(),
        ["17 roles", "at most 16"],
    ),
    "latin 1": (
        "m.txt",
        TEXT.replace("mine", "grün").encode("latin-1"),
        ["m.txt, line 1", "the motif isn't UTF-8", "save it as"],
    ),
    "utf-16": ("m.txt", TEXT.encode("utf-16"), ["but not UTF-8", "save it as UTF-8"]),
    "not text": ("m.txt", b"PK\x03\x04\0\0\0\0", ["isn't text, a PNG or a GIF"]),
    "empty": ("m.txt", b" \n", ["the file is empty (m.txt)"]),
    "too many bytes": ("m.txt", b"." * 4_000_001, ["larger than 4 MB"]),
    "text named png": (
        "m.png",
        TEXT.encode(),
        ["isn't a picture, whatever its name says (m.png)", "name a text grid .txt"],
    ),
    "text named gif": ("m.gif", TEXT.encode(), ["isn't a picture, whatever its name says (m.gif)"]),
    "huge png": ("m.png", png_header(10_000, 10_000), ["10000 by 10000 pixels", "at most 400 by 400"]),
    "huge gif": ("m.gif", gif_header(10_000, 10_000), ["10000 by 10000 pixels", "at most 400 by 400"]),
    "no width": ("m.png", png_header(0, 12), ["0 pixels wide", "no stitch"]),
    "no height": ("m.gif", gif_header(12, 0), ["0 high", "no stitch"]),
    "16 bits": ("m.png", picture(Image.new("I;16", (6, 4))), ["16 bits a colour", "8 bits"]),
    "16 bits rgb": ("m.png", png_header(6, 4, depth=16), ["16 bits a colour"]),
    "moving png": ("m.png", moving("PNG"), ["moves", "several frames"]),
    "moving gif": ("m.gif", moving("GIF"), ["moves", "several frames"]),
    "jpeg": ("m.png", picture(dotted(), "JPEG"), ["is a JPEG", BLURS, "export it as PNG"]),
    "cmyk jpeg": ("m.png", picture(dotted("CMYK", 0, (0, 0, 0, 255)), "JPEG"), ["JPEG in CMYK", "export it as PNG"]),
    "cmyk tiff": ("m.gif", picture(dotted("CMYK", 0, (0, 0, 0, 255)), "TIFF"), ["TIFF in CMYK", "export it as PNG"]),
    "bmp": ("m.png", picture(dotted(), "BMP"), ["is a BMP", "export it as PNG"]),
    "transparent": (
        "m.png",
        picture(dotted("RGBA", (255, 255, 255, 255), (0, 0, 0, 120))),
        ["transparent", "row 3 from the bottom, stitch 2 from the right"],
    ),
    "transparent palette": ("m.gif", see_through_gif(), ["transparent", "row 3 from the bottom, stitch 2"]),
    "many colours": ("m.png", many_colours(), ["17 colours", "at most 16", "without smoothing"]),
    "no pixels": ("m.png", png_header(6, 4), ["cut off or damaged"]),
    "half a frame": ("m.gif", half_a_frame(), ["leaves a part of it empty"]),
    "half a png": ("m.png", picture(dotted())[:40], ["cut off or damaged", "again"]),
    "half a gif": ("m.gif", picture(dotted(), "GIF")[:-3], ["cut off or damaged"]),
    "no more than a beginning": ("m.png", b"\x89PNG\r\n\x1a\n", ["cut off or damaged"]),
}


@pytest.mark.parametrize("case", BROKEN)
def test_the_library_says_what_is_wrong_and_where(case: str, tmp_path: Path) -> None:
    name, content, words = BROKEN[case]
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(BadInput) as caught:
        read_motif(path)
    said = str(caught.value)
    assert [word for word in words if word not in said] == [], said
    assert name in said
    assert caught.value.todo


@pytest.mark.parametrize("case", BROKEN)
def test_the_command_says_the_same_and_ends_with_2(case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from matcher.cli.commands import app

    name, content, words = BROKEN[case]
    monkeypatch.chdir(tmp_path)
    Path(name).write_bytes(content)
    shown = CliRunner().invoke(app, ["motif", name, "--svg", "out.svg"])
    assert (shown.exit_code, shown.stdout) == (2, "")
    said = " ".join(shown.stderr.split())
    assert [word for word in words if word not in said] == []
    assert [line for line in shown.stderr.splitlines()[1:] if not line.startswith("  ")] == []
    assert not Path("out.svg").exists()


def test_every_fault_has_words_of_its_own(tmp_path: Path) -> None:
    said = set()
    for name, content, _ in BROKEN.values():
        path = tmp_path / name
        path.write_bytes(content)
        with pytest.raises(BadInput) as caught:
            read_motif(path)
        said.add(caught.value.what)
    assert len(said) >= 25


def test_a_huge_picture_is_refused_before_its_pixels_are_decoded(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A real one, of one colour and so of few bytes, that the library of pictures never gets to see."""
    path = tmp_path / "m.png"
    path.write_bytes(picture(Image.new("1", (10_000, 10_000))))
    assert path.stat().st_size < 100_000

    def never(*_: object, **__: object) -> None:
        raise AssertionError("the picture was opened")

    monkeypatch.setattr(Image, "open", never)
    with pytest.raises(BadInput, match="10000 by 10000"):
        read_motif(path)


def test_a_frame_larger_than_its_gif_is_refused(tmp_path: Path) -> None:
    data = bytearray(picture(Image.new("L", (401, 2)), "GIF"))
    data[6:10] = struct.pack("<HH", 4, 2)
    path = tmp_path / "m.gif"
    path.write_bytes(bytes(data))
    with pytest.raises(BadInput):
        read_motif(path)


@pytest.mark.parametrize("kind", ["PNG", "GIF"])
def test_a_picture_cut_anywhere_is_refused(kind: str, tmp_path: Path) -> None:
    whole = picture(dotted(), kind)
    path = tmp_path / "m.any"
    for length in range(1, len(whole)):
        path.write_bytes(whole[:length])
        with pytest.raises(BadInput):
            read_motif(path)


WHOLE = [
    motif_pixels(Motif("a", "a", ("..x.", "xx.."), {".": "main", "x": "contrast 1"})),
    picture(dotted()),
    picture(dotted().convert("P"), "GIF"),
    TEXT.encode(),
]


@settings(deadline=None, max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    whole=st.sampled_from(WHOLE),
    changes=st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), min_size=1, max_size=6),
)
def test_damage_gives_a_motif_or_a_plain_message(whole: bytes, changes: list[tuple[int, int]], tmp_path: Path) -> None:
    data = bytearray(whole)
    for place, value in changes:
        data[place % len(data)] = value
    path = tmp_path / "m.any"
    path.write_bytes(bytes(data))
    with contextlib.suppress(BadInput):
        assert read_motif(path).size >= 1


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="there is no file"):
        read_motif(tmp_path / "m.txt")
    with pytest.raises(BadInput, match="is a folder"):
        read_motif(tmp_path)
    with pytest.raises(BadInput, match="can't be read"):
        read_motif(Path("a\0b.txt"))

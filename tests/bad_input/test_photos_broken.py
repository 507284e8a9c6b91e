"""Files that are no photograph of yarn: each has its own message, ends with 2, and nothing is written."""

from __future__ import annotations

import io
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

SIDE = 200


def scene() -> Image.Image:
    """Red and blue squares on a brown ground, and a strip of paper."""
    image = Image.new("RGB", (SIDE, SIDE), (90, 60, 45))
    image.paste((170, 50, 60), (20, 20, 80, 80))
    image.paste((50, 80, 150), (120, 20, 180, 80))
    image.paste((200, 200, 198), (20, 130, 180, 180))
    return image


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    kept = io.BytesIO()
    image.save(kept, kind, **options)
    return kept.getvalue()


def png_header(wide: int, high: int, depth: int = 8, colour: int = 2, rows: bytes = b"") -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">2I5B", wide, high, depth, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def frames() -> list[Image.Image]:
    return [scene(), Image.eval(scene(), lambda value: value // 2)]


def cut_out() -> Image.Image:
    image = scene().convert("RGBA")
    image.putpixel((3, 3), (0, 0, 0, 0))
    return image


FILES: dict[str, tuple[Callable[[], bytes], str]] = {
    "huge.png": (lambda: png_header(50_000, 50_000), "50000 x 50000 pixels, more than 64 megapixels"),
    "truncated.jpg": (lambda: saved(scene(), "JPEG")[:1500], "damaged or cut short"),
    "truncated.png": (lambda: saved(scene(), "PNG")[:200], "damaged or cut short"),
    "truncated.webp": (lambda: saved(scene(), "WEBP")[:300], "truncated.webp"),
    "text.jpg": (lambda: b"lot,grams\nnavy,40\n" * 50, "isn't a picture that can be read here, whatever its name says"),
    "empty.jpg": (lambda: b"", "isn't a picture that can be read here"),
    "moving.png": (lambda: saved(scene(), "PNG", save_all=True, append_images=frames()[1:]), "is animated"),
    "moving.webp": (lambda: saved(scene(), "WEBP", save_all=True, append_images=frames()[1:]), "is animated"),
    "moving.gif": (lambda: saved(scene(), "GIF", save_all=True, append_images=frames()[1:]), "is animated"),
    "still.gif": (lambda: saved(scene(), "GIF"), "is a GIF picture"),
    "print.jpg": (lambda: saved(scene().convert("CMYK"), "JPEG"), "is in CMYK"),
    "deep.png": (
        lambda: saved(Image.fromarray(np.arange(SIDE * SIDE, dtype=np.uint16).reshape(SIDE, SIDE)), "PNG"),
        "is grey with 16 bits",
    ),
    "grey.jpg": (lambda: saved(scene().convert("L"), "JPEG"), "is black and white"),
    "cut.png": (lambda: saved(cut_out(), "PNG"), "see-through parts (alpha)"),
    "cut.webp": (lambda: saved(cut_out(), "WEBP", lossless=True), "see-through parts (alpha)"),
    "tiny.png": (lambda: saved(scene().resize((8, 8)), "PNG"), "has only 8 x 8 pixels"),
    "high.png": (lambda: saved(scene().resize((40, 8000)), "PNG"), "a strip of 40 x 8000 pixels"),
    "wide.png": (lambda: saved(scene().resize((8000, 40)), "PNG"), "a strip of 8000 x 40 pixels"),
    "black.jpg": (lambda: saved(Image.new("RGB", (SIDE, SIDE), (2, 1, 3)), "JPEG"), "the picture is all black"),
    "white.jpg": (lambda: saved(Image.new("RGB", (SIDE, SIDE), (255, 254, 255)), "JPEG"), "the picture is all white"),
    "table.jpg": (
        lambda: saved(Image.new("RGB", (SIDE, SIDE), (90, 60, 45)), "JPEG"),
        "no yarn stands out from its background",
    ),
}
OPTIONS = {
    "no size": (["--box", "10,10,0,20"], "the box 10,10,0,20 has no size"),
    "less than no size": (["--box", "10,10,-5,20"], "has no size"),
    "outside": (["--box", "150,150,100,100"], "reaches outside the picture"),
    "left of it": (["--box", "-5,10,50,50"], "reaches outside the picture"),
    "two pixels": (["--box", "10,10,2,2"], "too small to judge"),
    "no numbers": (["--box", "left,top"], '"left,top" isn\'t a box'),
    "white outside": (["--white", "150,150,100,100"], "reaches outside the picture"),
    "white of no size": (["--white", "10,10,0,0"], "has no size"),
    "card without place": (["--grey-card"], "a grey card can't be found by itself"),
    "no such bin": (["--bin", "no-such-bin"], "no-such-bin"),
    "out of another kind": (["--out", "seen.txt"], "seen.txt doesn't end in .png, .jpg or .jpeg"),
    "out in no folder": (["--out", "nowhere/seen.png"], "there is no folder"),
    "out over the photograph": (["--out", "scene.png"], "scene.png is what is read"),
}


def refused(arguments: list[str], words: str, folder: Path) -> None:
    """The command says the words on stderr, in one message, and leaves with 2; the folder is as it was."""
    from matcher.cli.commands import app

    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    shown = CliRunner().invoke(app, ["photo", *arguments])
    assert shown.exit_code == 2, shown.output
    assert shown.stdout == ""
    assert "Traceback" not in shown.stderr
    assert words in " ".join(shown.stderr.split())
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


@pytest.mark.parametrize("name", FILES)
def test_each_has_its_own_message(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    content, words = FILES[name]
    (tmp_path / name).write_bytes(content())
    monkeypatch.chdir(tmp_path)
    refused([name, "--out", "seen.png"], words, tmp_path)


@pytest.mark.parametrize("name", OPTIONS)
def test_options_that_make_no_sense(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    options, words = OPTIONS[name]
    (tmp_path / "scene.png").write_bytes(saved(scene(), "PNG"))
    monkeypatch.chdir(tmp_path)
    refused(["scene.png", *options], words, tmp_path)


def test_a_file_that_is_not_there_and_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    refused(["nothing.jpg"], "there is no file nothing.jpg", tmp_path)
    refused(["."], "is a folder", tmp_path)


def test_white_that_is_black(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    image = scene()
    image.paste((0, 0, 0), (20, 130, 180, 180))
    image.save(tmp_path / "a.png")
    monkeypatch.chdir(tmp_path)
    refused(["a.png", "--white", "30,140,40,30"], "too dark to be a white reference", tmp_path)


def test_sixteen_bits_a_channel_are_read_with_a_remark(tmp_path: Path):
    from matcher.actions.colours.photo import photo

    plain = np.array(scene()).astype(np.uint16) * 257
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in plain)
    (tmp_path / "deep.png").write_bytes(png_header(SIDE, SIDE, 16, 2, rows))
    scene().save(tmp_path / "plain.png")
    deep, eight = photo(tmp_path / "deep.png"), photo(tmp_path / "plain.png")
    assert any("16 bits" in str(one) for one in deep.warnings)
    assert deep.as_dict()["regions"] == eight.as_dict()["regions"]


def test_memory_stays_below_a_gigabyte(tmp_path: Path):
    """A picture of 12 megapixels, and a header that promises 2,500, each in a process of its own.

    The largest that is read, 64 megapixels, is measured by tests/benchmarks/photo.py.
    """
    scene().resize((4000, 3000), Image.Resampling.NEAREST).save(tmp_path / "large.jpg", quality=60)
    (tmp_path / "huge.png").write_bytes(png_header(50_000, 50_000))
    code = """
import pathlib, resource, sys
from matcher.actions.colours.photo import photo
from matcher.errors import MatcherError
try:
    print(len(photo(sys.argv[1], out=sys.argv[2]).regions))
except MatcherError as error:
    print(error)
status = pathlib.Path("/proc/self/status")  # where there is one: the other figure begins with that of the parent
peak = [line.split()[1] for line in status.read_text().splitlines() if line.startswith("VmHWM")] if status.exists() else []
print(int(peak[0] if peak else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) // 1024)
"""
    for name, said, most in (("large.jpg", "2", 450), ("huge.png", "50000 x 50000", 300)):
        arguments = [str(tmp_path / name), str(tmp_path / "seen.png")]
        done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True)
        first, last = done.stdout.strip().splitlines()
        assert said in first
        assert int(last) < most, f"{name}: {last} MB"

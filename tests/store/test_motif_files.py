"""Her own motif files: text and pictures, what becomes of their colours, and that nothing is lost on the way."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from matcher.errors import BadInput
from matcher.knitting.motifs.motif import Motif
from matcher.store.catalogue.folders import catalogue_folder
from matcher.store.files import write_out
from matcher.store.motifs.files import motif_pixels, read_motif, read_motif_file, write_motif_text

MARKS = ".xo+*#=%@/v^sz&n"
BLACK, WHITE, RED = (0, 0, 0), (255, 255, 255), (200, 30, 40)
# A letter of any script, no spaces, no comma: what a mark or a word of a name may be.
LETTERS = st.characters(categories=("L", "N", "P", "S"), exclude_characters=",")
WORDS = st.lists(st.text(LETTERS, min_size=1, max_size=8), min_size=1, max_size=3).map(" ".join)


@st.composite
def motifs(draw: st.DrawFn) -> Motif:
    marks = draw(st.lists(LETTERS, min_size=1, max_size=16, unique=True))
    roles = draw(st.lists(WORDS, min_size=len(marks), max_size=len(marks), unique=True))
    width = draw(st.integers(1, 20))
    row = st.text(alphabet=marks, min_size=width, max_size=width)
    # Every role has a stitch: the last rows hold each mark in turn.
    every = "".join(marks) + marks[0] * (-len(marks) % width)
    grid = (*draw(st.lists(row, max_size=12)), *(every[at : at + width] for at in range(0, len(every), width)))
    words = [draw(st.one_of(st.just(""), WORDS)) for _ in range(3)]
    return Motif("mine", draw(WORDS), grid, dict(zip(marks, roles, strict=True)), *words)


def saved(folder: Path, name: str, image: Image.Image, **how: object) -> Path:
    path = folder / name
    image.save(path, **how)
    return path


def painted(*rows: str, colours: dict[str, tuple[int, int, int]]) -> Image.Image:
    """A plain picture, written as it is seen: the first row is its top."""
    image = Image.new("RGB", (len(rows[0]), len(rows)))
    for y, row in enumerate(rows):
        for x, mark in enumerate(row):
            image.putpixel((x, y), colours[mark])
    return image


@settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(motif=motifs())
@pytest.mark.parametrize("kind", ["text", "picture"])
def test_what_is_written_is_read_again(kind: str, motif: Motif, tmp_path: Path) -> None:
    path = tmp_path / "mine.any"
    path.write_bytes(write_motif_text(motif).encode() if kind == "text" else motif_pixels(motif))
    again = read_motif(path)
    assert again == motif
    assert again.role_names == motif.role_names


def test_every_motif_of_the_catalogue_goes_there_and_back(tmp_path: Path) -> None:
    for path in sorted((catalogue_folder() / "motifs").glob("*.txt")):
        motif = read_motif(path)
        picture = tmp_path / f"{path.stem}.png"
        picture.write_bytes(motif_pixels(motif))
        assert read_motif(picture) == motif


def test_the_top_of_a_picture_is_the_top_of_the_knitting(tmp_path: Path) -> None:
    image = painted("..x", "...", "x..", colours={".": WHITE, "x": BLACK})
    assert read_motif(saved(tmp_path, "a.png", image)).grid == ("x..", "...", "..x")


def test_a_motif_is_written_one_pixel_a_stitch_and_lightest_first() -> None:
    motif = Motif("a", "a", ("..x", "ooo"), {".": "main", "x": "contrast 1", "o": "contrast 2"})
    image = Image.open(io.BytesIO(motif_pixels(motif))).convert("L")
    assert image.size == (3, 2)
    top, bottom = [image.getpixel((x, 0)) for x in range(3)], [image.getpixel((x, 1)) for x in range(3)]
    assert bottom[0] == bottom[1] > bottom[2] > top[0] == top[1] == top[2]


def test_without_a_palette_the_colour_of_most_stitches_is_main(tmp_path: Path) -> None:
    image = painted("rrb", "rww", "rww", colours={"r": RED, "w": WHITE, "b": BLACK})
    found = read_motif_file(saved(tmp_path, "rose.png", image))
    # Four red, four white, one black; of red and white the white one is knitted first, at the right of row 1.
    assert found.colours == {"main": "#ffffff", "contrast 1": "#c81e28", "contrast 2": "#000000"}
    assert found.motif.grid == ("x..", "x..", "xxo")
    assert (found.motif.name, found.motif.key) == ("rose", "rose")
    assert "most first" in str(found.how)


@pytest.mark.parametrize("name", ["mine.png", "mine.gif"])
def test_with_a_palette_its_order_rules(name: str, tmp_path: Path) -> None:
    image = Image.new("P", (3, 2))
    image.putpalette([*BLACK, *WHITE, *RED])
    image.putdata([2, 2, 2, 1, 1, 2])
    found = read_motif_file(saved(tmp_path, name, image))
    # Black stands first in the palette, and no stitch is black.
    assert found.colours == {"main": "#ffffff", "contrast 1": "#c81e28"}
    assert found.motif.grid == ("..x", "xxx")
    assert "palette" in str(found.how)


def test_a_colour_that_stands_twice_in_a_palette_is_one(tmp_path: Path) -> None:
    image = Image.new("P", (3, 1))
    image.putpalette([*RED, *WHITE, *RED])
    image.putdata([0, 1, 2])
    assert read_motif(saved(tmp_path, "a.png", image)).grid == (".x.",)


def test_a_gif_with_a_ramp_of_greys_is_read_by_its_palette(tmp_path: Path) -> None:
    image = Image.new("L", (3, 1))
    image.putdata([200, 90, 200])
    found = read_motif_file(saved(tmp_path, "a.gif", image))
    assert found.motif.grid == ("x.x",)
    assert found.colours == {"main": "#5a5a5a", "contrast 1": "#c8c8c8"}


@pytest.mark.parametrize("mode", ["1", "L", "RGB", "RGBA", "P", "LA"])
def test_every_usual_kind_of_png_is_read_alike(mode: str, tmp_path: Path) -> None:
    image = painted("..x.", ".xx.", colours={".": WHITE, "x": BLACK}).convert(mode)
    found = read_motif(saved(tmp_path, "a.png", image))
    assert len(found.role_names) == 2
    light = [[mark == found.grid[0][0] for mark in row] for row in found.grid]
    assert light == [[True, False, False, True], [True, True, False, True]]


def test_the_content_and_not_the_name_says_what_a_file_is(tmp_path: Path) -> None:
    image = painted("..x.", colours={".": WHITE, "x": BLACK})
    path = tmp_path / "grid.txt"
    image.save(path, "PNG")
    assert read_motif(path).grid == ("..x.",)


def test_a_picture_of_ours_that_was_painted_on_keeps_its_roles(tmp_path: Path) -> None:
    motif = Motif("a", "a", ("..x", "..."), {".": "main", "x": "contrast 1"}, "", "", "")
    path = tmp_path / "a.png"
    path.write_bytes(motif_pixels(motif))
    image = Image.open(path)
    image.load()
    image.putpixel((0, 0), image.getpixel((2, 1)))
    from PIL import PngImagePlugin

    kept = PngImagePlugin.PngInfo()
    for key, value in image.info.items():
        if isinstance(value, str):
            kept.add_itxt(key, value)
    assert read_motif(saved(tmp_path, "b.png", image.convert("RGB"), pnginfo=kept)).grid == ("..x", "x..")
    image = image.convert("RGB")
    image.putpixel((1, 1), RED)
    with pytest.raises(BadInput, match=r"#c81e28 isn't one of .* row 1 from the bottom, stitch 2 from the right"):
        read_motif(saved(tmp_path, "c.png", image, pnginfo=kept))


def test_the_largest_grid_is_read_and_a_larger_one_refused(tmp_path: Path) -> None:
    image = Image.new("RGB", (400, 400), WHITE)
    image.putpixel((0, 0), RED)
    assert read_motif(saved(tmp_path, "a.png", image)).size == 160_000
    for size in ((401, 2), (2, 401)):
        with pytest.raises(BadInput, match="at most 400 by 400"):
            read_motif(saved(tmp_path, "b.png", Image.new("RGB", size)))


def test_files_are_written_all_or_none(tmp_path: Path) -> None:
    first = tmp_path / "a.txt"
    first.write_text("kept", encoding="utf-8")
    with pytest.raises(BadInput, match="can't be written"):
        write_out({first: b"new", first / "b.txt": b"new"}, replace=True)
    assert first.read_text(encoding="utf-8") == "kept"
    write_out({first: b"new"}, replace=True)
    assert first.read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["a.txt"]

"""`matcher photo` from the outside."""

from __future__ import annotations

import csv
import io
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

import matcher
from matcher.materials.colours.cielab import srgb_from_lab
from matcher.materials.colours.colour import parse_colour

# A wall-to-wall simple picture: two balls (with a little texture) on a brown table, paper below.
NAVY, RUST = "#1f2a4a", "#9c4a24"


@pytest.fixture
def yarn(tmp_path: Path) -> Path:
    """A photograph in even light: navy and rust exactly as the small bin writes them, relative to paper of L* 96."""
    from PIL import Image

    pixels = np.full((300, 400, 3), (86, 64, 48), dtype=np.uint8)
    pixels[40:140, 50:150] = tuple(bytes.fromhex(NAVY[1:]))
    pixels[40:140, 250:350] = tuple(bytes.fromhex(RUST[1:]))
    pixels[200:280, 30:370] = np.round(255 * srgb_from_lab(np.array([96.0, 0.0, 0.0])))
    path = tmp_path / "yarn.jpg"
    exif = Image.Exif()
    exif[0x010F] = "a camera's name"
    Image.fromarray(pixels).save(path, quality=95, exif=exif)
    return path


def test_json_has_the_promised_keys(run_json, yarn: Path):
    found = run_json("photo", yarn)
    assert set(found) == {"width", "height", "white", "regions", "warnings", "taken"}
    assert (found["width"], found["height"]) == (400, 300)
    assert set(found["white"]) == {"box", "lab", "taken_as", "given"}
    assert found["white"]["given"] is False
    assert len(found["white"]["box"]) == 4
    assert found["white"]["lab"] == pytest.approx([96, 0, 0], abs=0.5)
    assert len(found["regions"]) == 2
    for number, one in enumerate(found["regions"], 1):
        assert set(one) == {"region", "box", "kind", "colours", "se", "colour", "lots"}
        assert one["region"] == number
        assert one["lots"] == []
        for colour in one["colours"]:
            assert set(colour) == {"lab", "srgb", "share", "se"}
        assert sum(colour["share"] for colour in one["colours"]) == pytest.approx(1, abs=0.01)
    assert found["warnings"] == []


def test_what_it_proposes_can_stand_in_the_colour_column(run_json, yarn: Path):
    for one, truth in zip(run_json("photo", yarn)["regions"], (NAVY, RUST), strict=True):
        read = parse_colour(one["colour"], {})
        assert len(read.parts) == len(one["colours"]) == 1
        assert read.parts[0][0] == pytest.approx(parse_colour(truth, {}).parts[0][0], abs=1.5)


def test_boxes_are_read_in_the_order_given(run_json, yarn: Path):
    found = run_json("photo", yarn, "--box", "270,60,60,60", "--box", "70,60,60,60", "--white", "40,210,300,60")
    assert [one["box"] for one in found["regions"]] == [[270, 60, 60, 60], [70, 60, 60, 60]]
    assert found["white"]["box"] == [40, 210, 300, 60]
    assert found["white"]["given"] is True
    assert found["regions"][0]["colours"][0]["lab"][1] > 20


def test_lots_of_the_bin_that_it_may_be(run, run_json, yarn: Path, small: Path, fits_80):
    found = run_json("photo", yarn, "--bin", small)
    first, second = (one["lots"] for one in found["regions"])
    assert (first[0]["lot"], first[0]["within"]) == ("navy", True)
    assert (second[0]["lot"], second[0]["within"]) == ("rust", True)
    assert all(one["delta_e"] >= 0 for one in first + second)
    shown = run("photo", yarn, "--bin", small)
    fits_80(shown.stdout)
    assert "may be: navy" in shown.stdout


def test_a_colour_that_no_lot_has_names_the_nearest_and_says_so(run, yarn: Path, small: Path):
    shown = run("photo", yarn, "--bin", small, "--box", "10,150,60,30", "--white", "40,210,300,60")
    assert shown.exit_code == 0
    assert "no close match; nearest: " in " ".join(shown.stdout.split())


def test_a_word_is_named_only_where_its_colour_is_near(run_json, yarn: Path, small: Path):
    """Many a yarn is called blue; a ball of navy may be the one called indigo, and is nobody's bright blue."""
    lots = "lot,colour,grams,class\nlate,indigo,50,DK\nbright,blue,50,DK\nmine,#1f2a4a,50,DK\n"
    (small / "lots.csv").write_text(lots, encoding="utf-8")
    navy, rust = (one["lots"] for one in run_json("photo", yarn, "--bin", small)["regions"])
    assert [one["lot"] for one in navy] == ["mine", "late"]
    assert all(one["within"] for one in navy)
    assert [one["within"] for one in rust] == [False]


def test_a_bin_is_only_read(run, yarn: Path, small: Path):
    before = {path: path.read_bytes() for path in small.iterdir()}
    run("photo", yarn, "--bin", small)
    assert {path: path.read_bytes() for path in small.iterdir()} == before


def test_the_screen_shows_the_reference_for_consent(run, yarn: Path, fits_80):
    shown = run("photo", yarn)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    said = " ".join(shown.stdout.split())
    for words in ("White paper was found at", "If that is not", "--white", "give or take", "Nothing was changed"):
        assert words in said
    given = run("photo", yarn, "--white", "40,210,300,60").stdout
    assert "found" not in given
    assert "40,210,300,60" in given


def test_warnings_are_said(run, yarn: Path):
    """The rust ball given as a grey card: whatever the light, it is far from neutral."""
    shown = run("photo", yarn, "--white", "270,60,60,60", "--grey-card")
    assert "grey card" in shown.stdout
    assert "Mind: strong cast" in shown.stdout


def test_csv_is_a_row_for_each_colour(run, yarn: Path):
    rows = list(csv.DictReader(io.StringIO(run("photo", yarn, "--csv").stdout)))
    assert [row["region"] for row in rows] == ["1", "2"]
    assert set(rows[0]) == {"region", "kind", "l", "a", "b", "srgb", "share", "se"}


@pytest.mark.parametrize("ending", ["png", "jpg"])
def test_the_annotated_picture_holds_pixels_and_nothing_else(ending: str, run, yarn: Path):
    from PIL import Image

    out = yarn.with_name(f"seen.{ending}")
    shown = run("photo", yarn, "--out", out)
    assert shown.exit_code == 0
    assert "is written" in " ".join(shown.stderr.split())
    with Image.open(out) as image:
        assert not image.getexif()
        assert not set(image.info) & {"exif", "icc_profile", "xmp", "comment"}
        assert image.width >= 400
        assert image.height > 300
        drawn = np.array(image.convert("RGB"))
    with Image.open(yarn) as image:
        original = np.array(image)
    changed = np.abs(drawn[:300, :400].astype(int) - original).max(axis=2) > 90
    assert 0.005 < changed.mean() < 0.4  # frames and labels, and the picture still seen between them
    assert b"a camera" not in out.read_bytes()
    if ending == "png":  # a JPEG keeps no line to the pixel
        edges = (drawn[300:] == 0x8A).all(axis=2)
        assert edges.any(axis=1).sum() >= 2 * 36, "each colour has an edge, or white yarn would be lost on the paper"


def test_the_same_picture_gives_the_same_answer(run_json, yarn: Path):
    assert run_json("photo", yarn) == run_json("photo", yarn)


def folder_of(library: str) -> Path:
    """Where a library lies. It isn't loaded, which would take every process that collects tests more than a second."""
    found = find_spec(library)
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent


def shipped() -> list[Path]:
    """Photographs that two libraries ship under free licences, and that show things in colour."""
    ours, others = folder_of("skimage") / "data", folder_of("sklearn") / "datasets" / "images"
    return [
        ours / "astronaut.png",
        ours / "coffee.png",
        ours / "chelsea.png",
        others / "china.jpg",
        others / "flower.jpg",
    ]


@pytest.mark.parametrize("path", shipped(), ids=lambda path: path.stem)
def test_real_photographs_give_plausible_regions(path: Path, run_json):
    found = run_json("photo", path)
    assert 1 <= len(found["regions"]) <= 12
    for one in found["regions"]:
        x, y, width, height = one["box"]
        assert 0 <= x < x + width <= found["width"]
        assert 0 <= y < y + height <= found["height"]
        assert width * height < found["width"] * found["height"]
        assert 1 <= len(one["colours"]) <= 5
        assert 0 < one["se"] < 15
        parse_colour(one["colour"], {})


def test_the_flower_is_the_region_of_the_flower(run_json):
    """One bloom before dark leaves: the region lies about it, and its largest colour is that of the petals."""
    (flower,) = [path for path in shipped() if path.stem == "flower"]
    (region,) = run_json("photo", flower)["regions"]
    _, _, width, height = region["box"]
    assert 0.1 < width * height / (640 * 427) < 0.6
    lightness, a, b = region["colours"][0]["lab"]
    assert a > 10 or b > 10
    assert lightness > 30


# Colours taken into lots ------------------------------------------------------------------------------------


@pytest.fixture
def store(run, tmp_path: Path) -> Path:
    """A store of two lots whose colours are words, and one that has a name for its colour."""
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    (sheets / "lots.csv").write_text(
        "lot,colour,colour_name,grams,class\nplum rest,plum,,50,DK\nrust rest,rust,copper beech,40,DK\nthird,#112233,,9,DK\n",
        encoding="utf-8",
    )
    path = tmp_path / "bin.sqlite"
    assert run("intake", sheets, "--bin", path, "--yes").exit_code == 0
    return path


def cells(store: Path) -> dict[str, tuple[str, str]]:
    return {lot.name: (lot.colour.words(), lot.colour_name) for lot in matcher.read_bin(store).lots}


def test_colours_are_taken_into_lots_as_one_action(run, run_json, yarn: Path, store: Path):
    before = cells(store)
    assert matcher.read_bin(store).lots[0].colour.guessed
    found = run_json("photo", yarn, "--bin", store, "--take", "1=plum rest", "--take", "2=rust rest")
    assert [(one["region"], one["lot"], one["before"]) for one in found["taken"]] == [
        (1, "plum rest", "plum"),
        (2, "rust rest", "rust"),
    ]
    after = cells(store)
    # Her word is not lost: it becomes the colour's name where it had none.
    assert after["plum rest"] == (found["regions"][0]["colour"], "plum")
    assert after["rust rest"] == (found["regions"][1]["colour"], "copper beech")
    assert after["third"] == before["third"]
    assert not any(lot.colour.guessed for lot in matcher.read_bin(store).lots)
    assert "take colours from a photograph for plum rest and rust rest" in " ".join(
        run("undo", "--list", "--bin", store).stdout.split()
    )
    assert run("undo", "--bin", store).exit_code == 0
    assert cells(store) == before


def test_taking_says_what_changed(run, yarn: Path, store: Path, fits_80):
    shown = run("photo", yarn, "--bin", store, "--take", "1=plum rest").stdout
    fits_80(shown)
    assert 'plum rest: colour is now "#' in shown
    assert "Nothing was changed" not in shown


def test_a_colour_far_from_what_stood_there_is_asked_about(run, yarn: Path, store: Path, fits_80):
    asks = "Is that rust rest? Its colour was rust, "
    near = " ".join(run("photo", yarn, "--bin", store, "--take", "2=rust rest").stdout.split())
    assert "rust rest: colour is now" in near
    assert "Is that" not in near
    assert run("undo", "--bin", store).exit_code == 0
    far = run("photo", yarn, "--bin", store, "--take", "1=rust rest").stdout
    fits_80(far)
    assert asks in " ".join(far.split())
    assert "if it is another yarn, run matcher undo." in " ".join(far.split())


@pytest.mark.parametrize(
    ("takes", "says"),
    [
        (["1"], "give the number of a yarn"),
        (["one=plum rest"], "give the number of a yarn"),
        (["3=plum rest"], "shows no yarn 3"),
        (["0=plum rest"], "shows no yarn 0"),
        (["1=plumm rest"], "did you mean plum rest or rust rest?"),
        (["1=plum rest", "2=plum rest"], "given two colours"),
        (["1=rust rest", "2=nothing like it"], "there is no lot"),
    ],
)
def test_what_cannot_be_taken_changes_nothing(takes: list[str], says: str, run, yarn: Path, store: Path):
    before = cells(store)
    options = [word for one in takes for word in ("--take", one)]
    shown = run("photo", yarn, "--bin", store, *options)
    assert shown.exit_code == 2
    assert says in " ".join(shown.stderr.split())
    assert cells(store) == before


def test_nothing_can_be_taken_into_sheets(run, yarn: Path, small: Path):
    shown = run("photo", yarn, "--bin", small, "--take", "1=navy")
    assert shown.exit_code == 2
    assert "Traceback" not in shown.stderr

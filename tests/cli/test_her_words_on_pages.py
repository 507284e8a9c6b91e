"""Her words on pages and pictures to print, beside photographs and scraps: as she wrote them, and read as nothing else."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, given, settings
from test_her_words import CELLS, HARD, HATS, PAGE, PICTURE, Words, flat, names, run

from matcher.actions.beginning.begin import begin
from matcher.actions.keeping.cells import add, garment
from matcher.actions.progress.works import finish
from matcher.store.database.store import open_store

SCRAPS = Path(__file__).resolve().parents[2] / "demo" / "scraps.jpg"
SWEATER = {"kind": "pullover", "chest_cm": "92", "stitches_10cm": "20", "rows_10cm": "27", "motif": "dots"}


def begun_with(place: Path, name: str) -> None:
    """A sweater, a lot and a finished piece of that name, and two lots beside."""
    garment(name, "gone", cells=SWEATER, bin=place)
    for lot, colour in ((name, "#9c4a24"), ("cream", "#efe6d0"), ("navy", "#1f2a4a")):
        add(lot, {**CELLS, "grams": "150", "colour": colour, "garment": name}, bin=place)
    begin("egg-cosy", [name], name=name, anyway=True, bin=place)
    finish(name, {name: "140 g"}, bin=place)


def drawn(path: Path) -> str:
    """All that a picture says; its elements are those of pictures."""
    picture = ElementTree.fromstring(path.read_text("utf-8"))
    assert {one.tag.rsplit("}")[-1] for one in picture.iter()} <= PICTURE
    return flat("".join(picture.itertext()))


def same_on_pages(folder: Path, name: str) -> None:
    place, out = folder / "bin.sqlite", folder / "out"
    begun_with(place, name)
    fitted = ("partner", str(place), "--accessory", "headband-stranded", "--recolour", "--out", str(out))
    made = run(place, *fitted, f"--garment={name}")
    assert made.exit_code == 0, made.output
    assert flat(name) in flat(made.stdout)
    pages = [one for one in out.iterdir() if one.suffix == ".html"]
    assert pages
    for page in pages:
        read = Words()
        read.feed(page.read_text("utf-8"))
        assert read.elements <= PAGE | {"table", "tr", "th", "td", "thead", "tbody", "h1", "h2", "h3", "p", "ul", "ol",
                                        "li", "figure", "figcaption", "b", "br", "strong", "em", "caption", "line",
                                        "pattern", "clippath", "dl", "dt", "dd"}  # fmt: skip
        assert flat(name) in flat(read.said)
    for picture in (one for one in out.iterdir() if one.suffix == ".svg"):
        drawn(picture)
    sheet = folder / "sheet"
    looked = run(place, "suggest", str(place), *HATS, "--pictures", str(sheet))
    assert looked.exit_code == 0, looked.output
    drawn(sheet / "suggestions.svg")
    for paper in ("a4", "letter"):
        read = Words()
        read.feed((sheet / f"suggestions-{paper}.html").read_text("utf-8"))
        assert read.elements <= PAGE | PICTURE
    drawing, plot = folder / "motif.svg", folder / "calibration.svg"
    motif = run(place, "motif", "crosses", f"--lots=main={name}", "--lots=cream", "--svg", str(drawing))
    assert motif.exit_code == 0, motif.output
    drawn(drawing)
    learnt = run(place, "calibration", "--bin", str(place), "--svg", str(plot))
    assert learnt.exit_code == 0, learnt.output
    drawn(plot)
    scrap = run(place, "whose", str(place), "--colour", "#9c4a24")
    assert scrap.exit_code == 0, scrap.output
    assert flat(name) in flat(scrap.stdout)
    seen = run(place, "photo", str(SCRAPS), "--bin", str(place), "--out", str(folder / "seen.png"))
    assert seen.exit_code == 0, seen.output
    for shown in (made, motif, learnt, scrap, seen):
        assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", shown.output)
    with open_store(place) as store:
        assert store.row("garments", name) is not None


@pytest.mark.parametrize("name", HARD[::4])
def test_hard_names(name: str, tmp_path: Path):
    same_on_pages(tmp_path, name)


@settings(max_examples=3, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=names.filter(lambda name: name != "cream"))
def test_any_name(tmp_path_factory: pytest.TempPathFactory, name: str):
    same_on_pages(tmp_path_factory.mktemp("any"), name)

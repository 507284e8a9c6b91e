"""The catalogue's loader: what it reads, and that every broken rule names file, key and reason."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest

from matcher.errors import BadInput, CatalogueError, NotFound
from matcher.knitting.fabric import Gauge
from matcher.knitting.needs import needs_of
from matcher.store.catalogue.catalogue import check_catalogue, load_catalogue
from matcher.store.catalogue.folders import catalogue_folder, demo_folder

HAT = """
name = "test hat"
kind = "hat"
sizes = ["adult small", "adult medium"]
classes = [3, 4]
least_contrast = "readable"
cautions = ["floats"]
note = "A hat for the tests."
source = "project"

[[roles]]
name = "main"

[[roles]]
name = "contrast 1"

[[zones]]
name = "band"
shape = "tube"
around = {of = "head", ease_percent = -5}
height = {cm = 8}
structure = "stranded"
motif = "little-diamonds"

[[zones]]
name = "crown"
shape = "crown"
around = {of = "head", ease_percent = -5}
height = {of = "head_arc", times = 0.5}
structure = "stocking"
role = "main"
"""

PIECES = """
name = "my bag"
kind = "small"
classes = [4]

[[roles]]
name = "main"

[[zones]]
name = "side"
shape = "piece"
count = 2
stitches = 60
height = {cm = 20}
structure = "garter"
role = "main"

[[zones]]
name = "strap"
shape = "piece"
stitches = 8
rows = 200
structure = "stocking"
role = "main"
"""

MOTIF = """name: my checks
roles: . main, x contrast 1

x.
.x
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped catalogue, with the test hat in place of all its accessories."""
    copy = tmp_path / "catalog"
    shutil.copytree(catalogue_folder(), copy, ignore=shutil.ignore_patterns("accessories"))
    (copy / "accessories").mkdir()
    (copy / "accessories" / "test-hat.toml").write_text(HAT, encoding="utf-8")
    return copy


def fault(folder: Path) -> CatalogueError:
    with pytest.raises(CatalogueError) as caught:
        load_catalogue(folder=folder)
    return caught.value


def change(folder: Path, file: str, old: str, new: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_shipped_catalogue_loads_and_uses_every_source() -> None:
    catalogue = load_catalogue()
    weak = check_catalogue(catalogue)
    assert len(catalogue.accessories) >= 24
    assert len(catalogue.motifs) >= 12
    assert {one.how_obtained for one in weak} <= {"memory", "common practice"}
    assert load_catalogue() is catalogue


def test_no_entry_lacks_a_source() -> None:
    catalogue = load_catalogue()
    cited = {(one.file, one.key) for one in catalogue.figures}
    assert {f"accessories/{key}.toml" for key in catalogue.accessories} <= {file for file, _ in cited}
    assert {f"motifs/{key}.txt" for key in catalogue.motifs} <= {file for file, _ in cited}
    assert all(one.source in catalogue.sources for one in catalogue.figures)


def test_folders_exist_and_only_one_function_knows_them() -> None:
    assert (catalogue_folder() / "sources.toml").is_file()
    assert demo_folder().parent == catalogue_folder().parent


def test_deficiency_matrices_keep_white() -> None:
    """Each row of a matrix on linear RGB sums to 1, so that white stays white (Machado 2009)."""
    vision = load_catalogue().vision
    assert set(vision) == {"protan", "deutan", "tritan"}
    for matrix in vision.values():
        assert matrix.shape == (3, 3)
        assert np.allclose(matrix.sum(axis=1), 1, atol=1e-5)


def test_a_copy_with_one_hat_loads(folder: Path) -> None:
    catalogue = load_catalogue(folder=folder)
    hat = catalogue.accessories["test-hat"]
    assert hat.name == "test hat"
    assert hat.role_names == ("main", "contrast 1")
    assert hat.zones[0].motif == "little-diamonds"


BROKEN_TABLES = {
    "share not 1": ("standards/repairs.csv", "0.45,0.55", "0.45,0.5", "shares come to 0.95"),
    "repair kind": ("standards/repairs.csv", "pullover,two elbow", "pulover,two elbow", '"pulover"'),
    "repair structure": ("standards/repairs.csv", "patches,stocking", "patches,lace", '"lace"'),
    "repair size": ("standards/repairs.csv", "stocking,8,,,10", "stocking,8,,,-10", '"-10"'),
    "missing column": ("standards/repairs.csv", "height_cm", "height", "height_cm is missing"),
    "short row": ("standards/reserve.csv", "floor_m,4,m,", "floor_m,4,", "cells, but the header"),
    "repair mending": ("standards/repairs.csv", ",usual,long", ",often,long", "expected one of little, usual, all"),
    "repair sleeves": ("standards/repairs.csv", ",usual,long", ",usual,wide", "expected one of long, short, none"),
    "kind's sleeves": ("standards/garment_kinds.csv", "vest,vest,none", "vest,vest,no", '"no"'),
    "kind's repairs": ("standards/garment_kinds.csv", "tee,pullover", "tee,polo", 'unknown kind "polo"'),
    "kind's size": ("standards/garment_kinds.csv", "adult medium", "adult", 'unknown size "adult"'),
    "constant missing": ("fabric/constants.csv", "\nKw,", "\nKx,", "nothing uses this key"),
    "constant as words": ("fabric/constants.csv", "Kc,5.5", "Kc,five", '"five", expected a number'),
    "constant below nought": ("fabric/constants.csv", "Kc,5.5", "Kc,-5.5", "above 0"),
    "kernel without width": ("standards/spatial_vision.csv", "light_1_deg,0.05", "light_1_deg,0", "above 0"),
    "constant not a number": ("fabric/constants.csv", "Kc,5.5", "Kc,nan", "expected a number"),
    "unknown source": ("fabric/constants.csv", "knitted_exam_2015", "exam", '"exam" isn\'t a key'),
    "no source": ("fabric/gauges.csv", "10,project", "10,", "no source is given"),
    "how obtained": ("fabric/gauges.csv", "project,choice", "project,guessed", '"guessed"'),
    "body dimension": ("bodies/sizes.csv", ",head,", ",hat,", '"hat" isn\'t one of'),
    "body too wide": ("bodies/sizes.csv", ",36.9,", ",3690,", "more than any body"),
    "caution without words": ("cautions.toml", 'moth = "', 'moth = 5 # "', "needs its sentence"),
    "source without title": ("sources.toml", "title = ", "titel = ", "needs a title"),
    "motif row": ("motifs/little-diamonds.txt", "..x...", "..x..", "5 stitches"),
    "motif source": ("motifs/little-diamonds.txt", "source: project", "source: nobody", '"nobody"'),
    "fibre": ("standards/fibres.csv", ",elastic,", ",bouncy,", "elastic or inelastic"),
}


@pytest.mark.parametrize("name", BROKEN_TABLES)
def test_broken_tables(folder: Path, name: str) -> None:
    file, old, new, reason = BROKEN_TABLES[name]
    change(folder, file, old, new)
    found = fault(folder)
    assert found.file == file
    assert reason in str(found.reason)


def test_a_size_given_twice(folder: Path) -> None:
    path = folder / "bodies" / "sizes.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join([*lines, lines[1]]) + "\n", encoding="utf-8")
    assert "twice" in str(fault(folder).reason)


def test_a_file_that_is_not_utf8(folder: Path) -> None:
    (folder / "accessories" / "test-hat.toml").write_bytes(HAT.replace("tests", "t\xe9sts").encode("latin-1"))
    found = fault(folder)
    assert found.key == "line 8"
    assert "isn't UTF-8" in str(found.reason)


def test_a_missing_table(folder: Path) -> None:
    (folder / "standards" / "together.csv").unlink()
    assert fault(folder).file == "standards/together.csv"


def test_two_accessories_of_one_name(folder: Path) -> None:
    (folder / "accessories" / "zz-other.toml").write_text(HAT.replace("test hat", "Test Hat"), encoding="utf-8")
    found = fault(folder)
    assert found.file == "accessories/zz-other.toml"
    assert '"test-hat" already has the name' in str(found.reason)


def test_an_unused_source(folder: Path) -> None:
    sources = folder / "sources.toml"
    # First, since the one entry of this folder leaves some of ours unused too.
    sources.write_text(
        '[nobody_needs_me]\ntitle = "A book"\n\n' + sources.read_text(encoding="utf-8"), encoding="utf-8"
    )
    with pytest.raises(CatalogueError, match="nobody_needs_me"):
        check_catalogue(load_catalogue(folder=folder))


# Her own folder


@pytest.mark.parametrize("flat", [True, False])
def test_her_own_entries_are_added(tmp_path: Path, flat: bool) -> None:
    accessories, motifs = (tmp_path, tmp_path) if flat else (tmp_path / "accessories", tmp_path / "motifs")
    accessories.mkdir(exist_ok=True)
    motifs.mkdir(exist_ok=True)
    (accessories / "my-bag.toml").write_text(PIECES, encoding="utf-8")
    hat = HAT.replace('source = "project"\n', "").replace("little-diamonds", "my-checks")
    (accessories / "my-hat.toml").write_text(hat, encoding="utf-8")
    (motifs / "my-checks.txt").write_text(MOTIF, encoding="utf-8")
    catalogue = load_catalogue(tmp_path)
    assert len(catalogue.accessories) == len(load_catalogue().accessories) + 2
    bag = catalogue.accessories["my-bag"]
    assert (bag.source, bag.own, bag.sizes) == ("own", True, ("one size",))
    assert catalogue.accessories["my-hat"].zones[0].motif == "my-checks"
    assert catalogue.motifs["my-checks"].shares == {"main": 0.5, "contrast 1": 0.5}
    assert check_catalogue(catalogue) == check_catalogue(load_catalogue())
    gauge = Gauge.from_stitches(18, catalogue.fabric)
    (need,) = needs_of(bag, "one size", gauge, catalogue.sizes, catalogue.motifs, catalogue.fabric)
    assert [line.rows for line in need.working][1] == 200
    assert need.working[0].stitches == 2 * 60 * need.working[0].rows


@pytest.mark.parametrize(
    ("name", "text", "reason"),
    [
        ("hat-plain.toml", PIECES, "rename the file"),
        ("little-diamonds.txt", MOTIF, "rename the file"),
        (
            "mine.toml",
            PIECES.replace("my bag", load_catalogue().accessories["hat-plain"].name.upper()),
            "already has the name",
        ),
        ("mine.toml", PIECES.replace("stitches = 60\n", ""), "missing"),
        ("mine.toml", PIECES.replace("stitches = 60", "stitches = -60"), "from 1 to 5000"),
        ("mine.toml", PIECES.replace("rows = 200\n", ""), "needs height"),
        ("mine.toml", PIECES.replace("classes = [4]", 'classes = [4]\nsource = "a friend"'), "sources.toml"),
        ("mine.toml", PIECES.replace("height = {cm = 20}", 'height = {of = "head"}'), "missing"),
    ],
)
def test_her_own_faults(tmp_path: Path, name: str, text: str, reason: str) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(CatalogueError) as caught:
        load_catalogue(tmp_path)
    assert name in caught.value.file
    assert reason in str(caught.value.reason)


def test_her_folder_is_missing_or_a_file_or_empty(tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="no folder"):
        load_catalogue(tmp_path / "nowhere")
    file = tmp_path / "file.toml"
    file.write_text(PIECES, encoding="utf-8")
    with pytest.raises(BadInput, match="is a file"):
        load_catalogue(file)
    (tmp_path / "empty").mkdir()
    with pytest.raises(BadInput, match="holds no entries"):
        load_catalogue(tmp_path / "empty")

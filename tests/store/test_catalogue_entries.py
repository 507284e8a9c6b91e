"""Every rule of an accessory file, broken one at a time: the loader names file, key and reason."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from matcher.errors import CatalogueError
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.catalogue.folders import catalogue_folder

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


BROKEN_HATS = {
    "bad TOML": ("kind = ", "kind == ", "", "can't be read as TOML"),
    "missing key": ('kind = "hat"\n', "", "kind", "missing"),
    "unknown kind": ('kind = "hat"', 'kind = "cape"', "kind", '"cape"'),
    "unknown key": ("note =", "notes =", "notes", "did you mean note?"),
    "typed-in metres": ("note =", "metres = 120\nnote =", "metres", "never typed in"),
    "typed-in yards in a role": (
        'name = "contrast 1"',
        'name = "contrast 1"\nyards = 9',
        "roles[2].yards",
        "never",
    ),
    "typed-in grams in a zone": (
        'shape = "tube"',
        'shape = "tube"\ngrams = 9',
        "zones[1].grams",
        "never typed in",
    ),
    "typed-in length": (
        'shape = "tube"',
        'shape = "tube"\nlength_m = 9',
        "zones[1].length_m",
        "never typed in",
    ),
    "firmness in words": ("note =", 'firmness = "tight"\nnote =', "firmness", "'tight'"),
    "firmness of another yarn": ("note =", "firmness = 3\nnote =", "firmness", "0.7 to 1.5"),
    "firmness from nowhere": (
        "note =",
        'firmness = 1.1\nfirmness_source = "hearsay"\nnote =',
        "test-hat, firmness",
        '"hearsay" isn\'t a key of sources.toml',
    ),
    "firmness obtained somehow": (
        "note =",
        'firmness = 1.1\nfirmness_how = "somehow"\nnote =',
        "test-hat, firmness",
        'how_obtained is "somehow"',
    ),
    "source of no firmness": ("note =", 'firmness_source = "project"\nnote =', "firmness_source", "no firmness"),
    "unknown motif": (
        "little-diamonds",
        "litle-diamonds",
        "zones[1].motif",
        "did you mean little-diamonds?",
    ),
    "stranded without motif": (
        'motif = "little-diamonds"',
        'role = "main"',
        "zones[1].motif",
        "needs a motif",
    ),
    "motif and role": (
        'motif = "little-diamonds"',
        'motif = "little-diamonds"\nrole = "main"',
        "zones[1]",
        "not both",
    ),
    "neither motif nor role": ('role = "main"', "", "zones[2]", "either a role or a motif"),
    "unknown role": (
        'role = "main"',
        'role = "contrast 4"',
        "zones[2].role",
        '"contrast 4" isn\'t in [[roles]]',
    ),
    "role name": ('name = "contrast 1"', 'name = "pattern"', "roles[2].name", "expected main, contrast 1"),
    "role twice": ('name = "contrast 1"', 'name = "main"', "roles[2].name", "stands twice"),
    "role used by no zone": (
        '[[roles]]\nname = "contrast 1"',
        '[[roles]]\nname = "contrast 1"\n\n[[roles]]\nname = "contrast 2"',
        "roles",
        '"contrast 2" is used by no zone',
    ),
    "motif's role missing": (
        '[[roles]]\nname = "contrast 1"\n',
        "",
        "zones[1].motif",
        'uses role "contrast 1"',
    ),
    "all brought": (
        '[[roles]]\nname = "main"\n\n[[roles]]\nname = "contrast 1"',
        '[[roles]]\nname = "main"\nbring = true\n\n[[roles]]\nname = "contrast 1"\nbring = true',
        "roles",
        "every role is brought",
    ),
    "unknown size": ('"adult small"', '"adult smal"', "sizes", "did you mean adult small?"),
    "size without the dimension": ('"adult small"', '"1 month", "adult small"', None, None),
    "unknown dimension": (
        '{of = "head_arc"',
        '{of = "heads"',
        "zones[2].height.of",
        'unknown dimension "heads"',
    ),
    "unknown caution": ('"floats"', '"float"', "cautions", 'unknown caution "float"'),
    "unknown source": ('source = "project"', 'source = "projekt"', "test-hat", "isn't a key of sources.toml"),
    "measures from nowhere": (
        'source = "project"',
        'source = "project"\nhow_obtained = "guess"',
        "how_obtained",
        "memory",
    ),
    "no source": ('source = "project"\n', "", "source", "missing"),
    "unknown class": ("[3, 4]", "[3, 9]", "classes", "unknown yarn class 9"),
    "class twice": ("[3, 4]", "[3, 3]", "classes", "stands twice"),
    "class as words": ("[3, 4]", '["3"]', "classes", "expected a number"),
    "bad structure": ('structure = "stocking"', 'structure = "lace"', "zones[2].structure", '"lace"'),
    "bad shape": ('shape = "crown"', 'shape = "cone"', "zones[2].shape", '"cone"'),
    "negative dimension": ("{cm = 8}", "{cm = -8}", "zones[1].height.cm", "expected a number from 0"),
    "absurd dimension": ("times = 0.5", "times = 40", "zones[2].height", "expected 0.5 cm to 400 cm"),
    "dimension of nothing": ("times = 0.5", "times = 0", "zones[2].height", "comes to 0 cm"),
    "dimension twice": ("{cm = 8}", '{cm = 8, of = "head"}', "zones[1].height", "either `of`"),
    "dimension as a number": ("{cm = 8}", "8", "zones[1].height", "expected height.cm = 20"),
    "no height": ("height = {cm = 8}\n", "", "zones[1].height", "needs height"),
    "not a number": ("{cm = 8}", "{cm = nan}", "zones[1].height.cm", "expected a number"),
    "width of a tube": (
        'shape = "tube"',
        'shape = "tube"\nwidth = {cm = 9}',
        "zones[1].width",
        "has no width",
    ),
    "frustum without end": (
        'shape = "crown"',
        'shape = "frustum"',
        "zones[2].around_end",
        "needs around_end",
    ),
    "more turned over than there is": (
        'structure = "stranded"',
        'structure = "stranded"\nturned = 1.5',
        "zones[1].turned",
        "from 0 to 1",
    ),
    "stitches in a tube": ('shape = "tube"', 'shape = "tube"\nstitches = 9', "zones[1].stitches", "piece"),
    "motif in rib": ('structure = "stranded"', 'structure = "rib"', "zones[1].structure", "not in rib"),
    "two colours in a plain row": (
        'structure = "stranded"',
        'structure = "stocking"',
        "zones[1].structure",
        "two colours in one row",
    ),
    "no least contrast": ('least_contrast = "readable"\n', "", "least_contrast", "side by side"),
    "unknown least contrast": ('"readable"', '"bold"', "least_contrast", '"bold"'),
    "true as a word": (
        "classes = [3, 4]",
        'classes = [3, 4]\nnext_to_skin = "yes"',
        "next_to_skin",
        "true or false",
    ),
    "count of halves": ('shape = "tube"', 'shape = "tube"\ncount = 1.5', "zones[1].count", "whole number"),
    "no zones": (HAT[HAT.index("[[zones]]") :], "", "zones", "at least one [[zones]]"),
    "practice and exempt": (
        "note =",
        'practice = "hat"\npractice_exempt = "no"\nnote =',
        "practice_exempt",
        "not both",
    ),
}


@pytest.mark.parametrize("name", BROKEN_HATS)
def test_broken_accessories(folder: Path, name: str) -> None:
    old, new, key, reason = BROKEN_HATS[name]
    change(folder, "accessories/test-hat.toml", old, new)
    if key is None:
        load_catalogue(folder=folder)  # a baby has a head; kept to show that it is the dimension that counts
        change(folder, "accessories/test-hat.toml", 'of = "head_arc"', 'of = "wrist"')
        key, reason = "zones[2].height", 'size "1 month" has no dimension "wrist"'
    found = fault(folder)
    assert found.file == "accessories/test-hat.toml"
    assert found.key == key
    assert reason is not None
    assert reason in str(found.reason)
    assert found.file in str(found)
    assert found.exit_code == 2

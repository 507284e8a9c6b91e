"""Which folder of a pool is one member's and which is a place: one that `check` reads as one bin is no place."""

from __future__ import annotations

from pathlib import Path

import pytest
from made_pools import lots_of, write_bin

from matcher.actions.collection.pool import pool
from matcher.store.collection.lying import lying_in

LOTS = lots_of(1, 6)
GARMENTS = "garment,kind,status\ngarment 1,pullover,worn\n"
WISHES = "yarn,colour,grams\nsoft wool,red,50\n"


def laid(folder: Path, **files: str) -> list[str]:
    """What is told to lie in a pool with a bin of its own and a folder of these files."""
    write_bin(folder / "other", 5)
    for name, text in files.items():
        path = folder / "Wilhelmina" / f"{name.replace('_', ' ')}.csv"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return [one.called for one in lying_in(folder)]


@pytest.mark.parametrize(
    "files",
    [
        {"my_yarn": LOTS, "jumpers": GARMENTS},
        {"what_is_left": LOTS, "worn": GARMENTS, "shopping": WISHES},
        {"yarn_list": LOTS},
    ],
)
def test_the_lists_of_one_member_are_one_bin_however_they_are_called(tmp_path: Path, files: dict[str, str]):
    assert laid(tmp_path, **files) == ["other", "Wilhelmina"]


@pytest.mark.parametrize(
    "files",
    [
        {"anna": LOTS, "zoe": lots_of(2, 6)},
        {"anna": LOTS, "jumpers": GARMENTS, "zoe": lots_of(2, 6)},
        {"anna": LOTS, "zoe": "not,a list\nof,anything\n"},  # it is hers, and has a fault that she should hear of
        {"anna": LOTS, "zoe": ""},
        {"anna": LOTS},
        {"annas_yarn": LOTS},
    ],
)
def test_lists_of_several_are_at_a_place(tmp_path: Path, files: dict[str, str]):
    inside = [f"Wilhelmina/{name.replace('_', ' ')}.csv" for name in files]
    assert laid(tmp_path, **files) == ["other", *inside]


def test_beside_somebodys_store_or_folder_they_are_at_a_place(tmp_path: Path):
    write_bin(tmp_path / "Wilhelmina" / "zoe", 3)
    inside = ["Wilhelmina/jumpers.csv", "Wilhelmina/my yarn.csv", "Wilhelmina/zoe"]
    assert laid(tmp_path, my_yarn=LOTS, jumpers=GARMENTS) == ["other", *inside]


def test_such_a_folder_brings_its_garments_and_its_name_is_told_to_nobody(tmp_path: Path, run, run_json):
    laid(tmp_path, my_yarn=LOTS, jumpers=GARMENTS)
    (tmp_path / "codes.csv").write_text("file,code\nWilhelmina/my yarn.csv,A7\n", encoding="utf-8")
    found = run_json("pool", tmp_path, "--each-place", "--kind", "hat")
    assert found["members"] == ["member 1", "A7"]
    assert found["places"] == [{"place": None, "lots": found["lots"]}]
    assert "Wilhelmina" not in str(found)
    write_bin(tmp_path / "same" / "other", 5)
    own = write_bin(tmp_path / "same" / "x", 1)
    (own / "garments.csv").write_text(GARMENTS, encoding="utf-8")
    assert found["free_m"] == round(pool(tmp_path / "same", kind="hat").free_m, 1)

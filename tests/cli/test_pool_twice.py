"""One bin that lies in a pool in several forms: no copy to the letter, and its yarn counts as often, so it is said."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from made_pools import lots_of, write_bin, write_pool

from matcher.actions.collection.pool import pool
from matcher.actions.collection.twice import seem_one, told_twice
from matcher.reasons.style import PLAIN

HATS = ("--kind", "hat", "--size", "adult medium")


@pytest.fixture
def folder(tmp_path: Path, run) -> Path:
    """One bin as sheets, a store, a workbook and a Parquet file, beside two others."""
    made = write_pool(tmp_path / "pool", 2)
    own = write_bin(made / "a", 3)
    assert run("intake", own, "--bin", made / "b.sqlite").exit_code == 0
    for name in ("c.ods", "d.parquet"):
        assert run("export", made / name, "--bin", made / "b.sqlite").exit_code == 0
    return made


def of_one_bin(folder: Path, **how: object) -> list[str]:
    return [words for words in map(PLAIN.say, pool(folder, kind="hat", **how).notes) if "seem to be one bin" in words]


def test_one_bin_in_several_forms_is_told_by_codes(folder: Path, run, run_json):
    (said,) = [words for words in run_json("pool", folder, *HATS)["notes"] if "one bin" in words]
    assert "member 1, member 2, member 3 and member 4." in said
    assert "sqlite" not in said  # what is handed on names no file
    whose = {one["member"]: one["file"] for one in run_json("pool", folder, "--who", *HATS)["who"]}
    assert [whose[f"member {number}"] for number in range(1, 5)] == ["a", "b.sqlite", "c.ods", "d.parquet"]
    assert "These seem to be one bin" in " ".join(run("pool", folder, *HATS).stderr.split())


def test_read_in_parts_it_is_told_too(folder: Path):
    assert of_one_bin(folder, lots_at_once=1) == of_one_bin(folder) != []


def test_a_bin_that_was_counted_again_since_is_the_same(tmp_path: Path):
    for name, text in (("a", lots_of(1, 6)), ("b", lots_of(1, 7).replace(",main,", ",main,", 1))):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    assert len(of_one_bin(tmp_path)) == 1


def test_other_bins_are_not_told(tmp_path: Path):
    made = write_pool(tmp_path / "pool", 4)
    one = "lot,grams,colour,ball_grams,ball_metres,yarn\nred,50,#b01020,50,100,soft wool\n"
    for name in ("one", "two"):  # both bought one ball of the same
        (made / f"{name}.csv").write_text(
            one + f"{name},40,#0{name != 'one':d}1020,50,100,hard wool\n", encoding="utf-8"
        )
    assert of_one_bin(made) == []
    shutil.rmtree(made)


def test_groups_go_on_from_one_to_the_other():
    signs = {
        "A": (1, 2, 3, 4),
        "B": (9, 10, 11),
        "C": (3, 4, 5, 6, 2),
        "D": (5, 6, 3, 7, 8),
        "E": (9, 10, 11),
        "F": (1, 2),
    }
    assert seem_one(signs) == [("A", "C", "D"), ("B", "E")]
    (said,) = told_twice([("A", "B")] * 6)
    assert "A and B; A and B; A and B; A and B; and 2 more groups." in PLAIN.say(said)
    assert list(told_twice([])) == []

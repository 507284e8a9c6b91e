"""What a notebook uses: a name for each thing a person does, loaded when first used, and results that keep the names of the JSON."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import matcher

NAMES = {
    *(
        "read_bin",
        "suggest",
        "plan_set",
        "contrast",
        "needs",
        "piece",
        "reserve",
        "partner",
        "pattern",
        "motif",
        "instead",
        "gap",
    ),
    *("intake", "export", "add", "weigh", "change", "split", "join", "move", "garment", "mended", "person", "wishes"),
    *("begin", "row", "finish", "abandon", "undo", "verify", "triage", "tags", "swatch", "calibration"),
    *("photo", "lookalikes", "whose", "palette"),
    *("listing", "show", "overview", "why", "pool"),
}
HEAVY = ("numpy", "pandas", "scipy", "sklearn", "openpyxl", "colormath", "rich", "typer")


def loaded_after(code: str) -> set[str]:
    """Which heavy libraries a fresh Python has loaded after the code."""
    ask = f"{code}\nimport sys, json\nprint(json.dumps([one for one in {HEAVY!r} if one in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True, cwd=Path.home())
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_the_names_of_the_library():
    assert set(matcher.__all__) == NAMES
    assert set(dir(matcher)) >= NAMES
    for name in NAMES:
        assert callable(getattr(matcher, name))
        assert getattr(matcher, name).__doc__


def test_a_name_that_is_not_there_is_an_ordinary_attribute_error():
    with pytest.raises(AttributeError, match="sugest"):
        print(matcher.sugest)


def test_importing_the_library_loads_nothing_heavy():
    assert loaded_after("import matcher; dir(matcher)") == set()


def test_the_help_loads_nothing_heavy_but_what_shows_it():
    """Every command's help stays quick: the libraries that compute are loaded by the work, not by the words."""
    code = """
import sys
from matcher.cli.commands import app
sys.argv = ["matcher", "--help"]
try:
    app()
except SystemExit:
    pass
"""
    assert loaded_after(code) <= {"typer", "rich"}


@pytest.mark.parametrize("arguments", [("weigh", "navy", "61g"), ("move", "navy", "tin"), ("undo",)])
def test_weighing_a_ball_loads_nothing_heavy(arguments: tuple[str, ...], tmp_path: Path):
    """It is done a hundred times in a row, with the balls on the table."""
    place = str(tmp_path / "bin.sqlite")
    matcher.intake(Path(__file__).parents[2] / "demo", bin=place)
    code = f"""
import sys
from matcher.cli.main import main
sys.argv = ["matcher", *{arguments!r}, "--bin", {place!r}]
sys.stdout, shown = open({str(tmp_path / "said")!r}, "w"), sys.stdout
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
sys.stdout = shown
"""
    assert loaded_after(code) <= {"typer"}


def test_pandas_is_loaded_only_for_frames():
    code = "from matcher import needs, contrast, piece\nneeds('hat-plain')\ncontrast('navy', 'cream')"
    assert not loaded_after(code) & {"pandas", "sklearn", "openpyxl"}
    assert "pandas" in loaded_after(code + "\nneeds('hat-plain').frame()")


def test_reading_a_bin():
    read = matcher.read_bin()
    assert len(read.lots) >= 40
    assert len(read.garments) >= 7
    assert matcher.read_bin(read) is read
    assert {lot.garment for lot in read.lots} - {""} <= set(read.garments)


def test_a_frame_of_suggestions_has_a_row_for_each_role():
    found = matcher.suggest(top=4)
    assert len(found) == len(list(found)) == 4
    frame = found.frame()
    assert set(frame.columns) >= {
        *("rank", "accessory", "size", "score", "sure", "role", "lots"),
        *("need_m", "need_sd_m", "on_hand_m", "reserve_m", "left_m", "need_g"),
    }
    both = found.as_dict()
    roles = [
        (small, one["rank"], role)
        for small, several in ((False, both["suggestions"]), (True, both["small"]))
        for one in several
        for role in one["roles"]
    ]
    assert len(frame) == len(roles)
    assert {small for small, _, _ in roles} == {False, True}
    for (_, row), (small, rank, role) in zip(frame.iterrows(), roles, strict=True):
        assert (row["small"], row["rank"], row["role"], row["need_m"]) == (small, rank, role["role"], role["need_m"])
        assert all(lot in row["lots"] for lot in role["lots"])


def test_a_frame_of_contrasts_has_a_row_for_each_pair():
    frame = matcher.contrast("navy", "cream", "rust").frame()
    assert list(zip(frame["a"], frame["b"], strict=True)) == [("navy", "cream"), ("navy", "rust"), ("cream", "rust")]
    sights = {f"{sight}_{figure}" for sight in ("protan", "deutan", "tritan") for figure in ("delta_e", "delta_l")}
    assert set(frame.columns) >= {"a", "b", "delta_e", "delta_l", "verdict", "reason"} | sights


def test_a_frame_of_needs_has_a_row_for_each_size_class_and_role():
    found = matcher.needs("hat-stranded-band")
    frame = found.frame()
    assert list(frame.columns) == ["size", "class", "tex", "role", "metres", "sd", "grams", "stitches"]
    assert len(frame) == sum(len(row["roles"]) for row in found.rows)
    assert not frame.duplicated(["size", "class", "role"]).any()
    assert (frame["grams"] - frame["metres"] * frame["tex"] / 1000).abs().max() < 1e-6
    assert frame[["metres", "sd", "grams", "stitches"]].min().min() > 0


def test_a_frame_of_reserves_has_a_row_for_each_lot_of_a_garment():
    found = matcher.reserve()
    frame = found.frame()
    assert list(frame.columns) == ["garment", "yarn", "colour", "lot", "held_m", "freed_m"]
    assert not frame.duplicated("lot").any()
    of_garments = {lot.name: lot.length.mean for lot in found.bin.lots if lot.garment}
    assert set(of_garments) <= set(frame["lot"])
    for _, row in frame[frame["lot"].isin(of_garments)].iterrows():
        assert row["held_m"] + row["freed_m"] == pytest.approx(of_garments[row["lot"]])


@pytest.mark.parametrize(
    ("result", "keys"),
    [
        (lambda: matcher.suggest(top=1), {"sure_at_least", "units", "suggestions", "near_misses", "unused"}),
        (lambda: matcher.contrast("navy", "cream"), {"pairs"}),
        (lambda: matcher.reserve(), {"groups"}),
        (lambda: matcher.needs("hat-plain"), {"needs"}),
        (lambda: matcher.piece("rib", 80, rows=20, weight_class=3), {"metres", "sd", "grams"}),
    ],
    ids=["suggest", "contrast", "reserve", "needs", "piece"],
)
def test_every_result_gives_the_values_of_the_json_by_the_same_names(result, keys: set[str]):
    assert keys <= set(result().as_dict())


def test_a_piece_is_an_estimate_of_metres_and_of_grams():
    found = matcher.piece("stocking", 110, height_cm=20, weight_class=3)
    assert found.length.mean > 5 * found.length.sd > 0
    assert found.grams.mean == pytest.approx(found.length.mean * found.working["tex"] / 1000)

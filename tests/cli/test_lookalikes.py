"""`matcher lookalikes` from the outside."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

LOTS = """lot,yarn,colour,grams,ball_grams,ball_metres,fibre,wash,dye_lot,colour_name
fog,plain wool,#c3c6c8,20,50,125,wool,hand,2,fog
fog again,plain wool,#c4c7c9,20,50,125,wool,hand,3,fog
mist,plain wool,#c3c6c8,30,50,125,wool,hand,,
haze,soft cotton,#c5c6c8,30,50,121,cotton,machine,9,
rust,plain wool,#9c4a24,60,50,125,wool,hand,5,
"""


@pytest.fixture
def greys(tmp_path: Path) -> Path:
    folder = tmp_path / "greys"
    folder.mkdir()
    (folder / "lots.csv").write_text(LOTS, encoding="utf-8")
    return folder


def test_json_has_the_promised_keys(run_json, greys: Path):
    found = run_json("lookalikes", greys)
    (group,) = found["groups"]
    assert set(group) >= {"lots", "largest_delta_e", "told_apart_by"}
    assert group["lots"] == ["fog", "fog again", "haze", "mist"]
    assert 0 < group["largest_delta_e"] <= found["limit_delta_e"]
    assert group["told_apart_by"] == ["fibre", "wash", "dye lot", "tag these now"]
    assert group["dye_lots"] == [
        {
            "colour": "fog (plain wool)",
            "dye_lots": [{"dye_lot": "2", "lots": ["fog"]}, {"dye_lot": "3", "lots": ["fog again"]}],
        }
    ]


def test_the_screen_says_what_to_do(run, greys: Path, fits_80):
    shown = run("lookalikes", greys)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    said = " ".join(shown.stdout.split())
    assert "fog + fog again + haze + mist" in said
    assert "100% cotton (haze)" in said
    assert "fog (plain wool): 2 dye lots (2, 3): keep them apart" in said
    assert "tag these now: your notes don't tell fog from mist" in said


def test_thickness_is_told_in_her_units(run, tmp_path: Path, no_metric, fits_80):
    folder = tmp_path / "two"
    folder.mkdir()
    (folder / "lots.csv").write_text(
        "lot,colour,grams,ball_grams,ball_metres\nthin,navy,20,50,138\nthick,navy,20,50,113\n", encoding="utf-8"
    )
    assert "weigh 20 m of each: 7.2 g (thin); 8.8 g (thick)" in " ".join(run("lookalikes", folder).stdout.split()) or (
        "8.8 g (thick); 7.2 g (thin)" in " ".join(run("lookalikes", folder).stdout.split())
    )
    shown = run("lookalikes", folder, "--units", "imperial").stdout
    no_metric(shown)
    fits_80(shown)


def test_csv_is_one_row_for_each_lot(run, greys: Path, small: Path):
    rows = list(csv.DictReader(io.StringIO(run("lookalikes", greys, "--csv").stdout)))
    assert [row["lot"] for row in rows] == ["fog", "fog again", "haze", "mist"]
    assert run("lookalikes", small, "--csv").stdout.startswith("group,class,lot")


def test_where_all_can_be_told_apart_it_says_so(run, run_json, small: Path, fits_80):
    assert run_json("lookalikes", small)["groups"] == []
    shown = run("lookalikes", small).stdout
    fits_80(shown)
    assert "No two lots of one weight class look the same" in " ".join(shown.split())


def test_no_such_bin(run, tmp_path: Path):
    shown = run("lookalikes", tmp_path / "nowhere")
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert "Traceback" not in shown.stderr


def test_the_demo_in_a_process_of_its_own(by_itself, fits_80):
    shown = by_itself("lookalikes", FORCE_COLOR="1", COLORTERM="truecolor", TERM="xterm-256color")
    assert shown.returncode == 0
    assert "this is the demo" in " ".join(shown.stderr.split())
    assert "█" in shown.stdout
    fits_80(shown.stdout)

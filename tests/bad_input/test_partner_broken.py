"""What makes no sense for `matcher partner`: one message that says what to do, exit 2, no traceback; and odd cases."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

DEMO = Path(__file__).resolve().parents[2] / "demo"
GREY = ("--garment", "grey yoke pullover")
HAT = ("--accessory", "hat-stranded-band")


def run(*arguments: object) -> Result:
    from matcher.cli.commands import app

    return CliRunner().invoke(app, ["partner", *(str(one) for one in arguments)])


def data(*arguments: object) -> dict[str, Any]:
    import json

    shown = run(*arguments, "--json")
    assert shown.exit_code == 0, shown.output
    return dict(json.loads(shown.stdout))


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (("--garment", "grey yoke pulover", *HAT), ("no garment", "did you mean grey yoke pullover")),
        ((*GREY, "--accessory", "hat-stranded-bend"), ("no accessory", "did you mean hat-stranded-band")),
        ((*GREY, "--accessory", "coaster"), ("no tube", "--accessory")),
        ((*GREY, "--accessory", "yoke-three-colours"), ("onto a garment", "--accessory")),
        ((*GREY, *HAT, "--size", "giant"), ("no size", "giant")),
        ((*GREY, *HAT, "--head-cm", "56", "--size", "5 years"), ("more than one size", "--size --head-cm")),
        ((*GREY, *HAT, "--head-cm", "22"), ("22 centimetres", "30 to 70")),
        ((*GREY, *HAT, "--head-cm", "-56"), ("-56 centimetres", "30 to 70")),
        ((*GREY, *HAT, "--head-cm", "nan"), ("nan centimetres", "30 to 70")),
        ((*GREY, *HAT, "--hand-cm", "20"), ("isn't sized by the hand", "--head-cm")),
        ((*GREY, "--accessory", "cup-cosy", "--head-cm", "56"), ("isn't sized by the head", "--size")),
        ((*GREY, "--accessory", "mittens", "--hand-cm", "40"), ("40 centimetres", "10 to 30")),
        ((*GREY, *HAT, "--swatch", "many"), ("--swatch", "22 st x 30 rows")),
        ((*GREY, *HAT, "--ease-percent", "tight"), ("--ease-percent", "-10..2")),
        ((*GREY, *HAT, "--ease-percent", "-120..-60"), ("-120%", "-50 to 100")),
        ((*GREY, *HAT, "--ease-percent", "2..-10"), ("2 is more than -10", "smaller number first")),
        ((*GREY, *HAT, "--fit", "9"), ("no fit 9", "--fit")),
        ((*GREY, *HAT, "--fit", "0"), ("no fit 0", "--fit")),
        ((*GREY, *HAT, "--sure", "1"), ("1 isn't a chance", "0.5 to 0.999")),
        ((*GREY, *HAT, "--motif", "lattise"), ("no motif", "did you mean lattice")),
        ((*GREY, *HAT, "--motif", "nowhere.png"), ("nowhere.png",)),
        (("--garment", "moss cardigan", "--accessory", "hat-plain"), ("names a motif", "--motif")),
        ((*GREY, *HAT, "--out", DEMO / "lots.csv"), ("is a file", "--out")),
    ],
)
def test_one_message_says_what_to_do(asked: tuple[object, ...], words: tuple[str, ...]):
    shown = run(DEMO, *asked)
    assert shown.exit_code == 2, shown.output
    assert shown.stdout == ""
    assert shown.stderr.startswith("matcher: ")
    for word in words:
        assert word in " ".join(shown.stderr.split())


def test_a_role_without_a_lot_is_told_and_bought_or_exchanged():
    """The grey pullover has three colours left, the motif asks for four."""
    found = data(DEMO, *GREY, *HAT, "--motif", "yoke-four")
    missing = [role for role in found["roles"] if not role["lots"]]
    assert [role["role"] for role in missing] == ["contrast 3"]
    assert missing[0]["left_m"] == -missing[0]["need_m"]
    assert found["sure"] == 0
    assert any("Nothing from grey yoke pullover is left for contrast 3" in one for one in found["notes"])
    assert {one["kind"] for one in found["exchanges"]} >= {"buy"}
    assert run(DEMO, *GREY, *HAT, "--motif", "yoke-four").exit_code == 0


def test_a_role_without_a_lot_can_be_drawn(tmp_path: Path):
    shown = run(DEMO, *GREY, "--accessory", "egg-cosy", "--motif", "bands-four", "--out", tmp_path)
    assert shown.exit_code == 0
    assert "no yarn yet" in (tmp_path / "egg-cosy-a4.html").read_text(encoding="utf-8")


def test_a_garment_without_lots(tmp_path: Path):
    (tmp_path / "lots.csv").write_text("lot,colour,grams,class\nnavy,#1f2a4a,50,3\n", encoding="utf-8")
    (tmp_path / "garments.csv").write_text("garment,status,motif\nmine,worn,lattice\n", encoding="utf-8")
    found = data(tmp_path, "--garment", "mine", *HAT)
    assert [role["lots"] for role in found["roles"]] == [[], []]
    assert found["gauge"]["from"] == "class"
    assert [one["kind"] for one in found["exchanges"]] == ["buy"]


def test_one_repeat_that_is_wider_than_the_hat(tmp_path: Path):
    wide = tmp_path / "wide.txt"
    rows = "x" + "." * 59
    wide.write_text(f"name: wide\nroles: . main, x contrast 1\n\n{rows}\n{rows[::-1]}\n", encoding="utf-8")
    found = data(DEMO, "--garment", "denim jacket", *HAT, "--motif", wide, "--swatch", "8 st x 10 rows")
    (only,) = found["fits"]
    assert (only["repeats"], only["stitches"]) == (1, 60)
    assert only["off_by_cm"] > 15
    assert any("more than the whole piece" in one for one in found["notes"])
    assert {one["kind"] for one in found["would_help"]} == {"repeat"}
    text = " ".join(run(DEMO, "--garment", "denim jacket", *HAT, "--motif", wide, "--swatch", "8 x 10").stdout.split())
    assert "It would help: a motif" in text


def test_a_motif_taller_than_the_hat_is_cut_and_told(tmp_path: Path):
    tall = tmp_path / "tall.txt"
    rows = "\n".join(("x..", ".x.", "..x")[row % 3] for row in range(100))
    tall.write_text(f"name: tall\nroles: . main, x contrast 1\n\n{rows}\n", encoding="utf-8")
    found = data(DEMO, *GREY, *HAT, "--motif", tall)
    best = found["fits"][0]
    assert best["motif_rows"] == 25
    assert best["placed"] == "middle"
    shown = " ".join(run(DEMO, *GREY, *HAT, "--motif", tall).stdout.split())
    assert "The motif is taller than the room for it: 25 of its 100 rows" in shown


def test_a_garment_that_is_gone_keeps_nothing():
    found = data(DEMO, "--garment", "navy yoke pullover", *HAT)
    assert found["kept"] == []
    assert [role["reserve_m"] for role in found["roles"]] == [0, 0, 0, 0]


def test_a_motif_of_one_colour_and_one_stitch(tmp_path: Path):
    one = tmp_path / "one.txt"
    one.write_text("name: one\nroles: . main\n\n.\n", encoding="utf-8")
    found = data(DEMO, *GREY, *HAT, "--motif", one)
    assert [role["role"] for role in found["roles"]] == ["main"]
    assert found["contrasts"] == []
    small = ("--accessory", "egg-cosy", "--motif", one, "--out", tmp_path / "out")
    assert run(DEMO, *GREY, *small).exit_code == 0


def test_a_colour_that_the_reserve_holds_whole_brings_the_ways_out(tmp_path: Path):
    """Two grams of petrol, all kept for mending: there is a lot, and nothing of it is free."""
    shutil.copytree(DEMO, tmp_path / "demo")
    sheet = tmp_path / "demo" / "lots.csv"
    text = sheet.read_text(encoding="utf-8")
    assert ",petrol,32," in text
    sheet.write_text(text.replace(",petrol,32,", ",petrol,2,"), encoding="utf-8")
    found = data(tmp_path / "demo", *GREY, *HAT)
    petrol = next(role for role in found["roles"] if role["role"] == "contrast 2")
    assert petrol["lots"] == ["petrol"]
    assert petrol["left_m"] == -petrol["need_m"]
    kinds = {one["kind"] for one in found["exchanges"]}
    assert {"buy", "other yarn"} <= kinds
    assert "rib in another yarn" not in kinds
    assert all(one["sure"] >= found["sure_at_least"] for one in found["exchanges"])
    assert "To make it 95 in 100 sure" in run(tmp_path / "demo", *GREY, *HAT).stdout


def test_two_quiet_colours_do_not_vanish(tmp_path: Path):
    """Nobody asked for more: what reads quietly is called quiet, and no stitch of it is said to vanish."""
    (tmp_path / "lots.csv").write_text(
        "lot,garment,role,colour,grams,ball_grams,ball_metres\n"
        "slate,mine,main,#5f666c,200,50,125\ngrey,mine,contrast 1,#74797d,50,50,125\n",
        encoding="utf-8",
    )
    (tmp_path / "garments.csv").write_text("garment,status,motif\nmine,gone,lattice\n", encoding="utf-8")
    found = data(tmp_path, "--garment", "mine", *HAT)
    (only,) = found["contrasts"]
    assert only["verdict"] == "quiet"
    assert only["vanishing"] == 0
    assert not any("vanish" in one for one in found["warnings"])

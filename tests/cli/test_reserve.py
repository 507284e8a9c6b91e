"""`matcher reserve` from the outside."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from matcher import reserve
from matcher.actions.desk import Desk
from matcher.errors import BadInput

KEYS = {"garment", "yarn", "colour", "reserve_m", "mending", "choices", "because", "held", "freed"}


def test_json_has_the_promised_keys(run_json, small: Path):
    groups = run_json("reserve", small)["groups"]
    assert {(one["garment"], one["held"][0]["lot"]) for one in groups if one["held"]} == {
        ("pullover", "navy"),
        ("pullover", "cream"),
    }
    for one in groups:
        assert set(one) >= KEYS
        assert one["because"]
        for entry in [*one["held"], *one["freed"]]:
            assert set(entry) == {"lot", "metres"}
            assert entry["metres"] > 0


def test_each_wish_is_told_with_what_it_would_keep(run, demo: Path):
    assert "Mending: usual. Little would keep 4 m, all 8.7 m." in run("reserve", demo).stdout


def test_what_is_held_and_what_goes_free_is_what_is_on_hand(run_json, small: Path):
    on_hand = {"navy": 300.0, "cream": 225.0, "rust": 150.0}
    seen: dict[str, float] = {}
    for group in run_json("reserve", small)["groups"]:
        for entry in [*group["held"], *group["freed"]]:
            seen[entry["lot"]] = seen.get(entry["lot"], 0.0) + entry["metres"]
        assert sum(entry["metres"] for entry in group["held"]) == pytest.approx(group["reserve_m"], abs=0.02)
    # A lot that weighs more than one ball is in pieces, and a join takes 0.3 m.
    assert {lot: seen[lot] for lot in on_hand} == pytest.approx(on_hand, abs=0.61)


def test_nothing_is_kept_for_a_garment_that_is_gone(run_json, small: Path):
    (group,) = [one for one in run_json("reserve", small)["groups"] if one["garment"] == "cardigan"]
    assert (group["reserve_m"], group["held"]) == (0, [])
    assert "gone" in group["because"]


def test_without_a_bin_it_says_on_stderr_that_it_is_the_demo(run, demo: Path):
    shown = run("reserve")
    assert shown.exit_code == 0
    assert "this is the demo" in " ".join(shown.stderr.split())
    assert shown.stdout == run("reserve", demo).stdout


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_output_fits_80_columns(units: str, run, fits_80):
    fits_80(run("reserve", "--units", units).stdout)


def test_output_in_a_process_of_its_own(by_itself, fits_80, small: Path):
    shown = by_itself("reserve", small)
    assert shown.returncode == 0
    assert shown.stderr == ""
    assert "\x1b" not in shown.stdout
    fits_80(shown.stdout)


def test_the_screen_names_garments_lots_and_reasons(run, small: Path):
    said = " ".join(run("reserve", small).stdout.split())
    for words in (
        "pullover (pullover, worn)",
        "cardigan (cardigan, gone)",
        "navy: ",
        "darned",
        "cuffs",
        " kept, ",
        " free",
    ):
        assert words in said


def test_imperial_units_show_yards_and_no_metres(run, no_metric, small: Path):
    """Also in the sentence that says what the yarn is kept for."""
    shown = run("reserve", small, "--units", "imperial").stdout
    assert " yd kept" in shown
    no_metric(shown)


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_names_that_look_like_quantities_stay_as_she_wrote_them(units: str, run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "lot,garment,grams,colour,ball_grams,ball_metres,reserve\n"
        "navy 50 g,box 3 m,40,navy,50,125,7 m\nplum 20 g,box 3 m,90,navy,50,125,\n",
        encoding="utf-8",
    )
    (tmp_path / "garments.csv").write_text("garment,status,kind\nbox 3 m,worn,pullover\n", encoding="utf-8")
    shown = " ".join(run("reserve", tmp_path, "--units", units).stdout.split())
    for words in ("box 3 m (pullover, worn)", "on navy 50 g;", "mending box 3 m:", "plum 20 g: "):
        assert words in shown


def test_csv_is_one_row_for_each_lot(run, small: Path):
    rows = list(csv.DictReader(io.StringIO(run("reserve", small, "--csv").stdout)))
    assert {row["lot"] for row in rows} >= {"navy", "cream", "rust"}
    assert {"garment", "yarn", "colour", "held_m", "freed_m"} <= set(rows[0])


def test_what_she_set_by_hand_is_kept_to_the_metre(run_json, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "lot,grams,colour,ball_grams,ball_metres,reserve\nwine,40,wine,50,125,37\nplum,20,plum,50,125,\n",
        encoding="utf-8",
    )
    (group,) = [one for one in run_json("reserve", tmp_path)["groups"] if one["held"]]
    assert group["held"] == [{"lot": "wine", "metres": 37}]
    assert "by hand" in group["because"]


def kept(groups: list[dict], garment: str) -> list[dict]:
    return [one for one in groups if one["garment"] == garment]


@pytest.mark.parametrize("choice", ["little", "usual", "all"])
def test_the_choice_of_mending_and_its_metres_are_told(choice: str, run, run_json, small: Path):
    groups = run_json("reserve", small, "--mending", choice)["groups"]
    for one in kept(groups, "pullover"):
        assert (one["mending"], one["reserve_m"]) == (choice, one["choices"][f"{choice}_m"])
        little, usual, everything = (one["choices"][f"{each}_m"] for each in ("little", "usual", "all"))
        assert little < usual < everything
    assert [(one["mending"], set(one["choices"].values())) for one in kept(groups, "cardigan")] == [("", {0})]
    said = " ".join(run("reserve", small, "--mending", choice).stdout.split())
    assert f"Mending: {choice}. " in said
    assert "Mending usual: darned holes, and enough of each colour for any one larger repair." in said


def test_usual_is_kept_for_where_nothing_is_asked(run_json, small: Path):
    assert run_json("reserve", small) == run_json("reserve", small, "--mending", "usual")


def test_what_is_written_down_for_a_garment_goes_before_the_wish(run_json, small: Path):
    (small / "garments.csv").write_text(
        "garment,kind,status,mending\npullover,pullover,worn,All\ncardigan,cardigan,worn,\n", encoding="utf-8"
    )
    groups = run_json("reserve", small, "--mending", "little")["groups"]
    assert {one["mending"] for one in kept(groups, "pullover")} == {"all"}
    assert {one["mending"] for one in kept(groups, "cardigan")} == {"little"}


def test_a_garment_in_the_store_is_given_its_choice(run, run_json, small: Path, tmp_path: Path, monkeypatch):
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "bin.sqlite"))
    assert run("intake", small).exit_code == 0
    assert 'mending is now "little"' in run("garment", "pullover", "--mending", "little").stdout
    assert {one["mending"] for one in kept(run_json("reserve")["groups"], "pullover")} == {"little"}
    refused = run("garment", "pullover", "--mending", "much")
    assert refused.exit_code == 2
    assert "little, usual or all" in " ".join(refused.stderr.split())
    assert run("export", tmp_path / "out").exit_code == 0
    assert "little" in (tmp_path / "out" / "garments.csv").read_text(encoding="utf-8")


def test_commands_that_lay_reserves_take_the_wish(run_json, small: Path, tmp_path: Path, monkeypatch):
    """With less held back more is free, whoever asks."""
    monkeypatch.setenv("MATCHER_BIN", str(tmp_path / "bin.sqlite"))
    run_json("intake", small)

    def free(*wish: str) -> list[float]:
        palette = sum(one["free_m"] for one in run_json("palette", *wish)["lots"])
        triage = sum(one["free_m"] for one in run_json("triage", *wish)["advice"])
        tags = sum(
            one["reserve_m"] for one in run_json("tags", "--out", tmp_path / "tags.html", "--replace", *wish)["tags"]
        )
        (begun,) = run_json("begin", "egg cosy", "--lots", "navy", *wish)["claims"]
        run_json("abandon", "egg cosy")
        fit = ("--garment", "pullover", "--accessory", "hat-stranded-band", "--motif", "crosses", *wish)
        partner = sum(one["reserve_m"] for one in run_json("partner", *fit)["roles"])
        best = run_json("suggest", "--lot", "navy", "--kind", "hat", *wish)["suggestions"][0]["roles"]
        return [palette, triage, -tags, begun["free_m"], -partner, -sum(one["reserve_m"] for one in best)]

    usual = free()
    assert free("--mending", "usual") == usual
    assert all(one > other for one, other in zip(free("--mending", "little"), usual, strict=True))
    assert all(one < other for one, other in zip(free("--mending", "all"), usual, strict=True))


def test_a_wish_that_is_none_is_refused(small: Path):
    with pytest.raises(BadInput, match="little, usual or all"):
        reserve(small, mending="much")
    with pytest.raises(BadInput):
        reserve(Desk(small), mending="much")
    assert reserve(Desk(small), mending="all").groups == reserve(small, mending="all").groups


def test_what_is_kept_weighs_what_the_lots_weigh_that_keep_it(run, tmp_path: Path):
    rows = ("fine,plum,90,50,204,", "thick,plum,25,50,55,11")
    (tmp_path / "lots.csv").write_text("\n".join(("lot,colour,grams,ball_grams,ball_metres,reserve", *rows)))
    shown = run("reserve", tmp_path).stdout
    assert "plum: keep 11 m (10 g)" in shown
    assert "thick: 11 m (10 g) kept" in shown

"""`matcher partner` as a person and a program meet it."""

from __future__ import annotations

import csv
import html
import json
import re
import shutil
from collections.abc import Callable
from gettext import NullTranslations
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from matcher.actions.partner.page import knitted_motif
from matcher.actions.partner.partner import partner
from matcher.knitting.pattern.stitches import OPERATIONS
from matcher.materials.rules import RecolourRules
from matcher.reasons.style import Style

HAT = ("--garment", "grey yoke pullover", "--accessory", "hat-stranded-band")
# With yarn kept for every repair at once the main colour is short.
SHORT = (*HAT, "--mending", "all")
MITTS = ("--garment", "navy yoke pullover", "--accessory", "mitts-fingerless-stranded")


@pytest.fixture
def found(run_json: Callable[..., dict[str, Any]], demo: Path) -> dict[str, Any]:
    return run_json("partner", demo, *HAT)


def test_the_keys_of_the_issue(found: dict[str, Any]):
    assert set(found) >= {
        *("fits", "roles", "longest_floats", "contrasts", "exchanges", "sure", "files"),
        *("garment", "accessory", "size", "gauge", "recolourings", "care", "warnings"),
    }
    for fit in found["fits"]:
        assert set(fit) >= {
            *("stitches", "repeats", "plain_columns", "rounds", "circumference_cm", "ease_cm", "off_by_cm"),
        }
        assert all(set(one) >= {"part", "rounds"} for one in fit["rounds"])
    for role in found["roles"]:
        assert set(role) >= {"role", "lots", "need_m", "need_sd_m", "reserve_m", "left_m", "stitches", "float_m"}
    assert all(one["shared_edges"] > 0 for one in found["contrasts"])


def test_the_sweater_keeps_what_it_needs_for_mending(found: dict[str, Any], run_json, demo: Path):
    main = next(role for role in found["roles"] if role["role"] == "main")
    kept = {one["lot"]: one["metres"] for group in run_json("reserve", demo)["groups"] for one in group["held"]}
    assert main["reserve_m"] == pytest.approx(sum(kept.get(lot, 0) for lot in main["lots"]), abs=0.02)
    assert main["left_m"] == pytest.approx(main["on_hand_m"] - main["reserve_m"] - main["need_m"], abs=0.7)


def test_a_short_colour_brings_ways_out_and_enough_brings_none(run_json, demo: Path):
    short = run_json("partner", demo, *SHORT)
    assert short["sure"] < short["sure_at_least"]
    kinds = {one["kind"] for one in short["exchanges"]}
    assert {"buy", "rib in another role", "smaller size"} <= kinds
    assert all(one["sure"] >= 0.95 for one in short["exchanges"])
    enough = run_json("partner", demo, *SHORT, "--sure", "0.8")
    assert enough["sure"] == short["sure"]
    assert enough["exchanges"] == []


def test_recolour_shares_the_whole_bin_out(run_json, demo: Path):
    found = run_json("partner", demo, *HAT, "--recolour")
    ways = found["recolourings"]
    assert [one["score"] for one in ways] == sorted((one["score"] for one in ways), reverse=True)
    assert [role["lots"] for role in found["roles"]] == ways[0]["lots"]
    assert found["sure"] == ways[0]["sure"]
    for one in ways:
        assert len({tuple(lots) for lots in one["lots"]}) == len(one["lots"])


def test_screen(run, demo: Path, fits_80: Callable[[str], None]):
    for asked in (
        HAT,
        SHORT,
        MITTS,
        (*HAT, "--recolour"),
        ("--garment", "denim jacket", "--accessory", "egg-cosy-striped"),
    ):
        shown = run("partner", demo, *asked)
        assert shown.exit_code == 0, shown.output
        fits_80(shown.stdout)
    text = " ".join(run("partner", demo, *SHORT).stdout.split())
    assert "Cast on 120 stitches in main." in text
    assert "Brim: 21 rounds in 2 x 2 rib, main." in text
    assert "10 repeats of 12 stitches: 54.5 cm around, 2.2 cm smaller than the head." in text
    assert "25 of its 29 rows" in text
    assert "Buy 1 ball of 50 g more for main" in text


def test_her_units(run, demo: Path, no_metric: Callable[[str], None], tmp_path: Path):
    for asked in (HAT, SHORT, MITTS, ("--garment", "denim jacket", "--accessory", "egg-cosy", "--motif", "triangles")):
        shown = run("partner", demo, *asked, "--units", "imperial")
        assert shown.exit_code == 0
        no_metric(shown.stdout)


def test_measured_sizes_lie_where_the_tables_say(run_json, demo: Path):
    child = run_json("partner", demo, *HAT, "--head-cm", "50.3")
    named = run_json("partner", demo, *HAT, "--size", "5 years")
    assert child["body_cm"] == named["body_cm"] == 50.3
    assert [one["stitches"] for one in child["fits"]] == [one["stitches"] for one in named["fits"]]
    assert child["size"] == "head 50.3 cm"
    hand = run_json("partner", demo, *MITTS, "--hand-cm", "19.9")
    assert [one["stitches"] for one in hand["fits"]] == [
        one["stitches"] for one in run_json("partner", demo, *MITTS, "--size", "adult medium")["fits"]
    ]


def test_swatch_ease_motif_and_fit(run_json, demo: Path):
    swatch = run_json("partner", demo, *HAT, "--swatch", "24 st x 32 rows")
    assert swatch["gauge"] == {"stitches_10cm": 24.0, "rows_10cm": 32.0, "from": "swatch"}
    assert all(one["circumference_cm"] == pytest.approx(one["stitches"] / 2.4, abs=0.01) for one in swatch["fits"])
    tight = run_json("partner", demo, *HAT, "--ease-percent", "-25..-10")
    assert all(-25 <= 100 * one["ease_cm"] / tight["body_cm"] <= -10 for one in tight["fits"])
    other = run_json("partner", demo, *HAT, "--motif", "little-diamonds")
    assert {role["role"] for role in other["roles"]} == {"main", "contrast 1"}
    second = run_json("partner", demo, *HAT, "--fit", "2")
    assert second["fit"] == 2
    assert second["roles"][0]["need_m"] < run_json("partner", demo, *HAT)["roles"][0]["need_m"]


def test_a_motif_beside_the_bin_and_lots_without_roles(run_json, tmp_path: Path):
    (tmp_path / "lots.csv").write_text(
        "lot,garment,colour,grams,ball_grams,ball_metres\nnavy,mine,#1f2a4a,200,50,125\ncream,mine,#efe6d0,50,50,125\n",
        encoding="utf-8",
    )
    (tmp_path / "garments.csv").write_text(
        "garment,status,stitches_10cm,rows_10cm,motif\nmine,gone,22,29,mine.txt\n", encoding="utf-8"
    )
    (tmp_path / "mine.txt").write_text(
        "name: mine\nroles: . main, x contrast 1\nrows: bottom to top\n\nx...\n.x.x\n", encoding="utf-8"
    )
    found = run_json("partner", tmp_path, "--garment", "mine", "--accessory", "hat-plain")
    assert found["motif"] == {"name": "mine", "width": 4, "height": 2}
    assert [role["lots"] for role in found["roles"]] == [["navy"], ["cream"]]
    assert any("column role" in one for one in found["notes"])
    assert found["sure"] > 0.99
    assert found["kept"] == []


def test_pictures_and_pages(run_json, demo: Path, tmp_path: Path):
    folder = tmp_path / "new" / "hat"
    first = run_json("partner", demo, *HAT, "--out", folder)
    names = sorted(path.name for path in folder.iterdir())
    assert names == sorted(
        f"hat-stranded-band-{name}"
        for name in (
            *("flat.png", "flat.svg", "motif.png", "motif.svg", "sights.png", "sights.svg"),
            *("a4.html", "letter.html"),
        )
    )
    assert sorted(Path(one).name for one in first["files"]) == names
    page = (folder / "hat-stranded-band-a4.html").read_text(encoding="utf-8")
    for words in ("as it is seen from near and far, on white", "in the hand", "across a table", "across a room"):
        assert words in page
    flat = ElementTree.parse(folder / "hat-stranded-band-flat.svg").getroot()
    drawn = [one for one in flat.iter() if one.get("class") == "stitch"]
    best = first["fits"][0]
    crown = best["rounds"][-1]
    rounds = [one["first"] for one in best["rounds"][:-1] for _ in range(one["rounds"])]
    # 120 stitches in 8 sections: 14 decrease rounds of 8 among 21, every second one at first.
    assert (crown["first"], crown["last"], crown["rounds"]) == (120, 8, 21)
    rounds += [stitches for stitches in range(112, 56, -8) for _ in range(2)] + list(range(56, 0, -8))
    # The brim is folded: its lower half lies on its upper one, which is not seen.
    brim = best["rounds"][0]
    rounds = rounds[brim["rounds"] // 2 :]
    assert len(drawn) == sum((stitches + 1) // 2 for stitches in rounds)
    assert sum(one.get("class") == "fold" for one in flat.iter()) == 1
    assert {one.get("fill") for one in drawn} == {"#7f8285", "#efe6d0", "#1f5563"}
    page = (folder / "hat-stranded-band-a4.html").read_text(encoding="utf-8")
    for words in ("grey yoke pullover", "mid grey", "Kept for mending", "Longest floats", "Care and cautions"):
        assert words in page


def test_the_same_pictures_every_time_and_files_of_hers_stay(run_json, demo: Path, tmp_path: Path):
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    asked = ("--garment", "denim jacket", "--accessory", "egg-cosy", "--motif", "triangles", "--out", tmp_path)
    run_json("partner", demo, *asked)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    run_json("partner", demo, *asked)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert before["notes.txt"] == b"mine"


def test_a_folder_that_cannot_be_written_to_leaves_nothing_behind(run, demo: Path, tmp_path: Path):
    (tmp_path / "hat-stranded-band-sights.png").mkdir()
    shown = run("partner", demo, *HAT, "--out", tmp_path)
    assert shown.exit_code == 2
    assert [path.name for path in tmp_path.iterdir()] == ["hat-stranded-band-sights.png"]


def test_the_same_answer_every_time_and_in_any_order_of_rows(run_json, demo: Path, tmp_path: Path):
    shutil.copytree(demo, tmp_path / "demo")
    sheet = tmp_path / "demo" / "lots.csv"
    head, *rows = sheet.read_text(encoding="utf-8").splitlines()
    sheet.write_text("\n".join([head, *reversed(rows)]) + "\n", encoding="utf-8")
    turned = run_json("partner", tmp_path / "demo", *HAT, "--recolour")
    assert json.dumps(turned) == json.dumps(run_json("partner", demo, *HAT, "--recolour"))


def test_the_library_gives_the_same(found: dict[str, Any], demo: Path):
    import matcher

    made = matcher.partner(demo, garment="Grey Yoke Pullover", accessory="Hat with a stranded band")
    assert json.loads(json.dumps(made.as_dict(), default=str)) == found
    frame = made.frame()
    assert list(frame["role"]) == ["main", "contrast 1", "contrast 2"]
    assert {"stitches", "float_m", "need_m", "lots"} <= set(frame.columns)


def test_in_a_very_large_bin_fewer_lots_are_searched_and_that_is_said(run, demo: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(RecolourRules, "most_yarns", lambda rules, roles: 8)
    shown = run("partner", demo, *MITTS, "--recolour", "--json")
    said = "colours were chosen from those of navy yoke pullover and the longest others, 8 in all."
    assert said in " ".join(shown.stderr.split())
    found = json.loads(shown.stdout)
    # The four yarns of the sweater, and the four longest others of that thickness.
    longest = {
        "forest, full ball",
        "moss",
        "moss, full ball",
        "charcoal, second dye lot",
        "mid grey",
        "mid grey, full ball",
    }
    used = {lot for way in found["recolourings"] for lots in way["lots"] for lot in lots}
    others = used - {"navy", "natural", "rust", "mustard"}
    assert others
    assert others <= longest


def test_a_measure_stands_in_her_units(run, demo: Path):
    shown = run("partner", demo, *MITTS, "--hand-cm", "20.32", "--units", "imperial")
    assert "stranded fingerless mitts, hand 8 in" in shown.stdout
    assert "Besides: thumbs, 2 in all," in shown.stdout


def test_what_is_knitted_besides_has_its_colours_said(run, demo: Path):
    shown = " ".join(run("partner", demo, *MITTS).stdout.split())
    gusset = shown[shown.index("Besides: thumb gussets") :].split(". ")[0]
    assert gusset.endswith("rows, in the colours of the rounds beside them")
    assert ", ." not in shown


def test_the_rib_in_a_yarn_besides(run_json, demo: Path):
    found = run_json("partner", demo, *SHORT)
    ribs = [one for one in found["exchanges"] if one["kind"] == "rib in another yarn"]
    assert len(ribs) == 1
    held = {lot for role in found["roles"] for lot in role["lots"]}
    assert ribs[0]["roles"]["rib"] not in held
    assert ribs[0]["sure"] >= found["sure_at_least"]


@pytest.mark.parametrize(
    ("accessory", "how", "rows"), [("hat-stranded-band", "trimmed", 25), ("cowl-long-loop", "whole", 29)]
)
def test_the_chart_shows_the_rows_that_are_knitted(demo: Path, accessory: str, how: str, rows: int):
    """Without the edge rows that were left out, and of repeats above one another one."""
    made = partner(demo, garment="grey yoke pullover", accessory=accessory)
    chart = knitted_motif(made)
    assert made.fit.placed == how
    assert (chart.height, chart.width) == (rows, made.fit.repeat)


@pytest.mark.parametrize("number", ["0", "3", "-1"])
def test_a_fit_that_is_not_in_the_list(run, demo: Path, number: str):
    shown = run("partner", demo, *HAT, "--fit", number)
    assert shown.exit_code == 2
    assert f"there is no fit {number} (--fit): there are 2; give 1 to 2" in " ".join(shown.stderr.split())


class _Loud(NullTranslations):
    """Another language: every word of ours in capitals."""

    def gettext(self, message: str) -> str:
        return re.sub(r"\{\w+\}|[^{}]+", lambda part: part[0] if part[0][0] == "{" else part[0].upper(), message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)


def test_every_word_of_the_page_can_be_said_in_another_language(demo: Path, tmp_path: Path):
    """What is hers or the catalogue's stays as it is written; all else is said in the language asked for."""
    loud = Style(language=_Loud())
    made = partner(demo, garment="grey yoke pullover", accessory="hat-stranded-band", out=tmp_path, style=loud)
    page = next(path for path in made.files if path.name.endswith("a4.html")).read_text(encoding="utf-8")
    words = html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", "\n", page, flags=re.DOTALL))
    written = [made.accessory.name, made.garment.name, made.motif.name, "lengthen body 5 cm"]
    written += [text for role in made.roles for lot in role.lots for text in (lot.name, lot.place)]
    written += [zone.name for zone in made.accessory.zones] + [str(one.called) for one in made.kept]
    written += [lots for way in made.exchanges for lots in way.roles.values()]
    for text in sorted(map(str, written), key=len, reverse=True):
        words = re.sub(re.escape(text), "~", words, flags=re.IGNORECASE)
    # The abbreviations of stitches are what charts and steps are written in; the key beside them says each in words.
    words = re.sub(rf"\b({'|'.join(OPERATIONS)})\d*\b", "", words)
    assert re.findall(r".*[a-z].*", re.sub(r"\b(m|cm|mm|g)\b", "", words)) == []


def test_remarks_of_one_kind_on_many_lots_are_one_line(run_json, demo: Path, tmp_path: Path):
    """Each is told by `check`, as for `suggest`."""
    folder = shutil.copytree(demo, tmp_path / "heavy")
    with (folder / "lots.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows[:6]:
        row |= {"grams": "170", "ball_grams": "50", "ball_metres": "125", "pieces": "1"}
    with (folder / "lots.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    told = [one for one in run_json("check", folder)["notes"] if "are there more pieces" in one]
    assert len(told) >= 6
    (said,) = [one for one in run_json("partner", folder, *HAT)["notes"] if "are there more pieces" in one]
    assert said == f"{told[0]}; so it is with {len(told) - 1} more lots: matcher check shows them"

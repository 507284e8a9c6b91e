"""`matcher suggest` from the outside: what it prints, the keys it promises, and what it refuses."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

TOP_KEYS = {"sure_at_least", "units", "suggestions", "near_misses", "unused"}
KEYS = {
    *("rank", "accessory", "kind", "size", "score", "parts", "sure", "strands", "gauge"),
    *("roles", "contrasts", "warnings", "reasons"),
}
ROLE_KEYS = {"role", "lots", "need_m", "need_sd_m", "on_hand_m", "reserve_m", "left_m", "need_g"}
CONTRAST_KEYS = {"roles", "delta_e", "delta_l", "least_seen", "verdict"}
PARTS = {"sure", "contrast", "together", "use", "leftover", "kindred"}
DEMO = "this is the demo"


def check_suggestion(one: dict, lots: set[str]) -> None:
    assert set(one) >= KEYS
    assert set(one["parts"]) == PARTS
    assert all(0.0 <= value <= 1.0 for value in one["parts"].values())
    assert set(one["gauge"]) == {"stitches_10cm", "rows_10cm"}
    assert one["roles"]
    for role in one["roles"]:
        assert set(role) >= ROLE_KEYS
        assert set(role["lots"]) <= lots
        assert role["need_m"] > role["need_sd_m"] > 0
    for contrast in one["contrasts"]:
        assert set(contrast) >= CONTRAST_KEYS
        assert len(contrast["roles"]) == 2
        assert contrast["verdict"] in ("clear", "readable", "quiet", "merges")


def test_json_of_the_demo_has_the_promised_keys(run_json, demo: Path):
    found = run_json("suggest")
    with open(demo / "lots.csv", encoding="utf-8", newline="") as file:
        lots = {row["lot"] for row in csv.DictReader(file)}
    assert set(found) >= TOP_KEYS
    assert (found["sure_at_least"], found["units"]) == (0.95, "metric")
    assert [one["rank"] for one in found["suggestions"]] == list(range(1, 11))
    for one in found["suggestions"]:
        check_suggestion(one, lots)
        assert one["sure"] >= 0.95
        assert one["reasons"]
    scores = [one["score"] for one in found["suggestions"]]
    assert scores == sorted(scores, reverse=True)
    for one in found["near_misses"]:
        check_suggestion(one, lots)
        assert one["lacks"]
        assert all(isinstance(words, str) and words for words in one["lacks"])
    for one in found["unused"]:
        assert set(one) >= {"lot", "why"}
        assert one["lot"] in lots


def test_the_metres_of_a_role_add_up(run_json, small: Path):
    """What is left is what is on hand, less the reserve, less the need; joins may cost a little more."""
    for one in run_json("suggest", small, "--kind", "hat", "--kind", "mitts", "--top", 40)["suggestions"]:
        for role in one["roles"]:
            if role.get("brought"):
                continue
            assert role["left_m"] <= role["on_hand_m"] - role["reserve_m"] - role["need_m"] + 0.02
            assert role["left_m"] >= role["on_hand_m"] - role["reserve_m"] - role["need_m"] - 2


def test_without_a_bin_it_says_on_stderr_that_it_is_the_demo(run):
    shown = run("suggest", "--top", "1")
    assert shown.exit_code == 0
    assert DEMO in " ".join(shown.stderr.split())
    assert DEMO not in shown.stdout


def test_with_a_bin_it_does_not(run, small: Path):
    shown = run("suggest", small, *COWLS)
    assert shown.exit_code == 0
    assert DEMO not in shown.output


def test_the_demo_by_name_is_the_same_as_no_bin(run_json, demo: Path):
    assert run_json("suggest", demo) == run_json("suggest")


@pytest.mark.parametrize("how", [[], ["--full"], ["--explain", "1"], ["--explain", "8"]])
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_output_fits_80_columns(how: list[str], units: str, run, fits_80):
    shown = run("suggest", *how, "--units", units)
    assert shown.exit_code == 0
    fits_80(shown.stdout)


def test_output_fits_80_columns_in_a_process_of_its_own(by_itself, fits_80):
    shown = by_itself("suggest")
    assert shown.returncode == 0
    fits_80(shown.stdout)
    fits_80(shown.stderr)
    assert "\x1b" not in shown.stdout


def test_the_first_screen_answers_without_scrolling(run, run_json):
    """24 lines and a prompt: name, size, lots with their place, how sure, how the colours read, how to wash."""
    shown, first = run("suggest").stdout, run_json("suggest")["suggestions"][0]
    assert len(shown.splitlines()) <= 40  # two lines for each of nine others, since no name is cut
    top = " ".join(" ".join(shown.splitlines()[:24]).split())
    assert f"{first['accessory']}, {first['size']}" in top
    assert "in 100 sure" in top
    assert "wash" in top.casefold()
    for role in first["roles"]:
        assert role["role"] in top
        assert all(lot in top for lot in role["lots"])
    for contrast in first["contrasts"]:
        assert contrast["verdict"] in top


@pytest.mark.parametrize("how", [[], ["--full"], ["--explain", "1"]], ids=["first screen", "full", "explained"])
def test_imperial_units_show_yards_and_no_metres(how: list[str], run, no_metric):
    shown = run("suggest", *how, "--units", "imperial").stdout
    assert " yd" in shown
    no_metric(shown)
    assert "metres" not in shown, "nor as the heading of a table"


def test_imperial_units_show_ounces_where_masses_are_shown(run):
    assert " oz" in run("suggest", "--explain", "1", "--units", "imperial").stdout


def test_the_explanation_shows_the_whole_working(run, run_json):
    one = run_json("suggest")["suggestions"][0]
    shown = " ".join(run("suggest", "--explain", "1").stdout.split())
    assert f"{one['accessory']}, {one['size']}" in shown
    for name in PARTS:
        assert name in shown
    assert f"{one['score']:.3f}" in shown
    for role in one["roles"]:
        assert f"needs {role['need_m']:.0f} m" in shown
        assert all(lot in shown for lot in role["lots"])
    for word in ("brim", "rows", "CIEDE2000", "Munden 1959", "Machado"):
        assert word in shown


def test_csv_is_one_row_for_each_role(run, run_json, small: Path):
    shown = run("suggest", small, "--kind", "cowl", "--csv")
    assert shown.exit_code == 0
    rows = list(csv.DictReader(io.StringIO(shown.stdout)))
    found = run_json("suggest", small, "--kind", "cowl")["suggestions"]
    assert [(row["accessory"], row["role"]) for row in rows] == [
        (one["accessory"], role["role"]) for one in found for role in one["roles"]
    ]


def test_the_list_narrows_as_asked(run_json, small: Path):
    hats = run_json("suggest", small, "--kind", "hat", "--size", "adult medium", "--top", 50)["suggestions"]
    assert hats
    assert {(one["kind"], one["size"]) for one in hats} == {("hat", "adult medium")}
    both = run_json("suggest", small, "--kind", "hat", "--kind", "COWL", "--top", 50)["suggestions"]
    assert {one["kind"] for one in both} == {"hat", "cowl"}
    with_rust = run_json("suggest", small, "--lot", "rust", "--kind", "cowl")["suggestions"]
    assert with_rust
    assert all(any("rust" in role["lots"] for role in one["roles"]) for one in with_rust)
    of_pullover = run_json("suggest", small, "--garment", "Pullover", "--kind", "cowl")["suggestions"]
    lots = [{lot for role in one["roles"] for lot in role["lots"]} for one in of_pullover]
    assert lots
    assert all(one & {"navy", "cream"} for one in lots)


def lots_of(one: dict) -> frozenset[str]:
    return frozenset(lot for role in one["roles"] for lot in role["lots"])


def test_the_list_is_varied_and_small_things_stand_apart(run, run_json, demo: Path):
    found = run_json("suggest", demo)
    listed, small = found["suggestions"], found["small"]
    sets = [lots_of(one) for one in (*listed, *small)]
    assert len(set(sets)) == len(sets), "nothing from the same lots twice"
    kinds = [one["kind"] for one in listed]
    assert "small" not in kinds
    assert max(kinds.count(kind) for kind in kinds) <= 3
    assert {one["kind"] for one in small} == {"small"}
    shown = " ".join(run("suggest", demo).stdout.split())
    assert f"And small things: {small[0]['accessory']}" in shown


def test_where_only_small_things_can_be_made_they_are_told(run, tmp_path: Path):
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\nend,9,#102040,4\n", encoding="utf-8")
    shown = " ".join(run("suggest", tmp_path).stdout.split())
    assert "Only small things can be made" in shown
    assert "key fob" in shown
    assert "from end" in shown


def test_all_is_the_list_without_the_rule(run_json, small: Path):
    asked = ("suggest", small, "--kind", "hat", "--kind", "cowl", "--top", 100)
    every, varied = run_json(*asked, "--all"), run_json(*asked)
    assert every["small"] == []
    assert len(every["suggestions"]) > len(varied["suggestions"])
    assert every["suggestions"][0]["score"] >= varied["suggestions"][0]["score"]


def test_colourwork_is_in_several_colours(run_json, small: Path):
    found = run_json("suggest", small, "--kind", "hat", *COWLS, "--colourwork")["suggestions"]
    assert found
    assert all(len(one["roles"]) > 1 for one in found)


def test_reasons_say_what_she_chose_together_and_what_is_used(run_json, demo: Path):
    first = run_json("suggest", demo, "--colourwork", "--kind", "mitts", "--lot", "rust")["suggestions"][0]
    assert any("lived in your navy yoke pullover" in words for words in first["reasons"])


def test_top_and_each(run_json, small: Path):
    assert len(run_json("suggest", small, *COWLS, "--top", 3)["suggestions"]) == 3
    hats = ("suggest", small, "--kind", "hat", "--top", 100)
    for each in (1, 2):
        names = [one["accessory"] for one in run_json(*hats, "--each", each)["suggestions"]]
        assert max(names.count(name) for name in names) == each


def test_how_sure_and_how_clear_can_be_asked(run_json, small: Path):
    kinds = ("--kind", "hat", "--kind", "yoke", "--top", 50)
    found = run_json("suggest", small, "--sure", 0.99, "--least-contrast", "clear", *kinds)
    assert found["sure_at_least"] == 0.99
    assert found["suggestions"]
    assert all(one["sure"] >= 0.99 for one in found["suggestions"])
    verdicts = {contrast["verdict"] for one in found["suggestions"] for contrast in one["contrasts"]}
    assert verdicts == {"clear"}


def test_single_holds_no_strands_together(run_json):
    asked = ("suggest", "--kind", "hat", "--size", "newborn", "--lot", "dusty pink mohair", "--lot", "white", "--all")
    found = run_json(*asked, "--single")["suggestions"]
    assert {one["strands"] for one in found} == {1}
    assert max(one["strands"] for one in run_json(*asked)["suggestions"]) > 1


def test_strands_are_told_in_the_short_list_too(run, run_json, tmp_path: Path):
    text = "lot,colour,grams,ball_grams,ball_metres\nnavy,#1f2a4a,90,50,375\ncream,#efe6d0,90,50,375\n"
    (tmp_path / "lots.csv").write_text(text, encoding="utf-8")
    asked = ("suggest", tmp_path, "--kind", "hat", "--size", "adult medium", "--all")
    found = run_json(*asked)["suggestions"]
    said = " ".join(run(*asked).stdout.split())
    assert any(one["roles"][0]["strands"] > 1 for one in found[1:])
    for one in found[1:]:
        held = ("" if role["strands"] == 1 else f" ({role['strands']} strands)" for role in one["roles"])
        lots = " + ".join(" + ".join(role["lots"]) + strands for role, strands in zip(one["roles"], held, strict=True))
        assert f"{one['accessory']}, {one['size']} from {lots}, " in said


def test_the_same_bin_gives_the_same_list(by_itself, small: Path):
    """Also in another process, where Python orders its sets otherwise."""
    narrow = ("suggest", small, "--kind", "cowl", "--kind", "small", "--json")
    runs = [by_itself(*narrow, PYTHONHASHSEED=seed).stdout for seed in ("1", "2")]
    assert runs[0] == runs[1]
    assert json.loads(runs[0])["suggestions"]


def test_nothing_to_make_says_so_and_ends_with_0(run, run_json, tmp_path: Path):
    (tmp_path / "lots.csv").write_text("lot,grams,colour,class\nend,1,navy,3\n", encoding="utf-8")
    shown = run("suggest", tmp_path)
    assert shown.exit_code == 0
    assert "Nothing in the catalogue can be made" in shown.stdout
    found = run_json("suggest", tmp_path)
    assert found["suggestions"] == []
    assert [one["lot"] for one in found["unused"]] == ["end"]
    assert "short" in found["unused"][0]["why"]


def test_what_else_there_is_stands_in_one_row_of_words(run, tmp_path: Path):
    text = "lot,grams,colour,class\nmoss,80,green,3\nend,1,navy,3\n"
    (tmp_path / "lots.csv").write_text(text, encoding="utf-8")
    said = " ".join(run("suggest", tmp_path, "--kind", "hat", "--kind", "cowl").stdout.split())
    assert re.search(r"--full: all at length, \d+ near misses and 1 lot that fits nothing\. --explain 1:", said)


def test_a_lot_that_is_kept_whole_is_told_as_kept(run, run_json, tmp_path: Path):
    lots = "lot,grams,colour,class,garment,reserve\nmoss,80,green,3,,\nend,1,navy,3,,\n"
    lots += "pine,9,pine green,3,pine vest,\nown,30,red,3,,500\n"
    (tmp_path / "lots.csv").write_text(lots, encoding="utf-8")
    (tmp_path / "garments.csv").write_text("garment,kind,status\npine vest,vest,worn\n", encoding="utf-8")
    asked = ("suggest", tmp_path, "--kind", "hat", "--kind", "cowl")
    said = " ".join(run(*asked).stdout.split())
    assert re.search(r"near misses, 2 lots that are kept whole and 1 lot that fits nothing\. --explain 1:", said)
    full = " ".join(run(*asked, "--full").stdout.split())
    assert re.search(r"Kept whole own: you keep all .*? of it\. pine: all .*? are kept for pine vest\.", full)
    assert re.search(r"Nothing here can use these end: ", full)
    assert [one["lot"] for one in run_json(*asked)["unused"]] == ["end", "own", "pine"]
    nothing = " ".join(run("suggest", tmp_path, "--kind", "hat", "--lot", "pine").stdout.split())
    assert "2 lots are kept whole" in nothing


def test_cautions_for_a_baby_are_told(run_json, small: Path):
    found = run_json("suggest", small, "--size", "6 months", "--kind", "hat")["suggestions"]
    assert found
    for one in found:
        said = " ".join(one["warnings"]).casefold()
        assert "baby" in said
        for word in ("neck", "sleep", "floats", "small parts", "moth", "ball band"):
            assert word in said


def test_a_dye_that_may_run_beside_a_pale_yarn_is_cautioned(run_json, demo: Path):
    told = {
        frozenset(lot for role in one["roles"] for lot in role["lots"]): "dyes can run" in " ".join(one["warnings"])
        for one in run_json("suggest", demo, "--lot", "white", "--lot", "cream, thick", "--single", "--all")[
            "suggestions"
        ]
    }
    assert told[frozenset({"red", "white"})]
    assert not told[frozenset({"cream, thick", "denim, thick"})]


# What it refuses ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--sure", "2"], ["2", "0.5 to 0.999"]),
        (["--sure", "0.4"], ["0.4", "0.5 to 0.999"]),
        (["--sure", "nan"], ["0.5 to 0.999"]),
        (["--sure", "often"], ["--sure"]),
        (["--top", "0"], ["--top"]),
        (["--top", "-3"], ["--top"]),
        (["--top", "0", "--explain", "1"], ["--top"]),
        (["--each", "0"], ["--each"]),
        (["--least-contrast", "wrong"], ["--least-contrast", "clear", "readable", "quiet"]),
        (["--units", "stone"], ["--units", "metric", "imperial"]),
        (["--explain", "99"], ["no suggestion 99"]),
        (["--explain", "0"], ["no suggestion 0"]),
        (["--explain", "99", "--json"], ["no suggestion 99"]),
        (["--lot", "nvay"], ["nvay", "did you mean navy"]),
        (["--garment", "pulover"], ["pulover", "did you mean pullover"]),
        (["--size", "adult middling"], ["adult middling", "adult medium"]),
        (["--size", "huge"], ["huge", "adult medium"]),
        (["--kind", "balaclava"], ["balaclava", "hat", "mitts"]),
        (["--catalog", "nowhere"], ["nowhere", "--catalog"]),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else "",
)
def test_what_makes_no_sense_is_refused_with_2(arguments: list[str], words: list[str], run, small: Path):
    shown = run("suggest", small, "--single", *arguments)
    assert shown.exit_code == 2
    assert shown.stdout == ""
    said = " ".join(shown.stderr.replace("│", " ").split())
    for word in words:
        assert word in said
    assert "Traceback" not in shown.output


def test_a_part_of_a_name_is_enough_to_be_told_the_whole(run, demo: Path):
    """ "grey" is no garment of the demo, and "grey yoke pullover" is what she means."""
    shown = run("suggest", demo, "--garment", "grey")
    assert shown.exit_code == 2
    assert "grey yoke pullover" in " ".join(shown.stderr.split())


def test_a_bin_that_is_not_there(run, small: Path):
    shown = run("suggest", small.parent / "bni")
    assert shown.exit_code == 2
    assert "did you mean" in " ".join(shown.stderr.split())
    assert str(small) in "".join(shown.stderr.split())  # a long path is broken after a slash


# Colour ---------------------------------------------------------------------------------------------------

IN_COLOUR = {"FORCE_COLOR": "1", "COLORTERM": "truecolor", "TERM": "xterm-256color"}
COWLS = ("--kind", "cowl")


@pytest.mark.parametrize("how", [[], ["--explain", "1"], ["--full"]], ids=["first screen", "explained", "full"])
def test_chips_where_the_terminal_has_colour_and_none_with_no_color(
    how: list[str], run, small: Path, fits_80, monkeypatch: pytest.MonkeyPatch
):
    for name, value in IN_COLOUR.items():
        monkeypatch.setenv(name, value)
    shown = run("suggest", small, *COWLS, *how)
    assert shown.exit_code == 0
    assert re.search(r"\x1b\[38;2;\d+;\d+;\d+m█", shown.stdout), "the yarn's own colour"
    fits_80(shown.stdout)
    monkeypatch.setenv("NO_COLOR", "1")
    shown = run("suggest", small, *COWLS, *how)
    assert shown.exit_code == 0
    assert "█" not in shown.stdout
    assert not has_colour(shown.stdout)


def test_no_color_in_a_process_of_its_own(by_itself, small: Path):
    assert has_colour(by_itself("suggest", small, *COWLS, **IN_COLOUR).stdout)
    without = by_itself("suggest", small, *COWLS, **IN_COLOUR, NO_COLOR="1")
    assert without.returncode == 0
    assert without.stdout
    assert not has_colour(without.stdout + without.stderr)


@pytest.mark.parametrize("environment", [{}, {"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_escape_codes_in_a_pipe(environment: dict[str, str], run, small: Path, monkeypatch: pytest.MonkeyPatch):
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    shown = run("suggest", small, *COWLS)
    assert shown.exit_code == 0
    assert "\x1b" not in shown.output
    assert "█" not in shown.output


def has_colour(text: str) -> bool:
    return bool(re.search(r"\x1b\[(?:\d+;)*(?:3[0-9]|4[0-9]|9[0-7]|10[0-7])(?:;\d+)*m", text))


def test_remarks_of_one_kind_on_many_lots_are_one_line(run_json, small: Path):
    """Each is told by `check`; where a list is wanted they would push it off the screen."""
    text = (small / "lots.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{row},1" for row in text[1:]] + [
        f"grey {n},,plain wool,#8f9{n}98,180,50,125,wool,hand,1{n},,1" for n in range(3)
    ]
    (small / "lots.csv").write_text("\n".join([f"{text[0]},pieces", *rows]) + "\n", encoding="utf-8")
    told = [one for one in run_json("check", small)["notes"] if "are there more pieces" in one]
    assert len(told) == 5
    (said,) = [one for one in run_json("suggest", small, *COWLS)["notes"] if "are there more pieces" in one]
    assert said == f"{told[0]}; so it is with 4 more lots: matcher check shows them"

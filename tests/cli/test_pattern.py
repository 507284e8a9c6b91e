"""`matcher pattern`: from a number, a name or a sweater to what she knits from; and `show` gives it back."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from matcher.actions.desk import Desk
from matcher.actions.pattern.pattern import pattern
from matcher.actions.pattern.result import Patterned
from matcher.actions.ranking.suggest import suggest
from matcher.drawing.pattern_text import pattern_text
from matcher.knitting.pattern.stitches import OPERATIONS
from matcher.store.database.store import open_store

HAT = ("hat-plain", "--size", "adult medium")
FOLDER = ("-a4.html", "-letter.html", ".svg", ".png", ".txt", ".json")


@pytest.fixture
def number(demo_store: Path, run_json: Callable[..., dict[str, Any]]) -> int:
    """The number of a hat in two colours or more."""
    found = run_json("suggest", "--kind", "hat", "--colourwork")["suggestions"]
    return int(next(one["rank"] for one in found if len(one["roles"]) > 1))


def plain(text: str) -> str:
    return " ".join(text.split())


def test_a_number_gives_the_pattern_of_what_was_shown(demo_store: Path, number: int, run, run_json, fits_80) -> None:
    one = run_json("suggest", "--kind", "hat", "--colourwork")["suggestions"][number - 1]
    shown = run("pattern", number)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    assert shown.stdout.splitlines()[0].casefold() == one["accessory"].casefold()
    assert f"Size: {one['size']}" in shown.stdout
    for role in one["roles"]:
        assert role["lots"][0] in plain(shown.stdout)
    for words in (
        "Cast on",
        "Join to a round",
        "Rounds 1 to",
        "Chart A",
        "draw the end through",
        "Finishing",
        "wash by hand",
    ):
        assert words in shown.stdout
    assert run("pattern", demo_store, number).stdout == shown.stdout


def test_the_json_holds_every_stitch_and_the_words(demo_store: Path, number: int, run_json) -> None:
    found = run_json("pattern", number)
    assert [one["letter"] for one in found["yarn"]][:2] == ["MC", "CC1"]
    assert all(one["metres"] > 0 and one["take"] for one in found["yarn"])
    (piece,) = found["pieces"]
    live = 0
    for section in piece["sections"]:
        assert section["words"]
        for step in section["steps"]:
            if step["do"] == "cast on":
                live += step["stitches"]
            elif step["do"] == "course":
                taken = sum(OPERATIONS[one["op"]].takes * one["times"] for one in step["stitches"])
                assert taken == live
                live += sum((OPERATIONS[one["op"]].leaves - OPERATIONS[one["op"]].takes) * one["times"] for one in step["stitches"])  # fmt: skip
            elif step["do"] == "finish":
                live = 0
    assert live == 0


def test_a_folder_gets_pages_pictures_text_and_json(demo_store: Path, number: int, run, tmp_path: Path) -> None:
    shown = run("pattern", number).stdout
    for folder in ("once", "again"):
        written = run("pattern", number, "--out", tmp_path / folder)
        assert (written.exit_code, written.stdout) == (0, "")
    files = sorted((tmp_path / "once").iterdir())
    key = json.loads(next(one for one in files if one.suffix == ".json").read_text("utf-8"))["recipe"]["accessory"]
    assert [one.name for one in files] == sorted(f"{key}{end}" for end in FOLDER)
    for one in files:  # the same comes out every time
        assert one.read_bytes() == (tmp_path / "again" / one.name).read_bytes()
    assert (tmp_path / "once" / f"{key}.txt").read_text("utf-8") == shown
    a4, letter = ((tmp_path / "once" / f"{key}-{paper}.html").read_text("utf-8") for paper in ("a4", "letter"))
    assert "size: A4" in a4
    assert "size: letter" in letter
    assert "<svg" in a4
    assert "Round 1" in a4 or "Rounds 1" in a4
    kept = run("pattern", number, "--out", tmp_path / "once", "--units", "imperial")
    assert kept.exit_code == 2
    assert "--replace" in plain(kept.stderr)
    assert run("pattern", number, "--out", tmp_path / "once", "--units", "imperial", "--replace").exit_code == 0


@pytest.mark.parametrize("ending", [".html", ".svg", ".png", ".txt", ".json"])
def test_one_file_by_its_ending(demo_store: Path, number: int, ending: str, run, tmp_path: Path) -> None:
    run("pattern", number, "--out", tmp_path / "folder")
    file = tmp_path / f"mine{ending}"
    assert run("pattern", number, "--out", file).exit_code == 0
    (same,) = (one for one in (tmp_path / "folder").iterdir() if one.name.endswith(ending) and "letter" not in one.name)
    assert file.read_bytes() == same.read_bytes()
    if ending == ".html":
        imperial = tmp_path / "inches.html"
        run("pattern", number, "--out", imperial, "--units", "imperial")
        assert "size: letter" in imperial.read_text("utf-8")


def test_what_is_written_is_begun(demo_store: Path, number: int, run, run_json, tmp_path: Path) -> None:
    run("pattern", number, "--out", tmp_path / "hat.json")
    by_file = run_json("begin", "--pattern", tmp_path / "hat.json")
    run("undo")
    by_number = run_json("begin", number)
    assert by_file["claims"] == by_number["claims"]


def test_an_accessory_in_her_lots_or_in_none(demo_store: Path, run, run_json) -> None:
    named = run_json("pattern", *HAT, "--lots", "navy", "--swatch", "20 st x 27 rows")
    assert named["recipe"]["gauge"]["stitches_10cm"] == 20
    assert named["yarn"][0]["take"] == "navy (basket by the window)"
    usual = run_json("pattern", *HAT, "--lots", "navy")
    begun = run("begin", *HAT, "--lots", "navy").stdout
    stitches = usual["recipe"]["gauge"]["stitches_10cm"]
    assert f"{stitches:.1f}".removesuffix(".0") + " stitches" in begun
    bare = run("pattern", *HAT)
    assert bare.exit_code == 0
    assert "navy" not in bare.stdout
    held = run_json("pattern", *HAT, "--lots", "2 x fog", "--swatch", "20 st x 27 rows")
    assert "2 strands of it held together" in held["yarn"][0]["take"]
    few = run_json("pattern", "hat-plain", "--size", "adult large", "--lots", "oatmeal", "--swatch", "26 st x 34 rows")
    assert [one for one in few["warnings"] if re.fullmatch(r"main takes .* of oatmeal, and .* are free", one)]


def test_the_words_of_the_trade_are_hers(demo_store: Path, run) -> None:
    american, british = (run("pattern", *HAT, "--words", words).stdout for words in ("american", "british"))
    assert "Gauge: " in american
    assert "Tension: " in british
    assert "stockinette" not in british
    assert " in 4 in of " in run("pattern", *HAT, "--units", "imperial").stdout


def test_it_goes_with_a_sweater_as_partner_fits_it(demo_store: Path, run, run_json) -> None:
    of = ("--garment", "grey yoke pullover")
    fit = run_json("partner", *of, "--accessory", "hat-stranded-band")["fits"][0]
    shown = run("pattern", "hat-stranded-band", *of)
    assert shown.exit_code == 0
    assert f"Cast on {fit['cast_on']} stitches with MC." in shown.stdout
    other = run("pattern", "hat-stranded-band", *of, "--motif", "crosses")
    assert other.exit_code == 0
    assert other.stdout != shown.stdout
    missing = run("pattern", "hat-stranded-band", *of, "--motif", "yoke-four")  # one yarn is not there
    assert missing.exit_code == 0
    assert "Nothing from grey yoke pullover is left for contrast 3." in plain(missing.stderr)
    assert "CC3: contrast 3" in missing.stdout


def test_show_gives_the_pattern_back(demo_store: Path, number: int, run, run_json, tmp_path: Path) -> None:
    printed = run("pattern", number).stdout
    name = run_json("begin", number, "--as", "for the winter")["name"]
    shown = run("show", name)
    assert shown.stdout.startswith("for the winter (a piece of yours)")
    assert shown.stdout.rstrip().endswith(printed.rstrip())
    told = run_json("show", name)
    assert told["works"][0]["pattern"]["recipe"]["accessory"] == told["works"][0]["accessory"]
    assert run("show", name, "--out", tmp_path / "page", "--words", "british").exit_code == 0
    text = next((tmp_path / "page").glob("*.txt")).read_text("utf-8")
    assert "Tension: " in text
    # Lots that are used up since are still named.
    lots = {one["lot"] for one in told["works"][0]["lots"]}
    weighed = [word for lot in lots for word in ("--weigh", f"{lot}=0")]
    assert run("finish", name, *weighed).exit_code == 0
    # Their care is not known any more, nor where they lay; and by what was used, metres are others.
    steps, after = (text.partition("\nAbbreviations")[2] for text in (printed, run("show", name).stdout))
    assert steps.rpartition("\nSoak")[0] in after


def test_the_motif_of_the_day_it_was_begun_is_kept(demo_store: Path, run, run_json, tmp_path: Path) -> None:
    own = tmp_path / "mine"
    (own / "motifs").mkdir(parents=True)
    (own / "accessories").mkdir()
    from matcher.store.catalogue.folders import catalogue_folder

    entry = (catalogue_folder() / "accessories" / "hat-stranded-band.toml").read_text("utf-8")
    entry = re.sub(r'motif = "[^"]*"', 'motif = "mine"', entry)
    (own / "accessories" / "my-hat.toml").write_text(
        entry.replace('"hat with a stranded band"', '"my hat"'), encoding="utf-8"
    )
    motif = own / "motifs" / "mine.txt"
    motif.write_text("name: mine\nroles: . main, x contrast 1\n\n..x.\n.xxx\n..x.\n....\n", encoding="utf-8")
    begun = ("--size", "adult medium", "--lots", "navy", "--lots", "cream", "--catalog", own, "--anyway")
    assert run("begin", "my-hat", *begun).exit_code == 0
    before = run("show", "my hat", "--what", "work", "--catalog", own).stdout
    assert "Chart A" in before
    motif.write_text("name: mine\nroles: . main, x contrast 1\n\n.x\nx.\n", encoding="utf-8")
    assert run("show", "my hat", "--what", "work", "--catalog", own).stdout == before
    gone = run("show", "my hat")
    assert gone.exit_code == 0
    assert "my-hat, adult medium, isn't in the catalogue (--catalog)" in plain(gone.stdout)
    refused = run("show", "my hat", "--out", tmp_path / "page")
    assert refused.exit_code == 2
    assert "isn't in the catalogue" in plain(refused.stderr)


def test_what_keeps_no_pattern_says_so(demo_store: Path, run, tmp_path: Path) -> None:
    run("begin", "egg-cosy", "--lots", "white cotton")
    for recipe, words in (("", "egg-cosy has no pattern"), ("{", "what its pattern is made from can't be read")):
        with closing(sqlite3.connect(demo_store)) as db:
            db.execute("UPDATE works SET recipe = ?", (recipe,))
            db.commit()
        assert run("show", "egg-cosy").exit_code == 0
        refused = run("show", "egg-cosy", "--out", tmp_path / "page")
        assert refused.exit_code == 2
        assert words in plain(refused.stderr)
        assert not (tmp_path / "page").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("99",), "there is no suggestion 99: the last list goes from 1 to "),
        (("demo",), "nothing is named to knit: give the number of a suggestion, or the name of an accessory"),
        (("one", "two", "three"), "one, two and three are too many: name one bin and one suggestion"),
        (("helmet",), 'there is no accessory "helmet"'),
        (("hat-plain",), "comes in several sizes (--size)"),
        ((*HAT, "--lots", "nvy"), 'there is no lot "nvy"'),
        ((*HAT, "--lots", "sleeve=navy"), 'has no role "sleeve"'),
        (("1", "--swatch", "20 st"), "are settled already (--swatch)"),
        (("1", "--garment", "grey yoke pullover"), "are settled already (--garment)"),
        ((*HAT, "--motif", "crosses"), "name the garment that it is to go with (--garment)"),
        ((*HAT, "--out", "nowhere/hat.html"), "there is no folder nowhere (--out)"),
        (
            (*HAT, "--out", "hat.pdf"),
            "written as .pdf (--out): name a folder, or a file that ends in .html, .svg, .png",
        ),
        ((*HAT, "--words", "scottish"), '"scottish" isn\'t one of the choices (--words): give american or british'),
        ((*HAT, "--swatch", "1 st x 2 rows"), "a gauge of 1 stitches in 10 cm"),
        (("egg-cosy", "--swatch", "3 st x 4 rows"), "is only 4 stitches round at this gauge (--swatch): take thinner"),
    ],
)
def test_what_makes_no_pattern_is_refused(demo_store: Path, run, arguments: tuple[str, ...], words: str) -> None:
    run("suggest")
    refused = run("pattern", *arguments)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert words in plain(refused.stderr)


def test_a_changed_bin_says_so(demo_store: Path, number: int, run, run_json) -> None:
    lot = run_json("pattern", number)["recipe"]["roles"][0]["strands"][0]["lots"][0]
    with open_store(demo_store) as store:
        row = store.row("lots", lot)
        assert row is not None
    run("weigh", lot, f"{row['mass_g'] - 1:.0f} g")
    changed = run("pattern", number)
    assert changed.exit_code == 0
    assert "The bin has changed since that list" in plain(changed.stderr)
    assert f"{lot} weighs" in plain(changed.stderr)
    run("weigh", lot, "3 g")
    few = run("pattern", number)
    assert re.search(rf"Main takes \d+ m of .*{re.escape(lot)}.*, and [\d.]+ m are free\.", plain(few.stdout))
    run("weigh", lot, "0")
    gone = run("pattern", number)
    assert gone.exit_code == 2
    assert "isn't there any more" in plain(gone.stderr)


def test_no_list_yet_and_a_list_of_another_bin(demo_store: Path, run, small: Path) -> None:
    run("suggest")
    refused = run("pattern", small, "1")
    assert refused.exit_code == 2
    assert "no list of this bin has been made yet" in plain(refused.stderr)
    run("suggest", small)
    shown = run("pattern", small, "1")
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert "(blue box)" in shown.stdout


def test_everything_that_is_suggested_has_a_pattern_of_about_its_metres(demo: Path) -> None:
    desk = Desk(demo)
    found = suggest(desk, varied=False, top=100, remember=True)
    assert len(found.numbered) > 40
    for one in found.numbered:
        made = pattern(desk, str(one.rank))
        assert made.recipe.accessory == one.found.variant.accessory.key
        text = pattern_text(made.pattern, made.constants, made.yarns)
        assert ("live stitches" if one.kind == "yoke" else "Cast on") in text
        assert "Finishing" in text
        # Suggestions reckon with the accessory as it is listed, patterns with whole repeats and rounds.
        takes, said = sum(made_m(made).values()), sum(role.need.length_m for role in one.roles)
        assert takes == pytest.approx(said, rel=0.12), str(one.called)


def made_m(made: Patterned) -> dict[str, float]:
    return {one["role"]: one["metres"] for one in made.as_dict()["yarn"]}


def test_the_metres_of_a_pattern_follow_her_own_knitting(demo_store: Path, run, run_json) -> None:
    def metres() -> float:
        return float(run_json("pattern", *HAT, "--lots", "navy")["yarn"][0]["metres"])

    def claimed() -> float:
        begun = run_json("begin", *HAT, "--lots", "navy")["claims"][0]["metres"]
        run("undo")
        return float(begun)

    before, set_aside = metres(), claimed()
    swatch = ("cream, thick", "--stitches", 20, "--rows", 26, "--grams", 16, "--size", "14 x 14 cm")
    assert run("swatch", *swatch).exit_code == 0
    assert abs(metres() / before - 1) > 0.02
    assert metres() / before == pytest.approx(claimed() / set_aside, rel=1e-6)


def test_a_folder_may_be_called_as_she_likes(demo_store: Path, run, tmp_path: Path) -> None:
    (tmp_path / "winter.old").mkdir()
    for name in ("hats 1.2", "winter.old", "winter 2026"):
        assert run("pattern", *HAT, "--words", "British", "--out", tmp_path / name).exit_code == 0
        assert len(list((tmp_path / name).iterdir())) == len(FOLDER)
    assert "tension" in (tmp_path / "hats 1.2" / "hat-plain.txt").read_text(encoding="utf-8").casefold()

"""What she finished and her swatches, on the command line; and the needs of other commands that follow them."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from matcher.knitting.fabric import Gauge, gauge_of_tex, piece_length
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store

HAT = "hat-stranded-band"
LOTS = [
    {
        "lot": "navy",
        "yarn": "plain wool",
        "colour": "#1f2a4a",
        "grams": "320",
        "ball_grams": "50",
        "ball_metres": "125",
    },
    {
        "lot": "cream",
        "yarn": "plain wool",
        "colour": "#efe6d0",
        "grams": "190",
        "ball_grams": "50",
        "ball_metres": "125",
    },
    {"lot": "moss", "colour": "#6b7f4a", "grams": "90", "class": "3"},
    {"lot": "rust", "colour": "#9c4a24", "grams": "120", "tex": "380"},
]


def finished(path: Path, factors: list[float], accessory: str = HAT) -> None:
    """Hats that took so many times what the figures say, in each of their two colours."""
    with open_store(path) as store, store.action("finish hats") as act:
        for number, factor in enumerate(factors):
            day = f"2026-03-{number + 1:02d}"
            work = act.insert(
                "works",
                {
                    "accessory": accessory, "name": f"hat {number}", "size": "adult medium", "state": "finished",
                    "begun_on": day, "ended_on": day,
                },
            )  # fmt: skip
            for role, lot, predicted, structure in (
                ("main", "navy", 120.0, "stocking"),
                ("contrast 1", "cream", 40.0, "stranded"),
            ):
                act.insert(
                    "used",
                    {
                        "work": work, "role": role, "lot": lot, "predicted_m": predicted, "predicted_sd_m": 18.0,
                        "used_m": factor * predicted, "used_g": round(0.4 * factor * predicted), "tex": 400.0,
                        "structure": structure, "accessory": accessory, "ended_on": day,
                    },
                )  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as opened, opened.action("add lots") as act:
        for lot in LOTS:
            act.insert("lots", lot)
    return path


@pytest.fixture
def practised(store: Path) -> Path:
    """Ten hats that took 8% more than the figures."""
    finished(store, [1.08] * 10)
    return store


# matcher calibration --------------------------------------------------------------------------------------


def test_without_a_store_the_figures_stand(run: Callable[..., Any], fits_80: Callable[[str], None]):
    shown = run("calibration")
    assert shown.exit_code == 0
    assert "estimates assume average tension (±18%)" in shown.stdout.replace("\n", " ")
    fits_80(shown.stdout)


def test_json_without_a_history(store: Path, run_json: Callable[..., dict[str, Any]]):
    found = run_json("calibration", "--bin", store)
    assert (found["finished"], found["swatches"], found["left_out"], found["data"], found["next"]) == (0, 0, 0, [], [])
    assert found["prior"]["shared_sd"] == 0.1803
    assert found["posterior"] == {
        "knitter": {"ratio": 1.0, "sd": found["prior"]["knitter_sd"]},
        "structures": [],
        "accessories": [],
    }


def test_json_of_a_history(practised: Path, run_json: Callable[..., dict[str, Any]]):
    found = run_json("calibration", "--bin", practised)
    assert (found["finished"], found["swatches"], found["left_out"]) == (10, 0, 0)
    assert [(row["role"], row["ratio"]) for row in found["data"][:2]] == [("main", 1.08), ("contrast 1", 1.08)]
    assert 1.02 < found["posterior"]["knitter"]["ratio"] < 1.08
    assert found["posterior"]["knitter"]["sd"] < found["prior"]["knitter_sd"]
    assert [one["structure"] for one in found["posterior"]["structures"]] == ["stocking", "stranded"]
    again = next(one for one in found["next"] if one["accessory"] == HAT)
    assert again["ratio"] == pytest.approx(1.08, abs=0.01)
    assert again["sd"] < 0.65 * again["sd_before"]


def test_in_a_knitters_words(practised: Path, run: Callable[..., Any], fits_80: Callable[[str], None]):
    shown = run("calibration", "--bin", practised)
    assert shown.exit_code == 0
    fits_80(shown.stdout)
    assert "Judging by 10 finished pieces, you use 3% more yarn than estimated (±" in " ".join(shown.stdout.split())
    assert "hat with a stranded band again, in stocking stitch" in " ".join(shown.stdout.split())


def test_yards_on_request(practised: Path, run: Callable[..., Any], no_metric: Callable[[str], None]):
    shown = run("calibration", "--bin", practised, "--units", "imperial")
    assert shown.exit_code == 0
    assert "/ 131 yd" in shown.stdout
    no_metric(shown.stdout)


def test_a_slip_is_shown_and_left_out(practised: Path, run: Callable[..., Any], run_json: Callable[..., Any]):
    before = run_json("calibration", "--bin", practised)
    finished(practised, [10.0])
    after = run_json("calibration", "--bin", practised)
    assert after["left_out"] == 2
    assert after["posterior"] == before["posterior"]
    assert "2 marked ? are so far off that the weights are probably slips" in " ".join(
        run("calibration", "--bin", practised).stdout.split()
    )


def test_csv_has_a_row_for_each_colour(practised: Path, run: Callable[..., Any]):
    lines = run("calibration", "--bin", practised, "--csv").stdout.splitlines()
    assert len(lines) == 21
    assert lines[0].startswith("kind,name,role,structure,accessory,date,predicted_m,used_m,ratio")


def test_the_plot_is_written_as_svg_and_png(practised: Path, tmp_path: Path, run: Callable[..., Any]):
    svg, png = tmp_path / "plot.svg", tmp_path / "plot.png"
    assert run("calibration", "--bin", practised, "--svg", svg, "--png", png).exit_code == 0
    root = ElementTree.fromstring(svg.read_text(encoding="utf-8"))
    kinds = [one.get("class") for one in root.iter() if one.get("class")]
    # Ten hats of two colours, each a line of its spread and a dot.
    assert kinds.count("noted") == 40
    assert kinds.count("before") == 1
    assert png.read_bytes().startswith(b"\x89PNG")
    assert {one.name for one in tmp_path.iterdir()} == {"plot.svg", "plot.png", "bin.sqlite"}


def test_a_plot_that_cannot_be_written(practised: Path, tmp_path: Path, run: Callable[..., Any]):
    shown = run("calibration", "--bin", practised, "--svg", tmp_path / "none" / "plot.svg")
    assert shown.exit_code == 2
    assert "there is no folder" in " ".join(shown.stderr.split())
    shown = run("calibration", "--bin", practised, "--svg", tmp_path / "plot.pdf")
    assert "doesn't end in .svg (--svg)" in " ".join(shown.stderr.split())


@pytest.mark.parametrize("name", ["nowhere.sqlite", "a-folder"])
def test_what_is_no_store_is_refused(name: str, tmp_path: Path, run: Callable[..., Any]):
    (tmp_path / "a-folder").mkdir()
    shown = run("calibration", "--bin", tmp_path / name)
    assert shown.exit_code == 2
    assert "store" in " ".join(shown.stderr.split())
    assert [line for line in shown.stderr.splitlines()[1:] if not line.startswith("  ")] == []


# Other commands -------------------------------------------------------------------------------------------


def needs_of_hat(run_json: Callable[..., Any], *more: object) -> dict[str, Any]:
    found = run_json("needs", HAT, "--size", "adult medium", "--class", 3, *more)
    return {role["role"]: role for role in found["needs"][0]["roles"]}


def test_needs_follow_the_history(practised: Path, run: Callable[..., Any], run_json: Callable[..., Any]):
    plain, hers = needs_of_hat(run_json), needs_of_hat(run_json, "--bin", practised)
    for role in plain:
        assert hers[role]["metres"] == pytest.approx(1.08 * plain[role]["metres"], rel=0.02)
        assert hers[role]["sd"] / hers[role]["metres"] < 0.65 * plain[role]["sd"] / plain[role]["metres"]
        zones = sum(zone["length_m"] for zone in hers[role]["zones"])
        assert zones + hers[role]["edge_m"] + hers[role]["tail_m"] == pytest.approx(hers[role]["metres"], abs=0.01)
    shown = run("needs", HAT, "--size", "adult medium", "--class", 3, "--bin", practised)
    assert "follow your own knitting: 10 finished pieces" in " ".join(shown.stderr.split())


PIECE = ("piece", "--structure", "stranded", "--stitches", "110", "--height", "20", "--class", "3")


def test_a_piece_follows_the_history(practised: Path, run: Callable[..., Any], run_json: Callable[..., Any]):
    plain, hers = run_json(*PIECE), run_json(*PIECE, "--bin", practised)
    ratio = run_json("calibration", "--bin", practised)["next"]
    new = next(one for one in ratio if (one["structure"], one["accessory"]) == ("stranded", ""))
    assert hers["metres"] == pytest.approx(new["ratio"] * plain["metres"], rel=1e-3)
    assert hers["sd"] / hers["metres"] == pytest.approx(new["sd"], rel=1e-2)
    assert hers["sd"] / hers["metres"] < 0.8 * plain["sd"] / plain["metres"]
    parts = hers["working"]
    loops_m = 110 * parts["rows"] * parts["loop_cm"] / 100
    whole_m = loops_m + sum(parts[part] for part in ("float_m", "edge_m", "tail_m"))
    assert whole_m == pytest.approx(hers["metres"], abs=0.01)
    assert "follow your own knitting: 10 finished pieces" in " ".join(run(*PIECE, "--bin", practised).stderr.split())


def test_a_piece_without_a_history_is_unchanged(store: Path, run_json: Callable[..., Any]):
    assert run_json(*PIECE, "--bin", store) == run_json(*PIECE)


def test_needs_without_a_history_are_unchanged(store: Path, run_json: Callable[..., Any]):
    assert needs_of_hat(run_json, "--bin", store) == needs_of_hat(run_json)


def hats(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """Suggestions by the key of their accessory."""
    return {one["key"]: one for one in found["suggestions"]}


def test_suggest_follows_the_history_and_is_unchanged_without_one(
    store: Path, tmp_path: Path, run_json: Callable[..., Any]
):
    asked = ("--kind", "hat", "--size", "adult medium", "--top", "40", "--sure", "0.5")
    folder = tmp_path / "on-paper"
    folder.mkdir()
    columns = list(dict.fromkeys(name for lot in LOTS for name in lot))
    rows = [",".join(lot.get(name, "") for name in columns) for lot in sorted(LOTS, key=lambda lot: lot["lot"])]
    (folder / "lots.csv").write_text("\n".join([",".join(columns), *rows]) + "\n", encoding="utf-8")
    paper, plain = run_json("suggest", folder, *asked), run_json("suggest", store, *asked)
    assert plain["suggestions"] == paper["suggestions"]
    finished(store, [1.08] * 10)
    hers = run_json("suggest", store, *asked)
    assert any("10 finished pieces" in note for note in hers["notes"])
    before, after = hats(plain)[HAT], hats(hers)[HAT]
    assert before["gauge"] == after["gauge"]
    for old, new in zip(before["roles"], after["roles"], strict=True):
        assert new["need_m"] == pytest.approx(1.08 * old["need_m"], rel=0.02)
        assert new["need_sd_m"] / new["need_m"] < 0.65 * old["need_sd_m"] / old["need_m"]


# matcher swatch -------------------------------------------------------------------------------------------

SWATCH = ("--stitches", "40", "--rows", "50")


def test_a_swatch_is_noted_and_moves_the_needs(store: Path, run_json: Callable[..., Any]):
    found = run_json("swatch", "NAVY", *SWATCH, "--grams", "18.5", "--size", "18 x 17 cm", "--bin", store)
    # 400 tex knitted at the usual tightness of 10.7: sqrt(400) / 10.7 cm in a stitch; 40 stitches by 50 rows, one more
    # row each for cast-on and bind-off, two ends of 0.15 m.
    loop_cm = math.sqrt(400.0) / 10.7
    predicted_m = 40 * 52 * loop_cm / 100 + 0.3
    ratio = 18.5 / 0.4 / predicted_m
    assert found["lot"] == "navy"
    assert found["usual_loop_cm"] == pytest.approx(loop_cm, abs=1e-4)
    assert found["ratio"] == pytest.approx(ratio, abs=1e-4)
    assert found["loop_cm"] == pytest.approx(loop_cm * ratio, abs=1e-4)
    assert found["gauge"] == {
        "stitches_10cm": pytest.approx(400 / 18, abs=0.01),
        "rows_10cm": pytest.approx(500 / 17, abs=0.01),
    }
    assert found["before"]["ratio"] == 1.0
    assert 1.0 < found["after"]["ratio"] < ratio
    assert found["after"]["sd"] < found["before"]["sd"]
    seen = run_json("calibration", "--bin", store)
    assert (seen["finished"], seen["swatches"]) == (0, 1)
    assert seen["posterior"]["knitter"] == found["after"]
    plain, hers = needs_of_hat(run_json), needs_of_hat(run_json, "--bin", store)
    assert hers["main"]["metres"] > plain["main"]["metres"]


def test_a_swatch_says_of_its_own_structure_what_calibration_and_needs_then_reckon_with(
    store: Path, run: Callable[..., Any], run_json: Callable[..., Any]
):
    asked = ("needs", "hat-plain", "--size", "adult medium", "--class", 3, "--bin", store)
    (plain,) = run_json(*asked)["needs"]
    assert "one plain stitch takes" in " ".join(run(*asked).stdout.split())
    said = run("swatch", "NAVY", *SWATCH, "--grams", "18.5", "--bin", store).stdout
    change = re.search(
        r"Estimates in stocking stitch are now (raised|lowered) by (\d+)% \(±(\d+)%; before ±18%\)", said
    )
    assert change
    way, by, spread = change.groups()
    sign = "+" if way == "raised" else "-"
    shown = " ".join(run("calibration", "--bin", store).stdout.split())
    assert f"something new, in stocking stitch {sign}{by}% {spread}% 18%" in shown
    (hers,) = run_json(*asked)["needs"]
    ratio = hers["roles"][0]["metres"] / plain["roles"][0]["metres"]
    assert ratio == pytest.approx(1 + float(f"{sign}{by}") / 100, abs=0.01)
    assert "one plain stitch usually takes" in " ".join(run(*asked).stdout.split())


def test_a_swatch_in_words_and_in_inches(
    store: Path, run: Callable[..., Any], fits_80: Callable[[str], None], no_metric: Callable[[str], None]
):
    shown = run(
        "swatch",
        "--tex",
        390,
        *SWATCH,
        "--grams",
        "0.65 oz",
        "--size",
        "7 x 6.5 in",
        "--bin",
        store,
        "--units",
        "imperial",
    )
    assert shown.exit_code == 0, shown.stderr
    fits_80(shown.stdout)
    no_metric(shown.stdout)
    assert "in 4 in" in shown.stdout


@pytest.mark.parametrize(
    ("size", "stitches_10cm", "rows_10cm"),
    [
        ("18 x 17 cm", 400 / 18, 500 / 17),
        ("180 x 170 mm", 400 / 18, 500 / 17),
        ("180 mm x 17 cm", 400 / 18, 500 / 17),
        ("18cm × 17", 400 / 18, 500 / 17),
        ("18 by 17", 400 / 18, 500 / 17),
        ("7,5 x 7,5 in", 400 / 19.05, 500 / 19.05),
        ("7 1/2 x 7 1/2 in", 400 / 19.05, 500 / 19.05),
        ('7½ x 7½"', 400 / 19.05, 500 / 19.05),
    ],
)
def test_a_size_in_any_unit(
    size: str, stitches_10cm: float, rows_10cm: float, store: Path, run_json: Callable[..., dict[str, Any]]
):
    found = run_json("swatch", "navy", *SWATCH, "--grams", "18.5", "--size", size, "--bin", store)
    assert found["gauge"] == {
        "stitches_10cm": pytest.approx(stitches_10cm, abs=0.01),
        "rows_10cm": pytest.approx(rows_10cm, abs=0.01),
    }


def test_a_weight_in_ounces_is_as_exact_as_its_scale(store: Path, run_json: Callable[..., dict[str, Any]]):
    """0.65 oz was shown in steps of 0.05 oz, which are 1.4 g; 18.43 g in steps of a hundredth."""

    def spread(grams: str) -> float:
        run_json("swatch", "navy", *SWATCH, "--grams", grams, "--bin", store)
        return float(run_json("calibration", "--bin", store)["data"][-1]["sd"])

    fine, ounces = spread("18.43"), spread("0.65 oz")
    step = 0.05 * 28.349523125 / math.sqrt(12) / 18.43
    assert ounces == pytest.approx(math.hypot(fine, step), abs=2e-4)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("nvy", "--grams", "16"), "did you mean navy"),
        (("moss", "--grams", "16"), "only the weight class of moss is known"),
        (("--grams", "16"), "the yarn's thickness isn't known"),
        (("navy", "--grams", "lots"), "--grams"),
        (("navy", "--grams", "0"), "--grams"),
        (
            ("navy", "--grams", "16", "--size", "eighteen"),
            'found "eighteen", expected a width and a height such as 18 x 17 cm (--size)',
        ),
        (("--tex", "2", "--grams", "16"), "too thick or too thin to knit"),
        (("navy", "--grams", "16", "--size", "10 x 50 cm"), "are hardly of one swatch (--size)"),
    ],
)
def test_a_swatch_that_makes_no_sense(
    arguments: tuple[str, ...], message: str, store: Path, run: Callable[..., Any], run_json: Callable[..., Any]
):
    shown = run("swatch", *arguments, *SWATCH, "--bin", store)
    assert shown.exit_code == 2
    assert message in " ".join(shown.stderr.split())
    assert run_json("calibration", "--bin", store)["swatches"] == 0


def test_a_swatch_needs_a_store(run: Callable[..., Any]):
    shown = run("swatch", "--tex", "390", *SWATCH, "--grams", "16")
    assert shown.exit_code == 2
    assert "there is no store yet" in " ".join(shown.stderr.split())


def test_a_swatch_far_off_is_noted_but_left_out(store: Path, run: Callable[..., Any], run_json: Callable[..., Any]):
    shown = run("swatch", "rust", *SWATCH, "--grams", "160", "--bin", store)
    assert shown.exit_code == 0
    assert "noted but not counted" in shown.stdout
    assert needs_of_hat(run_json, "--bin", store) == needs_of_hat(run_json)


# matcher calibration --share ------------------------------------------------------------------------------


def test_shared_figures_are_numbers_without_a_name_a_place_or_a_date(
    practised: Path, tmp_path: Path, run: Callable[..., Any]
):
    with open_store(practised) as store, store.action("gauge") as act:
        act.update("works", 1, {"stitches_10cm": 22.04, "rows_10cm": 28.86})
    file = tmp_path / "mine.csv"
    shown = run("calibration", "--bin", practised, "--share", file)
    assert shown.exit_code == 0
    text = file.read_text(encoding="utf-8")
    head, *rows = text.splitlines()
    assert head == "piece,kind,structure,class,stitches_10cm,rows_10cm,predicted_m,used_m"
    assert len(rows) == 20
    assert sum(row.endswith("finished,stocking,3,22.0,28.9,120.0,129.6") for row in rows) == 1
    assert sum(row.endswith("finished,stranded,3,,,40.0,43.2") for row in rows) == 9
    for private in ("hat", "navy", "cream", "wool", "2026", "main", "contrast"):
        assert private not in text
    # All that is written was shown first, and where it is was said after it.
    assert shown.stderr.index(text.strip()) < shown.stderr.index("they are sent nowhere")


def test_shared_figures_write_over_no_other_file(practised: Path, tmp_path: Path, run: Callable[..., Any]):
    file = tmp_path / "mine.csv"
    file.write_text("her own", encoding="utf-8")
    refused = run("calibration", "--bin", practised, "--share", file)
    assert refused.exit_code == 2
    assert "--replace" in " ".join(refused.stderr.split())
    assert file.read_text(encoding="utf-8") == "her own"
    assert run("calibration", "--bin", practised, "--share", file, "--replace").exit_code == 0
    assert file.read_text(encoding="utf-8").startswith("piece,kind,")


def test_the_order_of_shared_figures_tells_no_dates(store: Path, tmp_path: Path, run: Callable[..., Any]):
    """The same pieces in another order of days give the same file."""
    files = [tmp_path / "one.csv", tmp_path / "other.csv"]
    other = tmp_path / "other.sqlite"
    other.write_bytes(store.read_bytes())
    finished(store, [1.02, 1.2, 0.9])
    finished(other, [0.9, 1.02, 1.2])
    for path, file in zip((store, other), files, strict=True):
        assert run("calibration", "--bin", path, "--share", file).exit_code == 0
    assert files[0].read_text() == files[1].read_text()


@pytest.mark.parametrize(
    ("structure", "size", "gauge"),
    [
        ("stocking", "20 x 20 cm", (20.0, 25.0)),
        ("stranded", "8 x 8 in", (19.7, 24.6)),
        ("stocking", None, None),
        ("rib", "20 x 20 cm", None),  # it draws in
        ("garter", "20 x 20 cm", None),  # it is flatter than plain knitting of that loop
    ],
)
def test_a_swatch_is_shared_at_its_own_gauge_and_teaches_as_before(
    store: Path, tmp_path: Path, run: Any, run_json: Any, structure: str, size: str | None, gauge: Any
):
    other = tmp_path / "other.sqlite"
    other.write_bytes(store.read_bytes())
    asked = ("swatch", "navy", *SWATCH, "--grams", "18.5", "--structure", structure)
    sized = ("--size", size, "--note", "4 mm; soft") if size else ()
    found, plain = run_json(*asked, *sized, "--bin", store), run_json(*asked, "--bin", other)
    # Her tension against what is usual for the yarn: her gauge would take just that away.
    assert {**found, "gauge": None} == plain
    assert run("calibration", "--bin", store, "--share", tmp_path / "mine.csv").exit_code == 0
    (row,) = csv.DictReader((tmp_path / "mine.csv").read_text().splitlines())
    fabric = load_catalogue().fabric
    at = gauge_of_tex(400.0, fabric) if gauge is None else Gauge.from_swatch(*gauge, fabric)
    assert float(row["stitches_10cm"]) == pytest.approx(at.stitches_10cm, abs=0.06)
    assert float(row["rows_10cm"]) == pytest.approx(at.rows_10cm, abs=0.06)
    metres = piece_length(structure, 40, 50, at, fabric, 2.0 if structure == "stranded" else 1.0).whole
    assert float(row["predicted_m"]) == pytest.approx(metres, rel=0.01)
    said = " ".join(run(*asked, *sized, "--bin", store).stdout.split())
    assert ("at your gauge" in said) == (gauge is not None)


def test_nothing_to_share_is_said(store: Path, tmp_path: Path, run: Callable[..., Any]):
    shown = run("calibration", "--bin", store, "--share", tmp_path / "mine.csv")
    assert shown.exit_code == 2
    assert "you haven't finished or weighed anything yet" in " ".join(shown.stderr.split())
    assert not (tmp_path / "mine.csv").exists()

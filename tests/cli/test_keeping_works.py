"""An accessory on the needles: its lots are claimed, and what it really used is kept."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from matcher.store.database.store import open_store

LOTS = {
    "navy": {"grams": "120", "colour": "#1f2a4a", "garment": "pullover", "dye_lot": "8", "role": "main"},
    "cream": {"grams": "90", "colour": "#efe6d0", "garment": "pullover", "dye_lot": "3", "role": "contrast 1"},
    "rust": {"grams": "60", "colour": "#9c4a24", "garment": "cardigan", "dye_lot": "5"},
    "fog": {"grams": "20", "colour": "#c3c6c8", "place": "tin", "dye_lot": "2"},
}
YARN = {"yarn": "plain wool", "ball_grams": "50", "ball_metres": "125", "fibre": "wool", "wash": "hand"}


@pytest.fixture
def path(tmp_path: Path, monkeypatch) -> Path:
    """Her store: two garments, four lots. It is what every command reads when no bin is named."""
    path = tmp_path / "bin.sqlite"
    with open_store(path, create=True) as store, store.action("all") as act:
        act.insert(
            "garments",
            {"garment": "pullover", "status": "worn", "chest_cm": "98", "stitches_10cm": "22", "rows_10cm": "29"},
        )
        act.insert("garments", {"garment": "cardigan", "status": "gone"})
        for name, cells in LOTS.items():
            act.insert("lots", {**YARN, **cells, "lot": name})
    monkeypatch.setenv("MATCHER_BIN", str(path))
    return path


def lots(path: Path) -> dict[str, dict[str, Any]]:
    with open_store(path) as store:
        return {row["lot"]: row for row in store.rows("lots")}


def dump(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as db:
        return list(db.iterdump())


def test_begin_claims_and_finish_says_what_was_used(path: Path, run: Callable[..., Result], run_json):
    before = {role["role"]: role for role in run_json("needs", "hat-stranded-band", "--size", "5 years", "--swatch", "22 st x 30 rows")["needs"][0]["roles"]}  # fmt: skip
    begun = run_json(
        *("begin", "hat with a stranded band", "--size", "5 years", "--swatch", "22 st x 30 rows"),
        *("--lots", "main=navy", "--lots", "rust"),
    )
    claims = {one["role"]: one for one in begun["claims"]}
    assert {role: one["lot"] for role, one in claims.items()} == {"main": "navy", "contrast 1": "rust"}
    for role, one in claims.items():
        assert one["metres"] == pytest.approx(before[role]["metres"], abs=0.01)
    offered = run_json("reserve")["groups"]
    freed = {one["lot"]: one["metres"] for group in offered for one in group["freed"]}
    assert freed["rust"] == pytest.approx(1000 * 60 / 400 - 0.3 - claims["contrast 1"]["metres"], abs=0.02)
    assert run("split", "rust", "59").exit_code == 2
    assert run("weigh", "rust", "0").exit_code == 2
    assert run("join", "rust", "fog", "--anyway").exit_code == 2
    shown = run("finish", "hat with a stranded band", "--weigh", "navy=80")
    assert shown.exit_code == 2
    assert "what is left of rust is missing" in " ".join(shown.stderr.split())
    found = run_json("finish", "hat with a stranded band", "--weigh", "navy=80", "--weigh", "rust=55 g")
    used = {one["role"]: one for one in found["used"]}
    assert used["main"]["used_g"] == 40.0
    assert used["main"]["used_m"] == pytest.approx(40 * 1000 / 400)
    assert used["main"]["predicted_m"] == pytest.approx(before["main"]["metres"], abs=0.01)
    with open_store(path) as store:
        assert store.rows("claims") == []
        assert [(row["role"], row["lot"], row["used_g"], row["accessory"]) for row in store.rows("used")] == [
            ("main", "navy", 40.0, "hat-stranded-band"),
            ("contrast 1", "rust", 5.0, "hat-stranded-band"),
        ]
        assert store.rows("used")[0]["predicted_sd_m"] == pytest.approx(before["main"]["sd"], abs=0.01)
    assert lots(path)["navy"]["grams"] == "80"
    assert run_json("verify") == {"ok": True, "faults": [], "lots": 4}
    assert run("finish", "hat with a stranded band").exit_code == 2


def test_begin_says_how_sure_it_is_that_the_yarn_suffices(path: Path, run: Callable[..., Result], run_json):
    hat = ("begin", "hat-plain", "--size", "adult medium", "--swatch", "20 st x 27 rows", "--lots")
    takes = run_json(*hat, "navy", "--anyway")["claims"][0]["metres"]
    run("undo")
    run("change", "rust", "--grams", f"{takes * 0.4 + 0.4:.1f}", "--pieces", "1")
    bare = run_json(*hat, "rust")
    assert 0.45 < bare["sure"] < 0.6
    words = f"The chance that this is enough is only {int(100 * bare['sure'])} in 100; suggestions ask for 95 in 100."
    assert words in bare["notes"]
    run("undo")
    run("change", "rust", "--grams", "150")
    ample = run_json(*hat, "rust")
    assert ample["sure"] > 0.99
    assert "sure that" not in " ".join(ample["notes"])


def test_begin_remarks_on_a_gauge_that_the_accessory_is_not_meant_for(path: Path, run_json):
    told = ("begin", "hat-plain", "--size", "5 years", "--lots", "navy", "--anyway", "--swatch")
    thick = " ".join(run_json(*told, "9 st x 12 rows")["notes"])
    assert "Your gauge is that of a class 6 yarn, but plain hat with a folded brim is meant for class" in thick
    assert "This is the gauge" not in " ".join(run_json(*told, "20 st x 27 rows")["notes"])


def test_two_pieces_are_never_promised_the_same_yarn(path: Path, run: Callable[..., Result], run_json):
    first = run_json("begin", "egg cosy", "--lots", "fog", "--as", "cosy for mother")
    assert first["name"] == "cosy for mother"
    free = first["claims"][0]["free_m"]
    second = run_json("begin", "egg cosy", "--lots", "fog")
    assert second["claims"][0]["free_m"] == pytest.approx(free - second["claims"][0]["metres"], abs=0.02)
    while True:
        shown = run("begin", "egg cosy", "--lots", "fog")
        if shown.exit_code:
            break
    assert re.search(
        r"takes \d+ m \([\d.]+ g\) of fog, and [\d.]+ m \([\d.]+ g\) are free \(--lots\):\s+name\s+another lot",
        shown.stderr,
    )
    assert run("begin", "egg cosy", "--lots", "fog", "--anyway").exit_code == 0
    assert run_json("verify")["ok"]
    gone = run_json("abandon", "cosy for mother")
    assert gone["lots"] == ["fog"]
    assert run("begin", "egg cosy", "--lots", "fog").exit_code == 0


def test_lots_one_after_the_other_held_together_and_doubled(path: Path, run: Callable[..., Result], run_json):
    run("split", "navy", "100", "--as", "navy 2")

    def claimed(lots: str) -> dict[str, float]:
        found = run_json("begin", "hat-plain", "--size", "adult medium", "--lots", lots, "--swatch", "20 st x 27 rows", "--anyway")  # fmt: skip
        run("abandon", found["name"])
        return {one["lot"]: one["metres"] for one in found["claims"]}

    alone = claimed("rust")["rust"]
    after = claimed("main=navy + navy 2")
    assert sum(after.values()) == pytest.approx(alone, abs=0.02)
    assert 0 < after["navy"] < after["navy 2"]
    together = claimed("rust & navy 2")
    assert together == pytest.approx({"rust": alone, "navy 2": alone}, abs=0.02)
    run("change", "rust", "--grams", "400")
    assert claimed("2 x rust")["rust"] == pytest.approx(2 * alone, abs=0.02)


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("hat-plain", "--lots", "navy"), "--size"),
        (("hat-plain", "--size", "adult medium"), "no lot is named for main"),
        (("hat-plain", "--size", "adult medium", "--lots", "nvy"), "did you mean navy?"),
        (("hat-plain", "--size", "adult medium", "--lots", "navy", "--lots", "fog"), "no more than 1 role "),
        (
            ("hat-plain", "--size", "adult medium", "--lots", "sleeve=navy"),
            'has no role "sleeve" to choose a lot for (--lots): its roles are main',
        ),
        (("hat-plain", "--size", "huge", "--lots", "navy"), 'no size of plain hat with a folded brim "huge"'),
        (("hat-plain", "--size", "adult medium", "--lots", "navy", "--swatch", "tight"), "--swatch"),
        (("helmet", "--lots", "navy"), 'no accessory "helmet"'),
    ],
)
def test_begin_refuses_what_it_cannot_claim(
    path: Path, run: Callable[..., Result], arguments: tuple[str, ...], words: str
):
    before = dump(path)
    shown = run("begin", *arguments)
    assert (shown.exit_code, shown.stdout) == (2, "")
    assert words in " ".join(shown.stderr.split())
    assert dump(path) == before


def test_a_piece_is_known_by_its_key_or_its_first_words(path: Path, run: Callable[..., Result], run_json):
    for lots_ in ("navy", "cream"):
        assert run("begin", "egg-cosy", "--lots", lots_).exit_code == 0
    both = run("abandon", "egg")
    assert both.exit_code == 2
    assert "on the needles: egg cosy, egg cosy 2" in " ".join(both.stderr.split())
    assert run_json("abandon", "egg cosy 2")["lots"] == ["cream"]
    assert run_json("finish", "egg-cosy", "--weigh", "navy=116 g")["name"] == "egg cosy"


def test_what_is_on_the_needles_is_not_called_free(path: Path, run: Callable[..., Result], run_json):
    claimed = run_json("begin", "egg-cosy", "--lots", "rust")["claims"][0]["metres"]
    found = run_json("triage", "--lot", "rust")["advice"][0]
    # Rust is of a garment that is gone: 60 g of 125 m to 50 g are 150 m, all free but what is claimed.
    assert found["free_m"] == pytest.approx(150.0 - claimed - 0.2, abs=0.5)
    assert "all" not in found["because"].split(", ")[0]
    assert f"cardigan is gone; but for {claimed:.0f} m on the needles" in found["because"]


def test_what_she_was_told_at_the_start_is_what_she_reads_at_the_end(path: Path, run: Callable[..., Result], run_json):
    assert run("swatch", "navy", "--stitches", "30", "--rows", "40", "--grams", "13").exit_code == 0
    claimed = run_json("begin", "egg-cosy", "--lots", "navy")["claims"][0]["metres"]
    shown = " ".join(run("finish", "egg-cosy", "--weigh", "navy=114 g").stdout.split())
    found = re.search(rf"; {claimed:.0f} m were set aside; the estimate without your history is (\d+) m\.", shown)
    assert "main used 6 g of navy, about 15 m;" in shown  # 1000 * 6 g / 400 tex
    assert found is not None, shown
    assert int(found[1]) != round(claimed)


def test_an_intake_cuts_claims_down_to_what_a_lot_weighs(
    path: Path, run: Callable[..., Result], run_json, tmp_path: Path
):
    run("begin", "egg-cosy", "--lots", "navy")
    before = dump(path)
    assert run("export", tmp_path / "sheets").exit_code == 0
    cells = (tmp_path / "sheets" / "lots.csv").read_text()
    assert cells.count(",120,") == 1
    (tmp_path / "sheets" / "lots.csv").write_text(cells.replace(",120,", ",2,"))
    taken = run_json("intake", tmp_path / "sheets", "--take", "file")
    assert taken["notes"] == ["All of navy is set aside for egg cosy."]
    assert run_json("verify") == {"ok": True, "faults": [], "lots": 4}
    assert run_json("triage", "--lot", "navy")["advice"][0]["free_m"] == 0.0
    run("undo")
    assert dump(path) == before


def test_yarn_that_went_elsewhere_is_not_counted_as_knitted(path: Path, run: Callable[..., Result], run_json):
    run("begin", "egg-cosy", "--lots", "navy")
    assert run("split", "navy", "20g").exit_code == 0
    assert run("mended", "pullover", "navy", "25 m").exit_code == 0  # 10 g at 400 tex
    used = run_json("finish", "egg-cosy", "--weigh", "navy=84 g")["used"][0]
    assert (used["used_g"], used["used_m"]) == pytest.approx((6.0, 15.0))  # of 120 g less 20 g less 10 g


def test_a_lot_that_two_pieces_draw_on_teaches_nothing(path: Path, run: Callable[..., Result], run_json):
    for _ in range(2):
        run("begin", "egg-cosy", "--lots", "navy")
    first = run_json("finish", "egg cosy 2", "--weigh", "navy=113 g")
    assert first["notes"] == ["main doesn't count towards your own figures, since another piece uses the same lot."]
    assert run_json("calibration")["finished"] == 0
    assert run_json("finish", "egg-cosy", "--weigh", "navy=107 g")["used"][0]["used_g"] == pytest.approx(6.0)
    assert run_json("calibration")["finished"] == 1

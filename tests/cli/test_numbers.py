"""Numbers that no yarn, swatch or store has: one sentence and exit 2, whatever command they are given to."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

from matcher.actions.keeping.cells import add, garment
from matcher.store.database.store import open_store

HUGE = "9223372036854775808"  # one more than a store can count to
SWATCH = ["swatch", "--tex", "400", "--stitches", "20", "--rows", "20", "--grams", "5"]
LOT = {"colour": "#1f2a4a", "grams": "100", "ball_grams": "50", "ball_metres": "125", "dye_lot": "8"}


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "bin.sqlite"
    garment("vest", "worn", bin=path)
    add("navy", LOT, bin=path)
    return path


@pytest.mark.parametrize(
    "given",
    [
        *(["undo", number] for number in (HUGE, "9" * 400)),
        *(["weigh", "navy", grams] for grams in ("1e308", "1e-300", "9" * 5000, "nan")),
        *(["split", "navy", grams] for grams in ("1e308", "1e-12", "inf")),
        ["mended", "vest", "navy", "1e308"],
        *([*SWATCH, option, number] for option, number in (("--stitches", "4000"), ("--rows", HUGE), ("--grams", "1e-300"), ("--tex", "nan"))),
        [*SWATCH, "--size", "1e308 x 1e-300"],
        *(["needs", "hat-plain", "--swatch", gauge] for gauge in ("1e308 st x 1e-300 rows", "4000 st x 4000 rows")),
        ["begin", "hat-plain", "navy", "--size", "adult", "--swatch", "22 st x 4000 rows"],
    ],
    ids=lambda given: " ".join(given)[:40],
)  # fmt: skip
def test_a_number_out_of_range_is_told(run: Callable[..., Result], store: Path, given: list[str]):
    found = run(*given, *([] if given[0] == "needs" else ["--bin", store]))
    assert found.exit_code == 2, found.output
    assert "Traceback" not in found.output
    with open_store(store) as kept:
        assert [row["grams"] for row in kept.lots()] == ["100"]
        assert kept.rows("swatches") == []


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (["row", "hat", "thirty"], '"thirty" isn\'t a whole number (ROUND): give one in figures, such as 12'),
        (["suggest", "demo", "--top", "1.5"], '"1.5" isn\'t a whole number (--top)'),
        (
            ["suggest", "demo", "--sure", "very"],
            '"very" isn\'t a number (--sure): give one in figures, such as 0.9 or 12',
        ),
        (
            ["suggest", "demo", "--units", "yards"],
            '"yards" isn\'t one of the choices (--units): give metric, imperial or mixed',
        ),
    ],
)
def test_what_is_no_number_or_no_choice_is_told_in_our_words(
    run: Callable[..., Result], given: list[str], words: str
) -> None:
    refused = run(*given)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert " ".join(refused.stderr.split()).startswith(f"matcher: {words}")


def test_what_is_left_out_is_still_said(run: Callable[..., Result]) -> None:
    assert "Missing argument 'WORK'" in run("row").stderr

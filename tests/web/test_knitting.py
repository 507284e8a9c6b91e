"""How she knits, on the page: the action's figures, a swatch that is written down, bare figures to hand on."""

from __future__ import annotations

from pathlib import Path

from visitor import Visitor

from matcher.actions.learning.calibration import calibration
from matcher.actions.learning.share import shared_rows, shared_text
from matcher.actions.learning.swatch import swatch

SWATCH = {
    "lot": "navy",
    "stitches": "30",
    "rows": "40",
    "grams": "7.4",
    "size": "13 x 13 cm",
    "note": "3.5 mm <needle>",
}


def test_a_swatch_is_written_down_and_everything_follows_it(changing: Visitor, store: Path):
    before = changing.read("/knitting").words
    assert str(calibration(store).words) in before
    answer = changing.fill(changing.read("/knitting").form("/knitting/swatch"), **SWATCH)
    found = calibration(store)
    assert found.history.swatches == 1
    assert "One stitch takes" in answer.text
    assert "Your gauge: 23.1 stitches" in answer.text
    words = changing.read("/knitting").words
    assert str(found.words) in words
    for one in found.next:
        assert str(one.words) in words
    assert "swatch of" in words
    changing.fill(changing.read("/knitting").form("/undo"))
    assert calibration(store).history.swatches == 0


def test_what_cannot_be_read_stays_in_its_field(changing: Visitor, store: Path):
    for field, text in (("stitches", "many"), ("grams", "heavy"), ("size", "square"), ("lot", "no such"), ("tex", "x")):
        answer = changing.fill(changing.read("/knitting").form("/knitting/swatch"), **{**SWATCH, field: text})
        assert "Not done." in answer.text, field
        assert f'value="{text}"' in answer.text
        assert 'value="30"' in answer.text or field == "stitches"
    assert calibration(store).history.swatches == 0


def test_figures_to_hand_on_are_those_that_are_shown(changing: Visitor, store: Path):
    assert changing.visit("/knitting/figures.csv").status_code == 400
    swatch("navy", stitches=30, rows=40, grams=7.4, bin=store)
    text = shared_text(shared_rows(calibration(store)))
    file = changing.look("/knitting/figures.csv")
    assert file.text == text
    assert file.headers["content-disposition"] == 'attachment; filename="figures.csv"'
    assert text.strip().splitlines()[1] in changing.read("/knitting").words

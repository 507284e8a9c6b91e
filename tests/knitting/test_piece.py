"""A piece of her own pattern."""

from __future__ import annotations

import math
from typing import Any

import pytest

from matcher.cli.words import COMMAND_LINE
from matcher.errors import BadInput
from matcher.knitting.needs import needs_table
from matcher.knitting.piece import PieceNeed, piece_need
from matcher.materials.uncertain import Estimate
from matcher.materials.yarn import tex_from_class
from matcher.store.catalogue.catalogue import load_catalogue

CATALOGUE = load_catalogue()
FABRIC = CATALOGUE.fabric


def piece(structure: str = "stocking", stitches: int = 100, **options: Any) -> PieceNeed:
    return piece_need(structure, stitches, FABRIC, CATALOGUE.classes, **options)


def test_a_swatch_by_hand() -> None:
    """22 st x 30 rows: l = sqrt(23.1 / 6.6); 100 stitches by 20 cm = 60 rows, two edge rounds, two tails."""
    found = piece(height_cm=20, swatch=(22, 30), tex=Estimate(360, 18))
    loop_cm = math.sqrt(23.1 / 6.6)
    metres = 100 * 62 * loop_cm / 100 + 2 * FABRIC.tail_m
    assert found.working["rows"] == 60
    assert found.length.mean == pytest.approx(metres)
    assert found.length.sd == pytest.approx(math.hypot(0.08, 0.10) * metres)
    assert found.grams.mean == pytest.approx(metres * 0.36)
    assert found.grams.sd == pytest.approx(found.grams.mean * math.hypot(0.08, 0.10, 0.05))


def test_without_a_swatch_the_length_is_wales_times_height_times_kc() -> None:
    """For a known stitch count the metres hardly depend on the yarn: stitches * height * Kc."""
    for tex in (200.0, 400.0, 800.0):
        found = piece(stitches=120, height_cm=50, tex=Estimate(tex, 0))
        fabric_m = found.length.mean - found.working["edge_m"] - found.working["tail_m"]
        assert fabric_m == pytest.approx(120 * 50 * 5.5 / 100, rel=0.01)


def test_class_gives_gauge_and_tex() -> None:
    found = piece(height_cm=20, weight_class=3)
    assert found.working["gauge_from"].word == "class"
    assert found.working["gauge"]["stitches_10cm"] == pytest.approx(22.5 / 1.016)
    assert found.working["tex"] == pytest.approx(math.sqrt(333 * 500))


def test_swatch_alone_takes_the_usual_tex_with_its_spread() -> None:
    found = piece(height_cm=20, swatch=(22, None))
    assert found.working["tex_from"].word == "gauge"
    assert found.length.sd == pytest.approx(math.hypot(0.15, 0.10) * found.length.mean)
    assert found.grams.sd / found.grams.mean > math.hypot(0.15, 0.10)


def test_stranded_and_garter() -> None:
    plain, stranded, garter = (
        piece(structure, height_cm=30, weight_class=4) for structure in ("stocking", "stranded", "garter")
    )
    plain_m = plain.length.mean - plain.working["edge_m"] - plain.working["tail_m"]
    assert stranded.working["float_m"] == pytest.approx(plain_m / 4.2)
    assert garter.working["rows"] / plain.working["rows"] == pytest.approx(1.95 / (5.5 / 4.2), rel=0.02)
    three = piece("stranded", height_cm=30, weight_class=4, colours=3)
    assert three.working["float_m"] == pytest.approx(2 * plain_m / 4.2)


def test_rows_win_over_height() -> None:
    assert piece(rows=40, height_cm=99, weight_class=3).working["rows"] == 40


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"height_cm": 20}, "--tex 380"),
        ({"weight_class": 3}, "--height 20"),
        ({"height_cm": 20, "weight_class": 9}, "class 9"),
        ({"height_cm": -1, "weight_class": 3}, "-1 cm"),
        ({"rows": 0, "weight_class": 3}, "0 rows"),
        ({"rows": 10, "weight_class": 3, "stitches": 0}, "0 stitches"),
        ({"rows": 10, "weight_class": 3, "structure": "lace"}, "lace"),
        ({"rows": 10, "swatch": (0, 30)}, "0 stitches in 10 cm"),
        ({"rows": 10, "tex": Estimate(math.nan, 0)}, "nan tex"),
        ({"rows": 10, "weight_class": 3, "structure": "stranded", "colours": 9}, "9 colours"),
    ],
)
def test_bad_input_says_what_to_do(options: dict[str, Any], words: str) -> None:
    with pytest.raises(BadInput) as caught:
        piece(**options)
    assert words in caught.value.shown(COMMAND_LINE)


@pytest.mark.parametrize("number", [1, 2, 3, 4, 5])
def test_a_class_has_one_tex_and_one_gauge_everywhere(number: int) -> None:
    """A piece, an entry's needs and a lot on the shelf that tell their class alone take the same yarn for it."""
    hat = CATALOGUE.accessories["hat-plain"]
    tables = (CATALOGUE.sizes, CATALOGUE.motifs, CATALOGUE.fabric, CATALOGUE.classes)
    row, *_ = needs_table(hat, *tables, only_size="adult medium", only_class=number)
    found = piece(height_cm=20, weight_class=number).working
    assert found["tex"] == row["tex"] == tex_from_class(number, CATALOGUE.classes).mean
    assert found["gauge"]["stitches_10cm"] == pytest.approx(row["gauge"]["stitches_10cm"])

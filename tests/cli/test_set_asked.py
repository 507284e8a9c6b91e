"""What can't be asked of a set is one sentence with the nearest that can; what can't be in it is told with the reason."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

Run = Callable[..., Result]
Json = Callable[..., dict[str, Any]]
DEMO = Path(__file__).resolve().parents[2] / "demo"
FEW = """lot,colour,grams,ball_grams,ball_metres,class,fibre
navy,#1f2a4a,90,50,125,3,wool
cream,#efe6d0,90,50,125,3,wool
crumb,#9c4a24,0.5,50,125,3,wool
"""


@pytest.fixture
def few(tmp_path: Path) -> Path:
    (tmp_path / "lots.csv").write_text(FEW, encoding="utf-8")
    return tmp_path


def told(shown: Result) -> str:
    return " ".join(shown.stderr.split())


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--keep", "navy", "--must", "navy"), "navy can't be kept and used (--must): leave it out of one of the two"),
        (("--want", "0 hats"), '"0 hats" wants none, or too many of it (--want): give a whole number from 1 to 50'),
        (("--want", "51 hats"), "give a whole number from 1 to 50"),
        (("--want=-1 hats",), "give a whole number from 1 to 50"),
        (("--want", "1.5 hats"), "give a whole number from 1 to 50"),
        (("--want", ""), "no thing is named (--want"),
        (("--want", " , "), "name accessories, such as hats or mitts"),
        (("--want", "2 umbrelas"), 'there is no accessory "umbrelas"'),
        (("--want", "1 hat for nobody"), "give a size, or one of me, my father"),
        (("--want", "1 hat for sister"), "did you mean my sister?"),
        (("--for", "sister"), "did you mean my sister?"),
        (("--for", "aunt May"), "name one of me, my father, my godson, my partner, my sister or a friend"),
        (("--people", "--for", "aunt May"), "name one of me, my father"),
        (("--keep", "navi"), "did you mean navy"),
        (("--must", "navi"), "did you mean navy"),
        (("--match", "grey"), "did you mean grey yoke pullover?"),
        (("--sure", "1"), "give a number from 0.5 to 0.999"),
        (("--sure", "nan"), "give a number from 0.5 to 0.999"),
        (("--time-limit", "-1"), "give seconds, such as 20"),
        (("--time-limit", "nan"), "give seconds, such as 20"),
        (("--alternatives", "-1"), "give a number up to 20"),
        (("--few", "--most"), "a set has one aim"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_makes_no_sense_is_one_sentence_with_the_nearest(run: Run, asked: tuple[str, ...], said: str):
    shown = run("set", DEMO, *asked)
    assert shown.exit_code == 2
    assert not shown.stdout
    assert said in told(shown)
    assert told(shown).count("matcher: ") == 1


def test_nobody_is_written_down(run: Run, few: Path):
    assert "nobody is written down in this bin (--people)" in told(run("set", few, "--people"))


@pytest.mark.parametrize(
    ("asked", "wants"),
    [
        (
            ("--want", "1 mittens for adult large", "--keep", "navy", "--keep", "cream"),
            {"1 mittens": "nothing of the kind"},
        ),
        (("--want", "1 sock for 5 years"), {"1 sock": "nothing of the kind in that size"}),
        (("--want", "2 hat-plain", "--each-different"), {"1 of: 2 hat-plain": "you asked for nothing twice"}),
        (
            ("--want", "1 hat-plain", "--must", "crumb"),
            {"something of crumb": "nothing that may be in the set takes of it"},
        ),
        (
            ("--want", "4 hat-plain for adult large"),
            {"of: 4 hat-plain": "but not beside the others as sure as you ask"},
        ),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else "",
)
def test_what_cannot_be_is_told_with_its_reason(
    run_json: Json, few: Path, asked: tuple[str, ...], wants: dict[str, str]
):
    found = run_json("set", few, "--time-limit", "5", *asked)["not_possible"]
    assert len(found) == len(wants)
    for one, (want, why) in zip(found, wants.items(), strict=True):
        assert want in one["want"]
        assert why in one["why"]


def test_without_any_time_there_is_a_set_and_no_more_is_said_of_it_than_is_known(run: Run, run_json: Json, few: Path):
    asked = ("set", few, "--want", "2 hats, 1 headband", "--time-limit", "0")
    found = run_json(*asked)
    assert found["accessories"]
    assert found["sure"] >= 0.95
    assert not found["proved"]
    for one in found["not_possible"]:
        assert "in the time there was" in one["why"]
    assert "Time was up before it was known how good a set can be." in " ".join(run(*asked).stdout.split())


def test_so_many_of_one_thing_as_she_names_are_no_more_than_may_be(run_json: Json, few: Path):
    assert len(run_json("set", few, "--want", "4 coasters", "--time-limit", "5")["accessories"]) == 4


def test_a_chance_is_not_shown_as_less_than_was_asked(run: Run, few: Path):
    shown = " ".join(run("set", few, "--want", "1 headband for adults", "--sure", "0.999").stdout.split())
    assert "99.9 in 100 sure that the yarn lasts for all" in shown
    assert "99 in 100" not in shown

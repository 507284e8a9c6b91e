"""What is minded of yarn and of whom a thing is for stands on the pattern itself, and where it is begun."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import matcher
from matcher.actions.desk import Desk
from matcher.actions.pattern.kept import kept_pattern
from matcher.drawing.pattern_text import pattern_text
from matcher.reasons.quantities import Length
from matcher.reasons.style import PLAIN

LOTS = """lot,grams,colour,class,ball_grams,ball_metres,fibre,wash,dye_lot
navy,200,#1f2a4a,3,50,125,wool,hand,1
dark blue,100,#1f2a48,3,50,125,wool,hand,2
cream,100,#efe6d0,3,50,125,wool,hand,3
bulky red,150,red,5,100,110,wool,hand,4
white cotton,100,white,3,50,125,cotton,machine,5
end,20,#efe6d0,3,50,125,wool,hand,6
"""
PEOPLE = """name,size,avoid on skin
Ada,adult medium,wool
Pip,baby,
"""
BAND = ("hat-stranded-band", "--size", "adult medium")
NOT_ON_HER_SKIN = "a fibre of navy does not suit the skin of Ada: choose another lot"
NO_HAT_FOR_SLEEP = "no hat for sleep"


@pytest.fixture
def bin(tmp_path: Path) -> Path:
    for name, text in (
        ("lots", LOTS),
        ("people", PEOPLE),
        ("garments", "garment,kind,status,motif\nyoke,pullover,gone,dots\n"),
    ):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    return tmp_path


@pytest.fixture
def store(bin: Path) -> Path:
    matcher.intake(bin, bin=bin / "bin.sqlite")
    return bin / "bin.sqlite"


def everywhere(made: matcher.Patterned, folder: Path) -> dict[str, str]:
    """Every face that a pattern is knitted from, each as one line."""
    texts = {"screen": pattern_text(made.pattern, made.constants, made.weighed, mind=made.mind)}
    texts |= {one.name: one.read_text(encoding="utf-8") for one in folder.iterdir() if one.suffix in (".txt", ".html")}
    texts["json"] = " ".join(json.loads(next(folder.glob("*.json")).read_text(encoding="utf-8"))["warnings"])
    return {name: " ".join(text.split()).casefold() for name, text in texts.items()}


def test_what_does_not_suit_her_skin_is_on_every_sheet(bin: Path, run) -> None:
    made = matcher.pattern(bin, "mittens", ["navy"], whom="Ada", out=bin / "out")
    told = everywhere(made, bin / "out")
    assert len(told) == 5
    assert [name for name, text in told.items() if NOT_ON_HER_SKIN.casefold() not in text] == []
    assert not any("skin of Ada" in one for one in map(str, matcher.pattern(bin, "bunting", ["navy"]).mind.warnings))
    written = run("pattern", bin, "mittens", "--for", "Ada", "--lots", "navy", "--out", bin / "again")
    assert "does not suit the skin of Ada" in " ".join(written.stderr.split())


@pytest.mark.parametrize("more", [{}, {"garment": "yoke"}], ids=["named", "to go with a sweater"])
def test_a_babys_pattern_has_its_cautions_on_every_sheet(bin: Path, more: dict[str, str]) -> None:
    thing = "hat-stranded-band" if more else "hat-baby"
    told = everywhere(matcher.pattern(bin, thing, whom="Pip", out=bin / "out", **more), bin / "out")
    assert [name for name, text in told.items() if NO_HAT_FOR_SLEEP not in text] == []
    grown = matcher.pattern(bin, "hat-plain", size="adult medium")
    assert NO_HAT_FOR_SLEEP not in str(grown.as_dict())


def test_what_is_worn_over_something_else_may_be_of_it_and_says_so(bin: Path) -> None:
    """Cuffs on boots do not lie on the skin; a bookmark is worn by nobody."""
    over = "a fibre of navy does not suit the skin of Ada: wear it over something else, never on the skin"
    cuffs, bookmark = (
        matcher.pattern(bin, thing, ["navy"], whom="Ada").mind.warnings for thing in ("boot-cuffs", "bookmark")
    )
    assert over in map(str, cuffs)
    assert not any("skin" in str(one) for one in bookmark)
    listed = matcher.suggest(bin, whom=["Ada"], kind="cuffs", lot="navy")
    of_navy = [one for one in listed.numbered if any(lot.name == "navy" for role in one.roles for lot in role.lots)]
    assert of_navy
    assert all(over in map(str, one.warnings) for one in of_navy)


def test_a_piece_on_the_needles_keeps_its_cautions(store: Path, run) -> None:
    matcher.begin("hat-baby", ["main=cream"], whom="Pip", bin=store, anyway=True)
    assert NO_HAT_FOR_SLEEP in " ".join(run("show", "hat-baby", "--what", "work", "--bin", store).stdout.split())


@pytest.mark.parametrize(
    ("lots", "said"),
    [
        (["navy", "bulky red"], ["too different in thickness", "bulky red is too thick for this gauge"]),
        (["navy", "dark blue"], ["main and contrast 1: merges"]),
        (["white cotton", "navy"], ["one yarn felts and the other doesn't"]),
    ],
)
def test_yarns_that_do_not_go_together_are_told_of(store: Path, run, lots: list[str], said: list[str]) -> None:
    shown = run("pattern", store, *BAND, *(f"--lots={lot}" for lot in lots))
    begun = run("begin", *BAND, *(f"--lots={lot}" for lot in lots), "--bin", store, "--anyway")
    for text in (shown.stdout, begun.stderr):
        assert [one for one in said if one.casefold() not in " ".join(text.split()).casefold()] == []
    assert "Mind: " in begun.stderr


def test_yarns_that_go_together_are_told_nothing_of(bin: Path) -> None:
    assert matcher.pattern(bin, BAND[0], ["navy", "cream"], size="adult medium").mind.warnings == ()


def test_too_little_yarn_and_how_sure_it_is_are_on_the_sheet(bin: Path) -> None:
    told = everywhere(matcher.pattern(bin, "hat-plain", ["end"], size="adult medium", out=bin / "out"), bin / "out")
    for name, text in told.items():
        assert "of end, and " in text, name
        assert "the chance that this is enough is only" in text, name


def test_what_is_free_is_said_where_it_may_not_suffice(bin: Path) -> None:
    """Not alone where it is less than the figure: as long as the chance is less than a list asks for."""
    (takes,) = (
        one["metres"] for one in matcher.pattern(bin, "hat-plain", ["navy"], size="adult medium").as_dict()["yarn"]
    )
    for part, said in ((1.1, True), (2.5, False)):
        text = LOTS.replace("end,20,", f"end,{part * takes * 50 / 125:.1f},")
        (bin / "lots.csv").write_text(text, encoding="utf-8")
        told = " ".join(map(str, matcher.pattern(bin, "hat-plain", ["end"], size="adult medium").mind.warnings))
        assert ("are free" in told) == ("is only" in told) == said, part


def test_what_is_set_aside_already_is_not_held_against_what_is_free(bin: Path) -> None:
    desk = Desk(bin)
    recipe = matcher.pattern(desk, "hat-plain", ["end"], size="adult medium").recipe.text()
    for begun in (True, False):
        made = kept_pattern(recipe, desk, begun=begun)
        assert made is not None
        assert any("are free" in str(one) for one in made.mind.warnings) != begun


def test_one_need_has_one_figure_on_the_sheet_and_it_is_said_how_it_is_counted(bin: Path) -> None:
    made = matcher.pattern(bin, "hat-plain", ["end"], size="adult medium", out=bin / "out")
    (one,) = made.as_dict()["yarn"]
    wanted = PLAIN.say(Length(one["metres"]))
    told = everywhere(made, bin / "out")
    for name, text in told.items():
        assert f"main takes {wanted} of end, and " in text, name
        assert name == "json" or "counted in whole stitches and rounds" in text, name


def test_a_lot_in_two_roles_is_not_promised_twice(bin: Path) -> None:
    hat = matcher.pattern(bin, BAND[0], ["cream", "navy"], size="adult medium").as_dict()
    main_m, other_m = (one["metres"] for one in hat["yarn"])
    grams = (main_m + other_m / 2) * 50 / 125
    text = (bin / "lots.csv").read_text(encoding="utf-8").replace("cream,100,", f"cream,{grams:.1f},")
    (bin / "lots.csv").write_text(text, encoding="utf-8")
    alone, twice = (
        matcher.pattern(bin, BAND[0], ["cream", other], size="adult medium").mind.warnings
        for other in ("navy", "cream")
    )
    assert not any("contrast 1 takes" in str(one) for one in alone)
    assert any("contrast 1 takes" in str(one) for one in twice)


def test_a_pattern_says_what_its_suggestion_said(demo: Path) -> None:
    """All but what the list alone says: of floats, which the steps tell, and of colours apart from each other."""
    desk = Desk(demo)
    found = matcher.suggest(desk, top=40, remember=True)
    assert len(found.suggestions) > 10
    alone = ("float", "look alike", "yours to bring")
    for one in found.suggestions:
        mind = matcher.pattern(desk, str(one.rank)).mind
        listed = [words for words in one.warnings if not any(word in str(words) for word in alone)]
        assert sorted(map(str, mind.warnings)) == sorted(map(str, listed)), str(one.called)
        assert set(mind.cautions) == set(one.cautions), str(one.called)

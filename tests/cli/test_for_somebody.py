"""`--for NAME`: a partner and a begun piece in somebody's own size, of what their skin bears, as their eyes read it."""

from __future__ import annotations

from pathlib import Path

import pytest

import matcher
from matcher.errors import BadInput, NotFound

LOTS = """lot,garment,role,grams,colour,class,fibre
navy,jumper,main,150,navy,3,wool
cream,jumper,contrast 1,60,cream,3,cotton
red,,,100,red,3,cotton
mystery,,,100,#d9c27a,3,
"""
GARMENTS = "garment,kind,status,wearer,chest_cm,motif\njumper,pullover,worn,me,100,crosses\n"
PEOPLE = """name,size,head,avoid on skin,eyes
me,adult large,,,
Ada,5 years,,wool,
Bea,,58,,red-green
"""
HAT = {"garment": "jumper", "accessory": "hat-stranded-band", "mending": "little"}


@pytest.fixture
def bin(tmp_path: Path) -> Path:
    for name, text in (("lots", LOTS), ("garments", GARMENTS), ("people", PEOPLE)):
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    return tmp_path


@pytest.fixture
def store(bin: Path) -> Path:
    matcher.intake(bin, bin=bin / "bin.sqlite")
    return bin / "bin.sqlite"


def test_a_partner_is_for_the_wearer_in_her_size(bin: Path):
    assert str(matcher.partner(bin, **HAT).worn.size) == "adult large"


def test_a_partner_for_somebody_else_has_their_size_or_measure(bin: Path):
    assert str(matcher.partner(bin, **HAT, whom="ada").worn.size) == "5 years"
    assert str(matcher.partner(bin, **HAT, whom="Bea").worn.size) == "head 58 cm"
    assert str(matcher.partner(bin, **HAT, whom="Bea", size="adult small").worn.size) == "adult small"


def test_a_partner_keeps_out_what_does_not_suit_the_skin(bin: Path):
    made = matcher.partner(bin, **HAT, whom="Ada", recolour=True)
    used = {lot.name for role in made.roles for lot in role.lots}
    assert used
    assert "navy" not in used
    assert any("navy is kept out of it" in str(note) for note in made.notes)
    assert all("navy" not in {pool.name for pool in way.pools} for way in made.recolourings)


def test_a_partner_is_read_by_their_eyes(bin: Path):
    asked = [matcher.partner(bin, **HAT, whom="Ada", eyes="red-green"), matcher.partner(bin, **HAT, whom="Bea")]
    ordinary = matcher.partner(bin, **HAT, whom="Bea", eyes="ordinary")
    asked_reads, reads = ([one.judged.reading for one, _ in made.contrasts] for made in (asked[1], ordinary))
    assert all(a <= b + 1e-9 for a, b in zip(asked_reads, reads, strict=True))


def test_nobody_of_that_name(bin: Path):
    with pytest.raises(NotFound) as caught:
        matcher.partner(bin, **HAT, whom="Adda")
    assert "Ada" in caught.value.near


def test_a_piece_is_begun_in_their_size(store: Path):
    assert matcher.begin("hat-plain", ["red"], whom="Ada", bin=store).values["size"] == "5 years"
    assert matcher.begin("hat-plain", ["red"], whom="Bea", name="hers", bin=store, anyway=True).values["size"] == (
        "Bea (measured)"
    )


def test_a_piece_of_what_does_not_suit_the_skin_is_refused(store: Path):
    with pytest.raises(BadInput, match="navy does not suit the skin of Ada"):
        matcher.begin("hat-plain", ["navy"], whom="Ada", bin=store)
    assert matcher.begin("hat-plain", ["navy"], whom="Ada", anyway=True, bin=store).values["size"] == "5 years"


def test_a_size_that_a_thing_is_not_made_in_is_told(store: Path):
    with pytest.raises(BadInput, match="not made in 5 years, the size of Ada"):
        matcher.begin("mittens", ["red"], whom="Ada", bin=store)


def test_on_the_command_line(run, bin: Path, store: Path):
    shown = run("partner", bin, "--garment", "jumper", "--accessory", "hat-stranded-band", "--for", "Ada")
    assert shown.exit_code == 0
    assert "5 years" in shown.stdout
    shown = run("begin", "hat-plain", "--lots", "red", "--for", "Ada", "--bin", store)
    assert shown.exit_code == 0
    shown = run("suggest", bin, "--for", "Ada", "--for", "Bea", "--kind", "hat")
    assert shown.exit_code == 0
    shown = run("suggest", bin, "--for", "Adda")
    assert shown.exit_code == 2
    assert "Ada" in shown.stderr

"""What she decided to keep is offered nowhere until she undecides it, and each command says so."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

import matcher
from matcher.actions.desk import Desk, read_bin
from matcher.errors import BadInput
from matcher.materials.lots import Bin

KEPT = "navy"  # of the demo: free for anything, and in many suggestions


@pytest.fixture(scope="module")
def taken_in(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo in a store, with a decision about two of its lots."""
    path = tmp_path_factory.mktemp("kept") / "bin.sqlite"
    matcher.intake(Path(__file__).parents[2] / "demo", bin=path)
    matcher.triage(path, lot=("petrol", KEPT), decide="keep")
    return path


@pytest.fixture
def path(tmp_path: Path, taken_in: Path) -> Path:
    return Path(shutil.copy(taken_in, tmp_path / "bin.sqlite"))


HAT = ("--garment", "grey yoke pullover", "--accessory", "hat-stranded-band")
RunJson = Callable[..., dict[str, Any]]


def lots_of(found: dict[str, Any]) -> set[str]:
    return {lot for one in found["suggestions"] for role in one["roles"] for lot in role["lots"]}


def test_it_is_not_suggested_until_undecided(path: Path, run_json: RunJson):
    of_adults = ("--kind", "hat", "--kind", "cowl", "--size", "adult medium", "--top", "60")
    found = run_json("suggest", path, *of_adults)
    assert not lots_of(found) & {KEPT, "petrol"}
    said = " ".join(found["notes"])
    assert "navy and petrol aren't offered, because you decided to keep them" in said
    assert "matcher triage --lot LOT --undecide offers one again" in said
    unused = {one["lot"]: one["why"] for one in found["unused"]}
    assert unused[KEPT].startswith("kept by your decision of 20")
    assert run_json("triage", path, "--lot", KEPT, "--lot", "petrol", "--undecide")["advice"]
    again = run_json("suggest", path, *of_adults, "--lot", KEPT)
    assert KEPT in lots_of(again)
    assert "decision" not in " ".join(again["notes"])


def test_its_metres_are_free_for_no_palette_and_no_reserve(path: Path, run: Callable[..., Result], run_json: RunJson):
    palette = run_json("palette", path)
    assert {one["lot"]: one["free_m"] for one in palette["lots"]}[KEPT] == 0
    assert not {lot for kind in ("pairs", "triples") for one in palette[kind] for lot in one["lots"]} & {KEPT}
    assert "navy and petrol aren't offered, because you decided to keep them" in " ".join(palette["notes"])
    freed = {one["lot"] for group in run_json("reserve", path)["groups"] for one in group["freed"]}
    assert KEPT not in freed
    assert "navy and petrol aren't offered, because you decided to keep them" in " ".join(
        run("reserve", path).stderr.split()
    )


def test_nothing_can_be_begun_with_it(path: Path, run: Callable[..., Result]):
    refused = run("begin", "egg cosy", "--lots", KEPT, "--bin", path)
    assert refused.exit_code == 2
    assert "navy is kept by your decision of 20" in " ".join(refused.stderr.split())
    assert run("begin", "egg cosy", "--lots", KEPT, "--anyway", "--bin", path).exit_code == 2
    assert run("triage", path, "--lot", KEPT, "--undecide").exit_code == 0
    assert run("begin", "egg cosy", "--lots", KEPT, "--bin", path).exit_code == 0


def test_a_partner_has_nothing_of_it(path: Path, run_json: RunJson):
    """Cream is a colour of the garment: with nothing of it free, ways out are told as for any colour that is short."""
    matcher.triage(path, lot="cream", decide="keep")
    found = run_json("partner", path, *HAT)
    (cream,) = (role for role in found["roles"] if "cream" in role["lots"])
    assert cream["left_m"] == -cream["need_m"]
    assert found["sure"] == 0
    instead = [set(one["roles"].values()) for one in found["exchanges"] if one["kind"] != "buy"]
    assert instead
    assert not set().union(*instead) & {"cream", "petrol", KEPT}
    assert "cream, navy and petrol aren't offered, because you decided to keep them" in " ".join(found["notes"])


def test_triage_says_what_was_decided_and_what_the_figures_say(path: Path, run_json: RunJson):
    (one,) = run_json("triage", path, "--lot", KEPT)["advice"]
    assert (one["advice"], one["free_m"], one["by_hand"]) == ("keep with the garment", 0, True)
    assert "the figures say: free all of it" in one["because"]


def test_a_kept_lot_is_counted_with_no_other_and_still_known(path: Path):
    """Its like stays free by itself; which lots are there is another question."""
    with_like = "navy, second"
    matcher.split(KEPT, "20 g", name=with_like, bin=path)
    matcher.triage(path, lot=with_like, undecide=True)  # both parts were kept
    desk = Desk(path)
    assert desk.shelf.free[KEPT].mean == 0
    assert desk.shelf.free[with_like].mean > 0
    assert [one.name for pool in desk.shelf.pools for one in pool.lots if pool.kept] == [KEPT, "petrol"]
    assert {KEPT, with_like} in [{lot.name for lot in pool.lots} for pool in desk.undecided.pools]
    assert [pool.name for pool in desk.shelf.pools] == sorted(pool.name for pool in desk.shelf.pools)


def test_decisions_come_with_a_bin_that_was_read(path: Path, tmp_path: Path):
    matcher.triage(path, lot="cream", decide="bag")
    bin_ = read_bin(path)
    assert {name: one.advice for name, one in bin_.decisions.items()} == {
        KEPT: "keep with the garment", "petrol": "keep with the garment", "cream": "bag it with its like",
    }  # fmt: skip
    assert matcher.triage(bin_).as_dict() == matcher.triage(path).as_dict()
    assert matcher.suggest(bin_, top=3).as_dict() == matcher.suggest(path, top=3).as_dict()
    tags = {
        name: matcher.tags(of, out=tmp_path / "tags.html").as_dict() for name, of in (("bin", bin_), ("path", path))
    }
    assert tags["bin"] == tags["path"]
    # Codes and days came with the bin: nothing is read again.
    path.unlink()
    assert matcher.tags(bin_, out=tmp_path / "tags.html").as_dict() == tags["bin"]


def test_an_open_desk_follows_what_is_done_to_its_store(path: Path):
    desk = Desk(path)
    grams = {lot.name: lot.mass_g for lot in desk.bin.lots}
    matcher.weigh("cream", f"{grams['cream'] - 1:g} g", bin=desk)
    assert {lot.name: lot.mass_g for lot in desk.bin.lots}["cream"] == grams["cream"] - 1
    matcher.triage(desk, lot=KEPT, undecide=True)
    assert KEPT not in desk.decisions
    assert desk.shelf.free[KEPT].mean > 0
    matcher.undo(2, bin=desk)
    assert {lot.name: lot.mass_g for lot in desk.bin.lots} == grams
    assert KEPT in desk.decisions


def test_a_bin_in_memory_is_no_store():
    with pytest.raises(BadInput, match="a bin in memory isn't a store"):
        matcher.weigh("navy", "4 g", bin=Bin(()))

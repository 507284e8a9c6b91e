"""How sure it is that the yarn lasts for a whole set on the needles: true after each row, weighing and end of a work."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import Result

from matcher.actions.pattern.fitting import needs_of_recipe
from matcher.actions.progress.whole_set import set_lasts
from matcher.knitting.fabric import gauge_of_tex
from matcher.materials.uncertain import log_sd
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store
from matcher.store.recipes import Recipe, Strand

Run = Callable[..., Result]
Json = Callable[..., dict[str, Any]]
CATALOGUE = load_catalogue()
# Two things of one lot, which hardly suffices, and one of a lot of its own.
THINGS = (("headband", "adult large", "ink"), ("headband", "adult small", "ink"), ("egg-cosy", "one size", "milk"))
INK_G, MILK_G = 54.0, 7.0


def recipes() -> list[Recipe]:
    gauge = gauge_of_tex(400.0, CATALOGUE.fabric)
    return [Recipe(key, size, gauge, {"main": (Strand((lot,)),)}) for key, size, lot in THINGS]


@pytest.fixture
def store(tmp_path: Path, run: Run) -> Path:
    place = tmp_path / "bin.sqlite"
    for lot, colour, grams in (("ink", "#1d2a4d", INK_G), ("milk", "#f2ead9", MILK_G)):
        label = ("--ball-grams", 50, "--ball-metres", 125, "--fibre", "wool 100", "--bin", place)
        assert run("add", lot, "--colour", colour, "--grams", grams, *label).exit_code == 0
    told = {"accessories": [{"recipe": one.as_dict()} for one in recipes()]}
    (tmp_path / "set.json").write_text(json.dumps(told), encoding="utf-8")
    begun = run("begin", "--set", tmp_path / "set.json", "--anyway", "--bin", place)
    assert begun.exit_code == 0, begun.output
    return place


def stands(store: Path) -> tuple[int, int, float]:
    with open_store(store) as opened:
        found = set_lasts(opened, 1, CATALOGUE)
        assert found is not None
        return found.works, found.of, found.sure


def sure(store: Path) -> float:
    return stands(store)[2]


def drawn(free: dict[str, tuple[float, float]], draws: int = 400_000) -> float:
    """The same by plain draws: one tension for all; each thing an error of its own; what a lot must give added up."""
    pick = np.random.default_rng(7)
    tension = pick.standard_normal(draws)
    wanted = {lot: np.zeros(draws) for lot in free}
    for recipe, (_, _, lot) in zip(recipes(), THINGS, strict=True):
        (need,) = needs_of_recipe(recipe, CATALOGUE.accessories[recipe.accessory], CATALOGUE)
        wanted[lot] += need.length_m * np.exp(need.shared_sd * tension + need.own_sd * pick.standard_normal(draws))
    enough = np.ones(draws, dtype=bool)
    for lot, (mean, sd) in free.items():
        spread = float(log_sd(np.array(mean), np.array(sd)))
        enough &= wanted[lot] < mean * np.exp(spread * pick.standard_normal(draws))
    return float(enough.mean())


def test_right_after_it_is_begun_it_is_the_chance_of_plain_draws(store: Path):
    with open_store(store) as opened:
        from matcher.store.database.bin import bin_of_rows

        lots = {lot.name: (lot.length.mean, lot.length.sd) for lot in bin_of_rows(opened, CATALOGUE).lots}
    assert stands(store)[:2] == (3, 3)
    assert 0.1 < sure(store) < 0.95, "the lots hardly suffice, else nothing is tried"
    assert sure(store) == pytest.approx(drawn(lots), abs=0.01)


def test_a_lot_that_two_things_share_counts_for_both(store: Path, run: Run):
    both = sure(store)
    assert run("abandon", "headband 2", "--bin", store).exit_code == 0
    assert stands(store)[:2] == (2, 3)
    assert sure(store) > both + 0.02


def test_a_lot_that_weighs_more_than_thought_makes_it_surer_and_one_that_weighs_less_less(store: Path, run: Run):
    chances = []
    for grams in (48, INK_G, 62, 80):
        assert run("weigh", "ink", grams, "--bin", store).exit_code == 0
        chances.append(sure(store))
    assert chances == sorted(chances)
    assert chances[0] < chances[1] - 0.02
    assert chances[2] > chances[1] + 0.02


def test_what_others_claim_of_its_lots_is_not_its_own(store: Path, run: Run):
    before = sure(store)
    taken = run("begin", "key-fob", "--lots", "ink", "--anyway", "--bin", store)
    assert taken.exit_code == 0, taken.output
    assert sure(store) <= before


def test_it_grows_to_certainty_as_things_are_finished(store: Path, run: Run):
    with open_store(store) as opened:
        claims = {one["work"]: one for one in opened.rows("claims")}
    grams = INK_G
    for number, name in enumerate(("headband", "headband 2"), 1):
        grams -= min(claims[number]["metres"] * 0.4, grams - 1.0)
        done = run("finish", name, "--weigh", f"ink={grams:.1f} g", "--bin", store)
        assert done.exit_code == 0, done.output
    assert stands(store)[:2] == (1, 3)
    before = sure(store)
    assert run("finish", "egg cosy", "--weigh", "milk=1.5 g", "--bin", store).exit_code == 0
    assert stands(store) == (0, 3, 1.0)
    assert before < 1.0


def test_row_weigh_and_show_say_it(store: Path, run: Run, run_json: Json, fits_80):
    shown = run("row", "headband", 5, "--bin", store)
    fits_80(shown.stdout)
    assert "All 3 things of its set:" in " ".join(shown.stdout.split())
    told = run_json("row", "headband", 5, "--bin", store)["set"]
    assert told == {"works": 3, "of": 3, "sure": pytest.approx(sure(store), abs=1e-4)}
    weighed = " ".join(run("weigh", "milk", "7.5 g", "--bin", store).stdout.split())
    assert "All 3 things of its set:" in weighed
    whole = " ".join(run("show", "egg cosy", "--what", "work", "--bin", store).stdout.split())
    assert "All 3 things of its set:" in whole
    alone = run("begin", "key-fob", "--lots", "milk", "--anyway", "--bin", store)
    assert alone.exit_code == 0, alone.output
    assert run_json("row", "key fob", "--bin", store)["set"] is None


def test_finish_and_abandon_say_it_of_the_rest_of_the_set(store: Path, run: Run, run_json: Json):
    given_up = run_json("abandon", "headband 2", "--bin", store)
    assert given_up["set"] == {"works": 2, "of": 3, "sure": pytest.approx(sure(store), abs=1e-4)}
    assert "The 2 things of its set that are still on the needles:" in given_up["said"][-1]
    done = run("finish", "headband", "--weigh", "ink=20 g", "--bin", store)
    assert "The 1 thing of its set that is still on the needles:" in " ".join(done.stdout.split())
    last = run_json("abandon", "egg cosy", "--bin", store)
    assert last["set"] == {"works": 0, "of": 3, "sure": 1.0}
    assert last["said"][-1] == "Nothing of its set is on the needles any more."
    alone = run("begin", "key-fob", "--lots", "milk", "--anyway", "--bin", store)
    assert alone.exit_code == 0, alone.output
    assert run_json("abandon", "key fob", "--bin", store)["set"] is None


def test_what_is_knitted_of_one_thing_is_no_longer_asked_of_the_lot(store: Path, run: Run):
    """Half of the first is knitted and weighed as reckoned: the doubt is of the rest alone."""
    before = sure(store)
    with open_store(store) as opened:
        whole = {one["work"]: one["metres"] for one in opened.rows("claims")}
    needs = whole[1]
    weighed = run("row", "headband", 20, "--weigh", f"ink={INK_G - 0.5 * needs * 0.4:.2f} g", "--bin", store)
    assert weighed.exit_code == 0, weighed.output
    with open_store(store) as opened:
        after = {one["work"]: one for one in opened.rows("claims")}
    # The rest alone is claimed for the first; of the second, which is not begun, all of it.
    assert after[1]["metres"] < 0.8 * needs
    assert after[2]["seen_g"] > 0
    assert math.isfinite(sure(store))
    assert sure(store) != before


def test_after_a_shared_lot_was_weighed_at_the_end_of_one_the_other_counts_from_there(store: Path, run: Run):
    assert run("row", "headband 2", 10, "--bin", store).exit_code == 0
    done = run("finish", "headband", "--weigh", "ink=30 g", "--bin", store)
    assert done.exit_code == 0, done.output
    with open_store(store) as opened:
        (claim,) = [one for one in opened.rows("claims") if one["lot"] == "ink"]
        work = opened.row("works", claim["work"])
    assert (claim["from_g"], claim["from_stage"]) == (30.0, work["stage"])
    told = run("row", "headband 2", 20, "--weigh", "ink=26 g", "--bin", store)
    assert told.exit_code == 0, told.output
    assert "is far from what was reckoned" not in told.stdout


def test_undo_takes_it_back(store: Path, run: Run):
    before = sure(store)
    assert run("row", "headband", 20, "--weigh", "ink=44 g", "--bin", store).exit_code == 0
    assert sure(store) != before
    assert run("undo", "--bin", store).exit_code == 0
    assert sure(store) == before

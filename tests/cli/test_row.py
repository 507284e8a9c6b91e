"""`matcher row`: how far a piece is, what a weighing in the middle says, and what still helps where it runs short."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from matcher.actions.desk import Desk
from matcher.actions.progress.row import row
from matcher.actions.progress.standing import standing
from matcher.errors import BadInput

Run = Callable[..., Result]
Json = Callable[..., dict[str, Any]]


@pytest.fixture
def store(tmp_path: Path, run: Run) -> Path:
    """A bin of DK yarns, one dark and three pale, and a hat that takes the dark one and one of the pale ones."""
    place = tmp_path / "bin.sqlite"
    for lot, colour, grams in (("ink", "#1d2a4d", 80), ("milk", "#f2ead9", 5.5), ("oat", "#d9c7a3", 40)):
        label = ("--ball-grams", 50, "--ball-metres", 125, "--fibre", "wool 100", "--bin", place)
        added = run("add", lot, "--colour", colour, "--grams", grams, *label)
        assert added.exit_code == 0, added.output
    lots = ("--lots", "main=ink", "--lots", "contrast 1=milk")
    begun = run("begin", "hat-stranded-band", "--size", "adult medium", *lots, "--anyway", "--bin", place)
    assert begun.exit_code == 0, begun.output
    return place


def of_role(found: dict[str, Any], role: str) -> dict[str, Any]:
    return next(one for one in found["roles"] if one["role"] == role)


def test_what_has_no_round_yet_was_begun_all_the_same(run: Run, store: Path):
    shown = run("row", "hat", "--bin", store)
    assert "hat with a stranded band: not a round knitted yet." in " ".join(shown.stdout.split())
    assert "begun yet" not in shown.stdout


def test_what_is_knitted_and_what_is_not_make_up_the_whole(run_json: Json, store: Path):
    whole = of_role(run_json("row", "hat", "--bin", store), "main")["needs_m"]
    needs = [of_role(run_json("row", "hat", n, "--bin", store), "main")["needs_m"] for n in (10, 20, 34, 50, 60)]
    assert whole > needs[0] > needs[1] > needs[2] > needs[3] > needs[4] > 0
    assert of_role(run_json("row", "hat", "--done", "crown", "--bin", store), "main")["needs_m"] == 0
    # The brim's rounds are alike: as many metres for the first ten as for the next.
    assert needs[0] - needs[1] == pytest.approx(whole - needs[0], rel=0.2)  # the first have the cast-on with them


def test_who_knits_tightly_is_told_that_less_is_needed(run_json: Json, run: Run, store: Path):
    run("row", "hat", 34, "--bin", store)
    before = of_role(run_json("row", "hat", "--bin", store), "main")
    used_m = 200 - before["left_m"]
    for share in (0.9, 1.1):
        weighed = of_role(
            run_json("row", "hat", 34, "--weigh", f"ink={80 - share * used_m * 0.4} g", "--bin", store), "main"
        )
        assert weighed["weighed"]
        assert weighed["left_m"] == pytest.approx(200 - share * used_m, rel=0.01)
        # Most of what the scale says is her tension, which stays.
        assert 1 < abs(weighed["needs_m"] / before["needs_m"] - 1) / abs(share - 1) * 2 < 2.2
        assert (weighed["needs_m"] > before["needs_m"]) == (share > 1)
        run("undo", "--bin", store)


def test_weighing_alone_says_it_too_and_frees_what_is_knitted(run_json: Json, run: Run, store: Path):
    assert "needed to the end" not in run("weigh", "ink", "79 g", "--bin", store).output  # nobody knows how far she is
    run("undo", "--bin", store)
    free = next(one for one in run_json("list", store)["lots"] if one["lot"] == "ink")["free_m"]
    run("row", "hat", 34, "--bin", store)
    needs = of_role(run_json("row", "hat", "--bin", store), "main")["needs_m"]
    shown = run("weigh", "ink", "52 g", "--bin", store).output
    assert "round 34 is done" in shown
    assert "needed to the end" in shown
    after = next(one for one in run_json("list", store)["lots"] if one["lot"] == "ink")["free_m"]
    assert after == pytest.approx(130 - needs, abs=12)  # 52 g are 130 m; all but the rest is free again
    assert after > free - 12


def test_of_yarns_held_together_each_keeps_what_it_still_has_to_give(run_json: Json, run: Run, tmp_path: Path):
    place = tmp_path / "marl.sqlite"
    for lot in ("ink", "oat"):
        label = ("--ball-grams", 50, "--ball-metres", 250, "--fibre", "wool 100", "--bin", place)
        assert run("add", lot, "--colour", "#1d2a4d", "--grams", 100, *label).exit_code == 0
    begun = run("begin", "hat-plain", "--size", "adult medium", "--lots", "main=ink & oat", "--bin", place)
    assert begun.exit_code == 0, begun.output
    run("row", "hat", 20, "--bin", place)
    used = {one["lots"][0]: 500 - one["left_m"] for one in run_json("row", "hat", "--bin", place)["roles"]}
    weighed = (("--weigh", f"ink={100 - used['ink'] / 5} g"), ("--weigh", f"oat={100 - used['oat'] / 5} g"))
    for weighing in (
        (*weighed[0],),
        (*weighed[0], *weighed[1]),
    ):  # one of them alone leaves the other's claim as it was
        before = {one["lot"]: one["free_m"] for one in run_json("list", place)["lots"]}
        told = run_json("row", "hat", *weighing, "--bin", place)["roles"]
        free = {one["lot"]: one["free_m"] for one in run_json("list", place)["lots"]}
        for one in told:
            (lot,) = one["lots"]
            kept = one["left_m"] - one["needs_m"] if one["weighed"] else before[lot]
            assert free[lot] == pytest.approx(kept, abs=1.0), (lot, one["weighed"])


def test_a_colour_that_runs_out_is_told_with_what_still_helps(run_json: Json, run: Run, store: Path):
    found = run_json("row", "hat", 30, "--weigh", "milk=2.6 g", "--bin", store)
    milk = of_role(found, "contrast 1")
    assert milk["needs_m"] > milk["left_m"]
    assert milk["sure"] < 0.5
    assert any("oat" in way for way in found["ways"])
    shown = run("row", "hat", "--bin", store).output
    assert "Ways out, from the next round on" in " ".join(shown.split())
    # Another lot serves for the rest alone: what it takes is far less than the whole band did.
    assert run_json("row", "hat", 60, "--bin", store)["ways"] == []


def test_a_weighing_that_cannot_be_teaches_nothing_and_says_so(run_json: Json, run: Run, store: Path):
    before = of_role(run_json("row", "hat", 34, "--bin", store), "main")
    shown = run("row", "hat", 34, "--weigh", "ink=5 g", "--bin", store).output
    assert "on the scale too?" in " ".join(shown.split())
    after = of_role(run_json("row", "hat", 34, "--bin", store), "main")
    assert after["needs_m"] == pytest.approx(before["needs_m"], rel=0.001)
    assert after["sure"] < 0.01  # what is left still is what the scale says


def test_show_tells_how_far_it_is(run: Run, store: Path):
    assert "so far" not in run("show", "hat with a stranded band", "--bin", store).output
    run("row", "hat", 34, "--bin", store)
    assert "round 34 is done" in " ".join(run("show", "hat with a stranded band", "--bin", store).output.split())


def test_a_ball_that_grew_since_it_was_last_weighed_is_questioned(run: Run, store: Path):
    assert "a slip?" not in run("row", "hat", 34, "--weigh", "ink=50 g", "--bin", store).output
    assert "ink weighs 56 g, but 50 g" in " ".join(
        run("row", "hat", 36, "--weigh", "ink=56 g", "--bin", store).output.split()
    )
    assert "a slip?" not in run("row", "hat", 38, "--weigh", "ink=56.5 g", "--bin", store).output


def test_undo_takes_back_where_she_was_and_what_was_weighed(run_json: Json, run: Run, store: Path):
    before = run_json("row", "hat", 20, "--bin", store)
    run("row", "hat", 40, "--weigh", "ink=60 g", "--bin", store)
    run("undo", "--bin", store)
    assert run_json("row", "hat", "--bin", store) == before


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("row", "hat", 900), ("no round 900", "1 to")),
        (("row", "hat", 0), ("no round 0",)),
        (("row", "hat", "--done", "heel"), ('no section "heel"', "crown")),
        (("row", "hat", 5, "--done", "crown"), ("both a round and a section",)),
        (("row", "hat", 5, "--piece", 2), ("no piece 2",)),
        (("row", "scarf", 5), ("isn't on the needles",)),
        (("row", "hat", 5, "--weigh", "oat=30 g"), ("nothing of oat is set aside", "ink and milk")),
        (("row", "hat", 5, "--weigh", "ink=95 g"), ("but it was 80 g before",)),
        (("row", "hat", 5, "--weigh", "ink=0"), ("nothing would be left of ink",)),
        (("row", "hat", 5, "--weigh", "ink=heavy"), ("heavy",)),
    ],
)
def test_what_cannot_be_is_one_sentence_and_changes_nothing(run_json: Json, run: Run, store: Path, typed, words):
    before = run_json("row", "hat", "--bin", store)
    refused = run(*typed, "--bin", store)
    assert refused.exit_code == 2
    assert all(word in " ".join(refused.output.split()) for word in words), refused.output
    assert run_json("row", "hat", "--bin", store) == before


def test_a_work_of_before_patterns_were_kept_says_so(run: Run, store: Path):
    from matcher.store.database.store import open_store

    with open_store(store) as opened, opened.action("older") as act:
        act.update("works", 1, {"recipe": ""})
    refused = run("row", "hat", 5, "--bin", store)
    assert refused.exit_code == 2
    assert "no pattern" in refused.output
    assert run("weigh", "ink", "60 g", "--bin", store).exit_code == 0


def test_steps_are_counted_one_by_one_through_all_of_it(store: Path, run_json: Json):
    steps = run_json("row", "hat", "--bin", store)["steps"]
    for done in (0, 1, steps - 1, steps):
        assert row("hat", steps=done, bin=store).values["steps_done"] == done
        assert run_json("row", "hat", "--bin", store)["steps_done"] == done
    for wrong in (-1, steps + 1):
        with pytest.raises(BadInput, match="has no step"):
            row("hat", steps=wrong, bin=store)
    assert run_json("row", "hat", "--bin", store)["steps_done"] == steps


def test_what_stands_is_what_row_says(store: Path, run_json: Json):
    told = run_json("row", "hat", 34, "--bin", store)
    stands = standing("hat", Desk(store)).as_dict()
    assert {**stands, "ways": [str(one) for one in stands["ways"]]} == {
        key: value for key, value in told.items() if key not in ("said", "notes")
    }

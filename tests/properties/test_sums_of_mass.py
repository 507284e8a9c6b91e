"""Whatever is split, joined, weighed and undone: what the bin weighs is what she put into it, to the last digit stored."""

from __future__ import annotations

import tempfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from memory_disk import quick_disk

from matcher.actions.keeping.cells import add, garment
from matcher.actions.keeping.lots import join, mended, split
from matcher.actions.keeping.store import done_lately, undo, verify
from matcher.actions.keeping.triage import triage
from matcher.actions.progress.weigh import weigh
from matcher.errors import MatcherError
from matcher.materials.reading.units import parse_mass_g
from matcher.store.database.store import open_store

CELLS = {"colour": "#1f2a4a", "ball_grams": "50", "ball_metres": "125", "dye_lot": "8"}
WEIGHTS = st.one_of(
    st.integers(1, 60_000).map(lambda thousandths: f"{thousandths / 1000:g} g"),
    st.integers(1, 16).map(lambda eighths: f"{eighths / 8:g} oz"),
    st.sampled_from(["1/3 oz", "1 2/3 oz", "0.001 kg", "0.000000001 g", "0.0000001 oz", "9,99"]),
)


def masses(path: Path) -> dict[str, Decimal]:
    """What each lot weighs, as the digits that are stored."""
    with open_store(path) as store:
        return {row["lot"]: Decimal(repr(row["mass_g"])) for row in store.rows("lots")}


STEPS = st.lists(
    st.tuples(st.sampled_from(["split", "split", "join", "weigh", "undo"]), st.integers(0, 99), WEIGHTS), max_size=14
)


@given(first=st.lists(WEIGHTS, min_size=2, max_size=4), steps=STEPS)
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_mass_is_conserved_to_the_last_digit(first: list[str], steps: list[tuple[str, int, str]]):
    with tempfile.TemporaryDirectory(dir=quick_disk()) as folder:
        path = Path(folder) / "bin.sqlite"
        for number, weight in enumerate(first):
            add(f"lot {number}", {**CELLS, "grams": weight}, bin=path)
        past = [masses(path)]
        for kind, which, weight in steps:
            now, names = past[-1], sorted(past[-1])
            name = names[which % len(names)]
            if kind == "undo":
                if len(past) > 1:
                    undo(bin=path)
                    past.pop()
                    assert masses(path) == past[-1]
                continue
            refused, done = "", done_lately(bin=path).values["left"]
            try:
                if kind == "split":
                    split(name, weight, bin=path)
                elif kind == "join":
                    join([name, names[(which + 1) % len(names)]], bin=path)
                else:
                    weigh(name, weight, bin=path)
            except MatcherError as fault:
                refused = str(fault)
            assert "CHECK" not in refused
            held = masses(path)
            if refused:
                assert held == now
            elif kind == "weigh":
                wanted = {**now, name: Decimal(repr(parse_mass_g(weight)))}
                assert held == {lot: grams for lot, grams in wanted.items() if grams}
            else:
                assert sum(held.values()) == sum(now.values())
            if done_lately(bin=path).values["left"] > done:
                past.append(held)
        assert verify(bin=path).ok


def test_a_split_keeps_what_it_should(tmp_path: Path):
    """10 g that are split are 10 g still, in a sheet's cells too."""
    path = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "grams": "10 g"}, bin=path)
    split("navy", "7.003 g", bin=path)
    with open_store(path) as store:
        assert {row["lot"]: row["grams"] for row in store.lots()} == {"navy": "2.997", "navy 2": "7.003 g"}


def test_a_split_beside_a_claim_leaves_the_store_in_order(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "grams": "10.073 g"}, bin=path)
    with open_store(path) as store, store.action("begin") as act:
        work = act.insert("works", {"accessory": "hat", "name": "hat", "state": "begun", "begun_on": act.today})
        claim = {"work": work, "role": "main", "lot": "navy", "metres": 10.0, "tex": 400.0, "from_g": 10.073}
        act.insert("claims", claim)
    split("navy", "6.073 g", bin=path)
    assert verify(bin=path).ok


@pytest.mark.parametrize("weight", ["0.00000000001 g", "0", "10 g", "1e-300"])
def test_a_part_that_is_none_is_refused_in_words(tmp_path: Path, weight: str):
    path = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "grams": "10 g"}, bin=path)
    with pytest.raises(MatcherError) as told:
        split("navy", weight, bin=path)
    assert "CHECK" not in str(told.value)


def test_what_no_sheet_could_hold_is_not_joined(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    for name in ("navy", "navy 2"):
        add(name, {**CELLS, "grams": "15 kg"}, bin=path)
    with pytest.raises(MatcherError, match="at most 20 kg"):
        join(["navy", "navy 2"], bin=path)
    assert verify(bin=path).ok


def test_mending_takes_as_much_as_it_says(tmp_path: Path):
    """12 m of a yarn of 416.67 tex are 5 g; the odd thousandths that were there stay."""
    path = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "ball_metres": "120", "grams": "10.073"}, bin=path)
    garment("vest", "worn", bin=path)
    mended("vest", "navy", "12 m", bin=path)
    assert masses(path) == {"navy": Decimal("5.073")}


# What she decided -----------------------------------------------------------------------------------------


def kept(path: Path) -> set[str]:
    with open_store(path) as store:
        return {row["lot"] for row in store.rows("decisions") if row["advice"] == "keep with the garment"}


def test_both_parts_of_a_lot_that_she_keeps_are_kept(tmp_path: Path):
    path = tmp_path / "bin.sqlite"
    add("navy", {**CELLS, "grams": "100 g"}, bin=path)
    triage(path, lot="navy", decide="keep")
    told = split("navy", "40 g", bin=path)
    assert kept(path) == {"navy", "navy 2"}
    assert any("holds for both: keep with the garment" in str(one) for one in told.said)
    undo(bin=path)
    assert kept(path) == {"navy"}


@pytest.mark.parametrize("order", [["navy", "spare"], ["spare", "navy"]])
def test_what_she_keeps_is_not_offered_because_it_was_joined(tmp_path: Path, order: list[str]):
    path = tmp_path / "bin.sqlite"
    for name in order:
        add(name, {**CELLS, "grams": "50 g"}, bin=path)
    triage(path, lot="navy", decide="keep")
    join(order, bin=path)
    assert kept(path) == {order[0]}
    undo(bin=path)
    assert kept(path) == {"navy"}

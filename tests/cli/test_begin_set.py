"""A whole set put on the needles: all of it as it was planned, or nothing."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

import matcher
from matcher.actions.beginning.begin import begin
from matcher.actions.beginning.begin_set import begin_set
from matcher.actions.sets.plan import plan_set
from matcher.errors import BadInput, MatcherError
from matcher.knitting.fabric import gauge_of_tex
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.database.store import open_store
from matcher.store.database.verify import faults_of
from matcher.store.recipes import Recipe, Strand

Run = Callable[..., Result]
Json = Callable[..., dict[str, Any]]
KEYS = (("headband", "adult medium", "navy"), ("egg-cosy", "one size", "navy"), ("headband", "5 years", "rust"))


@pytest.fixture(scope="module")
def things(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[Recipe, ...]]:
    """A store with the demo, and three things: the first two of one lot."""
    store = tmp_path_factory.mktemp("whole") / "bin.sqlite"
    matcher.intake(Path(__file__).parents[2] / "demo", bin=store)
    catalogue, lots = load_catalogue(), {lot.name: lot for lot in matcher.read_bin(store).lots}
    made = []
    for key, size, lot in KEYS:
        entry = catalogue.accessories[key]
        gauge = gauge_of_tex(lots[lot].yarn.tex.mean, catalogue.fabric, entry.firmness)
        made.append(Recipe(key, size, gauge, {"main": (Strand((lot,)),)}))
    return store, tuple(made)


@pytest.fixture
def store(things: tuple[Path, tuple[Recipe, ...]], tmp_path: Path) -> Path:
    place = tmp_path / "bin.sqlite"
    place.write_bytes(things[0].read_bytes())
    return place


@pytest.fixture
def file(things: tuple[Path, tuple[Recipe, ...]], tmp_path: Path) -> Path:
    place = tmp_path / "set.json"
    place.write_text(json.dumps({"accessories": [{"recipe": one.as_dict()} for one in things[1]]}), encoding="utf-8")
    return place


def held(store: Path) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    with open_store(store) as opened:
        assert faults_of(opened) == ()
        return opened.rows("works"), opened.rows("claims")


def test_all_of_it_is_begun_in_one_action_and_undone_by_one(run_json: Json, run: Run, store: Path, file: Path):
    begun = run_json("begin", "--set", file, "--bin", store)
    assert [(one["accessory"], one["size"]) for one in begun["works"]] == [key[:2] for key in KEYS]
    works, claims = held(store)
    assert begun["sure"] <= min(one["sure"] for one in begun["works"])
    assert "All 3 things of its set:" in begun["said"][-1]
    assert {one["of_set"] for one in works} == {begun["set"]} == {works[0]["id"]}
    assert [one["lot"] for one in claims] == ["navy", "navy", "rust"]
    for one, work in zip(claims, begun["works"], strict=True):
        assert one["metres"] == pytest.approx(work["claims"][0]["metres"], abs=0.01)
    # The second is offered what the first has left.
    first, second = (work["claims"][0] for work in begun["works"][:2])
    assert second["free_m"] == pytest.approx(first["free_m"] - second["metres"], abs=0.02)
    assert "begin a set of 3 things" in run("undo", "--list", "--bin", store).output
    assert run("undo", "--bin", store).exit_code == 0
    assert held(store) == ([], [])


def test_a_folder_with_the_file_will_do_and_the_screen_names_each(run: Run, store: Path, file: Path, fits_80):
    shown = run("begin", "--set", file.parent, "--bin", store)
    assert shown.exit_code == 0, shown.output
    fits_80(shown.stdout)
    assert shown.stdout.count("is begun") == 3


@pytest.mark.parametrize("place", [0, 1, 2])
@pytest.mark.parametrize(
    ("spoilt", "said"),
    [
        ({"roles": [{"role": "main", "strands": [{"lots": ["no such lot"], "count": 1}]}]}, 'no lot "no such lot"'),
        ({"roles": [{"role": "main", "strands": [{"lots": ["wine"], "count": 9}]}]}, "are free"),
        ({"accessory": "umbrella"}, "isn't in the catalogue"),
        ({"roles": []}, "main"),
    ],
    ids=["a lot that is gone", "too little", "no accessory", "no lots"],
)
def test_wherever_one_fails_nothing_is_begun(run: Run, store: Path, file: Path, place: int, spoilt, said: str):
    told = json.loads(file.read_text("utf-8"))
    told["accessories"][place]["recipe"] |= spoilt
    file.write_text(json.dumps(told), encoding="utf-8")
    shown = run("begin", "--set", file, "--bin", store)
    words = " ".join(shown.stderr.split())
    assert shown.exit_code == 2
    assert f"thing {place + 1} of the set" in words
    assert said in words
    assert held(store) == ([], [])


def test_what_is_kept_or_claimed_since_is_told_and_nothing_is_begun(run: Run, store: Path, file: Path):
    assert run("triage", store, "--lot", "rust", "--decide", "keep").exit_code == 0
    assert "rust is kept by your decision" in " ".join(run("begin", "--set", file, "--bin", store).stderr.split())
    assert run("undo", "--bin", store).exit_code == 0
    taken = run("begin", "hat-plain", "--size", "adult large", "--lots", "navy", "--bin", store)
    assert taken.exit_code == 0, taken.output
    works, claims = held(store)
    refused = run("begin", "--set", file, "--bin", store)
    assert refused.exit_code == 2
    assert held(store) == (works, claims)
    assert run("begin", "--set", file, "--anyway", "--bin", store).exit_code == 0


@pytest.mark.parametrize(
    "text",
    [
        *("", "[]", "{}", "7", '{"accessories": 7}', '{"accessories": []}', '{"accessories": [{}]}'),
        *(
            '{"accessories": [7]}',
            '{"accessories": [{"recipe": null}]}',
            '{"accessories": [{"recipe": {"version": 1}}]}',
        ),
        *('{"accessories": ' + 20_000 * "[" + 20_000 * "]" + "}", '{"accessories": NaN}', "\x00"),
        '{"accessories": [' + ", ".join(501 * ['{"recipe": {}}']) + "]}",
        '{"accessories": ' + 5000 * "9" + "}",
    ],
    ids=range(15),
)
def test_a_file_that_is_no_set_is_one_sentence(run: Run, store: Path, tmp_path: Path, text: str):
    (tmp_path / "odd.json").write_text(text, encoding="utf-8")
    shown = run("begin", "--set", tmp_path / "odd.json", "--bin", store)
    assert shown.exit_code == 2
    assert "this isn't a set that can be begun" in " ".join(shown.stderr.split())
    assert held(store) == ([], [])


@pytest.mark.parametrize("key", ["stitches_10cm", "rows_10cm", "loop_cm", "firmness"])
@pytest.mark.parametrize("figure", ["NaN", "Infinity", "-1", "1e99", "true", '"22"', "null"])
def test_no_figure_that_nobody_knits_at_is_taken(run: Run, store: Path, file: Path, key: str, figure: str):
    told = json.loads(file.read_text("utf-8"))
    told["accessories"][1]["recipe"]["gauge"][key] = "HERE"
    file.write_text(json.dumps(told).replace('"HERE"', figure), encoding="utf-8")
    assert run("begin", "--set", file, "--bin", store).exit_code == 2
    assert held(store) == ([], [])


def test_a_set_of_a_later_version_is_told(run: Run, store: Path, file: Path):
    file.write_text(file.read_text("utf-8").replace('"version": 1', '"version": 2'), encoding="utf-8")
    assert "later version" in run("begin", "--set", file, "--bin", store).stderr


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (("egg-cosy",), "two things are named"),
        (("--size", "adult small"), "--size"),
        (("--lots", "navy"), "--lots"),
        (("--as", "mine"), "--as"),
    ],
)
def test_what_a_set_settles_is_not_asked_again(run: Run, store: Path, file: Path, typed: tuple[str, ...], said: str):
    shown = run("begin", *typed, "--set", file, "--bin", store)
    assert shown.exit_code == 2
    assert said in shown.stderr


def test_a_file_that_is_not_there(run: Run, store: Path, tmp_path: Path):
    assert "no such file" in run("begin", "--set", tmp_path / "none.json", "--bin", store).stderr


def test_without_a_file_it_is_the_set_that_was_shown_last(run_json: Json, run: Run, store: Path):
    asked = ("set", store, "--time-limit", 2)
    assert run(*asked, "--want", "1 headband for adult small").exit_code == 0
    shown = run_json(*asked, "--want", "2 headbands for adults")
    begun = run_json("begin", "--bin", store, "--set")
    assert [one["accessory"] for one in begun["works"]] == [one["recipe"]["accessory"] for one in shown["accessories"]]
    assert begun["sure"] == pytest.approx(shown["sure"], abs=1e-4)
    assert begun["notes"][0].startswith("This is the set that was planned on 20")
    assert run("undo", "--bin", store).exit_code == 0
    # What stands behind it is no file of a set when it is another option.
    assert len(run_json("begin", "--set", "--bin", store)["works"]) == 2


def lots_of(store: Path) -> list[str]:
    return [lot.name for lot in matcher.read_bin(store).lots]


def test_where_no_set_was_shown_or_it_held_nothing_it_is_said(run: Run, store: Path):
    shown = run("begin", "--set", "--bin", store)
    assert shown.exit_code == 2
    assert "no set of this bin has been planned yet" in " ".join(shown.stderr.split())
    nothing = run("set", store, "--want", "1 hat", "--sure", 0.999, *(f"--keep={lot}" for lot in lots_of(store)))
    assert "Nothing can be made" in nothing.stdout
    assert "the last set of this bin held nothing" in " ".join(run("begin", "--set", "--bin", store).stderr.split())
    assert held(store) == ([], [])


def test_a_notebook_begins_what_was_planned(store: Path, things: tuple[Path, tuple[Recipe, ...]]):
    assert len(begin_set(things[1], bin=store).values["works"]) == 3
    with pytest.raises(MatcherError) as refused:
        begin_set((*things[1], *things[1]), bin=store)
    assert isinstance(refused.value, BadInput)
    assert len(held(store)[0]) == 3


def test_a_set_is_begun_as_it_was_planned(things: tuple[Path, tuple[Recipe, ...]], store: Path, tmp_path: Path):
    """The metres of each lot, and how sure all of it is, are those of the plan."""
    wanted = ["1 hat for adult small", "1 hat for 8 years", "1 headband for adult medium"]
    planned = plan_set(store, want=wanted, time_limit=3.0, out=tmp_path / "planned").best
    begun = begin(planned=tmp_path / "planned", bin=store)
    claimed: Counter[str] = Counter()
    for work in begun.values["works"]:
        for one in work["claims"]:
            claimed[one["lot"]] += one["metres"]
    assert claimed == pytest.approx({one.lot.name: one.used_m for one in planned.lots}, abs=0.05)
    assert begun.values["sure"] == pytest.approx(planned.sure, abs=1e-4)

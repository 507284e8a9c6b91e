"""`matcher pool`: many bins as one, on screen, as JSON and CSV; equal to the search of all their lots at once."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from made_pools import write_bin, write_pool

from matcher.actions.collection import source
from matcher.actions.collection.cost import too_large
from matcher.actions.collection.gathered import gathered as read_all
from matcher.actions.collection.pool import pool
from matcher.actions.collection.result import Pooled
from matcher.actions.desk import Desk
from matcher.actions.whom.parties import Asked, whom_for
from matcher.matching.joined import joined_stocks
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.ready import searcher_of
from matcher.matching.ranking.scope import Wishes, scope_of
from matcher.matching.ranking.search import search_scope
from matcher.matching.rounds.parts import InTurn
from matcher.materials.collection import Collection, joined
from matcher.materials.lots import Bin
from matcher.store.catalogue.catalogue import load_catalogue
from matcher.store.collection.lying import lying_in

CATALOGUE = load_catalogue()
# Files are read alike for whatever is made of them.
NARROW = ("--kind", "hat", "--kind", "cowl", "--size", "adult medium")


def gathered(folder: Path, **how: bool) -> Collection:
    read = read_all(folder, lying_in(folder), CATALOGUE, InTurn(), **how)
    return joined([one.rows for one in read.held])


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two hundred bins: folders, sheets and Parquet files; one broken, one empty, one of another version."""
    import pyarrow as pa
    import pyarrow.parquet

    folder = write_pool(tmp_path_factory.mktemp("many") / "pool", 197, 5, CATALOGUE)
    (folder / "north" / "broken.csv").write_text("lot,grams,colour,class\nx,4O,red,3\n", encoding="utf-8")
    (folder / "south" / "empty.csv").write_text("", encoding="utf-8")
    table = pyarrow.parquet.read_table(next(folder.rglob("*.parquet")))
    table = table.set_column(0, "format", pa.array([0] * len(table), pa.int32()))
    pyarrow.parquet.write_table(table, folder / "older.parquet")
    return folder


def by_hand(folder: Path) -> tuple[Stock, list[str]]:
    """All bins' own pools as one stock, without columns; Parquet files by the sheets that they were made of."""
    stocks, codes = [], []
    for number, one in enumerate(lying_in(folder)):
        path = one.path
        if path.stem in ("broken", "empty", "older"):
            continue
        if one.of_many:
            path = folder.parent / f"{folder.name} own" / str(int(path.stem))
        desk = Desk(path, CATALOGUE)
        order = [lot.name for lot in desk.bin.lots]
        free = desk.shelf.free
        pools = [pool for pool in desk.shelf.pools if pool.free.mean > 0]
        pools.sort(key=lambda pool: min(order.index(lot.name) for lot in pool.lots if free[lot.name].mean > 0))
        stocks.append(stock_of(pools, CATALOGUE.together, str(number)))
        codes += [str(number)] * len(pools)
    return joined_stocks(stocks), codes


def test_two_hundred_bins_are_asked_as_one(many: Path):
    """The same list to the last figure as the search of all bins' own pools, joined."""
    found = pool(many, good_files=True, top=12)
    assert found.files == 200
    assert sorted(Path(one.file).stem for one in found.left_out) == ["broken", "empty", "older"]
    stock, codes = by_hand(many)
    assert found.lots == len(stock)
    wishes = Wishes(top=12, varied=True)
    nobody = Desk(Bin(()), CATALOGUE)
    who = whom_for(nobody, CATALOGUE, Asked(), CATALOGUE.contrast.eyes)
    scope = scope_of(nobody.every_variant, wishes, who.parties)
    plain = search_scope(searcher_of(stock, scope, CATALOGUE), scope)
    told = [
        (one.suggestion.found.mark[:-1], one.suggestion.found.threads, one.suggestion.score) for one in found.things
    ]
    assert told == [(one.mark[:-1], one.threads, one.score) for one in plain.chosen]
    for thing, one in zip(found.things, plain.chosen, strict=True):
        files = {codes[at] for at in one.pools}
        assert len(thing.members) == len(files)


def test_each_lot_says_whose_it_is_and_where_it_lies(many: Path):
    found = pool(many, good_files=True, top=12)
    read = gathered(many, good_files=True)
    for thing in found.things:
        rows = [row for thread in thing.suggestion.found.threads for row, _ in thread]
        told = {(lot.member, lot.place, lot.number) for _, lot in thing.lots}
        held = {(read.member.of(row), read.place.of(row), str(n)) for row in rows for n in read.number.of(row)}
        assert told == held


def test_lots_of_two_members_never_count_as_one(tmp_path: Path):
    """Half a hat's yarn each, the very same: neither has enough, and together they are two lots."""
    row = ",30,#b01020,50,100,wool,hand,soft wool,7\n"
    for name in ("a", "b"):
        head = "lot,grams,colour,ball_grams,ball_metres,fibre,wash,yarn,dye_lot\n"
        (tmp_path / f"{name}.csv").write_text(f"{head}{name}{row}", encoding="utf-8")
    found = pool(tmp_path, kind="hat", gap=True)
    assert found.lots == 2
    assert not found.things
    short = [lack for near in found.nearly or () for lack in near.short]
    givers = {(giver.lot.member, round(giver.free_m)) for lack in short for giver in lack.givers}
    assert givers
    assert givers <= {("member 1", 60), ("member 2", 60)}
    for near in found.nearly or ():
        own = set(near.thing.members)
        assert all(giver.lot.member not in own or len(own) == 2 for lack in near.short for giver in lack.givers)


def test_more_yarn_never_makes_less_possible_and_surer_never_more(tmp_path: Path):
    few, more = tmp_path / "few", tmp_path / "more"
    write_pool(few, 6)
    write_pool(more, 9)

    def best(folder: Path, **asked: object) -> list[float]:
        found = pool(folder, top=1000, varied=False, held_together=False, **asked)
        return sorted((one.suggestion.score for one in found.things), reverse=True)

    def made(folder: Path, **asked: object) -> set[str]:
        found = pool(folder, top=1000, varied=False, held_together=False, **asked)
        return {one.suggestion.found.variant.accessory.key for one in found.things}

    assert made(few) <= made(more)
    assert all(one <= other + 1e-9 for one, other in zip(best(few), best(more), strict=False))
    assert made(few, sure=0.99) <= made(few, sure=0.9)


def test_a_reserve_stays_with_its_own_bin(tmp_path: Path):
    """What a member keeps is not there for anybody; what one decides leaves the others alone."""
    write_pool(tmp_path / "pool", 4)
    free = gathered(tmp_path / "pool")
    lots = tmp_path / "pool" / "north" / "0000" / "lots.csv"  # the second in the order of the paths
    head, *rows = lots.read_text(encoding="utf-8").splitlines()
    kept = [f"{head},reserve", *(f"{row},{1000 if at == 0 else ''}" for at, row in enumerate(rows))]
    lots.write_text("\n".join(kept) + "\n", encoding="utf-8")
    less = gathered(tmp_path / "pool")
    assert len(less) == len(free) - 1
    assert less.free_m.sum() < free.free_m.sum()
    np.testing.assert_array_equal(free.free_m[free.file != 1], less.free_m[less.file != 1])
    for one in pool(tmp_path / "pool", top=1000, varied=False).things:
        for role in one.suggestion.roles:
            assert role.brought or role.left_m >= -1e-6


def test_the_order_on_the_disk_and_the_form_of_a_file_change_nothing(tmp_path: Path, run_json):
    write_bin(tmp_path / "one" / "north" / "a", 1)
    write_bin(tmp_path / "one" / "south" / "b", 2)
    write_bin(tmp_path / "two" / "south" / "b", 2)
    (tmp_path / "two" / "north").mkdir(parents=True)
    from typer.testing import CliRunner

    from matcher.cli.commands import app

    made = ["export", str(tmp_path / "two" / "north" / "a.parquet"), "--bin", str(tmp_path / "one" / "north" / "a")]
    assert CliRunner().invoke(app, made).exit_code == 0
    first, second = (
        run_json("pool", tmp_path / name, "--each-member", "--each-place", *NARROW) for name in ("one", "two")
    )
    for found in (first, second):
        found.pop("cost")
    assert first == second


def test_the_screen_reads_well(many: Path, run):
    shown = run("pool", many, "--good-files", "--each-place", "--gap", "--set", "--time-limit", "1", "--top", "12")
    assert shown.exit_code == 0, shown.output
    lines = shown.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    said = " ".join(shown.stdout.split())
    assert "members at 2 places" in said
    assert "from member" in said
    for heading in ("Nearly", "Each place", "A set that uses most"):
        assert heading in lines
    assert "nowhere in particular:" in said
    assert "Left out, since they can't be read: member" in said


def test_the_table_has_a_row_for_each_lot_of_each_answer(tmp_path: Path, run, run_json):
    write_pool(tmp_path / "pool", 4)
    asked = ("pool", tmp_path / "pool", "--each-member", "--each-place", *NARROW)
    rows = list(csv.DictReader(io.StringIO(run(*asked, "--csv").stdout)))
    found = run_json(*asked)
    lots = [lot for one in (*found["suggestions"], *found["small"]) for lot in one["from"]]
    for group in (*found["by_member"], *found["by_place"]):
        lots += [lot for one in group["suggestions"] for lot in one["from"]]
    assert [(row["member"], row["number"]) for row in rows] == [(lot["member"], str(lot["number"])) for lot in lots]
    assert {row["list"] for row in rows} >= {"all", "member", "place"}


def test_each_member_gets_what_her_own_yarn_gives_alone(tmp_path: Path):
    write_pool(tmp_path / "pool", 4, 8)
    found = pool(tmp_path / "pool", each_member=True, size="adult medium")
    for group in found.by_member or ():
        assert all(one.members == (group.name,) for one in group.things)
    alone = write_pool(tmp_path / "alone", 1, 8)
    assert [one.suggestion.score for one in pool(alone, top=3, size="adult medium").things] == [
        one.suggestion.score
        for one in next(group for group in found.by_member or () if group.name == "member 2").things
    ]


def test_small_things_are_a_members_where_there_is_nothing_else(tmp_path: Path):
    """The same as the list for her alone: what is small only where that has nothing else."""
    folder = write_pool(tmp_path / "pool", 3, 8)
    (folder / "north" / "little.csv").write_text(
        "lot,grams,colour,ball_grams,ball_metres,fibre,wash\nred,9,#b01020,50,125,wool,hand\n"
        "pale,9,#f0f0e0,50,125,wool,hand\n",
        encoding="utf-8",
    )
    asked = {"each_member": True, "kind": ("hat", "cowl", "small")}
    groups = pool(folder, **asked).by_member or ()
    assert any(one.suggestion.found.variant.accessory.small for group in groups for one in group.things)
    for group, near in zip(groups, pool(folder, gap=True, **asked).by_member or (), strict=True):
        assert [str(one.as_dict()) for one in group.things] == [str(one.as_dict()) for one in near.things]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--sure", "2"), "isn't a chance"),
        (("--top", "0"), "--top"),
        (("--kind", "spaceship"), "spaceship"),
        (("--explain", "999"), "there is no suggestion 999"),
        (("--eyes", "purple"), "--eyes"),
    ],
)
def test_a_question_that_makes_no_sense_is_refused(tmp_path: Path, run, asked: tuple[str, ...], said: str):
    write_pool(tmp_path / "pool", 2)
    shown = run("pool", tmp_path / "pool", *asked)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_explain_shows_the_working(tmp_path: Path, run):
    write_pool(tmp_path / "pool", 2)
    shown = run("pool", tmp_path / "pool", "--explain", "1")
    assert shown.exit_code == 0
    assert "The score" in shown.stdout


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_pool(tmp_path_factory.mktemp("few") / "pool", 12, 6, CATALOGUE)


# Of each kind and size a file is read alike.
EVERYTHING = {"each_place": True, "each_member": True, "gap": True, "kind": ("hat", "cowl"), "size": "adult medium"}
EVERYTHING |= {"least_contrast": "clear", "held_together": False}


@pytest.fixture(scope="module")
def at_once(few: Path) -> dict[str, Any]:
    """All that is asked of those files, which are held together."""
    return pool(few, **EVERYTHING).as_dict()


@pytest.fixture(scope="module")
def in_turn(few: Path) -> tuple[Pooled, int]:
    """The same of a few files after the other, and how many times some were looked through for who could give."""
    read = []
    givers_in = source._givers_in

    def counted(*asked: Any) -> Any:
        read.append(asked)
        return givers_in(*asked)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(source, "_givers_in", counted)
        return pool(few, lots_at_once=30, **EVERYTHING), len(read)


@pytest.mark.parametrize("lots", [30, 1000])
def test_files_one_after_the_other_give_the_same_answer(
    few: Path, at_once: dict[str, Any], in_turn: tuple[Pooled, int], lots: int
):
    """Nothing of a file is kept but what could stand in the list: every figure and every name is the same."""
    whole = dict(at_once)
    parted = (in_turn[0] if lots == 30 else pool(few, lots_at_once=lots, **EVERYTHING)).as_dict()
    assert whole.pop("cost")["parts"] == 1
    assert parted.pop("cost")["parts"] == (3 if lots == 30 else 1)
    assert len(whole["near_misses"]) > 2
    assert all(group["near_misses"] for group in whole["by_place"])
    assert str(whole) == str(parted)


def test_files_are_read_as_often_for_many_members_as_for_few(in_turn: tuple[Pooled, int]):
    """Who could give what members lack is asked of all members at once, and so of places."""
    found, read = in_turn
    assert sum(bool(group.nearly) for group in found.by_member) > 6
    assert sum(bool(group.nearly) for group in found.by_place) > 1
    assert read == 3 * found.cost.parts


def test_a_folder_that_is_larger_than_memory_is_read_in_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run):
    lying = lying_in(write_pool(tmp_path / "pool", 3))
    assert not too_large(lying, 1 << 40)
    assert too_large(lying, 1000)
    assert not too_large(lying, 0)
    monkeypatch.setattr("matcher.actions.collection.cost._memory_bytes", lambda: 1000)
    said = " ".join(run("pool", tmp_path / "pool", *NARROW).stderr.split())
    assert "The folder is too large for this machine's memory at once: its files were read one after the other" in said


@pytest.mark.long  # two workers begin by loading the program
def test_a_cluster_gives_the_answer_of_one_machine(few: Path, run, run_json):
    distributed = pytest.importorskip("distributed")  # of the extra "cluster", which dev has too
    asked = ("pool", few, *NARROW[:2], *NARROW[-2:], "--single", "--each-place", "--each-member", "--gap")
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        there = run_json(*asked, "--cluster", cluster.scheduler_address)
    here = run_json(*asked)
    for found in (here, there):
        found.pop("cost")
    assert there == here


def test_a_cluster_that_is_not_there_is_told_of(few: Path, run, monkeypatch: pytest.MonkeyPatch):
    pytest.importorskip("distributed")  # without it another refusal comes first
    monkeypatch.setattr("matcher.actions.collection.cluster._PATIENCE_S", 0.5)
    shown = run("pool", few, "--cluster", "tcp://127.0.0.1:9")
    assert shown.exit_code == 2
    assert "no cluster answers at" in " ".join(shown.stderr.split())

"""Parts on two workers give what one process gives, also where a worker dies in the middle."""

from __future__ import annotations

import logging
import os
import re
import signal
import sys
from collections.abc import Iterator
from concurrent.futures import CancelledError
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
import pytest
from generated import WHOLE, rich

from matcher.actions.collection.cluster import Cluster, cluster_at
from matcher.actions.collection.edition import check_same, edition
from matcher.actions.desk import Desk
from matcher.errors import BadInput
from matcher.matching.pools import Stock, stock_of
from matcher.matching.ranking.scope import Scope, Wishes, scope_of
from matcher.matching.rounds.parts import Ask, InTurn, Parted, search_parts
from matcher.materials.lots import Bin

distributed = pytest.importorskip("distributed")  # of the extra "cluster", which dev has too
cloudpickle = pytest.importorskip("cloudpickle")  # comes with it


class Look:
    """A part is a stock. dies : a file; who looks first and finds none of that name writes it, and is killed."""

    def __init__(self, dies: Path | None = None) -> None:
        self.dies = dies

    def __call__(self, part: Stock) -> Stock:
        if self.dies is not None and not self.dies.exists():
            self.dies.write_text("a worker was here")
            os.kill(os.getpid(), signal.SIGKILL)
        return part


@pytest.fixture(scope="module")
def local() -> Iterator[Any]:
    """A cluster of two worker processes."""
    cloudpickle.register_pickle_by_value(sys.modules[Look.__module__])
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        yield cluster
    cloudpickle.unregister_pickle_by_value(sys.modules[Look.__module__])


@pytest.fixture(scope="module")
def asked() -> tuple[list[Stock], Scope]:
    """Five parts of sixty lots, and what is asked of them."""
    lots = tuple(lot for seed in range(5) for lot in rich(seed, 12, 2, False)[0].lots)
    names = [f"lot {number:03d}" for number in range(len(lots))]
    for lot, name in zip(lots, names, strict=True):
        object.__setattr__(lot, "name", name)
    stock = stock_of(Desk(Bin(lots, {}), WHOLE).shelf.pools, WHOLE.together)
    rows = np.arange(len(stock)) % 5
    scope = scope_of(Desk(Bin(()), WHOLE).variants, Wishes(kinds=("hat",), varied=True, held_together=False))
    return [stock.take(np.flatnonzero(rows == part)) for part in range(5)], scope


def told(found: Parted) -> list[tuple[float, object]]:
    pools, outcome = found.stock.pools, found.outcome
    return [
        (one.score, tuple((pools[at].name, n) for thread in one.threads for at, n in thread))
        for one in (*outcome.chosen, *outcome.small)
    ]


@pytest.fixture(scope="module")
def here(asked: tuple[list[Stock], Scope]) -> list[tuple[float, object]]:
    """What one process tells."""
    parts, scope = asked
    return told(search_parts(Ask(Look(), scope, WHOLE), parts, InTurn()))


def test_two_workers_give_what_one_process_gives(
    local: Any, asked: tuple[list[Stock], Scope], here: list[tuple[float, object]]
) -> None:
    parts, scope = asked
    with cluster_at(local.scheduler_address) as cluster:
        there = search_parts(Ask(Look(), scope, WHOLE), parts, cluster)
    assert told(there) == here
    assert len(here) >= 2


@pytest.mark.long
def test_a_worker_that_dies_is_made_up_for(
    local: Any, asked: tuple[list[Stock], Scope], here: list[tuple[float, object]], tmp_path: Path
) -> None:
    parts, scope = asked
    killed = tmp_path / "killed"
    with cluster_at(local.scheduler_address) as cluster:
        there = search_parts(Ask(Look(killed), scope, WHOLE), parts, cluster)
    assert killed.exists()
    assert told(there) == here


class Counts:
    """Adds to a part what it knows. read : how many times it was read where parts are asked."""

    read: ClassVar[list[int]] = []

    def __init__(self, known: int) -> None:
        self.known = known

    def __reduce__(self) -> tuple[Any, ...]:
        return Counts.anew, (self.known,)

    @classmethod
    def anew(cls, known: int) -> Counts:
        cls.read.append(known)
        return cls(known)

    def __call__(self, part: int) -> int:
        return self.known + part


def test_what_is_asked_is_read_once_for_all_parts_that_a_worker_is_given() -> None:
    class Sends:
        """A client that writes and reads each task by itself, as those of a cluster are."""

        def map(self, function: Any, parts: list[int], **how: Any) -> list[Any]:
            tasks = [cloudpickle.loads(cloudpickle.dumps((function, part))) for part in parts]
            return [Answered(each(part)) for each, part in tasks]

    Counts.read.clear()
    cluster = Cluster(Sends(), "tcp://there:1")
    assert list(cluster.map(Counts(10), [1, 2, 3])) == [11, 12, 13]
    assert list(cluster.map(Counts(20), [1, 2])) == [21, 22]
    assert Counts.read == [10, 20]


class Answered:
    """What a client is no longer waiting for."""

    def __init__(self, answer: int) -> None:
        self.answer = answer

    def result(self, timeout: float) -> int:
        return self.answer

    def release(self) -> None: ...


def test_what_goes_wrong_with_a_cluster_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("matcher.actions.collection.cluster._PATIENCE_S", 0.5)  # nobody will come
    with pytest.raises(BadInput, match=r"no cluster answers at tcp://127\.0\.0\.1:9"), cluster_at("tcp://127.0.0.1:9"):
        pass
    with pytest.raises(BadInput, match=r"no cluster answers at nonsense::"), cluster_at("nonsense::"):
        pass
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadInput, match="needs Dask"), cluster_at("tcp://127.0.0.1:9"):
        pass


class Fails:
    """A client, and what it is waiting for, of a cluster at which something goes wrong."""

    status = "pending"

    def __init__(self, wrong: Exception) -> None:
        self.wrong = wrong

    def map(self, function: Any, parts: list[Any], **how: Any) -> list[Fails]:
        return [self for _ in parts]

    def result(self, timeout: float) -> None:
        raise self.wrong

    def wait_for_workers(self, number: int, timeout: float) -> None:
        raise TimeoutError


def test_a_cluster_that_comes_to_an_end_while_it_is_asked_is_said() -> None:
    gone = CancelledError("scheduler-connection-lost")
    with pytest.raises(BadInput, match=r"the cluster at tcp://there:1 went away while it was asked"):
        list(Cluster(Fails(gone), "tcp://there:1").map(len, [[1]]))
    ended = distributed.KilledWorker("len", None, 3)
    with pytest.raises(BadInput, match=r"workers of the cluster at tcp://there:1 came to an end again and again"):
        list(Cluster(Fails(ended), "tcp://there:1").map(len, [[1]]))
    with pytest.raises(BadInput, match=r"the cluster at tcp://there:1 has no worker"):
        list(Cluster(Fails(TimeoutError()), "tcp://there:1").map(len, [[1]]))
    own = Fails(TimeoutError("a part's own"))
    own.status = "error"
    with pytest.raises(TimeoutError, match="a part's own"):
        list(Cluster(own, "tcp://there:1").map(len, [[1]]))


def test_a_cluster_with_another_matcher_is_said(local: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The scheduler is in this process; the workers' program stands in files that differ from what is said of ours."""
    there, sign = edition(), "77e0b1aa"
    monkeypatch.setattr("matcher.actions.collection.edition._sign", lambda: sign)
    with pytest.raises(BadInput) as caught, cluster_at(local.scheduler_address):
        pass
    said = str(caught.value)
    assert f"this is matcher {edition()}, and in the cluster at {local.scheduler_address} workers have {there}" in said
    assert sign in edition()
    assert sign not in there
    assert said.endswith("install this one there too, start the cluster anew, and ask again")
    assert said.count(there) == 1


class Older:
    """A client of a cluster whose processes know nothing of editions."""

    def __init__(self, scheduler: str | None, workers: dict[str, tuple[Any, str | None]]) -> None:
        self.scheduler, self.workers = scheduler, workers

    def get_versions(self, packages: list[str]) -> dict[str, Any]:
        workers = {name: {"packages": {"matcher": number}} for name, (_, number) in self.workers.items()}
        return {"scheduler": {"packages": {"matcher": self.scheduler}}, "workers": workers}

    def run_on_scheduler(self, function: Any) -> str:
        raise ModuleNotFoundError("No module named 'matcher.actions.collection.edition'")

    def run(self, function: Any, on_error: str) -> dict[str, Any]:
        return {name: found for name, (found, _) in self.workers.items()}


def test_nor_is_an_older_matcher_or_none_this_one() -> None:
    unread = Exception("ModuleNotFoundError('no such module')")
    workers = {"a": (unread, "0.0.9"), "b": (unread, "0.0.9"), "c": (OSError(), None), "d": (edition(), "0.1.0")}
    said = "tcp://there:1 the scheduler has none and workers have 0.0.9 (an older one): install"
    with pytest.raises(BadInput, match=re.escape(said)):
        check_same(Older(None, workers), "tcp://there:1")


def test_what_the_library_would_say_of_it_besides_is_not_heard(local: Any) -> None:
    logger = logging.getLogger("distributed.client")
    before = logger.level
    with cluster_at(local.scheduler_address):
        assert not logger.isEnabledFor(logging.ERROR)
    assert logger.level == before


def test_a_cluster_without_a_worker_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("matcher.actions.collection.cluster._PATIENCE_S", 1)
    with (
        distributed.LocalCluster(n_workers=0, threads_per_worker=1, dashboard_address=None) as empty,
        pytest.raises(BadInput, match="has no worker"),
        cluster_at(empty.scheduler_address),
    ):
        pass

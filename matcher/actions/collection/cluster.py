"""Parts of a collection asked on other machines, by Dask: each where it lies, and only short answers come back."""

from __future__ import annotations

import logging
import pickle
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager
from functools import lru_cache
from hashlib import blake2b
from typing import Any, Generic, TypeVar

from matcher.actions.collection.edition import check_same
from matcher.errors import BadInput
from matcher.reasons.reason import reason

P = TypeVar("P")
R = TypeVar("R")

# A worker that dies takes its part with it; so often another one begins it anew before that is the part's own fault.
_AGAIN = 3
_PATIENCE_S = 10  # until a cluster and its first worker must have answered


class Cluster:
    """Asks the same of many parts on the workers of a Dask cluster; answers come in the order of the parts.

    A function and its parts must be such as can be sent; what a worker reads it reads from the same path as here.
    """

    def __init__(self, client: Any, address: str) -> None:
        self._client, self._address = client, address

    def map(self, function: Callable[[P], R], parts: Sequence[P]) -> Iterator[R]:
        """The answer to each part. What a worker raises is raised here, and BadInput where the cluster comes to an end
        or a part ends its worker again and again."""
        from distributed import KilledWorker

        waiting = self._client.map(_Written(function), list(parts), retries=_AGAIN, pure=False)
        for one in waiting:
            try:
                answer = self._answer(one)
            except CancelledError:
                what = reason("the cluster at {address} went away while it was asked", address=self._address)
                raise BadInput(what, self._address, reason("start it, and ask again")) from None
            except KilledWorker:
                what = reason(
                    "workers of the cluster at {address} came to an end again and again", address=self._address
                )
                todo = reason("give each more memory, and ask again")
                raise BadInput(what, self._address, todo) from None
            yield answer
            one.release()

    def _answer(self, waiting: Any) -> Any:
        """Waits as long as it takes, but not for workers of whom none is left. Raises BadInput where that is so."""
        while True:
            try:
                return waiting.result(timeout=_PATIENCE_S)
            except TimeoutError:
                if waiting.status == "error":  # the part's own
                    raise
                _wait_for_worker(self._client, self._address)


class _Written(Generic[P, R]):
    """A function with all that it is asked with, the catalogue among it, written once for all parts.

    Otherwise the scheduler would write it anew for each part, and each part's worker read it anew, without what was
    worked out of the catalogue for the part before.
    """

    def __init__(self, function: Callable[[P], R]) -> None:
        import cloudpickle  # comes with Dask

        self.written = cloudpickle.dumps(function)
        self.sign = blake2b(self.written, digest_size=20).digest()

    def __call__(self, part: P) -> R:
        answer: R = _read(self)(part)
        return answer

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Written) and self.sign == other.sign

    def __hash__(self) -> int:
        return hash(self.sign)


@lru_cache(maxsize=2)
def _read(written: _Written[Any, Any]) -> Callable[[Any], Any]:
    """The function, which a worker keeps while it is asked of further parts."""
    function: Callable[[Any], Any] = pickle.loads(written.written)
    return function


@contextmanager
def cluster_at(address: str) -> Iterator[Cluster]:
    """The cluster whose scheduler is at an address ("tcp://host:8786"), for a while.

    Raises BadInput where Dask is not installed, nobody answers there, the cluster has no worker, or another matcher.
    """
    try:
        from distributed import Client
    except ImportError:
        what = reason("a cluster needs Dask, which isn't installed")
        todo = reason("install matcher with its extra for it: {extra}", extra=EXTRA)
        raise BadInput(what, "", todo) from None
    with _quiet():
        try:
            client = Client(address, timeout=_PATIENCE_S, set_as_default=False)
        except (OSError, ValueError, TimeoutError):
            what = reason("no cluster answers at {address}", address=address)
            todo = reason(
                "give the address that its scheduler prints when it starts, such as {example}", example=_EXAMPLE
            )
            raise BadInput(what, address, todo) from None
        try:
            _wait_for_worker(client, address)
            check_same(client, address)
            yield Cluster(client, address)
        finally:
            client.close()


def _wait_for_worker(client: Any, address: str) -> None:
    """Raises BadInput where none is there for a while."""
    try:
        client.wait_for_workers(1, timeout=_PATIENCE_S)
    except TimeoutError:
        what = reason("the cluster at {address} has no worker", address=address)
        raise BadInput(what, address, reason("start one, and ask again")) from None


@contextmanager
def _quiet() -> Iterator[None]:
    """That a cluster went away is said in a sentence of ours, and not in its library's pages besides."""
    loggers = [logging.getLogger(f"distributed.{name}") for name in ("client", "batched")]
    levels = [one.level for one in loggers]
    for one in loggers:
        one.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        for one, level in zip(loggers, levels, strict=True):
            one.setLevel(level)


EXTRA = "pip install 'matcher[cluster]'"
_EXAMPLE = "tcp://192.168.1.20:8786"
